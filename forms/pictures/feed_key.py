"""The key of a feed's timeline: only the signs that stand in it."""

from __future__ import annotations

from collections.abc import Iterator

from forms.clinical.feed_line import Burst, Event, FeedLine, Rest, Spell
from forms.pictures.drawing import Anchor, Area, Filling, Ink, Line, Part, Weave, Word, box, circle
from forms.pictures.feed_rows import Piece
from forms.pictures.keys import Sign, swatch

__all__ = ["signs_of"]


def signs_of(line: FeedLine, found: tuple[Piece, ...], *, merged: bool = False) -> Iterator[tuple[Sign, str]]:
    """The signs in the picture with their meaning, those of the lane first. `merged`: a tick may stand for several."""
    whats = [piece.what for piece in found]
    events = [event for piece in found for event in piece.events]
    if any(isinstance(what, Spell) for what in whats):
        yield swatch(Ink.ELDER, Filling.LIGHT), "on"
    bursts = [piece.told for piece in found if isinstance(piece.what, Burst)]
    if not all(bursts):
        yield swatch(Ink.ELDER, Filling.SOLID), "active sucking"
    if any(bursts):
        yield _open, "active sucking, from memory"
    if any(event.what == "swallow" for event in events):
        yield _swallow, "swallow" + (", near ones drawn as one" if merged else "")
    if any(event.what == "suck" for event in events):
        yield _suck, "suck"
    if any(isinstance(what, Rest) and not what.asleep for what in whats):
        yield swatch(Ink.ELDER, Filling.HATCH), "pause"
    if any(isinstance(what, Rest) and what.asleep for what in whats):
        yield swatch(Ink.ELDER, Filling.DOTS), "asleep"
    if any(isinstance(what, Event) and what.pain is not None for what in whats):
        yield _pain, "pain, 0 to 10"
    if any(not event.live for event in line.events):
        yield _told, "open or dotted: from memory"
    if line.on:
        yield _now, "still on"


def _swallow(x: float, y: float) -> tuple[Part, ...]:
    ticks = (Line(((at, y - 1.2), (at, y + 0.5)), Ink.ON_FILL, 0.32) for at in (x - 1.6, x, x + 1.6))
    return (Area(box(x - 3, y - 1.8, 6, 3.6), Ink.ELDER), *ticks)


def _suck(x: float, y: float) -> tuple[Part, ...]:
    ticks = (Line(((at, y + 0.6), (at, y + 1.5)), Ink.ON_FILL, 0.32) for at in (x - 1.6, x, x + 1.6))
    return (Area(box(x - 3, y - 1.8, 6, 3.6), Ink.ELDER), *ticks)


def _pain(x: float, y: float) -> tuple[Part, ...]:
    number = Word(x, y + 1.0, "5", 2.9, Ink.INK, Anchor.MIDDLE, strong=True)
    return Area(circle(x, y, 2.2), Ink.INK, Filling.NONE, 0.4), number


def _open(x: float, y: float) -> tuple[Part, ...]:
    outline = box(x - 3, y - 1.7, 6, 3.4)
    return Area(outline, Ink.CARD), Line(outline, Ink.ELDER, 0.4, Weave.DOTTED)


def _told(x: float, y: float) -> tuple[Part, ...]:
    return (Line(box(x - 0.6, y - 1.4, 1.2, 2.8), Ink.INK, 0.22),)


def _now(x: float, y: float) -> tuple[Part, ...]:
    return (Line(((x, y - 2), (x, y + 2)), Ink.INK, 0.5, Weave.DOTTED),)
