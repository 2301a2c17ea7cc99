"""The weights of a baby's body as they stand, birth weight first, each with where it is known from.

Weights struck out are never read. Weights around a feed are no weights of the body: they are only counted. A weight
for which two values stand keeps both.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from itertools import product
from types import MappingProxyType

from forms.answers import Conflicted, Given, Moment, Quantity, every, known
from forms.chart import Chart, Entry
from forms.clinical.evidence import counts_here, time_of
from forms.people import InfantIdentity
from forms.practice import Practice
from forms.units import shown
from forms.weight import WeightReading, is_around_feed

__all__ = ["Known", "LeftOut", "Weighing", "usual_unit", "weighings"]

DRESSED: Mapping[str, str] = MappingProxyType({"clothes": "in clothes", "unknown": "clothes not known"})


class Known(StrEnum):
    """Where a weight is known from: each has a shape of its own in a picture."""

    BIRTH = "birth"
    SEEN = "seen"
    TOLD = "told"
    DOCUMENT = "document"
    UNSAID = "unsaid"


@dataclass(frozen=True, slots=True)
class Weighing:
    """One weight of the body, unresolved values and all. `taken` is a date where only a birth day is known.

    `who` weighed it, told it, or the document it was read in; `author` is the id of the practitioner who wrote it down;
    `dressed` and `repeat` (a second reading) are what else was written with it.
    """

    entry: str
    weight: Given[Quantity]
    taken: Given[Moment] | date
    known: Known
    author: str
    who: str = ""
    dressed: tuple[str, ...] = ()
    repeat: tuple[Quantity, ...] = ()

    @property
    def unresolved(self) -> bool:
        """Whether two values stand for the weight or its time."""
        return isinstance(self.weight, Conflicted) or isinstance(self.taken, Conflicted)

    def pairs(self) -> Iterator[tuple[Quantity, Moment]]:
        """Every weight and time that may hold."""
        if not isinstance(self.taken, date):
            yield from product(every(self.weight), every(self.taken))

    def dated(self) -> Iterator[tuple[Quantity, Moment | date]]:
        """Every weight and time that may hold, the birth weight also where only the day of birth is known."""
        if isinstance(self.taken, date):
            yield from ((weight, self.taken) for weight in every(self.weight))
        else:
            yield from self.pairs()

    @property
    def first(self) -> datetime | None:
        """The earliest time that may hold (aware); None without a time."""
        return min((at.at for _, at in self.pairs()), default=None)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What stands in no line: weights around feeds, after the visit looked at, without a time, before the birth."""

    around_feeds: int = 0
    later: int = 0
    untimed: tuple[Weighing, ...] = ()
    before_birth: tuple[Weighing, ...] = ()

    def words(self, unit: str) -> tuple[str, ...]:
        """One sentence for each kind there is; amounts in `unit`."""
        said = []
        if self.around_feeds:
            is_no = "is no weight" if self.around_feeds == 1 else "are no weights"
            said.append(f"{_many(self.around_feeds)} around a feed {is_no} of the body and not counted here.")
        for found, lacks in ((self.untimed, "without a time"), (self.before_birth, "timed before the birth")):
            amounts = ", ".join(shown(q.base, unit) for one in found for q in every(one.weight))
            if found:
                said.append(f"{_many(len(found))} {lacks}, in no line: {amounts}.")
        if self.later:
            was = "was" if self.later == 1 else "were"
            said.append(f"{_many(self.later)} {was} taken after this visit and not shown with it.")
        return tuple(said)


def _many(number: int) -> str:
    return "1 weight" if number == 1 else f"{number} weights"


def weighings(chart: Chart, baby: str, now: datetime) -> tuple[tuple[Weighing, ...], LeftOut]:
    """The weights of a baby's body by time, birth weight first, up to the chart's visit if it has one; and the rest.

    `now` is aware. A weight not written yet is nothing and is in neither.
    """
    at = time_of(chart, now)
    kept, untimed, early, around, later = [], [], [], 0, 0
    identity, birth = chart.person(InfantIdentity, baby), _birth(chart, baby)
    for entry in chart.all(WeightReading, baby):
        found = _weighing(entry)
        if not every(found.weight):
            continue
        if is_around_feed(entry.answers):
            around += 1
        elif found.first is None:
            untimed.append(found)
        elif chart.visit is not None and not counts_here(chart, entry, found.first, at, now):
            later += 1
        elif _before(found, identity):
            early.append(found)
        else:
            kept.append(found)
    kept.sort(key=lambda one: (one.first, one.entry))
    if birth is not None and birth.taken is None:
        untimed.insert(0, birth)
    elif birth is not None:
        kept.insert(0, birth)
    return tuple(kept), LeftOut(around, later, tuple(untimed), tuple(early))


def _before(found: Weighing, baby: InfantIdentity) -> bool:
    """Whether every time of a weight lies before every time, or without one every day, of the birth."""
    times = [at for _, at in found.pairs()]
    born, days = [at.at for at in every(baby.born)], every(baby.born_day)
    if born:
        return all(at.at < min(born) for at in times)
    return bool(days) and all(at.local().date() < min(days) for at in times)


def _weighing(entry: Entry[WeightReading]) -> Weighing:
    kept = entry.answers
    sources = every(kept.source)
    how = Known(sources[0]) if len(sources) == 1 and sources[0] in ("seen", "told", "document") else Known.UNSAID
    said = {Known.TOLD: kept.told_by, Known.DOCUMENT: kept.document}.get(how, kept.by_whom)
    dressed = tuple(DRESSED[state] for state in every(kept.state) if state in DRESSED)
    who = " or ".join(every(said))
    return Weighing(entry.id, kept.weight, kept.taken, how, entry.author, who, dressed, every(kept.repeat))


def _birth(chart: Chart, baby: str) -> Weighing | None:
    """The birth weight at the birth; with the birth day alone where no time is known, and None for neither."""
    entry = chart.by_id(baby)
    if entry is None or not isinstance(entry.answers, InfantIdentity) or not every(entry.answers.birth_weight):
        return None
    born, born_day = entry.answers.born, entry.answers.born_day
    taken: Given[Moment] | date = born if every(born) else None
    if taken is None and not isinstance(born_day, Conflicted):
        taken = known(born_day)
    return Weighing(baby, entry.answers.birth_weight, taken, Known.BIRTH, entry.author)


def usual_unit(chart: Chart) -> str:
    """The unit in which this family was last weighed, else the practice's own, else "g"."""
    typed = [quantity.unit for entry in chart.all(WeightReading) for quantity in every(entry.answers.weight)]
    practice = [unit for entry in chart.all(Practice) for unit in every(entry.answers.weight_unit)]
    return (typed[-1:] or practice[:1] or ["g"])[0]
