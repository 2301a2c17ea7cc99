"""How the watching of a feed begins: by a key, from any page of the visit, now."""

from __future__ import annotations

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.feed_watch import Watches
from forms.ask import Path
from forms.feed import FeedObservation
from forms.taking_part import watched_as

__all__ = ["begin_watching"]


def begin_watching(home: OpenChart, binding: EntryBinding) -> None:
    """Note that the feed of this entry is watched and begins now, or goes on; what stands already is left as it is."""
    if binding.form is not FeedObservation or binding.sealed():
        return
    now = binding.now()
    seen = watched_as(home.chart)
    values = {**({"observed": seen} if seen is not None else {}), "began": now}
    fresh = {Path(name): value for name, value in values.items() if binding.value(name) is None}
    if binding.draft.pending:  # what is being typed stays a step of its own
        home.put_together(binding, fresh)
    elif fresh:
        binding.put_all(fresh)
        home.save()
    watch = Watches.of(home).get(binding.entity, binding.draft.place.subjects)
    if not watch.line.events or watch.line.ended is not None:
        watch.tap("begin")
