"""What the line of a feed comes to: first swallow, bursts, sucks to a swallow, pauses, minutes, pain, what changed.

Every figure is of what was tapped while watching, which does not measure milk; sucks to a swallow vary with flow and
have no fixed normal (review PMC8465002, S). A figure that cannot be known says why and is never 0. While two values
stand for anything in an event of the feed, every figure of it is unresolved.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from forms.answers import Moment
from forms.clinical.feed_line import LANES, SIDES, Burst, Event, FeedLine, LaneLine
from forms.clinical.result import NoFigure
from forms.clinical.transfer import feed_transfer
from forms.weight import WeightReading

__all__ = [
    "CHANGES", "LEAST_ACTIVE", "NO_SWALLOW", "SAMPLE", "WATCHED", "Change", "Pains", "Rate", "SucksToSwallow",
    "active_for", "burst_count", "changes", "first_swallow", "longest_pause", "minutes_of", "on_for", "pains",
    "stretch_words", "sucks_to_swallow", "swallow_count", "transfer_rate",
]  # fmt: skip

CHANGES: Final = ("changed", "help")
"""Events after which the feed may go differently: something changed, help given."""
LEAST_ACTIVE: Final = timedelta(minutes=1)
"""No rate is made of less active sucking than this (house rule, P)."""
MINUTE: Final = timedelta(minutes=1)  # a time typed by hand is of whole minutes (C)
SAMPLE: Final = "one feed is a sample of the day"
WATCHED: Final = "minutes and swallows are as tapped; watching does not measure milk"

_UNRESOLVED = NoFigure("unresolved: two values stand in an event of this feed", unresolved=True)
_NO_LATCH = NoFigure("no latch was tapped here")
NO_SWALLOW = NoFigure("no swallow was tapped")


def minutes_of(stretch: timedelta) -> Fraction:
    """A stretch of time in minutes, exact."""
    return Fraction(stretch // timedelta(microseconds=1), 60 * 1_000_000)


def stretch_words(stretch: timedelta) -> str:
    """A stretch of a feed in words, whole seconds: "40 s", "1 min 40 s", "1 h 2 min 5 s"."""
    minutes, seconds = divmod(stretch // timedelta(seconds=1), 60)
    hours, minutes = divmod(minutes, 60)
    parts = ((hours, "h"), (minutes, "min"), (seconds, "s"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 s"


def _latched(line: FeedLine, name: str) -> LaneLine | NoFigure:
    """The lane, if its figures can be known at all."""
    if line.unresolved:
        return _UNRESOLVED
    lane = line.lane(name)
    return lane if lane.spells else _NO_LATCH


def first_swallow(line: FeedLine, name: str) -> timedelta | NoFigure:
    """From a lane's first latch to the first swallow tapped on it."""
    lane = _latched(line, name)
    if isinstance(lane, NoFigure):
        return lane
    if not lane.swallows:
        return NO_SWALLOW
    waited = lane.swallows[0] - lane.spells[0].at
    return waited if waited >= timedelta(0) else NoFigure("a swallow stands before the first latch; check its time")


def burst_count(line: FeedLine, name: str) -> int | NoFigure:
    """How many runs of active sucking there were on a lane."""
    lane = _latched(line, name)
    return lane if isinstance(lane, NoFigure) else len(lane.bursts)


def swallow_count(line: FeedLine, name: str) -> int | NoFigure:
    """How many swallows were tapped on a lane; none tapped is not none swallowed."""
    if line.unresolved:
        return _UNRESOLVED
    return len(line.lane(name).swallows) or NO_SWALLOW


@dataclass(frozen=True, slots=True)
class SucksToSwallow:
    """Sucks to a swallow in the first and the last burst in which both were tapped.

    `late` is None where there is no second such burst. `dry` are the sucks of each burst with sucks and no swallow.
    """

    early: Fraction | NoFigure
    late: Fraction | NoFigure | None = None
    dry: tuple[int, ...] = ()


def _ratio(burst: Burst) -> Fraction | NoFigure:
    if burst.sucks < burst.swallows:
        return NoFigure("fewer sucks than swallows were tapped")
    return Fraction(burst.sucks, burst.swallows)


def sucks_to_swallow(line: FeedLine, name: str) -> SucksToSwallow | NoFigure:
    """Sucks to a swallow early and late on a lane, from bursts in which both were tapped."""
    lane = _latched(line, name)
    if isinstance(lane, NoFigure):
        return lane
    both = [burst for burst in lane.bursts if burst.sucks and burst.swallows]
    dry = tuple(burst.sucks for burst in lane.bursts if burst.sucks and not burst.swallows)
    if not both and not dry:
        return NoFigure("no sucks were counted")
    early = _ratio(both[0]) if both else NO_SWALLOW
    return SucksToSwallow(early, _ratio(both[-1]) if len(both) > 1 else None, dry)


def longest_pause(line: FeedLine, name: str) -> timedelta | NoFigure:
    """The longest pause tapped on a lane, until sucking went on or the spell ended; sleep is none."""
    lane = _latched(line, name)
    if isinstance(lane, NoFigure):
        return lane
    lengths = [rest.until - rest.at for rest in lane.pauses]
    return max(lengths) if lengths else NoFigure("no pause was tapped")


def _lasted(line: FeedLine, name: str, *, sucking: bool) -> timedelta | NoFigure:
    lane = _latched(line, name)
    if isinstance(lane, NoFigure):
        return lane
    if line.now is None and lane.on:
        return NoFigure("no letting go and no end was tapped")
    return sum((part.until - part.at for part in (lane.bursts if sucking else lane.spells)), timedelta(0))


def active_for(line: FeedLine, name: str) -> timedelta | NoFigure:
    """How long there was active sucking on a lane, all bursts together; up to now while it goes on."""
    return _lasted(line, name, sucking=True)


def on_for(line: FeedLine, name: str) -> timedelta | NoFigure:
    """How long baby was on a lane, all spells together, pauses and sleep too; up to now while it goes on."""
    return _lasted(line, name, sucking=False)


@dataclass(frozen=True, slots=True)
class Pains:
    """The feeder's pain through a feed, 0 to 10: first, last and highest, each with its time."""

    first: tuple[datetime, int]
    last: tuple[datetime, int]
    peak: tuple[datetime, int]


def pains(line: FeedLine, name: str | None = None) -> Pains | NoFigure:
    """Pain first, last and at its highest: on one lane, or of the whole feed."""
    if line.unresolved:
        return _UNRESOLVED
    among = line.events if name is None else line.lane(name).events
    found = [(event.at, event.pain) for event in among if event.what == "pain" and event.pain is not None]
    if not found:
        return NoFigure("pain was not tapped")
    return Pains(found[0], found[-1], max(found, key=lambda pain: pain[1]))


@dataclass(frozen=True, slots=True)
class Change:
    """What went before and after something was changed or help was given, from the change before to the one after.

    Pain is the last before and the first after, None where none was tapped. Swallows are per minute of active sucking.
    """

    event: Event
    pain_before: int | None
    pain_after: int | None
    swallows_before: Fraction | NoFigure
    swallows_after: Fraction | NoFigure


def changes(line: FeedLine) -> tuple[Change, ...] | NoFigure:
    """Each change and each help, in order. One on a lane is compared on that lane, one on none with the whole feed."""
    if line.unresolved:
        return _UNRESOLVED
    scopes: list[str | None] = [name for name in LANES if line.lane(name).of(*CHANGES)]
    if any(event.lane is None and event.what in CHANGES for event in line.events):
        scopes.append(None)
    found = {change.event.id: change for scope in scopes for change in _changes(line, scope)}
    return tuple(found[event.id] for event in line.events if event.id in found)


@dataclass(slots=True)
class _Window:
    """What was tapped between two changes."""

    pains: list[int]
    swallows: int = 0
    active: timedelta = timedelta(0)

    @property
    def rate(self) -> Fraction | NoFigure:
        if self.active < LEAST_ACTIVE:
            return NoFigure("less than a minute of active sucking")
        if not self.swallows:
            return NoFigure(f"no swallow tapped in {stretch_words(self.active)} of active sucking")
        return self.swallows / minutes_of(self.active)


def _changes(line: FeedLine, scope: str | None) -> Iterator[Change]:
    """The changes of one lane, or those on none. A change on none also ends the stretch of every lane."""
    lanes = tuple(line.lanes.values()) if scope is None else (line.lane(scope),)
    cuts: list[Event] = []
    windows = [_Window([])]
    for event in line.events:
        if scope is not None and event.lane not in (scope, None):
            continue
        if event.what in CHANGES:
            cuts.append(event)
            windows.append(_Window([]))
        elif event.what == "pain" and event.pain is not None:
            windows[-1].pains.append(event.pain)
        elif event.what == "swallow" and event.lane is not None:
            windows[-1].swallows += 1
    spans = _joined((burst.at, burst.until) for lane in lanes for burst in lane.bursts)
    _spread(spans, [cut.at for cut in cuts], windows)
    for place, cut in enumerate(cuts):
        before, after = windows[place], windows[place + 1]
        if cut.lane == scope:
            yield Change(
                cut, next(reversed(before.pains), None), next(iter(after.pains), None), before.rate, after.rate
            )


def _joined(spans: Iterable[tuple[datetime, datetime]]) -> list[tuple[datetime, datetime]]:
    """Stretches by time, those that overlap (a tube beside a side) made one."""
    found: list[tuple[datetime, datetime]] = []
    for at, until in sorted(spans):
        if found and at <= found[-1][1]:
            found[-1] = (found[-1][0], max(until, found[-1][1]))
        else:
            found.append((at, until))
    return found


def _spread(spans: Iterable[tuple[datetime, datetime]], edges: Sequence[datetime], windows: list[_Window]) -> None:
    """Each stretch of time given to the windows it lies in; stretches and edges are by time, each looked at once."""
    place = 0
    for at, until in spans:
        while place < len(edges) and edges[place] <= at:
            place += 1
        start = at
        while place < len(edges) and edges[place] < until:
            windows[place].active += edges[place] - start
            start = edges[place]
            place += 1
        windows[place].active += until - start


@dataclass(frozen=True, slots=True)
class Rate:
    """Transfer of one side for each minute of active sucking there, in grams a minute, exact, with its cautions."""

    grams: int
    active: timedelta
    per_minute: Fraction
    cautions: tuple[str, ...]


def transfer_rate(line: FeedLine, side: str, readings: Iterable[WeightReading]) -> Rate | NoFigure:
    """Grams a minute of active sucking on a side, from the weights that point to this feed.

    None for a void pair, below the scale's step, with less than a minute of active sucking, while baby is on, or where
    any of it lies outside the weights (house rules, P).
    """
    assert side in SIDES
    weighed = tuple(readings)
    found = feed_transfer(weighed)
    grams, active = found.side(side), active_for(line, side)
    if isinstance(grams, NoFigure):
        return grams
    if isinstance(active, NoFigure):
        return active
    pairs = [pair for pair in found.pairs if pair.side == side]
    if any(pair.void for pair in pairs):
        return NoFigure("a pair of weights of this side is void")
    steps = [pair.step for pair in pairs]
    step = sum(step or 0 for step in steps)
    if grams <= 0 or grams < step:
        return NoFigure("no transfer that the scale can tell")
    if line.lane(side).on:
        return NoFigure("baby is still on this side")
    if active < LEAST_ACTIVE:
        return NoFigure("less than a minute of active sucking")
    outside = _outside(line.lane(side), [reading for reading in weighed if reading.feed_side == side])
    if outside is not None:
        return NoFigure(outside)
    cautions = tuple(dict.fromkeys(words for pair in pairs for words in pair.cautions))
    scale = "scale step not known" if None in steps else f"the scale alone: ±{step} g"
    return Rate(grams, active, grams / minutes_of(active), (SAMPLE, WATCHED, scale, *cautions))


def _outside(lane: LaneLine, readings: Iterable[WeightReading]) -> str | None:
    """Why the weights of a side do not stand around all of its spells; None if they do, to the minute."""
    times: dict[str, list[datetime]] = {"before": [], "after": []}
    for reading in readings:
        if not isinstance(reading.taken, Moment):
            return "a weight of this side has no time"
        if isinstance(reading.feed_point, str):
            times[reading.feed_point].append(reading.taken.at)
    pairs = tuple(zip(sorted(times["before"]), sorted(times["after"]), strict=False))
    for spell in lane.spells:
        if not any(first - MINUTE <= spell.at and spell.until <= then + MINUTE for first, then in pairs):
            return "baby was on this side outside the two weights"
    return None
