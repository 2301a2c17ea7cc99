"""Events of a feed or an expressing session in words, and the time of one as it is typed: "4:12" or "10:42:30".

Minutes and seconds count from the beginning of the session. They are read off the steady line on which events are
taken, so they stay as they are when somebody sets the clock.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any, Final
from zoneinfo import ZoneInfo

from forms.answers import Absent, Conflicted, Given, Moment, Quantity, every
from forms.ask import ask_of
from forms.expressing import Expression
from forms.feed import FeedObservation
from forms.feed_event import ExpressionEvent, TimedEvent
from forms.trouble import Refused
from forms.units import alone

__all__ = [
    "FROM_MEMORY", "HOW_NOTED", "began", "by_the_clock", "event_words", "how_noted", "in_time", "into", "lane_words",
    "read_time",
]  # fmt: skip

FROM_MEMORY: Final = "from memory, afterwards"
HOW_NOTED: Final[Mapping[str, str]] = {"live": "as it happened", "after": FROM_MEMORY}
_INTO = re.compile(r"\s*(\d{1,3})[:.](\d{2})\s*(?:min)?\s*|\s*(\d{1,3})\s*(?:min|m)?\s*")
_CLOCK = re.compile(r"\s*(\d{1,2})[:.](\d{2})[:.](\d{2})\s*")
_TIME = re.compile(r"\s*(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?\s*(am|pm)?\s*", re.IGNORECASE)


def began(session: FeedObservation | Expression, events: Iterable[TimedEvent]) -> Moment | None:
    """The moment from which the times of a session count, as on its lanes: its first event, else when it began.

    None while neither is written, or while two times stand for the beginning of a session without events.
    """
    times = [at for event in events if isinstance(at := event.at, Moment)]
    first = min(times, key=lambda one: one.at, default=session.began)
    return first if isinstance(first, Moment) else None


def in_time(event: TimedEvent) -> tuple[datetime, ...]:
    """What events are sorted by: the earliest time that stands; nothing for one without a time, which comes first."""
    return tuple(sorted(at.at for at in every(event.at))[:1])


def into(start: Moment, at: Moment) -> str:
    """How far into the session: "4:12", minutes and seconds; "1:05 before" for what lies before its beginning."""
    seconds = (
        int((at.at - start.at) // timedelta(seconds=1))
        if at.at >= start.at
        else -int((start.at - at.at) // timedelta(seconds=1))
    )
    words = f"{abs(seconds) // 60}:{abs(seconds) % 60:02}"
    return f"{words} before" if at.at < start.at else words


def by_the_clock(at: Moment) -> str:
    """The time of day with its seconds: "10:42:12"."""
    return at.local().strftime("%H:%M:%S")


def how_noted(event: TimedEvent) -> str:
    """Whether an event was noted as it happened or from memory; what nobody said is said to be unknown."""
    if isinstance(event.noted, Conflicted):
        return "two ways of noting stand"
    return HOW_NOTED.get(event.noted, event.noted) if isinstance(event.noted, str) else "not known how noted"


def lane_words(event: TimedEvent, name: str) -> str:
    """Where: "Mara’s left", "bottle"; "" where it stands on no lane. `name` is the feeder's or the parent's."""
    lane: Given[str] = getattr(event, "lane", None)
    if isinstance(lane, Conflicted):
        return "two places stand"
    if not isinstance(lane, str):
        return ""
    if lane in ("left", "right"):
        return f"{name}’s {lane}"
    words = ask_of(type(event), "lane").options.get(lane, lane)
    return words[:1].lower() + words[1:]


def _time_words(event: TimedEvent, start: Moment | None) -> str:
    if isinstance(event.at, Conflicted):
        return "two times stand:"
    if not isinstance(event.at, Moment):
        return "no time:"
    return by_the_clock(event.at) if start is None else into(start, event.at)


def event_words(event: TimedEvent, start: Moment | None, name: str) -> str:
    """An event in one line: "4:12 swallow, Mara’s left"; a value that is disputed is said to be, and none is picked."""
    if isinstance(event.what, str):
        what = _what(event, event.what)
    else:
        what = "two events stand" if isinstance(event.what, Conflicted) else "not said what"
    said = [what, *_with_it(event)]
    lane = lane_words(event, name)
    return ", ".join((f"{_time_words(event, start)} {said[0]}", *said[1:], *((lane,) if lane else ())))


def _what(event: TimedEvent, what: str) -> str:
    """The event in words; a stretch with no latch to it, of a bottle or of expressing, begins and ends."""
    lane = getattr(event, "lane", None)
    if what == "latch" and (isinstance(event, ExpressionEvent) or lane in ("tube", "bottle", "cup")):
        return "begins"
    if what == "end" and isinstance(lane, str):
        return "ends"
    words = ask_of(type(event), "what").options.get(what, what)
    return words[:1].lower() + words[1:]


def _with_it(event: TimedEvent) -> list[str]:
    """The pain or the amount that goes with it, where the event is of that kind."""
    if event.what == "pain":
        return [_value(event.pain, lambda pain: f"{pain} of 10", "two figures stand")]
    if event.what == "amount":
        return [_value(event.amount, lambda one: alone(one.base, one.unit), "two amounts stand")]
    return []


def _value(given: Given[Any], words: Any, disputed: str) -> str:
    if isinstance(given, Conflicted):
        return disputed
    if isinstance(given, Absent) or given is None:
        return "not said how much"
    assert isinstance(given, int | Quantity)
    return str(words(given))


def read_time(typed: str, start: Moment | None, now: Moment) -> Moment:
    """The moment that was typed. With a beginning "4:12" or "4" is minutes into the session, "10:42:30" the clock.

    Without one it is the last such time of day, as a time typed alone is everywhere. Raises Refused.
    """
    if start is not None:
        found = _INTO.fullmatch(typed)
        if found is not None:
            minutes, seconds = int(found[1] or found[3]), int(found[2] or 0)
            if seconds > 59:
                raise Refused(why="Seconds go from 00 to 59; write it like 4:12.")
            return Moment(start.at + timedelta(minutes=minutes, seconds=seconds), start.zone)
    found = (_CLOCK if start is not None else _TIME).fullmatch(typed)
    if found is None:
        like = "4:12 for minutes into the feed, or 10:42:30 by the clock" if start is not None else "10:42 or 10:42:30"
        raise Refused(why=f"Write the time like {like}.")
    hour, minute, second = int(found[1]), int(found[2]), int(found[3] or 0)
    half = (found[4] or "").lower() if start is None else ""
    if half:
        if not 1 <= hour <= 12:
            raise Refused(why="With am or pm the hour goes from 1 to 12.")
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59 or second > 59:
        raise Refused(why="There is no such time of day; check the hour, the minutes and the seconds.")
    return _last(hour, minute, second, start or now, forward=start is not None)


def _last(hour: int, minute: int, second: int, near: Moment, *, forward: bool) -> Moment:
    """The time of day nearest behind `near`; with `forward` the one nearest to it on either side."""
    local = near.at.astimezone(ZoneInfo(near.zone)).replace(tzinfo=None, microsecond=0)
    days = [local.replace(hour=hour, minute=minute, second=second) + timedelta(days=by) for by in (-1, 0, 1)]
    found = [Moment.of(day, near.zone) for day in days]
    if forward:
        return min(found, key=lambda one: abs(one.at - near.at))
    return max((one for one in found if one.at <= near.at), key=lambda one: one.at)
