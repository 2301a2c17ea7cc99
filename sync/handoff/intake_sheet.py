"""Draws the sheet a family fills in before the visit: tagged, black on white, to be typed into or printed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from io import BytesIO
from typing import Final

from forms.ask import Kind
from forms.papers.intake import PARTS, Asked, Intake, Part, asked, how_to_answer
from forms.papers.outline import strong
from sync.handoff.drawn import box, say, width_of
from sync.handoff.faces import TEXT, TITLE
from sync.handoff.letter import MARGIN, PAGES
from sync.handoff.pages import Pages
from sync.handoff.pieces import Frame, Free, Pen, Piece, text
from sync.handoff.tags import About, Tags, finish
from sync.handoff.widgets import Fillable, Takes, with_widgets

__all__ = ["write_intake"]

_SIZE: Final = 11.0
_SMALL: Final = 9.0
_LINE: Final = 22.0
_LINES: Final = 58.0
_TICK: Final = 12.0
_ROW: Final = 21.0
_BETWEEN: Final = 20.0


@dataclass(slots=True)
class _Sheet:
    """The measures of the sheet, and the widgets drawn so far."""

    width: float
    pages: Pages | None = None
    fields: list[Fillable] = field(default_factory=list)

    def take(self, pen: Pen, one: Asked, where: tuple[float, float, float, float], code: str, words: str) -> None:
        """A widget there: its place in the structure now, the widget itself once the pages are drawn."""
        assert self.pages is not None
        tip = f"{one.label}: {words}" if words else one.label
        with pen.tags.inside("Form", alt=tip):
            pass
        several = one.ask.kind is Kind.TEXT
        takes = Takes.WORDS if not code else Takes.MARK if one.ask.kind is Kind.MANY else Takes.ONE
        name = f"{one.key}:{code}" if takes is Takes.MARK else one.key
        on = code if takes is Takes.ONE else "yes"
        self.fields.append(Fillable(self.pages.count - 1, where, name, takes, tip, on, several))


def _options(one: Asked) -> tuple[tuple[str, str], ...]:
    if one.ask.kind is Kind.YES_NO:
        return (("yes", "Yes"), ("no", "No"))
    return tuple(one.ask.options.items())


def _rows(one: Asked, width: float) -> list[list[tuple[str, str, float]]]:
    """The options in rows: code, words, and how far from the left each begins."""
    rows: list[list[tuple[str, str, float]]] = [[]]
    at = 0.0
    for code, words in _options(one):
        wide = _TICK + 6 + width_of(words, TEXT, _SIZE)
        if rows[-1] and at + wide > width:
            rows.append([])
            at = 0.0
        rows[-1].append((code, words, at))
        at += wide + 18
    return rows


def _question(sheet: _Sheet, one: Asked, width: float) -> Free:
    """A label, how to answer it, and the place for the answer, kept together on one page."""
    helping = how_to_answer(one.ask)
    head = [text(strong(one.label), width, _SIZE)]
    if helping:
        head.append(text(helping, width, _SMALL))
    rows = _rows(one, width) if _options(one) else []
    place = len(rows) * _ROW if rows else (_LINES if one.ask.kind is Kind.TEXT else _LINE) + 3
    tall = sum(piece.height for piece in head) + place

    def by(pen: Pen, left: float, top: float) -> None:
        low = top
        for piece in head:
            piece.draw(pen, left, low)
            low -= piece.height
        for row in rows:
            low -= _ROW
            for option in row:
                _tick(sheet, pen, one, left, low, option)
        if not rows:
            with pen.tags.artifact():
                pen.canvas.setLineWidth(0.8)
                pen.canvas.rect(left, low - place, width, place - 3, stroke=1, fill=0)
            sheet.take(pen, one, (left + 2, low - place + 1, left + width - 2, low - 4), "", "")

    return Free(tall, by, gap=9)


def _tick(sheet: _Sheet, pen: Pen, one: Asked, left: float, low: float, option: tuple[str, str, float]) -> None:
    """One option: its box, and its words beside it."""
    code, words, at = option
    with pen.tags.artifact():
        box(pen.canvas, left + at, low + 4, _TICK)
    sheet.take(pen, one, (left + at, low + 4, left + at + _TICK, low + 4 + _TICK), code, words)
    with pen.tags.leaf("P"):
        say(pen.canvas, left + at + _TICK + 6, low + 6, words, TEXT, _SIZE)


def _short(one: Asked) -> bool:
    return one.ask.kind is Kind.YES_NO or not (one.ask.options or one.ask.kind is Kind.TEXT)


def _beside(sheet: _Sheet, pair: tuple[Asked, ...]) -> Piece:
    """Short questions side by side, read from the left; any other over the whole width."""
    if len(pair) == 1 and not _short(pair[0]):
        return _question(sheet, pair[0], sheet.width)
    half = (sheet.width - _BETWEEN) / 2
    each = [_question(sheet, one, half) for one in pair]

    def by(pen: Pen, left: float, top: float) -> None:
        for at, question in enumerate(each):
            question.draw(pen, left + at * (half + _BETWEEN), top)

    return Free(max(question.height for question in each), by, gap=9)


def _pairs(part: Part) -> Iterator[tuple[Asked, ...]]:
    """The questions of a part in twos where both are short, in order."""
    waiting: Asked | None = None
    for one in asked(part):
        if waiting is not None and _short(one):
            yield waiting, one
            waiting = None
            continue
        if waiting is not None:
            yield (waiting,)
        waiting = one if _short(one) else None
        if waiting is None:
            yield (one,)
    if waiting is not None:
        yield (waiting,)


def _pieces(sheet: _Sheet, made: Intake) -> Iterator[list[Piece]]:
    """The sheet in pieces that stand together."""
    width = sheet.width
    head: list[Piece] = [text(made.title, width, 24, face=TITLE, leading=30, role="H1")]
    if made.practice:
        head.append(text(made.practice, width, _SIZE))
    yield head
    yield [Frame((text(strong(made.emergency), width - 22, _SIZE),), width, weight=2, gap=6)]
    for words in made.opening:
        yield [text(words, width, _SIZE, gap=5)]
    for part in PARTS:
        title: Piece = text(part.title, width, 14, face=TITLE, leading=18, role="H2", gap=14, keep=True)
        for at, pair in enumerate(_pairs(part)):
            question = _beside(sheet, pair)
            yield [title, question] if at == 0 else [question]
    yield [Frame((text(made.foot, width - 22, _SMALL),), width, weight=1, gap=12)]


def write_intake(made: Intake, *, at: datetime, page: str | None = None) -> bytes:
    """The sheet as a tagged PDF that can be filled, byte for byte the same for the same frame and time.

    `page` is "letter" or "a4"; without it the practice's own. Raises NoSuchLetter for a character no typeface has.
    """
    from reportlab.pdfgen.canvas import Canvas

    wide, tall = PAGES[page or made.page]
    counted = _Sheet(wide - 2 * MARGIN)
    counting = Pages(tall, MARGIN, lambda: None)
    for together in _pieces(counted, made):
        counting.put(together)
    out = BytesIO()
    canvas = Canvas(out, pagesize=(wide, tall), invariant=1, pageCompression=1)
    tags = Tags(canvas)
    sheet = _Sheet(wide - 2 * MARGIN)

    def number() -> None:
        line = f"{made.title}, page {pages.count} of {counting.count}"
        with tags.artifact():
            say(canvas, wide - MARGIN - width_of(line, TEXT, _SMALL), MARGIN - 10, line, TEXT, _SMALL)

    def turn() -> None:
        number()
        canvas.showPage()

    pages = sheet.pages = Pages(tall, MARGIN, turn, Pen(canvas, tags, "en"))
    for together in _pieces(sheet, made):
        pages.put(together)
    number()
    canvas.save()
    about = About(made.title, made.practice, "en", at)
    return with_widgets(finish(out.getvalue(), tags.root, about, seal=None), sheet.fields)
