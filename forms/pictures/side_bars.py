"""How the picture of milk by side is drawn: for each feed or session a line of words, and a bar to either side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import groupby
from typing import Final

from forms.answers import Moment, Side
from forms.figure import NOTHING
from forms.pictures.drawing import Anchor, Area, Drawing, Filling, Ink, Line, Part, Table, Word, box
from forms.pictures.keys import Sign, half_moon, key, swatch
from forms.pictures.measure import wrapped
from forms.pictures.visits import day_and_time

__all__ = ["COLUMNS", "SPINE", "Amount", "Kind", "Time", "draw_sides", "mm_per_mL"]

COLUMNS: Final = ("When", "Left", "Right", "How")
SPINE: Final = 0.6
"""mm from the middle of the picture to the beginning of a bar."""
_OUTER: Final = 24.0  # mm kept free beyond the longest bar for its words
_BAR, _LINE = 4.6, 6.2
_WORDS, _HEAD = 3.7, 3.9


class Kind(Enum):
    """How an amount is known: ink and filling of its bar."""

    WEIGHED = (Ink.WOAD, Filling.LIGHT)
    EXPRESSED = (Ink.ELDER, Filling.HATCH)


@dataclass(frozen=True, slots=True)
class Amount:
    """One amount of a side in mL, or those of which one can hold, or none; what is said of it, and that in short."""

    values: tuple[int, ...]
    text: str
    short: str
    void: bool = False
    unresolved: bool = False


@dataclass(frozen=True, slots=True)
class Time:
    """One weighed feed or one session: whose sides, when, what it was, and the amounts of each side."""

    feeder: str
    at: Moment
    what: str
    kind: Kind
    left: tuple[Amount, ...]
    right: tuple[Amount, ...]
    whole: str = ""

    def on(self, side: Side) -> tuple[Amount, ...]:
        """The amounts of that side."""
        return self.left if side is Side.LEFT else self.right

    def words(self, side: Side) -> str:
        """All that is said of that side; a dash where nothing is known of it."""
        return "; ".join(amount.text for amount in self.on(side)) or NOTHING

    def cells(self) -> tuple[str, ...]:
        """It as a row of the table."""
        how = f"{self.feeder}: {self.what}" + (f"; {self.whole}" if self.whole else "")
        return day_and_time(self.at), self.words(Side.LEFT), self.words(Side.RIGHT), how


def mm_per_mL(times: Sequence[Time], wide: float) -> float:  # noqa: N802 - the unit as it is written
    """Mm of bar for each mL: the same for both sides and all times."""
    amounts = [abs(value) for time in times for side in Side for amount in time.on(side) for value in amount.values]
    return (wide / 2 - SPINE - _OUTER) / max([1, *amounts])


def draw_sides(title: str, sentence: str, times: Sequence[Time], sources: tuple[str, ...], wide: float) -> Drawing:
    """The picture `wide` mm across; `times` come feeder by feeder, each from the oldest on."""
    unit, parts = mm_per_mL(times, wide), list[Part]()
    top, row = 0.0, 0
    for feeder, held in groupby(times, key=lambda time: time.feeder):
        head = _heads(feeder, wide, top)
        parts += head
        top += 9.0
        for time in held:
            drawn, top = _time(time, row, wide, top, unit)
            parts += drawn
            row += 1
        top += 2.0
    words, tall = key(_key(times), 0, top, wide)
    table = Table(COLUMNS, tuple(time.cells() for time in times))
    return Drawing(title, sentence, wide, top + tall, (*parts, *words), table, sources)


def _heads(feeder: str, wide: float, top: float) -> list[Part]:
    """Whose sides they are, beside the two half-moons."""
    middle, parts = wide / 2, list[Part]()
    for side, at, anchor in ((Side.LEFT, middle - 4.6, Anchor.END), (Side.RIGHT, middle + 4.6, Anchor.START)):
        parts.append(Area(half_moon(middle, top + 3.4, side, 2.6), Ink.INK))
        parts.append(Word(at, top + 4.8, f"{feeder}’s {side}", _HEAD, anchor=anchor, strong=True))
    return parts


def _time(time: Time, row: int, wide: float, top: float, unit: float) -> tuple[list[Part], float]:
    parts: list[Part] = []
    said = f"{day_and_time(time.at)}, {time.what}" + (f"; {time.whole}" if time.whole else "")
    for line in wrapped(said, wide - 8, _WORDS):
        parts.append(Word(wide / 2, top + _WORDS, line, _WORDS, Ink.SOFT, Anchor.MIDDLE, row=row))
        top += _WORDS * 1.35
    top += 1.2
    for side in Side:
        for place, amount in enumerate(time.on(side) or (Amount((), NOTHING, NOTHING),)):
            parts += _bar(amount, side, time.kind, row, wide / 2, top + place * _LINE, unit)
    foot = top + max(len(time.left), len(time.right), 0 if time.whole else 1) * _LINE
    parts.append(Line(((wide / 2, top - 0.8), (wide / 2, foot)), Ink.EDGE, 0.3))
    return parts, foot + 2.2


def _bar(amount: Amount, side: Side, kind: Kind, row: int, middle: float, top: float, unit: float) -> list[Part]:
    """A bar from the spine outward with its words; nothing is drawn of an amount that is not above zero."""
    way = -1 if side is Side.LEFT else 1
    parts: list[Part] = []
    ink, filling = kind.value
    each = _BAR / max(len(amount.values), 1)
    for place, value in enumerate(amount.values):
        long = max(value, 0) * unit
        begin = middle + way * SPINE
        steps = box(min(begin, begin + way * long), top + place * each, long, each * (0.9 if amount.unresolved else 1))
        if amount.void or amount.unresolved:
            parts.append(Area(steps, Ink.INK, Filling.NONE, 0.35, row))
        else:
            parts.append(Area(steps, ink, filling, 0.4, row))
    end = middle + way * (SPINE + max([0, *amount.values]) * unit)
    if amount.void:
        y = top + _BAR / 2
        parts.append(Line(((middle + way * SPINE, y), (end + way * 1.2, y)), Ink.INK, 0.6, row=row))
    anchor = Anchor.END if side is Side.LEFT else Anchor.START
    strong = any(value > 0 for value in amount.values) and not amount.void and not amount.unresolved
    tall = _HEAD if strong else _WORDS
    parts.append(Word(end + way * 2.2, top + _BAR * 0.8, amount.short, tall, Ink.INK, anchor, strong, row))
    return parts


def _key(times: Sequence[Time]) -> list[tuple[Sign, str]]:
    amounts = [amount for time in times for side in Side for amount in time.on(side)]
    found = [
        (swatch(*kind.value), words)
        for kind, words in ((Kind.WEIGHED, "weighed at a feed"), (Kind.EXPRESSED, "expressed"))
        if any(time.kind is kind for time in times)
    ]
    if any(amount.void for amount in amounts):
        found.append((_struck, "void: not counted"))
    if any(amount.unresolved and amount.values for amount in amounts):
        found.append((swatch(Ink.INK, Filling.NONE), "two values stand: unresolved"))
    return found


def _struck(x: float, y: float) -> tuple[Part, ...]:
    return (
        Area(box(x - 3, y - 1.6, 6, 3.2), Ink.INK, Filling.NONE, 0.3),
        Line(((x - 3, y), (x + 3.4, y)), Ink.INK, 0.6),
    )
