"""The table twin of a feed's timeline: a row for each spell, burst, rest and single event, and which row tells what.

Swallows and sucks stand in the row of their burst with their number, so the numbers of the table add up to the events.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from forms.answers import Moment
from forms.ask import ask_of
from forms.clinical.feed_line import LANED, Burst, Event, FeedLine, LaneLine, Rest, Spell
from forms.clinical.feed_numbers import stretch_words
from forms.event_words import FROM_MEMORY, into
from forms.feed_event import FeedEvent

__all__ = ["COLUMNS", "Piece", "Weighed", "pieces", "place_words", "rows_of"]

COLUMNS: Final = ("Into the feed", "Where", "What", "Noted")
IN_BURSTS: Final = frozenset({"suck", "swallow"})
SHAPED: Final = frozenset({"latch", "sucking", "pause", "off_self", "taken_off"})
"""What is told by the spells, bursts and rests it makes."""
LIVE: Final = "as it happened"
OTHER_LANES: Final = {"tube": "tube", "bottle": "bottle", "cup": "cup, spoon or syringe"}
ENDS: Final = {"off_self": "lets go", "taken_off": "taken off", "switched": "put to another side",
               "end": "watching ends", "": "still on"}  # fmt: skip
KINDS: Final = {"latch": "latch", "relatch": "latched again", "switch": "latch on this side"}


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weight around the feed: `side` "left", "right", "both" or "bottle", `point` "before" or "after"."""

    side: str
    point: str
    words: str


@dataclass(frozen=True, slots=True)
class Piece:
    """One row: the thing it tells of, when, in words. `events` are those it counts, `told` whether from memory."""

    what: Spell | Burst | Rest | Event
    lane: str | None
    at: datetime
    words: str
    events: tuple[Event, ...] = ()
    told: bool = False


def place_words(lane: str | None, feeder: str) -> str:
    """Where a lane is: "Mara’s left", "bottle"; "" for the whole feed."""
    if lane in ("left", "right"):
        return f"{feeder}’s {lane}"
    return OTHER_LANES.get(lane, lane) if lane else ""


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _after(events: tuple[Event, ...], at: datetime, *kinds: str) -> bool:
    """Whether an event of these kinds at this very time was noted from memory."""
    return any(not event.live for event in events if event.at == at and event.what in kinds)


def _in_bursts(lane: LaneLine) -> tuple[list[list[Event]], list[Event]]:
    """The sucks and swallows of each burst, as many as the burst counts; and those that lie in none."""
    held: list[list[Event]] = [[] for _ in lane.bursts]
    loose: list[Event] = []
    for what in ("suck", "swallow"):
        place = 0
        left = [burst.sucks if what == "suck" else burst.swallows for burst in lane.bursts]
        for event in lane.of(what):
            while place < len(left) and (not left[place] or lane.bursts[place].until < event.at):
                place += 1
            if place < len(left) and lane.bursts[place].at <= event.at:
                held[place].append(event)
                left[place] -= 1
            else:
                loose.append(event)
    return held, loose


def _burst_words(burst: Burst) -> str:
    said = [f"active sucking, {stretch_words(burst.until - burst.at)}"]
    said += [_counted(burst.swallows, "swallow")] if burst.swallows else []
    said += [_counted(burst.sucks, "suck")] if burst.sucks else []
    return ", ".join(said) + (", going on" if burst.running else "")


def _spell_words(spell: Spell) -> str:
    return f"{KINDS.get(spell.kind, spell.kind)}, on for {stretch_words(spell.until - spell.at)}, {ENDS[spell.ended]}"


def _event_words(event: Event) -> str:
    what = ask_of(FeedEvent, "what").options.get(event.what, event.what)
    said = [f"{what[:1].lower()}{what[1:]}"]
    said += [f"{event.pain} of 10"] if event.pain is not None else []
    said += [f"{event.ml} mL"] if event.ml is not None else []
    said += [event.words] if event.words else []
    return ", ".join(said)


def _lane(lane: LaneLine) -> Iterator[Piece]:
    name, events = lane.lane, lane.events
    for spell in lane.spells:
        ends = ("off_self", "taken_off", "end")
        told = _after(events, spell.at, "latch") or _after(events, spell.until, *ends)
        yield Piece(spell, name, spell.at, _spell_words(spell), told=told)
    held, loose = _in_bursts(lane)
    for burst, inside in zip(lane.bursts, held, strict=True):
        told = _after(events, burst.at, "latch", "sucking", "suck", "swallow")
        yield Piece(burst, name, burst.at, _burst_words(burst), tuple(inside), told)
    for rest in lane.rests:
        words = f"{'asleep' if rest.asleep else 'pause'}, {stretch_words(rest.until - rest.at)}"
        told = _after(events, rest.at, "pause", "asleep")
        yield Piece(rest, name, rest.at, words + (", going on" if rest.running else ""), told=told)
    starts = {spell.at for spell in lane.spells}
    spare = [e for e in events if e.what in SHAPED and not _shapes(lane, e, starts)]
    single = [e for e in events if e.what not in IN_BURSTS | SHAPED]
    for event in (*loose, *spare, *single):
        yield Piece(event, name, event.at, _event_words(event), (event,), not event.live)


def _shapes(lane: LaneLine, event: Event, starts: set[datetime]) -> bool:
    """Whether a spell, burst or rest tells of this event by its beginning or its end."""
    if event.what == "latch":
        return event.at in starts
    if event.what == "sucking":
        return any(burst.at <= event.at <= burst.until for burst in lane.bursts)
    if event.what == "pause":
        return any(rest.at <= event.at <= rest.until for rest in lane.rests)
    return any(spell.until == event.at for spell in lane.spells)


def pieces(line: FeedLine) -> tuple[Piece, ...]:
    """Every row that has a time, by time: of each lane, and of the feed as a whole."""
    found = [piece for lane in line.lanes.values() for piece in _lane(lane)]
    for event in line.events:
        if event.lane is None:
            stray = f"{_event_words(event)}, no side written" if event.what in LANED else _event_words(event)
            found.append(Piece(event, None, event.at, stray, (event,), not event.live))
    return tuple(sorted(found, key=lambda piece: (piece.at, piece.lane or "", not isinstance(piece.what, Spell))))


def rows_of(
    line: FeedLine, found: tuple[Piece, ...], start: datetime, feeder: str, weighed: tuple[Weighed, ...],
    undrawn: tuple[str, ...],
) -> tuple[tuple[str, ...], ...]:  # fmt: skip
    """The rows in words: what has a time, then the weights, then the events that cannot be drawn."""
    first = Moment(start, line.zone)
    rows = [
        (into(first, Moment(piece.at, line.zone)), place_words(piece.lane, feeder), piece.words, _noted(piece))
        for piece in found
    ]
    sides = {"both": "the whole feed", "": "side not written"}
    for one in weighed:
        side = sides.get(one.side, place_words(one.side, feeder))
        rows.append((one.point or "point not written", side, f"weight {one.words}", ""))
    return (*rows, *(("not drawn", "", words, "") for words in undrawn))


def _noted(piece: Piece) -> str:
    after = sum(not event.live for event in piece.events)
    if isinstance(piece.what, Event):
        return FROM_MEMORY if piece.told else LIVE
    said = f"{FROM_MEMORY}" if piece.told else LIVE
    return f"{said}; {after} of {len(piece.events)} taps {FROM_MEMORY}" if after else said
