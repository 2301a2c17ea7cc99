"""Draws an outline on pages: tagged, with embedded letters, black on white, legible after a photocopy or a fax."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from functools import cache
from io import BytesIO
from typing import Any, Final

from forms.ask import Paper
from forms.papers.outline import (
    Alarm,
    Block,
    CallBox,
    Foot,
    Heading,
    Items,
    Lines,
    Mark,
    Outline,
    Paragraph,
    Query,
    Shown,
    Table,
    Task,
    TeachBack,
    Title,
    join,
    strong,
)  # fmt: skip
from forms.phrases.languages import CATALOGUES
from forms.trouble import Trouble
from sync.handoff.drawn import across, box, moons, say, width_of
from sync.handoff.faces import TEXT, TITLE, legible
from sync.handoff.pages import FOOTER, Pages, TooMany
from sync.handoff.pieces import Cell, Frame, Free, Known, Pen, Piece, Row, Sheet, body, text
from sync.handoff.shown import shown, table
from sync.handoff.tags import About, Element, Tags, finish

__all__ = ["PAGES", "TooLong", "page_rule", "write_letter"]

PAGES: Final = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}
MARGIN: Final = 40.0
LARGE_MARGIN: Final = 30.0
"""White around the words; a large edition has less, or it would run to a third page. Both are in reach of printers."""
_LARGE: Final = 16
_AIRS: Final = (1.0, 0.8, 0.65)
"""How open a paper is set: as open as its fewest pages allow. Closer means less air, never smaller type."""
_TITLE_MOST: Final = 30.0
_UNDER_TITLE: Final = 9.0
"""White between the rule under a title and a first line, which would touch it, set closely."""
_SEAL_TALL: Final = 50.0
_SEAL_WIDE: Final = 216.0
_ASKED_WIDE: Final = 160.0
"""Points for questions beside their answers: most of a form then take one line; the fifteen items are shorter."""


class TooLong(Trouble):
    """A family's paper needs more pages than a family reads."""

    template = (
        "“{title}” would take {pages} pages; a family gets at most {most}. Shorten the goal, the tasks or what went "
        "well, then print it again."
    )


def _title(block: Title, sheet: Sheet) -> Iterator[Piece]:
    beside = 62.0 if block.mark else 0.0
    size = min(sheet.size * 2, _TITLE_MOST)
    head = text(block.text, sheet.width - beside, size, face=TITLE, leading=size * 1.2, role="H1")
    under = text(block.under, sheet.width - beside, sheet.size)
    tall = head.height + under.height + 10

    def by(pen: Pen, left: float, top: float) -> None:
        head.draw(pen, left, top)
        under.draw(pen, left, top - head.height)
        with pen.tags.artifact():
            if block.mark is not None:
                moons(pen.canvas, block.mark, left + sheet.width - 46, top - tall / 2 + 4, 21)
            pen.canvas.setLineWidth(1.5)
            pen.canvas.line(left, top - tall, left + sheet.width, top - tall)

    yield Free(tall, by, keep=True)


def _heading(block: Heading, sheet: Sheet) -> Iterator[Piece]:
    size = sheet.size if block.inner else sheet.heading
    yield text(
        block.text,
        sheet.width,
        size,
        face=TITLE,
        role="H3" if block.inner else "H2",
        gap=sheet.size * sheet.air * (0.5 if block.inner else 1),
        leading=size * 1.28,
        keep=True,
        known=sheet.known,
    )


def _mark(block: Mark, sheet: Sheet) -> Iterator[Piece]:
    yield Frame((text(strong(block.text), sheet.width - 20, sheet.size),), sheet.width, weight=1, pad=7, gap=10)


def _paragraph(block: Paragraph, sheet: Sheet) -> Iterator[Piece]:
    yield body(sheet, block.words, sheet.width, small=block.small, gap=3)


def _lines(block: Lines, sheet: Sheet, above: float = 2) -> Iterator[Piece]:
    for at, line in enumerate(block.lines):
        yield body(sheet, line, sheet.width, small=block.small, gap=2 if at else above)


def _task(block: Task, sheet: Sheet) -> Iterator[Piece]:
    margin = sheet.size + 16
    beside = across(block.picture) if block.picture else 0.0
    room = sheet.width - margin - (beside + 14 if block.picture else 0)
    number = text(str(block.number), margin, sheet.size * 1.9, face=TITLE, leading=sheet.size * 1.9)
    cells = [Cell(0, number, "Lbl"), Cell(margin, body(sheet, block.words, room), "LBody")]
    if block.picture:
        cells.append(Cell(sheet.width - beside, block.picture))
    first = block.number == 1
    yield Row(tuple(cells), sheet.width, Element("L"), role="LI", pad=8 * sheet.air, over=first, gap=4 if first else 0)


def _alarm(block: Alarm, sheet: Sheet) -> Iterator[Piece]:
    inside = sheet.width - 22
    size = round(sheet.size * 1.3, 1)
    banner = text(block.act, inside, size, face=TITLE, leading=size * 1.4, role="H2", white=True, known=sheet.known)
    seen = tuple(text(words, inside, sheet.size, gap=4, known=sheet.known) for words in block.seen)
    yield Frame(seen, sheet.width, banner=banner, weight=3)


def _call_box(block: CallBox, sheet: Sheet) -> Iterator[Piece]:
    inside = sheet.width - 22
    size = round(sheet.size * 1.15, 1)
    title = text(block.title, inside, size, face=TITLE, leading=size * 1.4, role="H2", keep=True)
    leading = sheet.lead(sheet.size * 0.97)
    entries = tuple(
        text(words, inside, sheet.size, leading=leading, gap=5, known=sheet.known) for words in block.entries
    )
    yield Frame((title, *entries), sheet.width)


def _items(block: Items, sheet: Sheet) -> Iterator[Piece]:
    element, label = Element("Table", alt="Content of this letter"), 138.0 if block.numbered else _ASKED_WIDE
    leading = round(sheet.size * 1.3, 1)
    for at, item in enumerate(block.items, 1):
        name = join(f"{at}  " if block.numbered else "", strong(item.label))
        cells = (
            Cell(0, text(name, label - 10, sheet.size * 0.9, leading=leading, known=sheet.known), "TH", "Row"),
            Cell(label, text(item.words, sheet.width - label, sheet.size, leading=leading, known=sheet.known)),
        )
        yield Row(cells, sheet.width, element, pad=2.6, rule=0.5, over=at == 1, gap=6 if at == 1 else 0)


def _query(block: Query, sheet: Sheet) -> Iterator[Piece]:
    words = text(strong(block.text), sheet.width - 22, sheet.size * 1.1)
    yield Frame((words,), sheet.width, weight=1.5, pad=8, gap=6)


def _teach_back(block: TeachBack, sheet: Sheet) -> Iterator[Piece]:
    size = sheet.size
    parts = [(block.lead, False), *((words, True) for words in block.boxes)]
    lines: list[list[tuple[str, bool]]] = [[]]
    used = 0.0
    for words, ticked in parts:
        wide = width_of(words, TEXT, size) + (size * 1.4 if ticked else 0) + size * 0.9
        if lines[-1] and used + wide > sheet.width:
            lines.append([])
            used = 0.0
        lines[-1].append((words, ticked))
        used += wide
    tall = size * 1.55

    def by(pen: Pen, left: float, top: float) -> None:
        with pen.tags.leaf("P"):
            for row, line in enumerate(lines):
                x, base = left, top - tall * (row + 1) + size * 0.45
                for words, ticked in line:
                    if ticked:
                        box(pen.canvas, x, base - size * 0.08, size * 0.85)
                        x += size * 1.25
                    x = say(pen.canvas, x, base, words, TEXT, size) + size * 0.9

    yield Free(tall * len(lines), by, gap=6)


def _foot_piece(block: Foot, sheet: Sheet) -> Free:
    """The last block: the scope line and what goes with it, whole width; below, the seal's place and who wrote."""
    right_at = _SEAL_WIDE + 24 if sheet.sealed else 0.0
    inner = replace(sheet, size=sheet.small)
    pieces: list[Piece] = [body(sheet, block.scope.text, sheet.width, small=True)]
    for part in block.left:
        pieces.extend(_pieces(part, inner))
    writer = [body(sheet, words, sheet.width - right_at, small=True) for words in block.writer]
    said_tall = sum(p.height + (p.gap if n else 0) for n, p in enumerate(pieces))
    low_tall = max(sum(w.height for w in writer), _SEAL_TALL if sheet.sealed else 0)
    tall = said_tall + low_tall + 18

    def by(pen: Pen, left: float, top: float) -> None:
        with pen.tags.artifact():
            pen.canvas.setLineWidth(0.6)
            pen.canvas.line(left, top, left + sheet.width, top)
            if sheet.sealed:
                pen.canvas.setLineWidth(1.5)
                pen.canvas.line(left + right_at - 12, top - said_tall - 16, left + right_at - 12, top - tall)
        low = top - 8
        for at, piece in enumerate(pieces):
            low -= piece.gap if at else 0
            piece.draw(pen, left, low)
            low -= piece.height
        low = top - tall + low_tall
        for line in writer:
            line.draw(pen, left + right_at, low)
            low -= line.height

    return Free(tall, by, gap=12)


_MADE: Final[dict[type, Callable[[Any, Sheet], Iterator[Piece]]]] = {
    Title: _title, Heading: _heading, Mark: _mark, Paragraph: _paragraph, Lines: _lines, Task: _task, Table: table,
    Alarm: _alarm, CallBox: _call_box, Items: _items, Query: _query, TeachBack: _teach_back,
    Shown: shown,
}  # fmt: skip


def _pieces(block: Block, sheet: Sheet) -> Iterator[Piece]:
    return _MADE[type(block)](block, sheet)


def sentence(outline: Outline, key: str, **blanks: object) -> str:
    """A sentence of the program in the language of a paper."""
    return CATALOGUES[outline.language].sentences[key].text.format(**blanks)


def margin_of(outline: Outline) -> float:
    """Points of white around the words of a paper."""
    return LARGE_MARGIN if outline.size >= _LARGE else MARGIN


def write_letter(outline: Outline, *, made: datetime, sealed: bool) -> bytes:
    """The outline as a tagged PDF, byte for byte the same for the same outline and time.

    `sealed` leaves an empty signature field at the foot of the last page. Raises NoSuchLetter for a character the
    typefaces lack and TooLong when a family's paper runs over its pages.
    """
    outline = legible(outline) if outline.kind is Paper.CALL_NOW else outline
    size, air, total = _setting(outline, sealed)
    if outline.most_pages is not None and total > outline.most_pages:
        raise TooLong(title=outline.title, pages=total, most=outline.most_pages)
    drawn, tags = _draw(replace(outline, size=size), sealed, air, total)
    margin = margin_of(outline)
    foot = margin + FOOTER - 10
    seal = (margin, foot, margin + _SEAL_WIDE, foot + _SEAL_TALL) if sealed else None
    about = About(outline.title, outline.writer, outline.language, made)
    return finish(drawn, tags.root, about, seal=seal, tip=sentence(outline, "seal.of", who=outline.writer))


def page_rule() -> Callable[[Outline], bool]:
    """Asked of one paper again and again: whether it takes one page, set closely.

    Of an outline with a heading that begins a page of its own, only what stands before it has to.
    """
    known: Known = {}

    def on_one_page(outline: Outline) -> bool:
        after = (n for n, block in enumerate(outline.blocks) if isinstance(block, Heading) and block.page)
        first = outline.blocks[: next(after, len(outline.blocks))]
        try:
            return _count(outline, first, True, _AIRS[-1], known, most=1) == 1
        except TooMany:
            return False

    return on_one_page


def _setting(outline: Outline, sealed: bool) -> tuple[int, float, int]:
    """Type size, air and number of pages: the largest and most open that keeps to the pages wanted.

    Without a wish these are as few as its least size takes. Where no allowed size keeps to them, the paper's own size
    on as few pages as it takes.
    """
    known: Known = {}

    @cache
    def pages(size: int, air: float) -> int:
        return _count(replace(outline, size=size), outline.blocks, sealed, air, known)

    fewest = outline.pages_wanted or pages(outline.least_size or outline.size, _AIRS[-1])
    for size in range(outline.size, (outline.least_size or outline.size) - 1, -1):
        for air in _AIRS:
            if pages(size, air) <= fewest:
                return size, air, pages(size, air)
    fewest = pages(outline.size, _AIRS[-1])
    return outline.size, next(air for air in _AIRS if pages(outline.size, air) == fewest), fewest


def _count(
    outline: Outline, blocks: Iterable[Block], sealed: bool, air: float, known: Known, most: int | None = None
) -> int:
    """How many pages these blocks of a paper take, by the rules they are drawn by. Raises TooMany over `most`."""
    wide, tall = PAGES[outline.page]
    margin = margin_of(outline)
    pages = Pages(tall, margin, lambda: None, most=most)
    _fill(pages, blocks, Sheet(wide - 2 * margin, outline.size, sealed, air, known))
    return pages.count


def _fill(pages: Pages, blocks: Iterable[Block], sheet: Sheet) -> None:
    """Puts blocks on pages in their order, each heading with what it heads, and lines under a table with the table."""
    told = list(blocks)
    chain: list[Piece] = []
    for before, block, then in zip([None, *told], told, [*told[1:], None], strict=False):
        if isinstance(block, Foot):
            pages.rest_on_floor(_foot_piece(block, sheet))
            continue
        if isinstance(block, Heading) and block.page and not pages.fresh:
            pages.next()
        if isinstance(block, Lines) and isinstance(before, Title):
            pieces = list(_lines(block, sheet, _UNDER_TITLE))
        else:
            pieces = list(_pieces(block, sheet))
        for piece in pieces:
            chain.append(piece)
            under = piece is pieces[-1] and isinstance(block, Table) and isinstance(then, Lines)
            if not piece.keep and not under:
                pages.put(chain)
                chain = []


def _draw(outline: Outline, sealed: bool, air: float, total: int) -> tuple[bytes, Tags]:
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    wide, tall = PAGES[outline.page]
    canvas = Canvas(out, pagesize=(wide, tall), invariant=1, pageCompression=1)
    tags = Tags(canvas)
    margin = margin_of(outline)

    def number() -> None:
        if total > 1:
            line = sentence(outline, "page", paper=outline.title, page=pages.count, pages=total)
            with tags.artifact():
                say(canvas, wide - margin - width_of(line, TEXT, 9), margin - 8, line, TEXT, 9)

    def turn() -> None:
        number()
        canvas.showPage()

    pages = Pages(tall, margin, turn, Pen(canvas, tags, outline.language))
    _fill(pages, outline.blocks, Sheet(wide - 2 * margin, outline.size, sealed, air))
    number()
    canvas.save()
    return out.getvalue(), tags
