"""One lane of a feed's timeline in millimetres: spells, bursts, ticks, rests, what happened, pain and weights."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from forms.answers import Side
from forms.clinical.feed_line import Burst, Event, LaneLine, Rest, Spell
from forms.pictures.drawing import Anchor, Area, Filling, Ink, Line, Part, Weave, Word, box, circle
from forms.pictures.feed_rows import Piece, Weighed, place_words
from forms.pictures.keys import half_moon
from forms.pictures.measure import wide_of, wrapped
from forms.pictures.stems import ROW, Named, Occasion, named_over, stem_parts

__all__ = ["Across", "LanePlace", "apart_of", "lane_ink", "lane_parts", "lane_place", "mark_words", "ticks"]

BAND: Final = 12.0  # mm: how tall a lane is
SINK: Final = 2.2  # mm from the edge of a lane to the end of a swallow's tick
SHORT: Final = 2.4  # mm: the tick of a suck, at the foot of the lane
HAIR: Final = 0.55  # mm: ticks nearer than this to the one before are drawn as one
OPEN: Final = 1.1  # mm: the same for open ticks, which are wider
PAIN: Final = 2.5  # mm: the radius of a pain's circle
TALL: Final = 3.3
WORDS: Final = {
    "latch": "latch", "off_self": "lets go", "taken_off": "taken off", "letdown_felt": "letdown felt",
    "letdown_seen": "letdown seen", "compress": "compression", "spit_up": "spit-up", "help": "help",
    "changed": "change", "drops": "drops", "end": "watching ends", "begin": "watching begins",
}  # fmt: skip
ENDED: Final = {"off_self": "lets go", "taken_off": "taken off", "switched": "other side", "end": ""}


@dataclass(frozen=True, slots=True)
class Across:
    """How time runs across the picture: from `left` to `right` mm, from `start` to `until`; words reach to `edge`."""

    left: float
    right: float
    edge: float
    start: datetime
    until: datetime

    def x(self, at: datetime) -> float:
        """The place of a moment."""
        return self.left + (at - self.start) / (self.until - self.start) * (self.right - self.left)


@dataclass(frozen=True, slots=True)
class LanePlace:
    """Where a lane stands: the top of its band, and of what stands under it; `named` are the words over it."""

    top: float
    foot: float
    pains: float
    weights: float
    end: float
    named: tuple[Named, ...]


def lane_ink(lane: str) -> Ink:
    """The colour of a lane, which never speaks alone."""
    return Ink.ELDER if lane in ("left", "right") else Ink.WOAD


def mark_words(event: Event) -> str:
    """The word over a moment."""
    if event.what == "amount" and event.ml is not None:
        return f"{event.ml} mL"
    if event.what == "pain" and event.pain is not None:
        return f"pain {event.pain}"
    return WORDS.get(event.what, event.what)


def _is_pain(piece: Piece) -> bool:
    return isinstance(piece.what, Event) and piece.what.pain is not None


def _moments(across: Across, rows: Sequence[tuple[int, Piece]]) -> Iterator[Occasion]:
    """What stands in words over a lane: how each spell begins and ends, and every single event but pains and ticks."""
    for row, piece in rows:
        what = piece.what
        if isinstance(what, Spell):
            yield Occasion(across.x(what.at), "latch", row, piece.told)
            if ENDED.get(what.ended):
                yield Occasion(across.x(what.until), ENDED[what.ended], row, piece.told)
        elif isinstance(what, Event) and what.what not in ("suck", "swallow") and not _is_pain(piece):
            yield Occasion(across.x(what.at), mark_words(what), row, piece.told)


def lane_place(
    across: Across, top: float, rows: Sequence[tuple[int, Piece]], weights: Sequence[tuple[int, Weighed]]
) -> LanePlace:
    """The room a lane takes, by what is to stand over it and under it."""
    named = named_over(tuple(_moments(across, rows)), across.edge)
    levels = max((one.level for one in named if one.level is not None), default=-1) + 1
    band = top + max(levels, 1) * ROW
    pains = band + BAND + (PAIN * 2 + 1.6 if any(_is_pain(piece) for _, piece in rows) else 0.0)
    under = pains + (len(weights) > 0) * 5.0 + (len(weights) > 1 and not _abreast(across, weights)) * 4.4
    return LanePlace(band, band + BAND, pains, under, under + 2.4, named)


def lane_parts(
    across: Across, place: LanePlace, lane: LaneLine, rows: Sequence[tuple[int, Piece]],
    weights: Sequence[tuple[int, Weighed]], feeder: str,
) -> Iterator[Part]:  # fmt: skip
    """A lane from the ground up."""
    ink = lane_ink(lane.lane)
    yield from _name(across, place, lane, feeder)
    by_kind: dict[type, list[tuple[int, Piece]]] = {}
    for row, piece in rows:
        by_kind.setdefault(type(piece.what), []).append((row, piece))
    for kind in (Spell, Rest, Burst):
        for row, piece in by_kind.get(kind, ()):
            yield from _stretch(across, place, piece, row, ink)
    for row, piece in by_kind.get(Burst, ()):
        yield from ticks(across, place.top, piece, row)
    loose = [(row, piece) for row, piece in by_kind.get(Event, ()) if _is_tick(piece)]
    for row, piece in loose:
        yield from ticks(across, place.top, piece, row)
    if not rows:
        yield Word(across.left + 1, place.top + BAND / 2 + 1.1, "nothing marked", TALL, Ink.SOFT)
    yield from stem_parts(place.named, place.top)
    yield from _pains(across, place, [(row, piece) for row, piece in by_kind.get(Event, ()) if _is_pain(piece)])
    yield from _weights(across, place, lane, weights)


def _is_tick(piece: Piece) -> bool:
    return isinstance(piece.what, Event) and piece.what.what in ("suck", "swallow")


def _name(across: Across, place: LanePlace, lane: LaneLine, feeder: str) -> Iterator[Part]:
    """The half-moon of the side, or nothing for a lane that is no side, and its words. Filled where baby was on."""
    middle, radius = place.top + BAND / 2, 4.6
    words = place_words(lane.lane, feeder)
    words = f"{words[:1].upper()}{words[1:]}"
    if lane.lane in ("left", "right"):
        side = Side.LEFT if lane.lane == "left" else Side.RIGHT
        x = radius + 0.5 if side is Side.LEFT else 1.0
        full = Filling.SOLID if lane.spells else Filling.NONE
        yield Area(half_moon(x, middle - 2.6, side, radius), Ink.INK, full, 0.4)
        middle += radius + 1.2
    for number, line in enumerate(wrapped(words, across.left - 3, TALL)):
        yield Word(0.3, middle + 1.1 + number * 4.2, line, TALL)


def _stretch(across: Across, place: LanePlace, piece: Piece, row: int, ink: Ink) -> Iterator[Part]:
    """A spell, a rest or a burst. From memory it is open: a burst is not filled, and every edge is dotted."""
    what = piece.what
    assert isinstance(what, Spell | Rest | Burst)
    left, right = across.x(what.at), across.x(what.until)
    outline = box(left, place.top, max(right - left, 0.4), BAND)
    filling = {Spell: Filling.LIGHT, Burst: Filling.SOLID}.get(type(what), Filling.HATCH)
    if isinstance(what, Rest):
        filling = Filling.DOTS if what.asleep else Filling.HATCH
        yield Area(outline, Ink.CARD)
    if piece.told:
        yield Area(outline, Ink.CARD) if isinstance(what, Burst) else Area(outline, ink, filling, row=row)
        yield Line(outline, ink, 0.4, Weave.DOTTED, row)
        return
    yield Area(outline, ink, filling, 0.0 if isinstance(what, Burst) else 0.25, row)


def apart_of(event: Event) -> float:
    """How far in mm a tick stands at least from the one before it."""
    return HAIR if event.live else OPEN


def ticks(across: Across, top: float, piece: Piece, row: int) -> Iterator[Part]:
    """The ticks of the swallows, and below them short ones of the sucks; open ones were noted from memory.

    Ticks nearer than a hair to the one before are drawn as one; the row of the table has the number.
    """
    filled = isinstance(piece.what, Burst) and not piece.told
    ink = Ink.ON_FILL if filled else Ink.INK
    for what, begin, end in (("swallow", SINK, BAND - SINK - SHORT + 0.8), ("suck", BAND - SHORT, BAND - 0.5)):
        last = -HAIR * 4
        for event in piece.events:
            if event.what != what:
                continue
            x = across.x(event.at)
            if x - last < apart_of(event):
                continue
            last = x
            if event.live:
                yield Line(((x, top + begin), (x, top + end)), ink, 0.32, row=row)
            else:
                yield Line(box(x - 0.35, top + begin, 0.7, end - begin), ink, 0.2, row=row)


def _pains(across: Across, place: LanePlace, rows: Sequence[tuple[int, Piece]]) -> Iterator[Part]:
    """Pain in circles under the lane, each tied to its moment; a dotted circle was told from memory."""
    free, y = 0.0, place.foot + PAIN + 1.4
    for row, piece in rows:
        assert isinstance(piece.what, Event)
        at = across.x(piece.at)
        x = max(at, free)
        free = x + 2 * PAIN + 0.4
        yield Line(((at, place.foot), (x, y - PAIN)), Ink.SOFT, 0.26, row=row)
        yield Area(circle(x, y, PAIN), Ink.CARD, row=row)
        yield Line(circle(x, y, PAIN), Ink.INK, 0.4, Weave.DOTTED if piece.told else Weave.WHOLE, row)
        yield Word(x, y + TALL * 0.36, str(piece.what.pain), TALL, Ink.INK, Anchor.MIDDLE, strong=True, row=row)


def _said(weight: Weighed) -> str:
    return f"{weight.words} {weight.point}"


def _abreast(across: Across, weights: Sequence[tuple[int, Weighed]]) -> bool:
    """Whether all weights of a lane find room on one line."""
    return sum(wide_of(_said(weight), TALL) + 3 for _, weight in weights) < across.edge - across.left


def _weights(
    across: Across, place: LanePlace, lane: LaneLine, weights: Sequence[tuple[int, Weighed]]
) -> Iterator[Part]:
    """Weights at the ends of a lane: those before it at its first latch, those after it where it ends."""
    begin = across.x(lane.spells[0].at) if lane.spells else across.left
    end = across.x(lane.spells[-1].until) if lane.spells else across.right
    line, free, abreast = place.pains + 4.0, across.left, _abreast(across, weights)
    for number, (row, weight) in enumerate(weights):
        x, words = (begin if weight.point == "before" else end), _said(weight)
        wide = wide_of(words, TALL)
        if not abreast and number:
            line, free = line + 4.4, across.left
        rest = sum(wide_of(_said(one), TALL) + 3 for _, one in weights[number + 1 :]) if abreast else 0.0
        left = max(min(x, across.edge - wide - rest), free)
        yield Line(((x, place.foot), (x, line - TALL)), Ink.SOFT, 0.35, Weave.DOTTED, row)
        yield Word(left, line, words, TALL, Ink.INK, row=row)
        free = left + wide + 3
