"""A feed as it went: lanes for the feeder's left and right, spells and bursts, a tick for a swallow, pauses hatched.

Everything comes from the line worked out of the events (`forms.clinical.feed_line`); nothing is smoothed. Events noted
from memory are drawn open and the sentence says how many they are; an unresolved one is listed and not drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from forms.answers import Moment, every
from forms.chart import Chart, Entry
from forms.clinical.feed_line import FeedLine, events_by
from forms.clinical.feed_numbers import stretch_words
from forms.event_words import began, event_words
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.figures_feed_live import line_until
from forms.pictures.drawing import Anchor, Drawing, Ink, Line, Part, Table, Weave, Word
from forms.pictures.feed_key import signs_of
from forms.pictures.feed_lane import Across, apart_of, lane_parts, lane_place, mark_words
from forms.pictures.feed_rows import COLUMNS, Piece, Weighed, pieces, place_words, rows_of
from forms.pictures.keys import key
from forms.pictures.maker import Maker
from forms.pictures.measure import paragraph, wide_of
from forms.pictures.stems import ROW, Occasion, named_over, stem_parts
from forms.pictures.visits import day_and_time
from forms.pictures.whose import called
from forms.units import alone
from forms.weight import WeightReading

__all__ = ["feed_lanes"]

TALL: Final = 3.3
STEPS: Final = (1, 2, 4, 5, 10, 15, 20, 30, 60, 120, 240, 480, 960)  # minutes from tick to tick
MOST_TICKS: Final = 6
SHORTEST: Final = timedelta(minutes=2)  # a picture of less would be all scale
SIDES: Final = ("left", "right")


@dataclass(frozen=True, slots=True)
class Told:
    """One feed, ready to be drawn: whose it is, its line and from when its minutes count, its rows and weights."""

    title: str
    feeder: str
    line: FeedLine
    start: datetime
    found: tuple[Piece, ...]
    weighed: tuple[Weighed, ...]
    undrawn: tuple[str, ...]

    @property
    def lanes(self) -> tuple[str, ...]:
        """The lanes drawn: both sides, unless the whole feed was given another way; and any other that was used."""
        others = tuple(name for name in self.line.lanes if name not in SIDES)
        used = any(name in SIDES for name in (*self.line.lanes, *(one.side for one in self.weighed)))
        return (*SIDES, *others) if used or not others else others


def feed_lanes(chart: Chart, person: str, now: datetime) -> Iterator[Maker]:
    """The timeline of each feed of a feeder or a baby that has events: those of the chart's visit, or all between."""
    told = events_by(chart)
    feeds = chart.all(FeedObservation, visit=chart.visit) if chart.visit else chart.all(FeedObservation)
    for feed in feeds:
        if person in feed.place.subjects and told.get(feed.id):
            made = _told(chart, feed, line_until(told[feed.id], now))
            yield Maker(f"feed_lanes:{feed.id}", made.title, lambda wide, made=made: _drawn(made, wide))  # type: ignore[misc]


def _told(chart: Chart, feed: Entry[FeedObservation], line: FeedLine) -> Told:
    feeder, baby = (called(chart, one) for one in feed.place.subjects[:2])
    events = [e.answers for e in chart.all(FeedEvent) if feed.id in every(e.answers.feed)]
    first = began(feed.answers, events)
    start = line.began or (first.at if first else feed.entered)
    gone = [chart.by_id(one) for one in (*line.unresolved, *line.untimed)]
    undrawn = tuple(_undrawn(entry, Moment(start, line.zone), feeder) for entry in gone if entry is not None)
    at = f", {day_and_time(Moment(start, line.zone))}" if line.events else ""
    return Told(f"{feeder} feeding {baby}{at}", feeder, line, start, pieces(line), _weighed(chart, feed.id), undrawn)


def _undrawn(entry: Entry[Any], start: Moment, feeder: str) -> str:
    return event_words(entry.answers, start, feeder)


def _weighed(chart: Chart, feed: str) -> tuple[Weighed, ...]:
    """The weights around a feed in the order they were taken; two values of one are both said."""
    found = [e.answers for e in chart.all(WeightReading) if feed in every(e.answers.feed) and every(e.answers.weight)]
    found.sort(key=lambda one: min((at.at.timestamp() for at in every(one.taken)), default=0.0))
    return tuple(
        Weighed(_one(one.feed_side), _one(one.feed_point), _amounts(one)) for one in found
    )  # fmt: skip


def _one(given: Any) -> str:
    """The one value that stands; "" for none or two."""
    return given if isinstance(given, str) else ""


def _amounts(reading: WeightReading) -> str:
    amounts = [alone(weight.base, weight.unit) for weight in every(reading.weight)]
    return amounts[0] if len(amounts) == 1 else f"unresolved: {' or '.join(amounts)}"


# --- in words -------------------------------------------------------------------------------------------------------


def _sentence(told: Told) -> str:
    line = told.line
    said = [part for name in told.lanes if (part := _lane_said(told, name))]
    swallowed = sum(len(lane.swallows) for lane in line.lanes.values())
    if line.events and not swallowed:
        said.append("No swallow was marked.")
    memory = sum(not event.live for event in line.events)
    if memory and memory == len(line.events):
        said.append("All of it was noted from memory, and is drawn open.")
    elif memory:
        said.append(f"{memory} of {len(line.events)} events were noted from memory; these are drawn open.")
    for number, why in ((len(line.unresolved), "two values stand"), (len(line.untimed), "no time or no kind")):
        if number:
            said.append(f"{_many(number, 'event')} not drawn: {why}.")
    stray = len(line.astray)
    if stray:
        said.append(f"{_many(stray, 'event')} with no side written, under the lanes and counted on none.")
    said += [f"{place_words(lane.lane, told.feeder)}: {doubt}.".capitalize() for lane in line.lanes.values()
             for doubt in lane.doubts]  # fmt: skip
    return " ".join(said)


def _many(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _lane_said(told: Told, name: str) -> str:
    """One lane: how long, how many swallows, pain from first to last."""
    lane, where = told.line.lane(name), place_words(name, told.feeder)
    where = f"{where[:1].upper()}{where[1:]}"
    if not lane.events:
        return ""
    said = []
    if lane.spells:
        length = sum((spell.until - spell.at for spell in lane.spells), timedelta(0))
        said.append(f"{stretch_words(length)} {'on so far' if lane.on else 'on'}")
    said += [_many(len(lane.swallows), "swallow")] if lane.swallows else []
    pains = list(dict.fromkeys((lane.pains[0], lane.pains[-1]))) if lane.pains else []
    said += [f"pain {', then '.join(str(pain) for _, pain in pains)} of 10"] if pains else []
    return f"{where}: {', '.join(said) or _many(len(lane.events), 'event')}."


# --- drawn ----------------------------------------------------------------------------------------------------------


def _drawn(told: Told, wide: float) -> Drawing:
    rows = rows_of(told.line, told.found, told.start, told.feeder, told.weighed, told.undrawn)
    said, table = _sentence(told), Table(COLUMNS, rows)
    if not told.line.events:
        return Drawing(told.title, said, wide, 0.0, (), table)
    across, numbered = _across(told, wide), tuple(enumerate(told.found))
    parts: list[Part] = []
    top, first = 0.0, 0.0
    for name in told.lanes:
        own = [(row, piece) for row, piece in numbered if piece.lane == name]
        side = "bottle" if name not in SIDES else name
        weights = [(row, one) for row, one in enumerate(told.weighed, len(told.found)) if one.side == side]
        place = lane_place(across, top, own, weights)
        parts += lane_parts(across, place, told.line.lane(name), own, weights, told.feeder)
        first, top = first or place.top, place.end
    whole, top = _whole(across, numbered, top)
    parts += whole
    axis, top = _axis(told, across, first, top)
    under, top = _whole_weights(told, across, top)
    signs, more = key(tuple(signs_of(told.line, told.found, merged=_merged(across, told))), 0.0, top + 2.0, wide)
    parts = [*axis, *parts, *under, *signs]
    return Drawing(told.title, said, wide, top + 2.0 + more, tuple(parts), table)


def _across(told: Told, wide: float) -> Across:
    spells = [spell.until for lane in told.line.lanes.values() for spell in lane.spells]
    last = max([told.line.last or told.start, *spells])
    names = [wide_of(place_words(name, told.feeder), TALL) for name in told.lanes]
    left = min(max([13.0, *names]) + 4.0, wide * 0.24)
    right = wide - max(8.0, wide * 0.08)
    return Across(left, right, wide, told.start, max(last, told.start + SHORTEST))


def _merged(across: Across, told: Told) -> bool:
    """Whether two swallows or two sucks lie so near each other that one tick is drawn for both."""
    return any(
        across.x(then.at) - across.x(first.at) < apart_of(then)
        for piece in told.found
        for what in ("swallow", "suck")
        for first, then in pairwise([event for event in piece.events if event.what == what])
    )


def _whole(across: Across, numbered: Sequence[tuple[int, Piece]], top: float) -> tuple[tuple[Part, ...], float]:
    """What happened on no lane, over the foot."""
    occasions = [Occasion(across.x(piece.at), mark_words(piece.events[0]), row, piece.told)
                 for row, piece in numbered if piece.lane is None]  # fmt: skip
    if not occasions:
        return (), top + 1.0
    named = named_over(occasions, across.edge)
    foot = top + (max((one.level for one in named if one.level is not None), default=0) + 1) * ROW + 1.6
    return tuple(stem_parts(named, foot)), foot


def _axis(told: Told, across: Across, first: float, foot: float) -> tuple[list[Part], float]:
    """Uprights thin as thread, the foot with its minutes, and a dotted line where the feed stands now."""
    minutes = Fraction((across.until - across.start) // timedelta(seconds=1), 60)
    step = next((each for each in STEPS if minutes / each <= MOST_TICKS), STEPS[-1])
    parts: list[Part] = []
    words: list[Part] = []
    for at in range(0, int(minutes) + 1, step):
        x = across.x(across.start + timedelta(minutes=at))
        parts.append(Line(((x, first), (x, foot)), Ink.WELL, 0.35))
        words.append(Line(((x, foot - 1.2), (x, foot)), Ink.SOFT, 0.3))
        text = str(at) if not at else f"{at} min"
        words.append(Word(x, foot + 4.6, text, TALL, Ink.SOFT, Anchor.MIDDLE))
    parts.append(Line(((across.left, foot), (across.right, foot)), Ink.SOFT, 0.35))
    if told.line.on:
        x = across.x(across.until)
        words.append(Line(((x, first), (x, foot)), Ink.INK, 0.5, Weave.DOTTED))
    return [*parts, *words], foot + 5.6


def _whole_weights(told: Told, across: Across, top: float) -> tuple[tuple[Part, ...], float]:
    """Weights of the whole feed, and those whose side or point is not written, in words under the minutes."""
    drawn = {"left", "right"} & set(told.lanes) | ({"bottle"} if set(told.lanes) - set(SIDES) else set())
    parts: list[Part] = []
    for row, one in enumerate(told.weighed, len(told.found)):
        if one.side in drawn:
            continue
        where = "the whole feed" if one.side == "both" else "side not written"
        words = f"{one.words} {one.point}, {where}" if one.point else f"{one.words}, {where}"
        lines, more = paragraph(words, across.left, top + 1.0, across.edge - across.left, tall=TALL, ink=Ink.INK)
        parts += [Word(w.x, w.y, w.text, w.tall, w.ink, w.anchor, row=row) for w in lines]
        top += more
    return tuple(parts), top
