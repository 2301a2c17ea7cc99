"""The figures of feeds told by their events: first swallow, sucks to a swallow, what a change did, pain, the rate.

A feed without events yields nothing. What matters stands large; minutes and counts are small words under it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from fractions import Fraction

from forms.answers import Moment, every
from forms.ask import asks
from forms.chart import Chart, Entry
from forms.clinical.feed_answers import signs_of
from forms.clinical.feed_clock import FORGOTTEN
from forms.clinical.feed_line import SIDES, Event, Events, FeedLine, LaneLine, events_by, feed_line
from forms.clinical.feed_numbers import (
    LEAST_ACTIVE,
    NO_SWALLOW,
    Change,
    active_for,
    changes,
    first_swallow,
    longest_pause,
    on_for,
    pains,
    stretch_words,
    sucks_to_swallow,
    transfer_rate,
)
from forms.clinical.result import NoFigure
from forms.days import clock
from forms.feed import FeedObservation
from forms.figure import NOTHING, Figure, no_figure
from forms.people import ParentIdentity
from forms.units import decimal
from forms.weight import WeightReading

__all__ = ["feed_figures", "line_until"]

TAPPED = "as tapped while watching (C)"
NO_NORMAL = "it changes with flow and has no fixed normal"
RATIO_SOURCE = f"{TAPPED}; no fixed normal: review PMC8465002 (S)"
RATE_SOURCE = (
    "transfer: 1 g = 1 mL, convention (M); divided by active minutes as tapped (C); 1 min or more: house rule (P)"
)
CHANGE_SOURCE = f"{TAPPED}; no rate under {stretch_words(LEAST_ACTIVE)} of active sucking: house rule (P)"
OTHERWISE = {"tube": "tube", "bottle": "bottle", "cup": "cup, spoon or syringe"}
UNPLACED = "Two values stand in an event; settle it under the events of this feed."


def line_until(events: Events, now: datetime) -> FeedLine:
    """The line of a feed up to now; one without an event for so long that it was forgotten runs to its last event."""
    last = events.timed[-1].at if events.timed else None
    return feed_line(events, now if last is not None and now - last <= FORGOTTEN else None)


def feed_figures(chart: Chart, person: str, now: datetime) -> Iterator[Figure]:
    """The figures of every feed of a baby at this visit that has events. `now` is aware."""
    if chart.visit is None:
        return
    feeds = [f for f in chart.all(FeedObservation, visit=chart.visit) if person in f.place.subjects[1:]]
    told = events_by(chart) if feeds else {}
    for number, feed in enumerate(feeds, start=1):
        events = told.get(feed.id)
        if events:
            yield from _feed(chart, feed, line_until(events, now), f" at feed {number}" if len(feeds) > 1 else "")


def _feed(chart: Chart, feed: Entry[FeedObservation], line: FeedLine, which: str) -> Iterator[Figure]:
    feeder = _called(chart, feed.place.subjects[0])
    yield from _against(feed, line, which)
    if line.unresolved:
        gap = NoFigure(UNPLACED, unresolved=True)
        yield no_figure(f"first_swallow:{feed.id}", f"Feed by its events{which}", gap, TAPPED)
        return
    for name, lane in line.lanes.items():
        if lane.spells or lane.swallows or lane.sucks:
            where = f"{_where(name, feeder)}{which}"
            yield _swallow(line, lane, feed.id, f"First swallow, {where}")
            yield from _sucks(line, lane, feed.id, f"Sucks to a swallow, {where}")
    yield from _changed(line, feed.id, feeder, which)
    yield from _pain(line, feed.id, feeder, which)
    weighed = [e.answers for e in chart.all(WeightReading) if feed.id in every(e.answers.feed)]
    yield from _rates(line, feed.id, weighed, feeder, which)


def _called(chart: Chart, parent: str) -> str:
    identity = chart.person(ParentIdentity, parent)
    return next((name for name in (*every(identity.called_name), *every(identity.full_name))), "the feeder")


def _where(lane: str, feeder: str) -> str:
    return f"{feeder}'s {lane}" if lane in SIDES else OTHERWISE.get(lane, lane)


def _at(line: FeedLine, at: datetime) -> str:
    local = Moment(at, line.zone).local()
    return f"{clock(local)}:{local.second:02}"


def _times(line: FeedLine, what: str, events: Iterable[Event]) -> str:
    """One line for all events of a kind, however many: "14 swallows, 14:03:10 to 14:11:40"."""
    found = tuple(events)
    ends = dict.fromkeys(_at(line, event.at) for event in (found[0], found[-1]))
    noun = what if len(found) == 1 else f"{what}es" if what.endswith("ch") else f"{what}s"
    after = sum(not event.live for event in found)
    memory = f", {after} of them entered from memory" if after else ""
    return f"{len(found)} {noun}, {' to '.join(ends)}{memory}"


def _tapped(line: FeedLine, lane: LaneLine, *kinds: str) -> tuple[str, ...]:
    return tuple(_times(line, what, lane.of(what)) for what in kinds if lane.of(what))


def _swallow(line: FeedLine, lane: LaneLine, feed: str, label: str) -> Figure:
    key, formula = f"first_swallow:{feed}:{lane.lane}", "first swallow tapped less first latch tapped on this lane"
    found = first_swallow(line, lane.lane)
    small = [found.why] if isinstance(found, NoFigure) else []
    if lane.swallows:
        bursts = len(lane.bursts)
        small.append(f"{_counted(len(lane.swallows), 'swallow')} tapped, {_counted(bursts, 'burst')} of sucking")
    pause = longest_pause(line, lane.lane)
    small += [] if isinstance(pause, NoFigure) else [f"longest pause {stretch_words(pause)}"]
    active, on = active_for(line, lane.lane), on_for(line, lane.lane)
    if isinstance(active, NoFigure) or isinstance(on, NoFigure):
        small.append(active.why if isinstance(active, NoFigure) else "")
    else:
        small.append(f"active {stretch_words(active)} of {stretch_words(on)} {'so far' if lane.on else 'on'}")
    small += [*lane.doubts, *_untimed(line)]
    big = NOTHING if isinstance(found, NoFigure) else stretch_words(found)
    inputs = _tapped(line, lane, "latch", "swallow", "pause")
    return Figure(key, label, big, tuple(small), TAPPED, formula=formula, inputs=inputs)


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _untimed(line: FeedLine) -> tuple[str, ...]:
    astray = len(line.astray)
    return (
        *((f"{_counted(len(line.untimed), 'event')} without a time, not counted",) if line.untimed else ()),
        *((f"{_counted(astray, 'event')} without a side, not counted",) if astray else ()),
    )


def _sucks(line: FeedLine, lane: LaneLine, feed: str, label: str) -> Iterator[Figure]:
    found = sucks_to_swallow(line, lane.lane)
    if isinstance(found, NoFigure):  # no sucks counted: nothing to show
        return
    parts = [f"{_number(found.early)} early"] if isinstance(found.early, Fraction) else []
    parts += [f"{_number(found.late)} late"] if isinstance(found.late, Fraction) else []
    both = (("early", found.early), ("late", found.late))
    gaps = [f"{when}: {part.why}" for when, part in both if isinstance(part, NoFigure) and part is not NO_SWALLOW]
    dry = [f"no swallow in {_counted(sucks, 'suck')}" for sucks in found.dry[:1]]
    dry += [f"bursts without a swallow: {', '.join(str(sucks) for sucks in found.dry)} sucks"] * (len(found.dry) > 1)
    yield Figure(
        f"sucks:{feed}:{lane.lane}", label, ", ".join(parts) or (dry.pop(0) if dry else NOTHING),
        (*gaps, *dry, NO_NORMAL), RATIO_SOURCE,
        formula="sucks over swallows, in the first and in the last burst in which both were tapped",
        inputs=_tapped(line, lane, "suck", "swallow"),
    )  # fmt: skip


def _number(value: Fraction) -> str:
    return decimal(value, 0 if value.denominator == 1 else 1)


def _changed(line: FeedLine, feed: str, feeder: str, which: str) -> Iterator[Figure]:
    found = changes(line)
    for change in () if isinstance(found, NoFigure) else found:
        label = {"changed": "What changed", "help": "Help given"}[change.event.what]
        label += f", {_where(change.event.lane, feeder)}" if change.event.lane is not None else ""
        words = f": {change.event.words}" if change.event.words else ""
        yield Figure(
            f"changed:{feed}:{change.event.id}", f"{label}, {_at(line, change.event.at)}{which}", _comfort(change),
            (*((change.event.words,) if change.event.words else ()), *_pace(change)), CHANGE_SOURCE,
            formula="the last pain before and the first after; swallows over active minutes before and after; "
            "each from the change before to the one after",
            inputs=(f"{label} at {_at(line, change.event.at)}{words}",),
        )  # fmt: skip


def _comfort(change: Change) -> str:
    before, after = change.pain_before, change.pain_after
    if before is None and after is None:
        return NOTHING
    if before is not None and after is not None:
        return f"Pain {before}, then {after} of 10"
    return f"Pain not asked, then {after} of 10" if before is None else f"Pain {before} of 10, then not asked"


def _pace(change: Change) -> tuple[str, ...]:
    parts = (("before", change.swallows_before), ("after", change.swallows_after))
    return tuple(
        f"{when}: {part.why}" if isinstance(part, NoFigure) else f"{when}: {decimal(part, 1)} swallows an active minute"
        for when, part in parts
    )


def _pain(line: FeedLine, feed: str, feeder: str, which: str) -> Iterator[Figure]:
    found = pains(line)
    if isinstance(found, NoFigure):
        return
    told = [event for event in line.events if event.what == "pain" and event.pain is not None]
    big = f"{found.first[1]} first, {found.last[1]} last of 10" if len(told) > 1 else f"{found.first[1]} of 10"
    peak = (f"highest {found.peak[1]} of 10 at {_at(line, found.peak[0])}",) if len(told) > 1 else ()
    sides = {side: f", {_where(side, feeder)}" for side in SIDES}
    yield Figure(
        f"feed_pain:{feed}", f"Pain through the feed{which}", big, peak, "0 to 10, as the feeder said (C)",
        formula="the first, the last and the highest pain tapped",
        inputs=tuple(f"{event.pain} at {_at(line, event.at)}{sides.get(event.lane or '', '')}" for event in told),
    )  # fmt: skip


def _rates(line: FeedLine, feed: str, weighed: list[WeightReading], feeder: str, which: str) -> Iterator[Figure]:
    """Transfer for each active minute, only where a side was weighed; where it cannot be said, why."""
    for side in SIDES:
        if not any(side in every(reading.feed_side) for reading in weighed) or not line.lane(side).spells:
            continue
        key, label = f"rate:{feed}:{side}", f"Transfer a minute, {feeder}'s {side}{which}"
        found = transfer_rate(line, side, weighed)
        formula = "transfer of this side over the minutes of active sucking on it"
        if isinstance(found, NoFigure):
            yield no_figure(key, label, found, RATE_SOURCE, formula=formula)
            continue
        yield Figure(
            key, label, f"{decimal(found.per_minute, 1)} g a minute", found.cautions, RATE_SOURCE, formula=formula,
            inputs=(f"{found.grams} g on this side", f"{stretch_words(found.active)} of active sucking"),
        )  # fmt: skip


def _against(feed: Entry[FeedObservation], line: FeedLine, which: str) -> Iterator[Figure]:
    """An answer that says "none of these" beside a sign that was tapped: both stand, and it is said."""
    if not any("none" in picked for picked in every(feed.answers.baby_signs)):
        return
    words = asks(FeedObservation)["baby_signs"].options
    for sign in signs_of(line):
        tapped = tuple(event for event in line.events if event.what == sign)
        yield Figure(
            f"feed_signs:{feed.id}:{sign}", f"Seen in baby{which}", f"{words[sign]}, as tapped",
            (f"“{words['none']}” also stands",), TAPPED, formula="each event beside the answer about signs in baby",
            inputs=(_times(line, words[sign].lower(), tapped[:1]),), watch="check the entry",
        )  # fmt: skip
