"""The feed that is being watched: whether one runs, and how one is begun by a key."""

from __future__ import annotations

from datetime import datetime

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.feed_live import LiveFeed
from desktop.sheets.feed_running import running_feeds, running_of
from desktop.sheets.feed_start import begin_watching
from desktop.sheets.in_view import InView
from desktop.sheets.laid import Laid
from forms.chart import Chart
from forms.feed import FeedObservation

__all__ = ["begin_live", "live_on", "running_since", "to_observe"]


def running_since(chart: Chart, now: datetime) -> datetime | None:
    """When the feed now watched began: the newest of this visit that runs; None if none does."""
    found = running_feeds(chart, now)
    return found[-1][1] if found else None


def live_on(page: Laid | None) -> LiveFeed | None:
    """The live page of a feed, if that is what is in view."""
    return page.findChild(LiveFeed) if page is not None else None


def to_observe(home: OpenChart, binding: EntryBinding, who: str) -> bool:
    """Have a feed in view that can begin now: the one that runs, the one in view, or a new one where that one is over.

    Whether another one was put into view than `binding`, so that the page is to be laid again.
    """
    feed = binding.draft.answers
    subjects = binding.draft.place.subjects
    if binding.sealed() or not isinstance(feed, FeedObservation) or len(subjects) < 2:
        return False
    running = running_of(home.chart, home.clock(), subjects[1])
    if running is not None:
        # A second feed of the same baby never begins while one runs: the key goes to that one.
        InView.of(home).keep(FeedObservation, who, running.id, *running.place.subjects)
        return running.id != binding.entity
    over = feed.observed == "not_seen" or feed.began is not None
    if over:
        begun = home.begin(FeedObservation, *subjects)
        InView.of(home).keep(FeedObservation, who, begun.entity, *subjects)
    return over


def begin_live(home: OpenChart, page: Laid) -> None:
    """Begin the watching of the feed on this page, or go on with it; the likely next event has the focus."""
    live = live_on(page)
    if live is None or live.watch is None:
        return
    if not live.watch.running or not live.watch.line.events:
        begin_watching(home, page.binding)
        live.show_all()
    live.take_focus()
