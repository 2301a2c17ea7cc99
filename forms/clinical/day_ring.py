"""The ring of 24 hours: where each line of a log lies on a clock face that goes round once a day, midnight at the top.

Places and lengths are shares of a turn, clockwise from the top, made of elapsed time: an arc is as long as the time it
stands for even on a day on which the clocks change, and the gap's arc is the gap's own figure. The hours round the ring
are what the clocks of the place show.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from forms.clinical.feeding_log import DAY, NIGHT, DayLog
from forms.feeding_log import GIVEN_OTHERWISE, PUMPED

__all__ = ["LANES", "Arc", "DayRing", "Hour", "day_ring"]

LANES = ("left", "right", "given", "expressed")
"""The rings from the outside in: the feeder's left and right, milk given otherwise, milk expressed."""


@dataclass(frozen=True, slots=True)
class Arc:
    """A stretch of the ring: where it begins and how long it is, in turns. `share` 0 is a single moment."""

    start: Fraction
    share: Fraction
    lane: str = ""
    entry: str = ""

    def covers(self, turn: Fraction) -> bool:
        """Whether a place of the ring lies in it."""
        return (turn - self.start) % 1 <= self.share


@dataclass(frozen=True, slots=True)
class Hour:
    """An hour of the clock and its place on the ring."""

    hour: int
    turn: Fraction


@dataclass(frozen=True, slots=True)
class DayRing:
    """Arcs of the feeds and of expressing, diapers as moments, the nights, the longest gap, and the hours round it."""

    arcs: tuple[Arc, ...]
    wets: tuple[Arc, ...]
    stools: tuple[Arc, ...]
    nights: tuple[Arc, ...]
    gap: Arc | None
    hours: tuple[Hour, ...]
    begins: Fraction


def _lanes(kind: object) -> tuple[str, ...]:
    if kind == "both":
        return ("left", "right")
    if kind in ("left", "right"):
        return (str(kind),)
    if kind in GIVEN_OTHERWISE:
        return ("given",)
    return ("expressed",) if kind == PUMPED else ()


def day_ring(log: DayLog) -> DayRing:
    """The ring of a log's 24 hours. A gap of 24 hours or more goes all the way round."""
    zone = ZoneInfo(log.zone)
    first = log.start.astimezone(zone)
    days = [first.date() + timedelta(days=n) for n in range(-1, 3)]
    midnights = [datetime.combine(day, time(), zone) for day in days]
    top = next(at for at in midnights if _elapsed(log.start, at) >= timedelta(0))

    def turn(at: datetime) -> Fraction:
        return _share(_elapsed(top, at)) % 1

    arcs = tuple(
        Arc(turn(line.began), min(_share(line.last - line.began), Fraction(1)), lane, line.entry)
        for line in log.lines
        for lane in _lanes(line.line.kind)
    )
    nights = tuple(
        Arc(turn(begins), _share(_elapsed(begins, ends)))
        for day in days
        for begins, ends in [_clipped(datetime.combine(day, time(NIGHT[0]), zone),
                                      datetime.combine(day + timedelta(days=1), time(NIGHT[1]), zone), log)]
        if _elapsed(begins, ends) > timedelta(0)
    )  # fmt: skip
    gap = None
    if log.longest is not None and log.longest_gap is not None:
        gap = Arc(turn(log.longest[0].began), min(_share(log.longest_gap), Fraction(1)), entry=log.longest[1].entry)
    clock = [datetime.combine(day, time(hour), zone) for day in days for hour in range(0, 24, 3)]
    hours = [at for at in clock if timedelta(0) <= _elapsed(log.start, at) < DAY]
    return DayRing(
        arcs,
        tuple(Arc(turn(line.began), Fraction(0), entry=line.entry) for line in log.lines if line.line.wet is True),
        tuple(
            Arc(turn(line.began), Fraction(0), entry=line.entry)
            for line in log.lines
            if isinstance(line.line.stool, str) and line.line.stool != "none"
        ),
        nights,
        gap,
        tuple(Hour(at.hour, turn(at)) for at in hours),
        turn(log.start),
    )


def _elapsed(first: datetime, then: datetime) -> timedelta:
    """Real time between two aware times, whatever their zones' clocks did: their own zones would hide a change."""
    return timedelta(microseconds=round((then.timestamp() - first.timestamp()) * 1_000_000))


def _share(elapsed: timedelta) -> Fraction:
    return Fraction(elapsed // timedelta(microseconds=1), DAY // timedelta(microseconds=1))


def _clipped(begins: datetime, ends: datetime, log: DayLog) -> tuple[datetime, datetime]:
    return (
        begins if _elapsed(log.start, begins) >= timedelta(0) else log.start,
        ends if _elapsed(ends, log.end) >= timedelta(0) else log.end,
    )
