"""The feed that is being watched: whether one runs, and how one is begun by a key."""

from __future__ import annotations

from datetime import datetime, timedelta

from desktop.draft import EntryBinding
from forms.answers import Moment, Sided
from forms.chart import Chart
from forms.feed import FeedObservation

__all__ = ["FORGOTTEN", "began_now", "running_since"]

FORGOTTEN = timedelta(hours=3)
"""A feed begun longer ago than this no longer counts as running: house bound, no source."""


def running_since(chart: Chart, now: datetime) -> datetime | None:
    """When the feed now watched began: the newest of this visit that has begun and not ended; None if none runs."""
    for entry in reversed(chart.all(FeedObservation, visit=chart.visit)):
        feed = entry.answers
        if not isinstance(feed.began, Moment) or feed.observed == "not_seen":
            continue
        kept = [feed.let_go, feed.ended_by]
        ended = any(one is not None for sides in kept if isinstance(sides, Sided) for one in (sides.left, sides.right))
        recent = timedelta(0) <= now - feed.began.at < FORGOTTEN
        return feed.began.at if recent and not ended else None
    return None


def began_now(binding: EntryBinding) -> None:
    """Note that the feed of this entry is watched and begins now; what stands already is left as it is."""
    if binding.form is FeedObservation and not binding.sealed() and binding.value("began") is None:
        if binding.value("observed") is None:
            binding.put("observed", "seen")
        binding.put("began", binding.now())
