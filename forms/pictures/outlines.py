"""Our own line outlines on which marks are placed: what each shows, and what a place on it is called.

A place is a `Spot`: thousandths of the outline's width and height, so that it means the same on any screen and paper.
On a chest a spot is an hour of the clock and a distance from the nipple, as whoever faces the parent sees them; on the
other outlines it is a named part with the person's own side. Line drawings without any tint: they serve every body.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin
from types import MappingProxyType
from typing import Final

from forms.pictures import outline_chest as of_chest
from forms.pictures import outline_infant as of_infant
from forms.pictures import outline_mouth as of_mouth
from forms.pictures.drawing import Part
from forms.pictures.regions import Region, region_at, region_middle

__all__ = [
    "OF_BABY", "OF_PARENT", "BodyOutline", "ChestPlace", "Spot", "chest_place", "chest_spot", "left_is_right",
    "outline_of", "region_of", "region_spot",
]  # fmt: skip

OF_PARENT: Final = ("chest",)
OF_BABY: Final = ("mouth_open", "tongue_lifted", "body_front", "body_back", "head_above")
_WHOLE: Final = 1_000
_STEP: Final = 5  # mm: a distance read off an outline is no finer (house choice, no source)
# House choices, no source: where on the body, in mm from the middle of the nipple, a mark stands of which only the part
# is known; and how far from the middle of the drawn nipple its tip and its base reach, as shares of its radius.
_USUAL: Final = MappingProxyType({"nipple": 5.0, "base": 8.0, "areola": 16.0, "armpit": 110.0})
_TIP, _BASE = 0.8, 1.2


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on an outline, in thousandths of its width and of its height."""

    x: int
    y: int


@dataclass(frozen=True, slots=True)
class BodyOutline:
    """One outline: its code, the parent's own side for a chest, its size in mm, its lines and its named parts."""

    code: str
    side: str
    wide: float
    tall: float
    parts: tuple[Part, ...]
    regions: tuple[Region, ...] = ()

    @property
    def middle(self) -> tuple[float, float]:
        """Where a crosshair begins, in mm: the nipple of a chest, the middle of any other outline."""
        return _nipple(self.side) if self.side else (self.wide / 2, self.tall / 2)

    def at(self, spot: Spot) -> tuple[float, float]:
        """Where a spot is, in mm."""
        return spot.x * self.wide / _WHOLE, spot.y * self.tall / _WHOLE

    def spot(self, x: float, y: float) -> Spot:
        """The spot at a place in mm; one outside is moved to the edge."""

        def share(value: float, whole: float) -> int:
            return min(max(round(value * _WHOLE / whole), 0), _WHOLE)

        return Spot(share(x, self.wide), share(y, self.tall))


@dataclass(frozen=True, slots=True)
class ChestPlace:
    """What a spot on a chest is called: the hour, the part, and mm from the nipple where that is told at all."""

    hour: int
    part: str
    from_nipple: int | None


_Made = tuple[tuple[float, float], Callable[[], tuple[Part, ...]], tuple[Region, ...]]
_OTHERS: Final[Mapping[str, _Made]] = MappingProxyType({
    "mouth_open": (of_mouth.MOUTH, of_mouth.opened, of_mouth.OPEN_REGIONS),
    "tongue_lifted": (of_mouth.MOUTH, of_mouth.lifted, of_mouth.LIFTED_REGIONS),
    "body_front": (of_infant.BODY, of_infant.front, of_infant.FRONT_REGIONS),
    "body_back": (of_infant.BODY, of_infant.back, of_infant.BACK_REGIONS),
    "head_above": (of_infant.HEAD, of_infant.head, of_infant.HEAD_REGIONS),
})  # fmt: skip


def outline_of(code: str, side: str = "") -> BodyOutline:
    """The outline of a code, for a chest that of a side ("left" or "right"); raises KeyError for any other."""
    if code == "chest":
        return BodyOutline(code, {"left": "left", "right": "right"}[side], *of_chest.CHEST, of_chest.chest(side))
    (wide, tall), draw, regions = _OTHERS[code]
    return BodyOutline(code, "", wide, tall, draw(), regions)


def left_is_right(code: str) -> bool:
    """Whether the person's own left is on the right of the picture: it is wherever the person faces the reader."""
    return code not in ("body_back", "head_above")


def region_of(code: str, spot: Spot) -> str:
    """The part of an outline that is no chest at a spot; "" for a spot too far from all of them to be on it."""
    outline = outline_of(code)
    return region_at(outline.regions, *outline.at(spot))


def region_spot(code: str, region: str) -> Spot | None:
    """Where a mark stands of which only the part is known; None for a part this outline does not show."""
    outline = outline_of(code)
    middle = region_middle(outline.regions, region)
    return None if middle is None else outline.spot(*middle)


def _along(value: float, table: Sequence[tuple[float, float]]) -> float:
    """The value beside another in a table of two rising columns, straight between its rows and straight on."""
    for before, after in pairwise(table):
        (here, there), (further, beyond) = before, after
        if value <= further or after is table[-1]:
            return there + (value - here) * (beyond - there) / (further - here)
    return value


_BACK: Final = tuple((drawn, real) for real, drawn in of_chest.SCALE)


def _nipple(side: str) -> tuple[float, float]:
    x, y = of_chest.NIPPLE
    return (of_chest.CHEST[0] - x if side == "left" else x), y


def chest_place(side: str, spot: Spot) -> ChestPlace:
    """What a spot on this side of the chest is called. The distance is that of the outline, to half a centimetre."""
    wide, tall = of_chest.CHEST
    x, y = spot.x * wide / _WHOLE, spot.y * tall / _WHOLE
    across, down = x - _nipple(side)[0], y - _nipple(side)[1]
    drawn = hypot(across, down)
    hour = round(atan2(across, -down) / (2 * pi) * 12) % 12 or 12
    real = _along(drawn, _BACK)
    part = _part_at(side, x, y, drawn)
    return ChestPlace(hour, part, None if part in ("nipple", "base") else round(real / _STEP) * _STEP)


def _part_at(side: str, x: float, y: float, drawn: float) -> str:
    nipple = of_chest.SCALE[1][1]
    (ax, ay), reach = of_chest.ARMPIT
    if hypot(x - (of_chest.CHEST[0] - ax if side == "left" else ax), y - ay) <= reach:
        return "armpit"
    if drawn <= nipple * _TIP:
        return "nipple"
    if drawn <= nipple * _BASE:
        return "base"
    return "areola" if drawn <= of_chest.AREOLA else "breast"


def chest_spot(side: str, hour: int, *, part: str = "", from_nipple: int | None = None) -> Spot | None:
    """The spot of an hour and a distance in mm from the nipple, or of an hour on a part of the chest.

    None while neither a distance nor a part is known that says how far out it is. A distance that lies beyond the
    picture stands at its edge, in the right direction.
    """
    real = float(from_nipple) if from_nipple is not None else _USUAL.get(part)
    if real is None:
        return None
    wide, tall = of_chest.CHEST
    (x, y), turn = _nipple(side), 2 * pi * hour / 12
    across, up = sin(turn), cos(turn)
    room = min(
        (wide - x if across > 0 else x) / abs(across) if abs(across) > 1e-9 else wide,
        (y if up > 0 else tall - y) / abs(up) if abs(up) > 1e-9 else tall,
    )
    drawn = min(_along(real, of_chest.SCALE), room)
    return outline_of("chest", side).spot(x + drawn * across, y - drawn * up)
