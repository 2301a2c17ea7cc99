"""Practice figures: counts over a period, each declared once with what it counts, out of what, and what is missing.

A figure looks at cases (a visit, a letter, a baby). Each case is a yes, a no, missing (nobody answered, or deliberately
not), or in dispute (two answers stand). A missing or disputed answer is in neither number of a share: it is told beside
it and never counted as a no. Struck entries are no cases. No figure holds a name.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any, TypeVar

from forms.answers import Absent, Conflicted, Given, Moment
from forms.chart import Chart

__all__ = [
    "SMALL", "Answer", "Case", "Counted", "Figure", "Of", "Period", "Spread", "certain", "counted", "day_of",
    "in_period", "median",
]  # fmt: skip

SMALL = 5
"""Numbers below it are not told outside (trade D1, common practice, no source)."""

T = TypeVar("T")


class Answer(StrEnum):
    """What one case says to the question of a figure."""

    YES = "yes"
    NO = "no"
    MISSING = "missing"
    DIFFERS = "differs"


@dataclass(frozen=True, slots=True)
class Period:
    """From one day to another, both included."""

    first: date
    last: date

    def holds(self, day: date) -> bool:
        """Whether a day is in it."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Of:
    """What a figure is worked out of: every family's chart, the period, and the moment it is asked for (aware)."""

    charts: tuple[Chart, ...]
    period: Period
    now: datetime

    @property
    def today(self) -> date:
        """The day it is asked for, where `now` was said."""
        return self.now.date()


Case = Answer | int | str
"""An answer; of a median the whole number that was found, and of words the word a case falls under."""


class Spread(StrEnum):
    """What a figure tells of its cases."""

    COUNT = "count"
    SHARE = "share"
    MEDIAN = "median"
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: its label, what it means in full, how it is told, and its cases.

    `unit`: of a median. `words`: those that are told also where no case falls under them, in their order.
    """

    code: str
    label: str
    means: str
    tells: Spread
    cases: Callable[[Of], Iterable[Case]]
    unit: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Counted:
    """A figure worked out: how many cases said yes and no, are missing or in dispute.

    `numbers` are those of a median, `under` how many cases fall under each word, the most first.
    """

    figure: Figure
    yes: int
    no: int
    missing: int
    differs: int
    numbers: tuple[int, ...] = ()
    under: tuple[tuple[str, int], ...] = ()

    @property
    def out_of(self) -> int:
        """The denominator: cases with one certain answer."""
        match self.figure.tells:
            case Spread.MEDIAN:
                return len(self.numbers)
            case Spread.WORDS:
                return sum(number for _word, number in self.under)
            case _:
                return self.yes + self.no

    def words(self) -> str:
        """The figure as the practice itself sees it."""
        match self.figure.tells:
            case Spread.COUNT:
                return str(self.yes)
            case Spread.SHARE:
                return f"{self.yes} of {self.out_of}" if self.out_of else "none to count"
            case Spread.MEDIAN:
                if not self.numbers:
                    return "none to count"
                low, high = min(self.numbers), max(self.numbers)
                return f"median {median(self.numbers)}{self.figure.unit} ({low} to {high}), of {self.out_of}"
            case Spread.WORDS:
                told = ", ".join(f"{word} {number}" for word, number in self.under)
                return f"{told}, of {self.out_of}" if self.out_of else "none to count"

    def words_outside(self) -> str:
        """The figure as it leaves the practice: no number below `SMALL`, on either side of a share, and no extremes."""
        few = f"fewer than {SMALL}"
        match self.figure.tells:
            case Spread.COUNT:
                return _outside(self.yes)
            case Spread.SHARE:
                if self.out_of < SMALL:
                    return f"out of {few}"
                if self.no < SMALL <= self.yes:
                    return f"all but {few}, of {self.out_of}"
                return f"{_outside(self.yes)} of {self.out_of}"
            case Spread.MEDIAN:
                if self.out_of < SMALL:
                    return f"out of {few}"
                return f"median {median(self.numbers)}{self.figure.unit}, of {self.out_of}"
            case Spread.WORDS:
                return f"{self._under_outside()}, of {self.out_of}" if self.out_of >= SMALL else f"out of {few}"

    def _under_outside(self) -> str:
        """The words with five cases or more; a rest below five cannot be worked out from those that are told."""
        many = [(word, number) for word, number in self.under if number >= SMALL]
        rest = self.out_of - sum(number for _word, number in many)
        least = min(many, key=lambda one: one[1], default=None) if rest < SMALL else None
        if least is not None and least[1] + rest == SMALL:  # "5 or more" would say that there is no rest
            many.remove(least)
            rest, least = SMALL, None
        told = (f"{one[0]} {SMALL} or more" if one == least else f"{one[0]} {one[1]}" for one in many)
        return ", ".join((*told, f"all others {_outside(rest)}"))

    def lacking(self) -> str:
        """How many cases have no answer, and of how many two stand."""
        return f"{self.missing} missing" + (f", {self.differs} in dispute" if self.differs else "")

    def lacking_outside(self) -> str:
        """The same for outside, missing and disputed together."""
        return _outside(self.missing + self.differs)


def _outside(number: int) -> str:
    return str(number) if number >= SMALL else f"fewer than {SMALL}"


def median(numbers: Iterable[int]) -> str:
    """The middle number; between two middle ones their mean, which is whole or a half, exactly."""
    row = sorted(numbers)
    middle = len(row) // 2
    if len(row) % 2:
        return str(row[middle])
    twice = row[middle - 1] + row[middle]
    return f"{twice // 2}.5" if twice % 2 else str(twice // 2)


def counted(figure: Figure, of: Of) -> Counted:
    """A figure worked out over charts and a period."""
    found = list(figure.cases(of))
    numbers = tuple(sorted(one for one in found if isinstance(one, int)))
    said = Counter(one for one in found if isinstance(one, Answer))
    words = Counter(one for one in found if isinstance(one, str) and not isinstance(one, Answer))
    listed = [(word, words.pop(word, 0)) for word in figure.words]
    return Counted(
        figure, said[Answer.YES], said[Answer.NO], said[Answer.MISSING], said[Answer.DIFFERS], numbers,
        (*listed, *sorted(words.items(), key=lambda one: (-one[1], one[0]))),
    )  # fmt: skip


# --- what figures are made with -------------------------------------------------------------------------------------


def certain(given: Given[T]) -> T | Answer:
    """The one value that stands, or why there is none: `MISSING` or `DIFFERS`."""
    if isinstance(given, Conflicted):
        return Answer.DIFFERS
    if given is None or isinstance(given, Absent):
        return Answer.MISSING
    return given


def day_of(given: Given[Moment]) -> date | Answer:
    """The local day of a moment, or why there is none; a dispute within one day is none about the day."""
    if isinstance(given, Conflicted):
        values = [one.value for one in given.variants]
        days = {one.local().date() if isinstance(one, Moment) else None for one in values}
        (only, *others) = days
        return only if only is not None and not others else Answer.DIFFERS
    found: Any = certain(given)
    return found.local().date() if isinstance(found, Moment) else found


def in_period(of: Of, days: Iterable[date | Answer]) -> Iterator[Answer]:
    """For a count: a yes for each day in the period; a case without a certain day is told, since it may belong."""
    for day in days:
        if isinstance(day, Answer):
            yield day
        elif of.period.holds(day):
            yield Answer.YES
