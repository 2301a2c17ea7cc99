"""The feed that is being watched: whether one runs, and how one is begun by a key."""

from __future__ import annotations

from datetime import datetime

from desktop.open_chart import OpenChart
from desktop.sheets.feed_head import feed_in_view
from desktop.sheets.feed_live import LiveFeed
from desktop.sheets.feed_running import running_feeds, running_of
from desktop.sheets.feed_start import begin_watching
from desktop.sheets.in_view import InView
from desktop.sheets.laid import Laid
from forms.answers import Moment
from forms.clinical.feed_clock import on_line
from forms.clinical.feed_line import events_of
from forms.feed import FeedObservation

__all__ = ["begin_live", "live_on", "running_since", "to_likely"]


def running_since(home: OpenChart) -> datetime | None:
    """When the feed now watched began, told by the clock as it stands: the newest of this visit; None if none runs.

    Where the clock was set while the feed ran, the time since then is the feed's own.
    """
    now = home.clock()
    found = running_feeds(home)
    if not found:
        return None
    feed, began = found[-1]
    events = events_of(home.chart, feed.id).timed
    line, _doubt = on_line(events, Moment(now, home.zone), home.reading())
    return now - (line.at - began) if events else began


def live_on(page: Laid | None) -> LiveFeed | None:
    """The live page of a feed, if that is what is in view."""
    return page.findChild(LiveFeed) if page is not None else None


def begin_live(home: OpenChart, who: str) -> None:
    """Begin the watching of a feed of this person, where it is clear which, and put it into view.

    It is the one in view, or another one of the same two where that one is over. A baby of whom a feed runs never gets
    a second one: the one that runs comes into view.
    """
    binding = feed_in_view(home, FeedObservation, who)
    feed, subjects = binding.draft.answers, binding.draft.place.subjects
    if binding.sealed() or not isinstance(feed, FeedObservation):
        return
    running = running_of(home, subjects[1])
    if running is not None:
        binding = home.binding(FeedObservation, *running.place.subjects, entity=running.id)
    elif feed.observed == "not_seen" or feed.began is not None:
        binding = home.begin(FeedObservation, *subjects)
    InView.of(home).keep(FeedObservation, who, binding.entity, *binding.draft.place.subjects)
    begin_watching(home, binding)


def to_likely(page: Laid | None) -> None:
    """The focus to the likely next event, where a feed is watched."""
    live = live_on(page)
    if live is not None and live.watch is not None:
        live.take_focus()
