"""The events of a feed or of an expressing session as they were tapped: read out of a chart, in order, none guessed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from forms.answers import Conflicted, Moment, Quantity, every
from forms.chart import Chart, Entry
from forms.feed_event import ExpressionEvent, FeedEvent, TimedEvent

__all__ = ["Event", "Events", "events_by", "events_of"]


@dataclass(frozen=True, slots=True)
class Event:
    """One event: `at` is aware and in UTC, `zone` where it was lived, `pain` 0 to 10, `ml` whole mL so far."""

    id: str
    what: str
    lane: str | None
    at: datetime
    pain: int | None = None
    ml: int | None = None
    words: str = ""
    live: bool = True
    zone: str = "UTC"
    steady: str = ""
    entered: datetime | None = None


@dataclass(frozen=True, slots=True)
class Events:
    """The events of one feed or session by time, then by when they were entered, then by id.

    `unresolved` are ids of events with two values for what, when, where or how much; `untimed` lack a kind or a time.
    """

    timed: tuple[Event, ...] = ()
    unresolved: tuple[str, ...] = ()
    untimed: tuple[str, ...] = ()
    expressing: bool = False

    def __bool__(self) -> bool:
        """Whether there is anything at all."""
        return bool(self.timed or self.unresolved or self.untimed)


def _owner(event: TimedEvent) -> Any:
    return event.feed if isinstance(event, FeedEvent) else getattr(event, "expression", None)


def _event(entry: Entry[Any]) -> Event | None:
    """The event an entry says; None without a kind or a time. None of its facts is in conflict."""
    kept: TimedEvent = entry.answers
    lane = getattr(kept, "lane", None)
    if not isinstance(kept.what, str) or not isinstance(kept.at, Moment):
        return None
    amount = kept.amount if kept.what == "amount" and isinstance(kept.amount, Quantity) else None
    pain = kept.pain if kept.what == "pain" and isinstance(kept.pain, int) else None
    return Event(
        entry.id, kept.what, lane if isinstance(lane, str) else None, kept.at.at, pain,
        amount.base if amount else None, " / ".join(every(kept.words)), kept.noted == "live", kept.at.zone,
        kept.steady if isinstance(kept.steady, str) else "", entry.entered,
    )  # fmt: skip


def _in_conflict(event: TimedEvent) -> bool:
    read = [event.what, event.at, getattr(event, "lane", None), _owner(event)]
    read += [event.pain] if "pain" in every(event.what) else []
    read += [event.amount] if "amount" in every(event.what) else []
    return any(isinstance(given, Conflicted) for given in read)


def _read(entries: Iterable[Entry[Any]], *, expressing: bool) -> Events:
    timed: list[Event] = []
    unresolved: list[str] = []
    untimed: list[str] = []
    for entry in entries:
        if _in_conflict(entry.answers):
            unresolved.append(entry.id)
        elif (event := _event(entry)) is None:
            untimed.append(entry.id)
        else:
            timed.append(event)
    timed.sort(key=lambda event: (event.at, event.entered or event.at, event.id))
    return Events(tuple(timed), tuple(sorted(unresolved)), tuple(sorted(untimed)), expressing)


def events_of(chart: Chart, owner: str) -> Events:
    """The events of one feed or one expressing session (its entry's id) that are not struck out."""
    session = chart.by_id(owner)
    if session is not None and session.place.form == "expression":
        pumped = chart.all(ExpressionEvent)
        return _read((e for e in pumped if owner in every(e.answers.expression)), expressing=True)
    return _read((e for e in chart.all(FeedEvent) if owner in every(e.answers.feed)), expressing=False)


def events_by(chart: Chart, form: type[FeedEvent | ExpressionEvent] = FeedEvent) -> Mapping[str, Events]:
    """The events of every feed, or of every expressing session, by the entry's id: the chart is gone through once."""
    found: dict[str, list[Entry[Any]]] = {}
    for entry in chart.all(form):
        for owner in every(_owner(entry.answers)):
            found.setdefault(owner, []).append(entry)
    return {owner: _read(entries, expressing=form is ExpressionEvent) for owner, entries in found.items()}
