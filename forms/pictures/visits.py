"""The visits a picture over time reaches back to: this one and those before it, in their order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from forms.answers import Moment
from forms.chart import Chart
from forms.clinical.evidence import time_of, zone_of
from forms.days import clock, short_day
from forms.taking_part import earlier_visits
from forms.visit import Visit

__all__ = ["Seen", "day_and_time", "day_words", "or_words", "visits_seen"]


@dataclass(frozen=True, slots=True)
class Seen:
    """A visit: its id, and the time at which what was told there stood."""

    visit: str
    at: Moment


def visits_seen(chart: Chart, now: datetime) -> tuple[Seen, ...]:
    """The chart's visit and all that began before it; between visits every one there is. The oldest comes first."""
    ids = (*earlier_visits(chart), chart.visit) if chart.visit else tuple(entry.id for entry in chart.all(Visit))
    zone = zone_of(chart)
    found = [Seen(visit, Moment(time_of(replace(chart, visit=visit), now), zone)) for visit in ids]
    return tuple(sorted(found, key=lambda seen: (seen.at.at, seen.visit)))


def day_words(moment: Moment) -> str:
    """The day without its year, for a picture: "3 Mar"."""
    return short_day(moment.local()).rsplit(" ", 1)[0]


def day_and_time(moment: Moment) -> str:
    """The day without its year, and the time: "3 Mar, 14:02"."""
    return f"{day_words(moment)}, {clock(moment.local())}"


def or_words(values: tuple[object, ...]) -> str:
    """Values of which only one can hold: "unresolved: 4 or 6"."""
    return f"unresolved: {' or '.join(map(str, values))}" if values else "unresolved"
