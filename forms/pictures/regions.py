"""Named parts of an outline: each place on it belongs to the part of which a point lies nearest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final

from forms.pictures.curves import Points, mirrored

__all__ = ["FAR", "Region", "pair", "region_at", "region_middle"]

FAR: Final = 11.0
"""How far from the nearest point of a part, in mm, a place still belongs to it: as far as a finger errs."""


@dataclass(frozen=True, slots=True)
class Region:
    """One part: its code (an option of the question that names it) and points in it, in mm, the first its middle."""

    code: str
    points: tuple[tuple[float, float], ...]


def pair(code: str, axis: float, points: Points, *, left_first: bool) -> tuple[Region, Region]:
    """A part on either side of an upright line. `left_first`: the points given are on the person's own left."""
    other = mirrored(points, axis)
    left, right = (points, other) if left_first else (other, points)
    return Region(f"{code}_left", tuple(left)), Region(f"{code}_right", tuple(right))


def region_at(regions: Sequence[Region], x: float, y: float) -> str:
    """The code of the part at a place in mm; "" for a place beside all of them."""

    def away(region: Region) -> float:
        return min(hypot(x - px, y - py) for px, py in region.points)

    nearest = min(regions, key=away)
    return nearest.code if away(nearest) <= FAR else ""


def region_middle(regions: Sequence[Region], code: str) -> tuple[float, float] | None:
    """The middle of a part, in mm; None for a part this outline does not show."""
    return next((region.points[0] for region in regions if region.code == code), None)
