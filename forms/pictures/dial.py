"""The face of the 24-hour ring in millimetres: lanes of arcs, the nights shaded, diapers, the longest gap, the hours.

Only shares of a turn come in (`forms.clinical.day_ring`), so an arc is as long as its figure. The lanes differ by
their filling and their place, and the key says both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import cos, pi, sin
from types import MappingProxyType
from typing import Final

from forms.clinical.day_ring import LANES, Arc, DayRing
from forms.pictures.drawing import Anchor, Area, Filling, Ink, Line, Part, Step, Weave, Word, arc, circle

__all__ = ["FILLINGS", "INKS", "Dial", "dial_of", "dial_parts", "gap_sign", "stool_sign", "wet_sign"]

FILLINGS: Mapping[str, Filling] = MappingProxyType({
    "left": Filling.SOLID, "right": Filling.HATCH, "given": Filling.CROSS, "expressed": Filling.DOTS,
})  # fmt: skip
INKS: Mapping[str, Ink] = MappingProxyType({
    "left": Ink.ELDER, "right": Ink.ELDER, "given": Ink.WOAD, "expressed": Ink.WOAD,
})  # fmt: skip

EDGE: Final = 0.3  # mm
BETWEEN: Final = 0.9  # mm between two lanes
TICK: Final = 1.0  # mm: the stroke of a line of the log without an end
MARK: Final = 1.35  # mm: half of a diaper's sign
TALL: Final = 3.7
Row = Callable[[str], int | None]


@dataclass(frozen=True, slots=True)
class Dial:
    """Where the ring stands: its middle, the radius of its outermost edge, and the thickness of a lane, in mm."""

    x: float
    y: float
    outer: float
    thick: float

    def radius(self, lane: str) -> float:
        """The radius of the middle of a lane."""
        return self.outer - self.thick / 2 - LANES.index(lane) * (self.thick + BETWEEN)

    @property
    def wet_radius(self) -> float:
        """Where wet diapers stand: inside the innermost lane."""
        return self.radius(LANES[-1]) - self.thick / 2 - BETWEEN - MARK

    @property
    def stool_radius(self) -> float:
        """Where stools stand: inside the wet diapers."""
        return self.wet_radius - 2 * MARK - 0.5

    @property
    def inner(self) -> float:
        """The radius inside which nothing of the ring stands."""
        return self.stool_radius - MARK - 0.3

    @property
    def gap_radius(self) -> float:
        """The radius of the line that marks the longest gap."""
        return self.outer + 1.6

    @property
    def hour_radius(self) -> float:
        """The radius of the hours' middles."""
        return self.outer + 6.0

    @property
    def reach(self) -> float:
        """The radius outside which nothing of the ring stands."""
        return self.outer + 8.8

    def at(self, turn: Fraction | float, radius: float) -> tuple[float, float]:
        """A place on the ring: `turn` from the top, clockwise."""
        angle = 2 * pi * float(turn)
        return self.x + radius * sin(angle), self.y - radius * cos(angle)

    def band(self, of: Arc, radius: float, thick: float) -> tuple[Step, ...]:
        """The outline of a stretch of a ring: between two circles, from the arc's beginning for its share."""
        far, near = radius + thick / 2, radius - thick / 2
        if of.share >= 1:
            return (*circle(self.x, self.y, far), *circle(self.x, self.y, near))
        begin, share = float(of.start), float(of.share)
        back = arc(self.x, self.y, near, begin + share, -share)
        return (*arc(self.x, self.y, far, begin, share), *back, ())

    def spoke(self, turn: Fraction | float, near: float, far: float) -> tuple[Step, ...]:
        """A straight line outward."""
        return self.at(turn, near), self.at(turn, far)


def dial_of(x: float, y: float, reach: float) -> Dial:
    """The ring around a middle that keeps within `reach` mm of it."""
    outer = reach - 8.8
    return Dial(x, y, outer, outer * 0.125)


def dial_parts(dial: Dial, ring: DayRing, row: Row, gap_row: int | None, middle: tuple[str, str]) -> Iterator[Part]:
    """The ring from the ground up. `row` finds the row of the table that tells of an entry; `middle`: number, word."""
    yield from _ground(dial, ring)
    yield from _lanes(dial, ring, row)
    yield from _diapers(dial, ring, row)
    if ring.gap is not None:
        yield from _gap(dial, ring.gap, gap_row)
    yield from _hours(dial, ring)
    number, word = middle
    yield Word(dial.x, dial.y + 1.2, number, 6.4, Ink.INK, Anchor.MIDDLE, strong=True)
    yield Word(dial.x, dial.y + 5.4, word, TALL, Ink.SOFT, Anchor.MIDDLE)


def _ground(dial: Dial, ring: DayRing) -> Iterator[Part]:
    """The nights, behind every lane; the edges of the lanes; and where the 24 hours begin and end."""
    last = dial.radius(LANES[-1]) - dial.thick / 2
    across, middle = dial.outer - last, (dial.outer + last) / 2
    for night in ring.nights:
        yield Area(dial.band(night, middle, across), Ink.EDGE, Filling.LIGHT)
    between = [dial.radius(lane) + dial.thick / 2 + BETWEEN / 2 for lane in LANES[1:]]
    for radius in (dial.outer, *between, last):
        yield Line(circle(dial.x, dial.y, radius), Ink.EDGE, 0.18)
    yield Line(dial.spoke(ring.begins, dial.stool_radius - MARK, dial.outer), Ink.SOFT, EDGE, Weave.DOTTED)


def _lanes(dial: Dial, ring: DayRing, row: Row) -> Iterator[Part]:
    for of in ring.arcs:
        radius, ink = dial.radius(of.lane), INKS[of.lane]
        far, near = radius + dial.thick / 2, radius - dial.thick / 2
        if not of.share:
            yield Line(dial.spoke(of.start, near, far), ink, TICK, row=row(of.entry))
            continue
        band = dial.band(of, radius, dial.thick)
        yield Area(band, Ink.CARD)
        yield Area(band, ink, FILLINGS[of.lane], EDGE, row(of.entry))


def wet_sign(x: float, y: float, row: int | None = None) -> tuple[Part, ...]:
    """A wet diaper: a ring."""
    return Area(circle(x, y, MARK), Ink.CARD, row=row), Area(circle(x, y, MARK), Ink.INK, Filling.NONE, 0.45, row)


def stool_sign(x: float, y: float, row: int | None = None) -> tuple[Part, ...]:
    """A stool: a disc."""
    return (Area(circle(x, y, MARK), Ink.INK, row=row),)


def gap_sign(x: float, y: float) -> tuple[Part, ...]:
    """The line of the longest gap, with a bar at each end."""
    ends = (Line(((at, y - 1.1), (at, y + 1.1)), Ink.INK, 0.45) for at in (x - 3, x + 3))
    return Line(((x - 3, y), (x + 3, y)), Ink.INK, 0.45), *ends


def _diapers(dial: Dial, ring: DayRing, row: Row) -> Iterator[Part]:
    for of in ring.wets:
        yield from wet_sign(*dial.at(of.start, dial.wet_radius), row(of.entry))
    for of in ring.stools:
        yield from stool_sign(*dial.at(of.start, dial.stool_radius), row(of.entry))


def _gap(dial: Dial, gap: Arc, row: int | None) -> Iterator[Part]:
    """A line outside the lanes from end to end of the stretch, with a bar at each end."""
    begin, share, radius = float(gap.start), float(gap.share), dial.gap_radius
    yield Line(arc(dial.x, dial.y, radius, begin, share), Ink.INK, 0.45, row=row)
    for at in (begin, begin + share):
        yield Line(dial.spoke(at, radius - 1.1, radius + 1.1), Ink.INK, 0.45, row=row)


def _hours(dial: Dial, ring: DayRing) -> Iterator[Part]:
    for hour in ring.hours:
        quarter = hour.hour % 6 == 0
        yield Line(dial.spoke(hour.turn, dial.outer, dial.outer + 0.9), Ink.EDGE, EDGE)
        x, y = dial.at(hour.turn, dial.hour_radius)
        ink = Ink.INK if quarter else Ink.SOFT
        yield Word(x, y + TALL * 0.35, str(hour.hour), TALL, ink, Anchor.MIDDLE, strong=quarter)
