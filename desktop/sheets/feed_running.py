"""Which feeds of a visit are being watched now: begun, not ended, and not forgotten."""

from __future__ import annotations

from datetime import datetime, timedelta

from forms.answers import Moment, Side, every
from forms.chart import Chart, Entry
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent

__all__ = ["FORGOTTEN", "running_feeds", "running_of"]

FORGOTTEN = timedelta(hours=3)
"""A feed in which nothing happened for longer than this no longer counts as running: house bound, no source."""


def _all_off(feed: FeedObservation) -> bool:
    """Whether the baby is off every side that it was on."""
    off = [side for side in Side if feed.let_go.on(side) is not None]
    return bool(off) and all(side in off for side in Side if feed.latched.on(side) is not None)


def _runs(feed: FeedObservation, events: list[FeedEvent], now: datetime) -> bool:
    """With events a feed runs until one says that the watching ends; without any, until baby is off all sides."""
    times = [event.at.at for event in events if isinstance(event.at, Moment)]
    if not times:
        began = feed.began.at if isinstance(feed.began, Moment) else None
        return began is not None and timedelta(0) <= now - began < FORGOTTEN and not _all_off(feed)
    ends = [event.at.at for event in events if "end" in every(event.what) and isinstance(event.at, Moment)]
    goes_on = [
        event.at.at for event in events if isinstance(event.at, Moment) and {"begin", "latch"} & set(every(event.what))
    ]
    over = bool(ends) and max(ends) >= max(goes_on, default=max(ends))
    return not over and now - max(times) < FORGOTTEN


def running_feeds(chart: Chart, now: datetime) -> tuple[tuple[Entry[FeedObservation], datetime], ...]:
    """The feeds of this visit that run, in the order they were begun, each with the time its clock began."""
    found: dict[str, list[FeedEvent]] = {}
    for entry in chart.all(FeedEvent, visit=chart.visit):
        for feed in every(entry.answers.feed):
            found.setdefault(feed, []).append(entry.answers)
    running = []
    for entry in chart.all(FeedObservation, visit=chart.visit):
        events = found.get(entry.id, [])
        if entry.answers.observed != "not_seen" and _runs(entry.answers, events, now):
            times = [event.at.at for event in events if isinstance(event.at, Moment)]
            began = entry.answers.began
            running.append((entry, min(times) if times else began.at if isinstance(began, Moment) else now))
    return tuple(running)


def running_of(chart: Chart, now: datetime, baby: str) -> Entry[FeedObservation] | None:
    """The feed of this baby that runs, the newest of them; None if none does."""
    found = [entry for entry, _ in running_feeds(chart, now) if entry.place.subjects[1:] == (baby,)]
    return found[-1] if found else None
