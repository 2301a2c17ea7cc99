"""Episodes of care as the practice figures count them: a family's visits from the first, or a closing, to a closing.

An episode is no entry of its own. It follows from the visits and from the closings that were finished, so nothing is
kept twice; a visit belongs to it by its day.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from forms.chart import Chart, Entry
from forms.closing import Closing
from forms.people import InfantIdentity
from forms.practice_figures import Answer, Of, certain, day_of
from forms.visit import Visit

__all__ = ["Episode", "begun", "born_on", "closed_in", "ended_in", "first_day", "first_visit", "seen_in"]


@dataclass(frozen=True, slots=True)
class Episode:
    """An episode that was closed: its closing, and its visits, the earliest first.

    `unsure` says why the visits are not known for certain: one of the family's has no day, or two.
    """

    chart: Chart
    closing: Entry[Closing]
    visits: tuple[Entry[Visit], ...]
    unsure: Answer | None = None

    @property
    def babies(self) -> list[Entry[InfantIdentity]]:
        """The babies whose care ended; all of the family while that is not certain."""
        people = certain(self.closing.answers.covers)
        return [one for one in self.chart.all(InfantIdentity) if isinstance(people, Answer) or one.id in people]


def seen_in(of: Of, chart: Chart) -> list[Entry[Visit]]:
    """The visits of one family that certainly began in the period."""
    days = ((visit, day_of(visit.answers.start)) for visit in chart.all(Visit))
    return [visit for visit, day in days if isinstance(day, date) and of.period.holds(day)]


def _dated(chart: Chart) -> tuple[list[tuple[date, Entry[Visit]]], Answer | None]:
    """The visits with a certain day, the earliest first, and why others have none."""
    days = [(day_of(visit.answers.start), visit) for visit in chart.all(Visit)]
    unsure = next((day for day, _visit in days if isinstance(day, Answer)), None)
    dated = [(day, visit) for day, visit in days if isinstance(day, date)]
    return sorted(dated, key=lambda one: (one[0], _moment(one[1]), one[1].id)), unsure


def _moment(visit: Entry[Visit]) -> float:
    start = certain(visit.answers.start)
    return 0.0 if isinstance(start, Answer) else start.at.timestamp()


def first_day(chart: Chart) -> date | Answer | None:
    """The day of a family's first visit, why it is not certain, or None without a visit."""
    dated, unsure = _dated(chart)
    return unsure if unsure is not None else next((day for day, _visit in dated), None)


def first_visit(chart: Chart) -> Entry[Visit] | None:
    """The visit that began first, among those with a certain day."""
    dated, _unsure = _dated(chart)
    return next((visit for _day, visit in dated), None)


def born_on(baby: InfantIdentity) -> date | Answer:
    """The day of birth, by the time of birth or by the day where no time is known."""
    day = day_of(baby.born)
    return day if day is not Answer.MISSING else certain(baby.born_day)


def closed_in(of: Of) -> Iterator[tuple[Chart, Entry[Closing]]]:
    """The closings that were certainly finished in the period."""
    for chart in of.charts:
        for closing in chart.all(Closing):
            day = day_of(closing.answers.closed_at)
            if isinstance(day, date) and of.period.holds(day):
                yield chart, closing


def _ends(chart: Chart) -> list[tuple[date, Entry[Closing]]]:
    """The finished closings of a family with their days, the earliest first."""
    days = [(day_of(closing.answers.closed_at), closing) for closing in chart.all(Closing)]
    return sorted(((day, one) for day, one in days if isinstance(day, date)), key=lambda one: (one[0], one[1].id))


def _shares(one: Entry[Closing], other: Entry[Closing]) -> bool:
    """Whether two closings end the care of anybody in common; one that does not say whose ends that of all."""
    people, others = certain(one.answers.covers), certain(other.answers.covers)
    return isinstance(people, Answer) or isinstance(others, Answer) or not set(people).isdisjoint(others)


def ended_in(of: Of) -> Iterator[Episode]:
    """The episodes whose closing was finished in the period.

    A visit belongs from the day after an earlier closing of the same people to the day of the closing itself.
    """
    for chart, closing in closed_in(of):
        until = day_of(closing.answers.closed_at)
        earlier = [day for day, one in _ends(chart) if one.id != closing.id and _shares(one, closing)]
        since = max((day for day in earlier if isinstance(until, date) and day < until), default=date.min)
        dated, unsure = _dated(chart)
        visits = tuple(visit for day, visit in dated if isinstance(until, date) and since < day <= until)
        yield Episode(chart, closing, visits, unsure)


def begun(chart: Chart) -> Iterator[date | Answer]:
    """The days on which a family's care began: its first visit, and the first one after all its babies' care ended.

    While a visit has no certain day, none is certainly the first.
    """
    dated, unsure = _dated(chart)
    if unsure is not None:
        yield unsure
        return
    babies = {baby.id for baby in chart.all(InfantIdentity)}
    ends = [day for day, one in _ends(chart) if _whole(one, babies)]
    before: date | None = None
    for day, _visit in dated:
        if before is None or any(before <= end < day for end in ends):
            yield day
        before = day


def _whole(closing: Entry[Closing], babies: set[str]) -> bool:
    people = certain(closing.answers.covers)
    return isinstance(people, Answer) or babies <= set(people)
