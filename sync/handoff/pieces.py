"""The pieces a page is filled with: running words, rows of cells, frames.

Each knows its height, can be drawn at a place, and can be split where a page ends. Lengths are points; `top` is
counted upward from the foot of the page, as PDF does.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TYPE_CHECKING, Final, Protocol, TypeAlias

from forms.papers.outline import Picture, Words
from sync.handoff.drawn import draw, said
from sync.handoff.faces import TEXT, marked
from sync.handoff.tags import Element, Tags

# faces must come first: it sets the base font that the styles read when they are first imported.
from reportlab.lib import colors  # isort: skip
from reportlab.lib.styles import ParagraphStyle  # isort: skip
from reportlab.platypus.paragraph import Paragraph  # isort: skip

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["Cell", "Frame", "Free", "Known", "Pen", "Piece", "Row", "Running", "Sheet", "body", "text"]

_LEAD: Final = 0.42

Known: TypeAlias = dict[tuple[Words | str, str, float, float], int]
"""How many lines words take in a face and size at a width. It holds words of a paper: keep it no longer than that."""


@dataclass(frozen=True, slots=True)
class Pen:
    """What is drawn on, the marks that go with it, and the language in which pictures speak."""

    canvas: Canvas
    tags: Tags
    language: str = "en"


class Piece(Protocol):
    """Something that takes up height on a page. `gap` is the air above it, `keep` ties it to what follows."""

    @property
    def height(self) -> float:
        """Points from its top to its foot."""

    @property
    def gap(self) -> float:
        """Points of air above it, unless it starts a page."""

    @property
    def keep(self) -> bool:
        """Whether it may not be the last thing on a page."""

    def draw(self, pen: Pen, left: float, top: float) -> None:
        """Draws it with its upper left corner there."""

    def split(self, room: float) -> tuple[Piece, Piece] | None:
        """A part that fits into `room` and the rest; None if no part does."""


@dataclass(frozen=True, slots=True)
class Running:
    """A paragraph, a heading or a line; `laid` lays its words out, which counting pages may never need."""

    laid: Callable[[], Paragraph]
    width: float
    height: float
    role: str = "P"
    gap: float = 0
    keep: bool = False
    under: Element | None = None

    @property
    def paragraph(self) -> Paragraph:
        """Its words, laid out in lines."""
        return self.laid()

    def draw(self, pen: Pen, left: float, top: float) -> None:
        """As Piece."""
        with ExitStack() as stack:
            if self.under is not None:
                stack.enter_context(pen.tags.under(self.under))
            stack.enter_context(pen.tags.leaf(self.role))
            self.paragraph.drawOn(pen.canvas, left, top - self.height)

    def split(self, room: float) -> tuple[Running, Running] | None:
        """As Piece."""
        parts = self.paragraph.split(self.width, room)
        if len(parts) != 2:
            self.paragraph.wrap(self.width, 1e9)  # a paragraph that was not split forgets its lines
            return None
        first, rest = (self._part(part) for part in parts if isinstance(part, Paragraph))
        return first, replace(rest, gap=0)

    def _part(self, part: Paragraph) -> Running:
        return replace(self, laid=lambda: part, height=part.wrap(self.width, 1e9)[1])


def text(
    words: Words | str,
    width: float,
    size: float,
    *,
    face: str = TEXT,
    leading: float | None = None,
    role: str = "P",
    gap: float = 0,
    keep: bool = False,
    under: Element | None = None,
    white: bool = False,
    known: Known | None = None,
) -> Running:
    """Running words set to a width, left aligned; `leading` defaults to the type size and a half less a little.

    Words that are `known` are not laid out again until they are drawn.
    """
    lead, key = leading or round(size * 1.42, 1), (words, face, size, width)
    style = ParagraphStyle(
        face, fontName=face, fontSize=size, leading=lead, splitLongWords=1,
        allowWidows=0, allowOrphans=0, textColor=colors.white if white else colors.black,
    )  # fmt: skip

    @cache
    def laid() -> Paragraph:
        paragraph = Paragraph(marked(words, face), style)
        paragraph.wrap(width, 1e9)
        return paragraph

    lines = known.get(key) if known is not None else None
    if lines is None:
        lines = round(laid().height / lead)
        if known is not None:
            known[key] = lines
    return Running(laid, width, lines * lead, role, gap, keep, under)


@dataclass(frozen=True, slots=True)
class Sheet:
    """The measures of one paper: the width of its words, its body type, whether it is sealed, how open it is set.

    `known` are the lines of words laid out before, for whoever counts the same paper again.
    """

    width: float
    size: float
    sealed: bool
    air: float = 1.0
    known: Known = field(default_factory=dict, repr=False)

    def lead(self, size: float) -> float:
        """The distance between lines of that type size."""
        return round(size * (1 + _LEAD * self.air), 1)

    @property
    def small(self) -> float:
        """Type of the foot and of asides: 12 points for a family (S:PRINT, the least for print), 9 for a colleague."""
        return 12.0 if self.size >= 14 else max(round(self.size * 0.78, 1), 9.0)

    @property
    def heading(self) -> float:
        """Type of the name of a part: a quarter larger than the body, less in large print, which needs less."""
        return round(min(self.size * 1.25, self.size + 3.5), 1)


def body(sheet: Sheet, words: Words | str, width: float, *, small: bool = False, gap: float = 0) -> Running:
    """Words in the body type of a sheet, or in its small type."""
    size = sheet.small if small else sheet.size
    return text(words, width, size, leading=sheet.lead(size), gap=gap * sheet.air, known=sheet.known)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a row, `at` points from the row's left: words, or a picture drawn level with the row's middle."""

    at: float
    content: Running | Picture | None
    role: str = "TD"
    scope: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """Cells side by side with a thin rule beneath; `over` draws one above too.

    `role` is TR for a table, LI in a list.
    """

    cells: tuple[Cell, ...]
    width: float
    under: Element
    role: str = "TR"
    pad: float = 6
    gap: float = 0
    keep: bool = False
    over: bool = False
    rule: float = 0.6

    @property
    def height(self) -> float:
        """As Piece."""
        return max((c.content.height for c in self.cells if isinstance(c.content, Running)), default=0) + 2 * self.pad

    def draw(self, pen: Pen, left: float, top: float) -> None:
        """As Piece."""
        with pen.tags.artifact():
            pen.canvas.setLineWidth(self.rule)
            for line in ((top,) if self.over else ()) + ((top - self.height,) if self.rule else ()):
                pen.canvas.line(left, line, left + self.width, line)
        with pen.tags.under(self.under), pen.tags.inside(self.role):
            for cell in self.cells:
                self._cell(pen, cell, left + cell.at, top)

    def _cell(self, pen: Pen, cell: Cell, left: float, top: float) -> None:
        if isinstance(cell.content, Running):
            with pen.tags.leaf(cell.role, scope=cell.scope):
                cell.content.paragraph.drawOn(pen.canvas, left, top - self.pad - cell.content.height)
        elif cell.content is not None:
            with pen.tags.leaf("Figure", alt=said(cell.content, pen.language)):
                draw(pen.canvas, cell.content, left, top - self.height / 2, pen.language)

    def split(self, room: float) -> tuple[Piece, Piece] | None:
        """As Piece."""
        within, first, rest = room - 2 * self.pad, [], []
        for cell in self.cells:
            if not isinstance(cell.content, Running):
                first.append(cell)
            elif cell.content.height <= within:
                first.append(cell)
                rest.append(replace(cell, content=None))
            else:
                parts = cell.content.split(within)
                if parts is None:
                    return None
                first.append(replace(cell, content=parts[0]))
                rest.append(replace(cell, content=parts[1]))
        return replace(self, cells=tuple(first), rule=0), replace(self, cells=tuple(rest), gap=0, over=False)


@dataclass(frozen=True, slots=True)
class Frame:
    """Pieces inside one heavy frame; with `banner` its head is white on black."""

    inner: tuple[Running, ...]
    width: float
    banner: Running | None = None
    weight: float = 2.2
    pad: float = 11
    gap: float = 14
    keep: bool = False

    @property
    def _head(self) -> float:
        return self.banner.height + self.pad if self.banner else 0

    @property
    def height(self) -> float:
        """As Piece."""
        return self._head + 2 * self.pad + sum(p.height + (p.gap if n else 0) for n, p in enumerate(self.inner))

    def draw(self, pen: Pen, left: float, top: float) -> None:
        """As Piece."""
        with pen.tags.artifact():
            pen.canvas.setLineWidth(self.weight)
            pen.canvas.rect(left, top - self.height, self.width, self.height, stroke=1, fill=0)
            if self.banner:
                pen.canvas.rect(left, top - self._head, self.width, self._head, stroke=0, fill=1)
        with pen.tags.inside("Sect"):
            if self.banner:
                self.banner.draw(pen, left + self.pad, top - self.pad / 2)
            low = top - self._head - self.pad
            for at, piece in enumerate(self.inner):
                low -= piece.gap if at else 0
                piece.draw(pen, left + self.pad, low)
                low -= piece.height

    def split(self, room: float) -> tuple[Piece, Piece] | None:
        """As Piece: between its pieces, or within one that alone is longer than the room."""
        left_over, fits = room - self._head - 2 * self.pad, 0
        for at, piece in enumerate(self.inner):
            needed = piece.height + (piece.gap if at else 0)
            if needed > left_over:
                break
            left_over, fits = left_over - needed, fits + 1
        inner, rest = self.inner[:fits], self.inner[fits:]
        if fits == 0 or (rest and rest[0].height > room):
            parts = rest[0].split(left_over) if rest else None
            if parts is None and fits == 0:
                return None
            if parts is not None:
                inner, rest = (*inner, parts[0]), (parts[1], *rest[1:])
        if rest and inner[-1].keep:
            return None  # a name does not stay behind without what it names
        return replace(self, inner=inner), replace(self, inner=rest, banner=None, gap=0)


@dataclass(frozen=True, slots=True)
class Free:
    """Something drawn by its own hand, in one piece."""

    height: float
    by: Callable[[Pen, float, float], None]
    gap: float = 0
    keep: bool = False
    parts: Sequence[Piece] = field(default_factory=tuple)

    def draw(self, pen: Pen, left: float, top: float) -> None:
        """As Piece."""
        self.by(pen, left, top)

    def split(self, room: float) -> tuple[Piece, Piece] | None:  # noqa: ARG002 - the protocol's signature
        """As Piece: never."""
        return None
