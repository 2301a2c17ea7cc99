"""Which feeds of a visit are being watched now: begun, not ended, and not forgotten."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from desktop.open_chart import OpenChart
from forms.answers import Moment, Side, every
from forms.chart import Chart, Entry
from forms.clinical.feed_clock import FORGOTTEN, Reading
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent

__all__ = ["running_feeds", "running_of"]


def _all_off(feed: FeedObservation) -> bool:
    """Whether the baby is off every side that it was on."""
    off = [side for side in Side if feed.let_go.on(side) is not None]
    return bool(off) and all(side in off for side in Side if feed.latched.on(side) is not None)


@dataclass
class _Heard:
    """What the events of one feed say of whether it runs, gathered in one pass."""

    first: datetime
    last: datetime
    ended: datetime | None = None
    goes_on: datetime | None = None
    tapped: bool = False
    steady: str = ""

    def hear(self, event: FeedEvent, at: datetime) -> None:
        if at >= self.last:
            self.steady = event.steady if isinstance(event.steady, str) else ""
        self.first, self.last = min(self.first, at), max(self.last, at)
        what = every(event.what)
        self.tapped = self.tapped or not {"begin", "end"}.issuperset(what)
        if "end" in what:
            self.ended = max(at, self.ended or at)
        if "latch" in what or "begin" in what:
            self.goes_on = max(at, self.goes_on or at)

    def runs(self, now: datetime, reading: Reading | None) -> bool:
        """Until an event says that the watching ends, and none after it that it goes on, or it was forgotten."""
        over = self.ended is not None and (self.goes_on is None or self.goes_on <= self.ended)
        return not over and self._quiet(now, reading) < FORGOTTEN

    def _quiet(self, now: datetime, reading: Reading | None) -> timedelta:
        """How long nothing was tapped: by the steady clock since the last event where it can tell, else by the wall."""
        kept = Reading.read(self.steady)
        if kept is None or reading is None or kept.boot != reading.boot or kept.nanos > reading.nanos:
            return now - self.last
        return timedelta(microseconds=(reading.nanos - kept.nanos) // 1_000)


def _heard(chart: Chart) -> dict[str, _Heard]:
    found: dict[str, _Heard] = {}
    for entry in chart.all(FeedEvent, visit=chart.visit):
        event = entry.answers
        if isinstance(event.at, Moment):
            for feed in every(event.feed):
                found.setdefault(feed, _Heard(event.at.at, event.at.at)).hear(event, event.at.at)
    return found


def _runs_without(feed: FeedObservation, now: datetime) -> bool:
    """A feed in which nothing was tapped runs until it was written that baby is off all sides."""
    began = feed.began.at if isinstance(feed.began, Moment) else None
    return began is not None and timedelta(0) <= now - began < FORGOTTEN and not _all_off(feed)


def running_feeds(home: OpenChart) -> tuple[tuple[Entry[FeedObservation], datetime], ...]:
    """The feeds of this visit that run, in the order they were begun, each with the time its clock began.

    A clock that is set while one runs neither ends it nor keeps it going.
    """
    chart, now, reading = home.chart, home.clock(), home.reading()
    heard = _heard(chart)
    running = []
    for entry in chart.all(FeedObservation, visit=chart.visit):
        if entry.answers.observed == "not_seen":
            continue
        of, began = heard.get(entry.id), entry.answers.began
        if of is not None and of.runs(now, reading) and (of.tapped or not _all_off(entry.answers)):
            running.append((entry, of.first))
        elif of is None and _runs_without(entry.answers, now) and isinstance(began, Moment):
            running.append((entry, began.at))
    return tuple(running)


def running_of(home: OpenChart, baby: str) -> Entry[FeedObservation] | None:
    """The feed of this baby that runs, the newest of them; None if none does."""
    found = [entry for entry, _ in running_feeds(home) if entry.place.subjects[1:] == (baby,)]
    return found[-1] if found else None
