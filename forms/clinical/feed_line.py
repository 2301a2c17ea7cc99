"""A feed or an expressing session as its events tell it: for each lane, spells, bursts of sucking, pauses, swallows.

Everything is worked out from the events and kept nowhere. Times are real time. House rules where a tap can be read in
two ways (P, our own):
- A spell runs from a latch to letting go, being taken off, the end of the watching, or a latch of the same baby on
  another lane; a tube at the breast or chest runs beside left and right. Both sides of an expressing parent may run at
  once. An end noted on one lane ends that lane alone.
- Sucking begins at "active sucking" if that is the first thing tapped of it after the latch, else at the latch. It
  stops at a pause, at falling asleep and with the spell. A suck or a swallow tapped while paused goes on from there.
- Asleep with no lane named is true of every lane. Nothing else is ever put on a lane it was not tapped on.
- A tap that does not fit (a swallow with no latch before it) stays in the list and the counts and is told in `doubts`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType
from typing import Final

from forms.clinical.feed_taps import Event, Events, events_by, events_of
from forms.feed_event import ASLEEP, OFF, ON

__all__ = [
    "ACTIVE", "LANED", "LANES", "LATCHED", "OFF_NOW", "PAUSED", "SIDES", "SLEEPING", "Burst", "Event", "Events",
    "FeedLine", "LaneLine", "Rest", "Spell", "events_by", "events_of", "feed_line", "likely_next",
]  # fmt: skip

LANED: Final = ("latch", "sucking", "suck", "swallow", "pause", "off_self", "taken_off")
"""What says nothing unless the lane is known."""
LANES: Final = ("left", "right", "tube", "bottle", "cup")
SIDES: Final = ("left", "right")
OFF_NOW, LATCHED, ACTIVE, PAUSED, SLEEPING = "off", "latched", "active", "paused", "asleep"
"""What a lane is doing: LATCHED means latched with nothing of sucking tapped yet."""


@dataclass(frozen=True, slots=True)
class Spell:
    """One stretch on a lane. `kind`: "latch" the first of the feed, "switch" the first on another lane, else "relatch".

    `ended` is "off_self", "taken_off", "switched", "end", or "" while it runs; `until` is then the latest time known.
    """

    at: datetime
    until: datetime
    kind: str
    ended: str

    @property
    def running(self) -> bool:
        """Whether baby is still on."""
        return not self.ended


@dataclass(frozen=True, slots=True)
class Burst:
    """One run of active sucking between pauses, with the sucks and swallows tapped in it."""

    at: datetime
    until: datetime
    sucks: int = 0
    swallows: int = 0
    running: bool = False


@dataclass(frozen=True, slots=True)
class Rest:
    """A pause, or a sleep, while on the lane: until sucking goes on or the spell ends."""

    at: datetime
    until: datetime
    asleep: bool = False
    running: bool = False


@dataclass(frozen=True, slots=True)
class LaneLine:
    """One lane of the line. `by_what` has its events by kind, in order; `events` all of them."""

    lane: str
    spells: tuple[Spell, ...] = ()
    bursts: tuple[Burst, ...] = ()
    rests: tuple[Rest, ...] = ()
    events: tuple[Event, ...] = ()
    by_what: Mapping[str, tuple[Event, ...]] = field(default_factory=dict)
    state: str = OFF_NOW
    doubts: tuple[str, ...] = ()

    def of(self, *kinds: str) -> tuple[Event, ...]:
        """The events of these kinds, in order within each kind."""
        return tuple(event for what in kinds for event in self.by_what.get(what, ()))

    @property
    def on(self) -> bool:
        """Whether baby, or the pump, is on this lane now."""
        return self.state != OFF_NOW

    @property
    def pauses(self) -> tuple[Rest, ...]:
        """The rests tapped as pauses; sleep is none."""
        return tuple(rest for rest in self.rests if not rest.asleep)

    @property
    def swallows(self) -> tuple[datetime, ...]:
        """When each swallow was tapped."""
        return tuple(event.at for event in self.of("swallow"))

    @property
    def sucks(self) -> tuple[datetime, ...]:
        """When each suck was tapped."""
        return tuple(event.at for event in self.of("suck"))

    @property
    def pains(self) -> tuple[tuple[datetime, int], ...]:
        """Each pain with its time."""
        return tuple((event.at, event.pain) for event in self.of("pain") if event.pain is not None)

    @property
    def amounts(self) -> tuple[tuple[datetime, int], ...]:
        """Each reading of the amount so far, in mL, with its time."""
        return tuple((event.at, event.ml) for event in self.of("amount") if event.ml is not None)

    @property
    def letdowns(self) -> tuple[Event, ...]:
        """Letdowns felt or seen, by time."""
        return tuple(event for event in self.events if event.what in ("letdown_felt", "letdown_seen"))


@dataclass(frozen=True, slots=True)
class FeedLine:
    """The whole line: lanes by name (only those with an event), every event, and what could not be placed.

    `began` is the first event; `ended` the end of the watching, None while it runs. `now`: until when open spells run.
    """

    events: tuple[Event, ...] = ()
    lanes: Mapping[str, LaneLine] = field(default_factory=dict)
    ended: datetime | None = None
    unresolved: tuple[str, ...] = ()
    untimed: tuple[str, ...] = ()
    now: datetime | None = None
    expressing: bool = False

    @property
    def began(self) -> datetime | None:
        """When the watching began: the first event of any kind."""
        return self.events[0].at if self.events else None

    @property
    def last(self) -> datetime | None:
        """The time of the last event."""
        return self.events[-1].at if self.events else None

    @property
    def zone(self) -> str:
        """The zone in which it was lived, as its first event has it."""
        return self.events[0].zone if self.events else "UTC"

    @property
    def astray(self) -> tuple[Event, ...]:
        """Events that belong on a lane and name none: listed, and counted on no lane."""
        return tuple(event for event in self.events if event.lane is None and event.what in LANED)

    def lane(self, name: str) -> LaneLine:
        """One lane, empty if nothing happened on it."""
        return self.lanes.get(name) or LaneLine(name)

    @property
    def on(self) -> tuple[str, ...]:
        """The lanes baby, or the pump, is on now."""
        return tuple(name for name, lane in self.lanes.items() if lane.on)


@dataclass(slots=True)
class _Lane:
    """A lane while its events are gone through, once, in order."""

    name: str
    events: list[Event] = field(default_factory=list)
    by_what: dict[str, list[Event]] = field(default_factory=dict)
    spells: list[Spell] = field(default_factory=list)
    bursts: list[Burst] = field(default_factory=list)
    rests: list[Rest] = field(default_factory=list)
    state: str = OFF_NOW
    kind: str = ""
    since: datetime | None = None  # the beginning of the open spell
    part: datetime | None = None  # the beginning of the open burst or rest
    sucks: int = 0
    swallows: int = 0
    doubts: dict[str, None] = field(default_factory=dict)

    def note(self, event: Event) -> None:
        self.events.append(event)
        self.by_what.setdefault(event.what, []).append(event)

    def go_on(self, at: datetime, kind: str) -> None:
        if self.state != OFF_NOW:
            self.doubts["latched twice with no letting go between"] = None
            return
        self.state, self.kind, self.since, self.part = LATCHED, kind, at, at

    def suck(self, what: str, at: datetime) -> None:
        if self.state == OFF_NOW:
            self.doubts[f"a {what if what != 'sucking' else 'run of sucking'} with no latch before it"] = None
            return
        if self.state in (PAUSED, SLEEPING):
            self._close_part(at)
            self.part = at
        elif self.state == LATCHED and what == "sucking":
            self.part = at
        self.state = ACTIVE
        self.sucks += what == "suck"
        self.swallows += what == "swallow"

    def rest(self, at: datetime, *, asleep: bool) -> None:
        if self.state == OFF_NOW:
            if not asleep:
                self.doubts["a pause with no latch before it"] = None
            return
        if self.state == SLEEPING or (self.state == PAUSED and not asleep):
            return
        self._close_part(at)
        self.state, self.part = (SLEEPING if asleep else PAUSED), at

    def let_go(self, at: datetime, how: str) -> None:
        if self.since is None:
            if how in OFF:
                self.doubts["let go with no latch before it"] = None
            return
        self._close_part(at)
        self.spells.append(Spell(self.since, at, self.kind, how))
        self.state, self.since, self.part = OFF_NOW, None, None

    def _close_part(self, at: datetime, *, running: bool = False) -> None:
        """The open burst or rest ends. A burst of no length in which nothing was tapped is none."""
        assert self.part is not None
        if self.state in (PAUSED, SLEEPING):
            self.rests.append(Rest(self.part, at, self.state == SLEEPING, running))
        elif running or at > self.part or self.sucks or self.swallows:
            self.bursts.append(Burst(self.part, at, self.sucks, self.swallows, running))
        self.sucks = self.swallows = 0

    def done(self, latest: datetime) -> LaneLine:
        if self.since is not None:
            self._close_part(latest, running=True)
            self.spells.append(Spell(self.since, latest, self.kind, ""))
        by_what = MappingProxyType({what: tuple(events) for what, events in self.by_what.items()})
        return LaneLine(
            self.name, tuple(self.spells), tuple(self.bursts), tuple(self.rests), tuple(self.events), by_what,
            self.state, tuple(self.doubts),
        )  # fmt: skip


def _parts(name: str, other: str, *, expressing: bool) -> bool:
    """Whether a latch on one lane ends what runs on the other."""
    beside = expressing or name == other or ("tube" in (name, other) and bool({name, other} & set(SIDES)))
    return not beside


def feed_line(events: Events, now: datetime | None = None) -> FeedLine:
    """The line of one feed or session, in one pass. An open spell runs to `now` (aware), else to the last event."""
    lanes: dict[str, _Lane] = {}
    ended: datetime | None = None
    for event in events.timed:
        if event.what in ON or event.what == "begin":
            ended = None
        if event.lane is not None:
            lane = lanes.setdefault(event.lane, _Lane(event.lane))
            lane.note(event)
            _take(lane, event, lanes, expressing=events.expressing)
        elif event.what == "end":
            ended = event.at
            for lane in lanes.values():
                lane.let_go(event.at, "end")
        elif event.what == ASLEEP:
            for lane in lanes.values():
                lane.rest(event.at, asleep=True)
    times = [event.at for event in events.timed[-1:]] + ([now] if now is not None else [])
    found = {name: lanes[name].done(max(times)) for name in sorted(lanes, key=_rank)}
    return FeedLine(
        events.timed, MappingProxyType(found), ended, events.unresolved, events.untimed, now, events.expressing
    )


def _rank(lane: str) -> tuple[int, str]:
    return (LANES.index(lane) if lane in LANES else len(LANES), lane)


def _take(lane: _Lane, event: Event, lanes: Mapping[str, _Lane], *, expressing: bool) -> None:
    """What one event does to its lane, and a latch to the others."""
    if event.what in ON:
        others = tuple(_others(lane, lanes, expressing=expressing))
        earlier = any(other.spells or other.since for other in others)
        for other in others:
            other.let_go(event.at, "switched")
        lane.go_on(event.at, "relatch" if lane.spells else "switch" if earlier else "latch")
    elif event.what in OFF or event.what == "end":
        lane.let_go(event.at, event.what)
    elif event.what in ("suck", "swallow", "sucking"):
        lane.suck(event.what, event.at)
    elif event.what in ("pause", ASLEEP):
        lane.rest(event.at, asleep=event.what == ASLEEP)


def _others(lane: _Lane, lanes: Mapping[str, _Lane], *, expressing: bool) -> Iterator[_Lane]:
    return (other for name, other in lanes.items() if _parts(lane.name, name, expressing=expressing))


def likely_next(line: FeedLine, lane: str) -> str:
    """The event that most likely comes next on a lane: which target is largest, and nothing said of the baby."""
    found = line.lane(lane)
    if not found.on:
        return "latch"
    if line.expressing:
        return "amount" if found.of("drops") else "drops"
    if found.state == PAUSED:
        return "sucking"
    if found.state == SLEEPING:
        return "off_self" if lane in SIDES else "taken_off"
    return "amount" if lane in ("tube", "cup") else "swallow"
