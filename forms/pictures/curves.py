"""Smooth lines through points, and their mirror images: what our own outlines are drawn with. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeAlias

from forms.pictures.drawing import Step

__all__ = ["Points", "flipped", "mirrored", "moved", "smooth"]

Points: TypeAlias = Sequence[tuple[float, float]]

_PULL: Final = 6.0  # a sixth of the way from neighbour to neighbour: the usual handles of a curve through its points


def smooth(points: Points, *, closed: bool = False) -> tuple[Step, ...]:
    """A curve through every point, without a corner; `closed` comes back to its first point.

    A point written twice in a row makes a corner there.
    """
    last = len(points) - 1

    def at(place: int) -> tuple[float, float]:
        return points[place % len(points)] if closed else points[min(max(place, 0), last)]

    steps: list[Step] = [points[0]]
    for place in range(len(points) if closed else last):
        before, here, there, after = at(place - 1), at(place), at(place + 1), at(place + 2)
        if here == there:
            continue
        steps.append((
            here[0] + (there[0] - before[0]) / _PULL, here[1] + (there[1] - before[1]) / _PULL,
            there[0] - (after[0] - here[0]) / _PULL, there[1] - (after[1] - here[1]) / _PULL,
            *there,
        ))  # fmt: skip
    return (*steps, ()) if closed else tuple(steps)


def mirrored(points: Points, axis: float = 0.0) -> tuple[tuple[float, float], ...]:
    """The same points on the other side of an upright line, in the same order."""
    return tuple((2 * axis - x, y) for x, y in points)


def moved(points: Points, across: float, down: float = 0.0) -> tuple[tuple[float, float], ...]:
    """The same points elsewhere."""
    return tuple((x + across, y + down) for x, y in points)


def flipped(steps: Sequence[Step], axis: float) -> tuple[Step, ...]:
    """A line drawn on the other side of an upright line."""
    return tuple(
        tuple(2 * axis - value if place % 2 == 0 else value for place, value in enumerate(step)) for step in steps
    )
