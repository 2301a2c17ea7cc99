"""Tables, and pictures with what belongs to them, as pieces of a page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from forms.papers.outline import Shown, Table, plain
from sync.handoff.drawn import width_of
from sync.handoff.faces import BOLD, TEXT, TITLE
from sync.handoff.painted import POINTS, paint
from sync.handoff.pieces import Cell, Free, Pen, Piece, Row, Sheet, body, text
from sync.handoff.tags import Element

__all__ = ["shown", "table"]

_SHORT: Final = 4
"""A table of no more rows than this is never parted by the end of a page."""
_CLOSE: Final = 2.6
"""Air above and below a row of a longer one, as between the items of a letter; such a table is looked things up in."""


def table(block: Table, sheet: Sheet) -> Iterator[Piece]:
    """A table: its head, then a row for each row."""
    element, count = Element("Table", alt=block.title), len(block.columns)
    shares = _shares(block, sheet)
    starts = [sum(shares[:at]) for at in range(count)]
    heads = tuple(
        Cell(start, text(name, share - 10, sheet.small), "TH", "Column")
        for start, share, name in zip(starts, shares, block.columns, strict=True)
    )
    yield Row(heads, sheet.width, element, pad=3, keep=True, gap=2)
    together = len(block.rows) <= _SHORT
    pad = 5 * sheet.air if together else _CLOSE
    for at, row in enumerate(block.rows, 1):
        cells = (
            Cell(start, body(sheet, words, share - 10)) for start, share, words in zip(starts, shares, row, strict=True)
        )
        yield Row(tuple(cells), sheet.width, element, pad=pad, keep=together and at < len(block.rows))


def _shares(block: Table, sheet: Sheet) -> list[float]:
    """Column widths: as wide as the longest line of each wants to be, fitted to the page's width, no word broken."""
    wanted, least = [], []
    for at, name in enumerate(block.columns):
        lines = ["".join(span.text for span in row[at]) for row in block.rows]
        longest = max([width_of(line, BOLD, sheet.size) for line in lines] + [width_of(name, TEXT, sheet.small)])
        words = [width_of(word, BOLD, sheet.size) for line in lines for word in line.split()]
        wanted.append(min(longest, sheet.width * 0.55) + 16)
        least.append(max(words, default=0) + 12)
    spare, wish = sheet.width - sum(least), [max(w - n, 0) for w, n in zip(wanted, least, strict=True)]
    if spare < 0 or not any(wish):
        return [share * sheet.width / sum(wanted) for share in wanted]
    return [narrow + spare * more / sum(wish) for narrow, more in zip(least, wish, strict=True)]


def shown(block: Shown, sheet: Sheet) -> Iterator[Piece]:
    """A picture: its title, the drawing, its sentence and its sources; its table where the paper wants it.

    To those who hear the paper the drawing is told by title and sentence. Without parts there is the sentence alone.
    """
    told, size = block.drawing, round(sheet.size * 1.15, 1)
    yield text(
        told.title, sheet.width, size, face=TITLE, role="H2", gap=sheet.size * sheet.air, leading=size * 1.4, keep=True
    )
    if told.parts:
        wide = min(told.wide * POINTS, sheet.width)

        def by(pen: Pen, left: float, top: float) -> None:
            with pen.tags.leaf("Figure", alt=f"{told.title}. {told.sentence}"):
                paint(pen.canvas, told, left, top, wide)

        yield Free(told.tall * wide / told.wide, by, gap=4 * sheet.air, keep=True)
    yield body(sheet, told.sentence, sheet.width, gap=4)
    for source in told.sources:
        yield body(sheet, source, sheet.width, small=True, gap=2)
    if block.table and told.table.rows:
        rows = tuple(tuple(map(plain, row)) for row in told.table.rows)
        yield from table(Table(told.title, told.table.columns, rows), sheet)
