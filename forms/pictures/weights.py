"""What a view of growth is made of: its picture, its tables, and the words of one weighing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from forms.answers import Moment, Quantity
from forms.days import moment_words, short_day
from forms.pictures.plot import Dot, Picture
from forms.pictures.whose import Whose
from forms.units import UNITS, alone, shown
from forms.weighings import Known, Weighing

__all__ = [
    "KEYS",
    "Twin",
    "View",
    "amount",
    "count",
    "dot",
    "known",
    "mark",
    "runs",
    "sentence",
    "torn",
    "when",
]

DOTS = MappingProxyType({
    Known.SEEN: Dot.FULL, Known.TOLD: Dot.RING, Known.DOCUMENT: Dot.PAGE, Known.BIRTH: Dot.EYED,
    Known.UNSAID: Dot.CROSS,
})  # fmt: skip
KEYS = MappingProxyType({
    Dot.EYED: "birth weight", Dot.FULL: "seen on the scale", Dot.RING: "told by the family",
    Dot.PAGE: "read in a document", Dot.CROSS: "not written where from", Dot.NOTCHED: "unresolved: one of two values",
})  # fmt: skip
"""What each shape means, in the order in which the shapes are explained."""


@dataclass(frozen=True, slots=True)
class Twin:
    """A table in words; the column `strong` stands out."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    strong: int = 1


@dataclass(frozen=True, slots=True)
class View:
    """One view, named by its key: its title, its picture, the tables that hold the same figures, notes, and sources.

    `keys` says which shapes stand in the picture and what each means.
    """

    key: str
    title: str
    picture: Picture
    tables: tuple[Twin, ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...] = ()

    @property
    def keys(self) -> tuple[tuple[Dot, str], ...]:
        """The shapes in the picture, with their meaning."""
        used = {mark.dot for mark in self.picture.marks}
        return tuple((dot, words) for dot, words in KEYS.items() if dot in used)


# --- words of one weighing ------------------------------------------------------------------------------------------


def when(taken: Moment | date) -> str:
    """A moment in its own zone, or a day without a time."""
    return f"{short_day(taken)}, time not known" if isinstance(taken, date) else moment_words(taken)


def amount(weight: Quantity, unit: str) -> str:
    """The weight with its other unit, and as typed where that was in another unit than the one shown."""
    words = shown(weight.base, unit)
    if weight.unit == unit or weight.unit not in UNITS:
        return words
    symbol = "" if any(c.isalpha() for c in weight.typed) else f" {UNITS[weight.unit].symbol}"
    return f"{words}, typed {weight.typed}{symbol}"


def known(weighing: Weighing, unit: str, whose: Whose) -> str:
    """Where a weight is known from, in what the baby was weighed, and who wrote it down."""
    by = weighing.who
    said = [
        {
            Known.BIRTH: "birth weight",
            Known.SEEN: f"seen on the scale, weighed by {by}" if by else "seen on the scale",
            Known.TOLD: f"told by {by}" if by else "told by the family",
            Known.DOCUMENT: f"read in {by}" if by else "read in a document",
            Known.UNSAID: "not written where it is known from",
        }[weighing.known]
    ]
    said += weighing.dressed
    said += [f"second reading {alone(second.base, unit)}" for second in weighing.repeat]
    author = whose.author(weighing.author)
    return ", ".join((*said, f"written down by {author}") if author else said)


def mark(held: str, *, unresolved: bool) -> str:
    """The words of a figure that is one of two."""
    return f"unresolved: {held}" if unresolved else held


def dot(weighing: Weighing, *, unresolved: bool) -> Dot:
    """The shape of a point."""
    return Dot.NOTCHED if unresolved else DOTS[weighing.known]


def runs(held: Sequence[bool]) -> tuple[tuple[int, ...], ...]:
    """The places that a line may join: runs of resolved points; an unresolved one breaks the line."""
    runs: list[list[int]] = [[]]
    for place, resolved in enumerate(held):
        if resolved:
            runs[-1].append(place)
        elif runs[-1]:
            runs.append([])
    return tuple(tuple(run) for run in runs if len(run) > 1)


def count(number: int, what: str) -> str:
    """A number of things: "1 weight", "2 weights"."""
    return f"1 {what}" if number == 1 else f"{number} {what}s"


def sentence(words: str) -> str:
    """The words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


def torn(number: int) -> str:
    """What is said of weights for which two values stand; "" without any."""
    return f" {number} unresolved: both values are shown, and neither counts until one is settled." if number else ""
