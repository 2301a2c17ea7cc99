"""Milk read as "so far" on a lane, and the answers that follow from it as the same fact.

A reading counts from the beginning of the session, so it can only grow; one that is smaller is asked about, never
refused. Minutes are whole minutes that have gone by on the lane; the seconds stay with the events.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any, Final

from forms.answers import Given, Moment, Quantity, Side
from forms.ask import Path, ask_of
from forms.clinical.feed_line import FeedLine, LaneLine
from forms.expressing import Expression
from forms.feed import FeedObservation
from forms.form import Form, value_at

__all__ = ["expressing_answers", "less_than_before", "milk_answers"]

_MINUTE: Final = timedelta(minutes=1)


def less_than_before(line: FeedLine, lane: str, ml: int) -> str:
    """The question about a reading that is smaller than one before it on the same lane, "" for any other."""
    highest = max((reading for _, reading in line.lane(lane).amounts), default=0)
    if ml >= highest:
        return ""
    return f"That is less than the {highest} mL read before. Keep it again if it is as read; both stay."


def _minutes(lane: LaneLine) -> int:
    return sum((spell.until - spell.at for spell in lane.spells), timedelta()) // _MINUTE


def _over(lane: LaneLine) -> bool:
    return bool(lane.spells) and not lane.on


def _ml(lane: LaneLine) -> Quantity | None:
    """The last reading, as millilitres; the characters typed stay with the event."""
    last = lane.amounts[-1:]
    return Quantity(str(last[0][1]), "mL", last[0][1]) if last else None


def _milk(line: FeedLine) -> Mapping[Path, Any]:
    """What the lanes of a bottle and a tube say once they are over."""
    found: dict[Path, Any] = {}
    bottle, tube = line.lane("bottle"), line.lane("tube")
    if _over(bottle):
        found |= {Path("bottle_seen"): True, Path("bottle_minutes"): _minutes(bottle)}
        found[Path("bottle_amount")] = _ml(bottle)
    if _over(tube):
        found |= {Path("supplement"): True, Path("supplement_method"): "tube_breast"}
        found |= {Path("supplement_minutes"): _minutes(tube), Path("supplement_amount"): _ml(tube)}
    return {path: value for path, value in found.items() if value is not None}


def milk_answers(feed: FeedObservation, line: FeedLine, before: FeedLine | None = None) -> Mapping[Path, Any]:
    """The answers about a bottle, and about a tube at the breast or chest, that are untouched or follow their events.

    A cup, a spoon and a syringe share a lane, so which of them it was is asked and not answered. Nothing is written
    over an answer that says otherwise, nor under one.
    """
    found = _fit(feed, _milk(line), _milk(before) if before is not None else {})
    for opener in ("bottle_seen", "supplement"):
        if getattr(feed, opener) not in (None, True):
            found = {path: value for path, value in found.items() if not path.field.startswith(opener.split("_")[0])}
    return found


def _fit(answers: Form, now: Mapping[Path, Any], before: Mapping[Path, Any]) -> dict[Path, Any]:
    """Those that may be written: the place is untouched or holds what the events gave before, and the value fits."""
    found = {}
    for path, value in now.items():
        kept: Given[Any] = value_at(answers, path)
        ask = ask_of(type(answers), path.field)
        number = value.base if isinstance(value, Quantity) else value if type(value) is int else None
        fits = number is None or ask.high is None or number <= ask.high
        if fits and kept != value and (kept is None or kept == before.get(path)):
            found[path] = value
    return found


def _first_drops(lane: LaneLine) -> int | None:
    drops = lane.of("drops")
    if not drops or not lane.spells or drops[0].at < lane.spells[0].at:
        return None
    return (drops[0].at - lane.spells[0].at) // _MINUTE


def _together(line: FeedLine) -> str | None:
    """Both at once where a stretch of one side overlaps one of the other; else told only once it is over."""
    left, right = line.lane("left"), line.lane("right")
    if any(a.at < b.until and b.at < a.until for a in left.spells for b in right.spells):
        return "double"
    if line.on or not (left.spells or right.spells):
        return None
    return "single" if left.spells and right.spells else "one_side"


def _expressed(line: FeedLine) -> Mapping[Path, Any]:
    spells = [spell for lane in line.lanes.values() for spell in lane.spells]
    found: dict[Path, Any] = {}
    if spells:
        found[Path("began")] = Moment(min(spell.at for spell in spells), line.zone)
    if spells and not line.on:
        found[Path("ended")] = Moment(max(spell.until for spell in spells), line.zone)
    found[Path("together")] = _together(line)
    for side in Side:
        lane = line.lane(side.value)
        found[Path("first_drops", side)] = _first_drops(lane)
        found[Path("let_downs", side)] = len(lane.of("letdown_seen")) or None
        found[Path("amount", side)] = _ml(lane) if _over(lane) else None
    return {path: value for path, value in found.items() if value is not None}


def expressing_answers(session: Expression, line: FeedLine, before: FeedLine | None = None) -> Mapping[Path, Any]:
    """The answers of a session that follow from its events; nothing while one of them is unresolved.

    How long until the first drops is in whole minutes from when that side began, letdowns are those seen, the amount is
    the last reading of that side. Discomfort is asked as one number for the whole session, so it is left to be asked.
    """
    if line.unresolved:
        return {}
    found = _fit(session, _expressed(line), _expressed(before) if before is not None else {})
    ended = found.get(Path("ended"), session.ended)
    began = found.get(Path("began"), session.began)
    if isinstance(ended, Moment) and isinstance(began, Moment) and ended.at < began.at:
        found.pop(Path("ended"), None)
        found.pop(Path("began"), None)
    if before is not None and line.on and session.ended == _expressed(before).get(Path("ended"), ()):
        found[Path("ended")] = None  # it goes on
    if session.source is None and line.events:
        found[Path("source")] = "seen"
    return found
