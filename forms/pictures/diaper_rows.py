"""How the picture of diapers is drawn: a column for each 24 hours, wet diapers above, stools below, days under them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final, TypeAlias

from forms.answers import Moment
from forms.figure import NOTHING, when
from forms.pictures.drawing import Anchor, Area, Drawing, Filling, Ink, Line, Part, Table, Weave, Word, box
from forms.pictures.keys import dash, key, swatch
from forms.pictures.measure import wide_of
from forms.pictures.visits import day_words, or_words

__all__ = ["BARS", "COLUMNS", "Counted", "Gap", "Record", "Slot", "draw_rows"]

COLUMNS: Final = ("Day of life", "24 hours until", "Wet", "Stools", "Known from")
BARS: Final = 21.0
"""The height in mm of the highest count or expected number of a panel."""
_LEFT: Final = 20.0  # mm for the names of the rows
_LEAST, _MOST = 8.2, 15.0  # mm of a column
_TALL, _LEAD = 3.7, 5.0
_WET, _STOOL = (Ink.WOAD, Filling.LIGHT), (Ink.ELDER, Filling.HATCH)


@dataclass(frozen=True, slots=True)
class Counted:
    """What stands for one count: nothing, one number, or several of which only one can hold."""

    values: tuple[int, ...] = ()
    unresolved: bool = False

    def words(self, things: str) -> str:
        """As a sentence says it: "5 wet", "stools not told"."""
        if self.unresolved:
            return f"{things} {or_words(self.values)}"
        if not self.values:
            return f"{things} not told"
        return f"{self.values[0]} {'stool' if things == 'stools' and self.values == (1,) else things}"

    @property
    def short(self) -> str:
        """As the picture says it: the number, a dash for not told, a question mark for unresolved."""
        return "?" if self.unresolved else str(self.values[0]) if self.values else NOTHING

    def cell(self, row: int | None, own: int | None) -> str:
        """As the table says it, with what is expected."""
        said = or_words(self.values) if self.unresolved else str(self.values[0]) if self.values else "not told"
        expected = f"; expected {row} or more" if row is not None else "; no row of the table"
        return said + expected + (f", own limit {own}" if own is not None and own != row else "")


@dataclass(frozen=True, slots=True)
class Record:
    """24 hours that were told of, or that a log holds. `row` and `own_limit` are (wet, stools) at least."""

    day: int | None
    until: Moment
    known_from: str
    wet: Counted
    stool: Counted
    row: tuple[int, int] | None
    own_limit: tuple[int, int] | None

    def cells(self) -> tuple[str, ...]:
        """The record as a row of the table."""
        rows, owns = self.row or (None, None), self.own_limit or (None, None)
        day = "not known" if self.day is None else str(self.day)
        how = "told" if self.known_from == "told" else "log"
        return day, when(self.until), self.wet.cell(rows[0], owns[0]), self.stool.cell(rows[1], owns[1]), how


@dataclass(frozen=True, slots=True)
class Gap:
    """Days of life, first and last, of which nothing is known."""

    first: int
    last: int

    @property
    def days(self) -> str:
        """The days as they stand under their place: one, or the first and the last."""
        return str(self.first) if self.first == self.last else f"{self.first}–{self.last}"

    def cells(self) -> tuple[str, ...]:
        """The gap as a row of the table."""
        days = str(self.first) if self.first == self.last else f"{self.first} to {self.last}"
        return days, NOTHING, "not told", "not told", NOTHING


Slot: TypeAlias = Record | Gap


@dataclass(frozen=True, slots=True)
class _Row:
    """One stretch of columns that fits across: the slots with their table rows, and the mm of a column."""

    slots: tuple[tuple[int, Slot], ...]
    column: float

    def middle(self, place: int) -> float:
        return _LEFT + (place + 0.5) * self.column

    @property
    def right(self) -> float:
        return _LEFT + len(self.slots) * self.column


def draw_rows(title: str, sentence: str, slots: Sequence[Slot], sources: tuple[str, ...], wide: float) -> Drawing:
    """The picture `wide` mm across; columns for which there is no room go on in another row beneath."""
    least = max(_LEAST, *(wide_of(_day_words(slot), _TALL) + 0.8 for slot in slots if isinstance(slot, Record)))
    stretches = ceil(len(slots) / int((wide - _LEFT) / least))
    fit = ceil(len(slots) / stretches)
    column = min((wide - _LEFT) / fit, _MOST)
    numbered = list(enumerate(slots))
    top, parts = 0.0, list[Part]()
    most = [_most(slots, place) for place in (0, 1)]
    for start in range(0, len(slots), fit):
        row = _Row(tuple(numbered[start : start + fit]), column)
        for place, name in ((0, "Wet diapers"), (1, "Stools")):
            drawn, top = _panel(row, place, name, most[place], top)
            parts += drawn
        drawn, top = _days(row, top)
        parts += drawn
    words, tall = key(_key(slots), 0, top, wide)
    table = Table(COLUMNS, tuple(slot.cells() for slot in slots))
    return Drawing(title, sentence, wide, top + tall, (*parts, *words), table, sources)


def _counts(slot: Slot, place: int) -> Counted:
    return (slot.wet, slot.stool)[place] if isinstance(slot, Record) else Counted()


def _most(slots: Sequence[Slot], place: int) -> int:
    """The highest number a panel has to hold."""
    found = [1]
    for slot in slots:
        found += _counts(slot, place).values
        if isinstance(slot, Record):
            found += [row[place] for row in (slot.row, slot.own_limit) if row is not None]
    return max(found)


def _panel(row: _Row, place: int, name: str, most: int, top: float) -> tuple[list[Part], float]:
    """One panel: its name, bars with the expected lines, the numbers under them; and where the next begins."""
    parts: list[Part] = [Word(0, top + 4.0, name, 3.9, strong=True)]
    foot = top + 6.5 + BARS
    parts.append(Line(((_LEFT, foot), (row.right, foot)), Ink.EDGE, 0.3))
    unit = BARS / most
    for at, (number, slot) in enumerate(row.slots):
        x = row.middle(at)
        if isinstance(slot, Gap):
            parts.append(Line(((x, foot - BARS * 0.6), (x, foot - 1)), Ink.EDGE, 0.45, Weave.DOTTED, number))
            continue
        parts += _bars(slot, place, number, x, row.column, foot, unit)
        parts += _expected(slot, place, number, x, row.column, foot, unit)
    base = foot + 4.4
    told, owned = _told, any(_own(slot, place) for _, slot in row.slots)
    for label, words, strong in (("counted", told, True), ("expected", _row_words, False), ("own limit", _own, False)):
        if label == "own limit" and not owned:
            continue
        parts.append(Word(0, base, label, _TALL, Ink.SOFT))
        parts += _numbers(row, place, words, base, strong=strong)
        base += _LEAD
    return parts, base - _LEAD + 3.2


def _bars(slot: Record, place: int, number: int, x: float, column: float, foot: float, unit: float) -> list[Part]:
    """The bar of a count; of a count that is not settled each value as an empty outline, none of them taken."""
    counted, wide = _counts(slot, place), column * 0.5
    ink, filling = (_WET, _STOOL)[place]
    if counted.unresolved:
        many = max(len(counted.values), 1)
        each = wide / many
        return [
            Area(box(x - wide / 2 + at * each, foot - value * unit, each * 0.86, value * unit), Ink.INK, Filling.NONE,
                 0.35, number)
            for at, value in enumerate(counted.values)
        ]  # fmt: skip
    return [
        Area(box(x - wide / 2, foot - value * unit, wide, value * unit), ink, filling, 0.4, number)
        for value in counted.values
    ]


def _expected(slot: Record, place: int, number: int, x: float, column: float, foot: float, unit: float) -> list[Part]:
    half, parts = column * 0.42, list[Part]()
    if slot.row is not None:
        y = foot - slot.row[place] * unit
        parts.append(Line(((x - half, y), (x + half, y)), Ink.INK, 0.8, row=number))
    if slot.own_limit is not None and _own(slot, place):
        y = foot - slot.own_limit[place] * unit
        parts.append(Line(((x - half, y), (x + half, y)), Ink.INK, 0.6, Weave.DASHED, number))
    return parts


def _told(slot: Slot, place: int) -> str:
    return _counts(slot, place).short if isinstance(slot, Record) else ""


def _row_words(slot: Slot, place: int) -> str:
    return f"{slot.row[place]}+" if isinstance(slot, Record) and slot.row is not None else ""


def _own(slot: Slot, place: int) -> str:
    if not isinstance(slot, Record) or slot.own_limit is None or slot.own_limit[place] == (slot.row or (0, 0))[place]:
        return ""
    return f"{slot.own_limit[place]}+"


def _numbers(
    row: _Row, place: int, words: Callable[[Slot, int], str], base: float, *, strong: bool
) -> list[Part]:  # fmt: skip
    ink = Ink.INK if strong else Ink.SOFT
    return [
        Word(row.middle(at), base, said, 4.0 if strong else _TALL, ink, Anchor.MIDDLE, strong, number)
        for at, (number, slot) in enumerate(row.slots)
        if (said := words(slot, place))
    ]


def _days(row: _Row, top: float) -> tuple[list[Part], float]:
    """The days of life under the columns, and how each is known."""
    base = top + 2.6
    parts: list[Part] = [
        Line(((0, top - 1.2), (row.right, top - 1.2)), Ink.EDGE, 0.25),
        Word(0, base, "day of life", _TALL, Ink.SOFT), Word(0, base + _LEAD, "known", _TALL, Ink.SOFT),
    ]  # fmt: skip
    for at, (number, slot) in enumerate(row.slots):
        ink = Ink.SOFT if isinstance(slot, Gap) else Ink.INK
        parts.append(Word(row.middle(at), base, _day_words(slot), _TALL, ink, Anchor.MIDDLE, row=number))
        if isinstance(slot, Record):
            parts.append(Word(row.middle(at), base + _LEAD, slot.known_from, _TALL, Ink.SOFT, Anchor.MIDDLE))
    return parts, base + _LEAD + 5.5


def _day_words(slot: Slot) -> str:
    """The day of life; the date where none is known."""
    if isinstance(slot, Gap):
        return slot.days
    return day_words(slot.until) if slot.day is None else str(slot.day)


def _key(slots: Sequence[Slot]) -> list[tuple[Callable[[float, float], tuple[Part, ...]], str]]:
    records = [slot for slot in slots if isinstance(slot, Record)]
    counts = [count for record in records for count in (record.wet, record.stool)]

    def sign(words: str) -> Callable[[float, float], tuple[Part, ...]]:
        return lambda x, y: (Word(x, y + 1.3, words, 4.0, Ink.INK, Anchor.MIDDLE, strong=True),)

    found = [(swatch(*_WET), "wet"), (swatch(*_STOOL), "stools")]
    if any(record.row for record in records):
        found.append((dash(Ink.INK, 0.8), "expected at least"))
    if any(record.own_limit for record in records):
        found.append((dash(Ink.INK, 0.6, Weave.DASHED), "the practice’s own limit"))
    if any(isinstance(slot, Gap) for slot in slots):
        found.append((dash(Ink.EDGE, 0.45, Weave.DOTTED), "days not told"))
    if any(not count.values and not count.unresolved for count in counts):
        found.append((sign(NOTHING), "not told"))
    if any(count.unresolved for count in counts):
        found.append((sign("?"), "two counts stand: unresolved, each as an outline"))
    return found
