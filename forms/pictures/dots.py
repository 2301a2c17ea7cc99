"""The shapes of points, the same in every picture: they differ by outline, so no colour speaks alone."""

from __future__ import annotations

from math import asin, atan2, cos, pi, sin
from typing import Final

from forms.pictures.drawing import Area, Filling, Ink, Line, Part, Step, arc, circle, shape
from forms.pictures.plot import Dot

__all__ = ["EDGE", "SIDE", "dot_parts"]

SIDE: Final = 3.2
"""How far across a point is, in mm."""
EDGE: Final = 0.53  # mm: the stroke of a hollow one


def dot_parts(dot: Dot, x: float, y: float, ink: Ink, row: int | None = None, side: float = SIDE) -> tuple[Part, ...]:
    """One point, centred. An unresolved one has the colour of attention and a bite taken out of it."""
    radius, inner = side / 2, (side - EDGE) / 2
    match dot:
        case Dot.NOTCHED:
            return (Area(_bitten(x, y, radius), Ink.WELD, Filling.SOLID, row=row),)
        case Dot.FULL | Dot.BAR:
            return (Area(circle(x, y, radius), ink, Filling.SOLID, row=row),)
        case Dot.CROSS:
            return tuple(
                Line(((x - inner, y - to * inner), (x + inner, y + to * inner)), ink, EDGE, row=row) for to in (1, -1)
            )
        case _:
            outline = _page(x, y, inner) if dot is Dot.PAGE else circle(x, y, inner)
            eye = (Area(circle(x, y, side / 6), ink, Filling.SOLID, row=row),) if dot is Dot.EYED else ()
            return Area(outline, Ink.CARD, row=row), Area(outline, ink, Filling.NONE, EDGE, row), *eye


def _page(x: float, y: float, half: float) -> tuple[Step, ...]:
    """A sheet, higher than wide, with one corner cut."""
    across, cut = half * 3 / 4, half / 2
    return shape((x - across, y - half), (x + across - cut, y - half), (x + across, y - half + cut),
                 (x + across, y + half), (x - across, y + half))  # fmt: skip


def _bitten(x: float, y: float, radius: float) -> tuple[Step, ...]:
    """A disc without what a circle half as wide, about its leftmost point, takes from it."""
    off = 2 * asin(1 / 4)  # where both circles meet, seen from the disc's middle
    turn = off / (2 * pi)
    within = atan2(1 - cos(off), sin(off)) / (2 * pi)  # the same place, seen from the bite's middle
    disc = arc(x, y, radius, 0.75 + turn, 1 - 2 * turn)
    return (*disc, *arc(x - radius, y, radius / 2, 0.5 - within, 2 * within - 0.5)[1:], ())
