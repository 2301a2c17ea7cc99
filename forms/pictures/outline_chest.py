"""Our own outline of one side of a parent's chest, as it is seen by whoever faces the parent. Millimetres.

The parent's right is drawn: the breastbone is on the right of that picture, so that 3 o'clock is toward it. The left is
its mirror image, and there 3 o'clock is the outer side. The nipple is drawn larger than life, so that a mark on it has
room: `SCALE` says how far from its middle a distance on the body is drawn. The distances of the drawing are a choice of
ours and no measure of anybody (house choice, no source).
"""

from __future__ import annotations

from math import cos, pi, sin
from typing import Final

from forms.pictures.curves import Points, mirrored, smooth
from forms.pictures.drawing import Anchor, Ink, Line, Part, Weave, Word, circle

__all__ = ["AREOLA", "ARMPIT", "CHEST", "NIPPLE", "SCALE", "chest"]

CHEST: Final = (88.0, 90.0)
NIPPLE: Final = (46.0, 50.0)
AREOLA: Final = 15.0
_NIPPLE_WIDE: Final = 7.0
_DIAL: Final = 35.0

SCALE: Final = ((0.0, 0.0), (8.0, _NIPPLE_WIDE), (25.0, AREOLA), (105.0, _DIAL))
"""House choice, no source: mm on the body from the middle of the nipple, and mm from it in the drawing; straight
between, and straight on."""

ARMPIT: Final = ((13.0, 24.0), 8.5)
"""The middle of the armpit and how far round it reaches, on the parent's right."""

# The parent's right, from the fold of the armpit round the outer side and below toward the breastbone.
_BREAST: Final = (
    (17.4, 25.6), (15.2, 31.6), (13.0, 38.4), (11.8, 46.0), (12.4, 54.0), (15.4, 62.0), (20.6, 69.2), (27.8, 75.4),
    (36.4, 79.6), (46.0, 81.0), (55.6, 79.6), (64.0, 75.4), (70.6, 69.4), (75.0, 62.2), (77.2, 54.8),
)  # fmt: skip
_ABOVE: Final = ((17.4, 25.6), (18.6, 20.0), (22.0, 14.2), (27.2, 9.6), (33.4, 6.6))
_ARM: Final = ((17.4, 25.6), (13.0, 28.6), (9.2, 34.0), (6.4, 42.0), (4.4, 52.0), (3.4, 63.0))
_SHOULDER: Final = ((33.4, 4.0), (22.0, 5.0), (12.6, 8.8), (5.6, 16.0), (2.2, 26.0))
_FLANK: Final = ((19.6, 68.0), (20.6, 74.0), (21.0, 80.0), (20.6, 87.0))
_BREASTBONE: Final = ((83.0, 8.0), (83.2, 46.0), (83.0, 86.0))


def _hour(hour: int, from_middle: float) -> tuple[float, float]:
    turn = 2 * pi * hour / 12
    return NIPPLE[0] + from_middle * sin(turn), NIPPLE[1] - from_middle * cos(turn)


def _dial(*, left: bool) -> tuple[Part, ...]:
    """A stroke for each hour just outside the areola, and the four that are named."""

    def across(x: float) -> float:
        return CHEST[0] - x if left else x

    found: list[Part] = []
    for hour in range(1, 13):
        (ax, ay), (bx, by) = _hour(hour, AREOLA + 1.2), _hour(hour, AREOLA + (3.4 if hour % 3 == 0 else 2.4))
        found.append(Line(((across(ax), ay), (across(bx), by)), Ink.EDGE, 0.3))
    for hour in (3, 6, 9, 12):
        shown = (12 - hour) % 12 or 12 if left else hour
        x, y = _hour(hour, AREOLA + 6.0)
        found.append(Word(across(x), y + 1.1, str(shown), 3.1, Ink.SOFT, Anchor.MIDDLE))
    return tuple(found)


def chest(side: str) -> tuple[Part, ...]:
    """The lines of one side, "left" or "right", the parent's own."""
    left, middle = side == "left", CHEST[0] / 2

    def line(points: Points, ink: Ink = Ink.INK, wide: float = 0.5, weave: Weave = Weave.WHOLE) -> Line:
        return Line(smooth(mirrored(points, middle) if left else points), ink, wide, weave)

    x, y = (CHEST[0] - NIPPLE[0] if left else NIPPLE[0]), NIPPLE[1]
    return (
        line(_SHOULDER), line(_ARM), line(_FLANK), line(_BREAST),
        line(_ABOVE, Ink.SOFT, 0.35),
        line(_BREASTBONE, Ink.EDGE, 0.35, Weave.DOTTED),
        Line(circle(x, y, AREOLA), Ink.INK, 0.35),
        Line(circle(x, y, _NIPPLE_WIDE), Ink.INK, 0.5),
        *_dial(left=left),
    )  # fmt: skip
