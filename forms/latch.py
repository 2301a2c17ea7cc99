"""An effective latch in short: which of the things the trade watches for were seen on a side, and which were not.

It gathers answers and judges nothing: no verdict, no score, no count. What is watched for is common practice without a
source; watching does not measure how much milk is taken (S, review PMC8465002).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from forms.answers import Absent, Conflicted, Given, Side, Sided, every
from forms.feed import SORE, FeedObservation

__all__ = ["CAUTION", "Found", "LatchPoints", "latch_seen"]

CAUTION = (
    "What is watched for is common practice, without a published source. It says what was seen and what was not; it is "
    "no score, and watching does not measure the milk taken."
)


class Found(StrEnum):
    """How one point stands."""

    SEEN = "Seen"
    NOT_SEEN = "Not seen"
    NOT_LOOKED = "Not answered"
    TORN = "Two answers stand"


def _ticked(field: str, code: str) -> Callable[[FeedObservation, Side], Found]:
    """Whether a choice is among those ticked."""
    return _held(field, lambda picked: isinstance(picked, tuple) and code in picked)


def _held(field: str, holds: Callable[[object], bool]) -> Callable[[FeedObservation, Side], Found]:
    def found(feed: FeedObservation, side: Side) -> Found:
        kept = getattr(feed, field)
        given: Given[object] = kept.on(side) if isinstance(kept, Sided) else kept
        if given is None or isinstance(given, Absent):
            return Found.NOT_LOOKED
        answers = {holds(value) for value in every(given)}
        if isinstance(given, Conflicted) and len(answers) != 1:
            return Found.TORN
        return Found.SEEN if answers == {True} else Found.NOT_SEEN

    return found


CHEEKS = "Cheeks full, not dimpled"
_POINTS: Mapping[str, Callable[[FeedObservation, Side], Found]] = MappingProxyType({
    "Body facing the feeder": _ticked("body", "facing"),
    "Ear, shoulder and hip in one line": _ticked("body", "in_line"),
    "Neck not turned": _ticked("body", "neck_straight"),
    "Gape of about 120 degrees or more": _ticked("attachment", "wide"),
    "Lips turned out": _ticked("attachment", "lips_out"),
    "More areola above than below": _ticked("attachment", "asymmetric"),
    "Chin pressed in": _ticked("attachment", "chin_in"),
    "Nose tip just touching": _ticked("attachment", "nose_free"),
    CHEEKS: _ticked("attachment", "cheeks_full"),
    "No clicking": _held("latch_concerns", lambda ticked: isinstance(ticked, tuple) and "clicking" not in ticked),
    "Rounded jaw strokes back to the ear while milk flowed": _ticked("jaw", "back_to_ear"),
    "Jaw strokes smaller and further forward as the feed ended": _ticked("jaw", "smaller_late"),
    "Swallows": _held("swallows", lambda amount: amount != "none"),
    "Pauses to breathe": _held("breathing", lambda pauses: pauses != "none"),
    "Pain of 3 or less after the first 30 seconds": _held(
        "pain_after_30s", lambda pain: isinstance(pain, int) and pain < SORE
    ),
    "Nipple round on release, or longer and still round": _held(
        "nipple_after", lambda shape: shape in ("round", "longer")
    ),
    "Hands and arms loosened": _held(
        "hands", lambda ticked: isinstance(ticked, tuple) and bool({"opening", "loose"} & set(ticked))
    ),
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class LatchPoints:
    """The points of one side, in the order of a feed."""

    found: tuple[tuple[str, Found], ...]

    def which(self, how: Found) -> tuple[str, ...]:
        """The points that stand so."""
        return tuple(words for words, found in self.found if found is how)


def latch_seen(feed: FeedObservation, side: Side) -> LatchPoints | None:
    """Every point of one side of the feeder: seen, not seen, not answered or disputed; None where baby did not feed.

    Cheeks ticked full and also dimpled are disputed, and so is any answer with two values that say different things.
    """
    if "fed" not in every(feed.used.on(side)):
        return None
    points = {words: point(feed, side) for words, point in _POINTS.items()}
    dimpled = any("cheeks_in" in picked for picked in every(feed.latch_concerns.on(side)))
    if dimpled:
        points[CHEEKS] = Found.TORN if points[CHEEKS] is Found.SEEN else Found.NOT_SEEN
    return LatchPoints(tuple(points.items()))
