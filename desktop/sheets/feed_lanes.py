"""How the events of a feed are drawn on its lanes, and the words and keys by which they are tapped."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from types import MappingProxyType

from desktop.controls.lane import LaneShape, Mark, MarkKind, Part, PartKind
from forms.clinical.feed_line import Event, LaneLine
from forms.feed_event import OFF

__all__ = ["KEYS", "LATCH_WORDS", "PAIN_KEYS", "WORDS", "mark_of", "shape_of"]

Seconds = Callable[[datetime], float]

WORDS: Mapping[str, str] = MappingProxyType({
    "latch": "Latch",
    "sucking": "Active sucking",
    "suck": "Suck",
    "swallow": "Swallow",
    "pause": "Pause",
    "letdown_seen": "Letdown seen",
    "letdown_felt": "Letdown felt",
    "click": "Click",
    "off_self": "Let go",
    "taken_off": "Taken off",
    "compress": "Compress",
    "cough": "Cough",
    "choke": "Choke",
    "asleep": "Asleep",
    "spit_up": "Spit-up",
    "burp": "Burp",
    "upset": "Upset",
    "help": "Help",
    "changed": "Changed",
    "amount": "Amount so far",
    "pain": "Pain",
    "begin": "Watching begins",
    "end": "Watching ends",
})  # fmt: skip
"""An event in a word or two, as it stands on its target."""

LATCH_WORDS: Mapping[str, str] = MappingProxyType(
    {"tube": "Tube begins", "bottle": "Bottle begins", "cup": "Cup begins"}
)
"""A latch on a lane that is no side."""

KEYS: Mapping[str, str] = MappingProxyType({
    "latch": "L", "swallow": "W", "suck": "S", "sucking": "V", "pause": "P", "letdown_seen": "D", "letdown_felt": "F",
    "click": "K", "off_self": "O", "taken_off": "T", "compress": "C", "cough": "G", "choke": "H", "asleep": "A",
    "spit_up": "I", "burp": "B", "upset": "U", "help": "E", "changed": "N",
})  # fmt: skip
"""The letter of each event, one of those in its word, where it is underlined."""

PAIN_KEYS: tuple[str, ...] = (*"0123456789", "X")
"""The keys of pain 0 to 10."""

_OVER: Mapping[str, str] = MappingProxyType({
    "latch": "latch", "off_self": "let go", "taken_off": "taken off", "asleep": "asleep", "letdown_seen": "letdown",
    "letdown_felt": "letdown felt", "drops": "first drops",
})  # fmt: skip
_WATCH = frozenset({"click", "cough", "choke"})
_UNDER = frozenset({"compress", "spit_up", "burp", "upset", "help", "changed"})


def mark_of(event: Event, at: float) -> Mark | None:
    """How one event is drawn at its second; None for what is a stretch and no mark."""
    match event.what:
        case "swallow":
            return Mark(MarkKind.TICK, at)
        case "suck":
            return Mark(MarkKind.STEP, at)
        case "pain" if event.pain is not None:
            return Mark(MarkKind.PAIN, at, str(event.pain))
        case "amount" if event.ml is not None:
            return Mark(MarkKind.UNDER, at, f"{event.ml} mL")
    if event.what in _OVER:
        words = "begins" if event.what == "latch" and event.lane in LATCH_WORDS else _OVER[event.what]
        edge = event.what == "latch" or event.what in OFF
        return Mark(MarkKind.EDGE if edge else MarkKind.OVER, at, words)
    if event.what in _WATCH or event.what in _UNDER:
        kind = MarkKind.WATCH if event.what in _WATCH else MarkKind.UNDER
        return Mark(kind, at, WORDS[event.what].lower())
    return None


def _parts(lane: LaneLine, seconds: Seconds) -> Iterator[Part]:
    for spell in lane.spells:
        yield Part(PartKind.SPELL, seconds(spell.at), None if spell.running else seconds(spell.until))
    for rest in lane.rests:
        yield Part(PartKind.REST, seconds(rest.at), None if rest.running else seconds(rest.until))
    for burst in lane.bursts:
        yield Part(PartKind.BURST, seconds(burst.at), None if burst.running else seconds(burst.until))


def shape_of(lane: LaneLine, seconds: Seconds) -> LaneShape:
    """All of a lane, in seconds since the beginning of the feed. What runs comes last."""
    parts = sorted(_parts(lane, seconds), key=lambda part: part.until is None)
    if lane.state == "latched":  # nothing of sucking was tapped yet, so none is drawn
        parts = [part for part in parts if part.kind is PartKind.SPELL or part.until is not None]
    marks = (mark_of(event, seconds(event.at)) for event in lane.events)
    return LaneShape(tuple(parts), tuple(mark for mark in marks if mark is not None))
