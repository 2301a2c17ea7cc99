"""The feed that is being watched: whether one runs, and how one is begun by a key."""

from __future__ import annotations

from datetime import datetime, timedelta

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.in_view import InView
from forms.answers import Moment, Side
from forms.chart import Chart
from forms.feed import FeedObservation

__all__ = ["FORGOTTEN", "began_now", "running_since", "to_observe"]

FORGOTTEN = timedelta(hours=3)
"""A feed begun longer ago than this no longer counts as running: house bound, no source."""


def _ended(feed: FeedObservation) -> bool:
    """Whether the baby is off every side that it was on."""
    off = [side for side in Side if feed.let_go.on(side) is not None]
    return bool(off) and all(side in off for side in Side if feed.latched.on(side) is not None)


def running_since(chart: Chart, now: datetime) -> datetime | None:
    """When the feed now watched began: the newest of this visit that has begun and not ended; None if none runs."""
    for entry in reversed(chart.all(FeedObservation, visit=chart.visit)):
        feed = entry.answers
        if isinstance(feed.began, Moment) and feed.observed != "not_seen":
            recent = timedelta(0) <= now - feed.began.at < FORGOTTEN
            return feed.began.at if recent and not _ended(feed) else None
    return None


def to_observe(home: OpenChart, binding: EntryBinding, who: str) -> bool:
    """Have a feed in view that can begin now: the one in view, or a new one of the same two where that one is over.

    Whether another one was put into view than `binding`, so that the page is to be laid again.
    """
    feed = binding.draft.answers
    if binding.sealed() or not isinstance(feed, FeedObservation):
        return False
    over = feed.observed == "not_seen" or (feed.began is not None and running_since(home.chart, home.clock()) is None)
    if over:
        begun = home.begin(FeedObservation, *binding.draft.place.subjects)
        InView.of(home).keep(FeedObservation, who, begun.entity)
    return over


def began_now(binding: EntryBinding) -> None:
    """Note that the feed of this entry is watched and begins now; what stands already is left as it is."""
    if binding.form is FeedObservation and not binding.sealed() and binding.value("began") is None:
        if binding.value("observed") is None:
            binding.put("observed", "seen")
        binding.put("began", binding.now())
