"""Which answers of a feed follow from its events as the same fact, so that nobody types what was just tapped.

Only what is still untouched is answered, and nothing else of the feed is guessed. What an earlier event wrote may move
on with the events: a time that equals, to the microsecond, the one the line gave before. A time typed by hand is of
whole minutes and is left alone, and so is every answer that was given, refused or disputed.

A cough, a choke and a spit-up reach the prompts this way, as signs in the feed's own answer. No rule of the ladder
reads them: stopped breathing and a changed colour, which two rules read, are no events and are ticked by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from forms.answers import Given, Moment, Side
from forms.ask import Path, asks
from forms.clinical.amounts_so_far import milk_answers
from forms.clinical.feed_line import FeedLine, LaneLine
from forms.feed import FeedObservation
from forms.form import value_at

__all__ = ["BABY_SIGNS", "answers_from", "signs_of"]

BABY_SIGNS: Final = ("cough", "choke", "spit_up")
"""Events that are also a sign of baby's during the feed, under the same code."""


def signs_of(line: FeedLine) -> tuple[str, ...]:
    """The signs of baby's among the events, each once."""
    seen = {event.what for event in line.events}
    return tuple(sign for sign in BABY_SIGNS if sign in seen)


def _moment(line: FeedLine, at: datetime | None) -> Moment | None:
    return Moment(at, line.zone) if at is not None else None


def _first_latch(lane: LaneLine) -> datetime | None:
    return lane.spells[0].at if lane.spells else None


def _last_off(lane: LaneLine) -> datetime | None:
    """When baby last came off this side, if off now: let go, taken off, on the other side, or the watching ended."""
    return lane.spells[-1].until if lane.spells and not lane.on else None


def _times(line: FeedLine) -> Mapping[Path, Moment | None]:
    found = {Path("began"): _moment(line, line.began)}
    for side in Side:
        lane = line.lane(side.value)
        found[Path("latched", side)] = _moment(line, _first_latch(lane))
        found[Path("let_go", side)] = _moment(line, _last_off(lane))
    return found


def _signs(feed: FeedObservation, line: FeedLine, before: FeedLine | None) -> tuple[str, ...] | None:
    """The signs with what the events add; None where nothing is added. A standing "none of these" is left to her.

    A sign that the line had before is not put in again: she may have taken it out.
    """
    kept: Given[Any] = feed.baby_signs
    fresh = set(signs_of(line)) - set(signs_of(before) if before is not None else ())
    if not (kept is None or isinstance(kept, tuple)) or "none" in (kept or ()):
        return None
    ticked = set(kept or ())
    if fresh <= ticked:
        return None
    return tuple(code for code in asks(FeedObservation)["baby_signs"].options if code in ticked | fresh) + tuple(
        code for code in kept or () if code not in asks(FeedObservation)["baby_signs"].options
    )


def answers_from(
    feed: FeedObservation, line: FeedLine, before: FeedLine | None = None, *, seen: str | None = "seen"
) -> Mapping[Path, Any]:
    """The answers to write now, by path; a value of None takes back a time that an event wrote and none gives now.

    `before` is the line as it was before the newest change, so that an undone or moved event takes its time along.
    `seen` is how the feed is watched, "seen" or "video", as the visit's kind says; None where it does not. Written are:
    that the feed was watched, when it began, that a side was fed on, its first latch, when baby came off it last (while
    off), and the signs of baby's that were tapped, and what a bottle or a tube came to once it is over. Nothing is
    written where it was said that no feed was seen, and no time while an event is unresolved: the first latch of what
    is left may not be the first.
    """
    if not line.events or not (feed.observed is None or feed.observed in ("seen", "video")):
        return _withdrawn(feed, line, before)
    found: dict[Path, Any] = {} if feed.observed is not None or seen is None else {Path("observed"): seen}
    signs = _signs(feed, line, before)
    if signs is not None:
        found[Path("baby_signs")] = signs
    if line.unresolved:
        return found
    fed = [side for side in Side if line.lane(side.value).spells]
    found |= {Path("used", side): "fed" for side in fed if feed.used.on(side) is None}
    found |= milk_answers(feed, line, before)
    return found | _withdrawn(feed, line, before) | _times_to_write(feed, line, before)


def _times_to_write(feed: FeedObservation, line: FeedLine, before: FeedLine | None) -> dict[Path, Any]:
    """The times that may be written and are not there yet; none that would put an end before its beginning."""
    found: dict[Path, Any] = {}
    for path, at in _times(line).items():
        asked = path.side is None or feed.used.on(path.side) in (None, "fed")
        if path.field == "began" and at is not None and isinstance(feed.began, Moment) and at.at < feed.began.at:
            continue  # an event before the beginning is asked about; it does not move it
        if at is not None and asked and at != value_at(feed, path) and _may_write(feed, path, line, before):
            found[path] = at
    for side in Side:
        first, then = Path("latched", side), Path("let_go", side)
        latched, off = (found.get(path, value_at(feed, path)) for path in (first, then))
        if isinstance(latched, Moment) and isinstance(off, Moment) and off.at < latched.at:
            found.pop(then, None)
            if first in found and value_at(feed, then) is not None:
                del found[first]
    return found


def _may_write(feed: FeedObservation, path: Path, line: FeedLine, before: FeedLine | None) -> bool:
    """Whether the place is untouched, or holds what an earlier event wrote."""
    kept = value_at(feed, path)
    if kept is None:
        return True
    if before is not None:
        return bool(kept == _times(before)[path])
    if path.field != "let_go" or path.side is None or not isinstance(kept, Moment):
        return False
    return any(spell.until == kept.at for spell in line.lane(path.side.value).spells[:-1])


def _withdrawn(feed: FeedObservation, line: FeedLine, before: FeedLine | None) -> dict[Path, Any]:
    """The times that stand as the line gave them before and that it no longer gives."""
    if before is None or line.unresolved:
        return {}
    now = _times(line)
    return {
        path: None
        for path, at in _times(before).items()
        if at is not None and now[path] is None and value_at(feed, path) == at
    }
