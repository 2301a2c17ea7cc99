"""Our own outlines of a baby's mouth: open, and with the tongue lifted. Millimetres.

The baby faces whoever looks: the baby's left is on the right of the picture. Half of each line is written down.
"""

from __future__ import annotations

from typing import Final

from forms.pictures.curves import Points, mirrored, moved, smooth
from forms.pictures.drawing import Ink, Line, Part
from forms.pictures.regions import Region, pair

__all__ = ["LIFTED_REGIONS", "MOUTH", "OPEN_REGIONS", "lifted", "opened"]

MOUTH: Final = (96.0, 88.0)
_AXIS: Final = 48.0
_STRONG, _FINE, _SOFT = 0.5, 0.38, 0.3

# From the middle above round the corner to the middle below; x counts from the middle.
_LIPS: Final = (
    (0.0, 8.2), (3.8, 5.6), (9.0, 4.8), (16.4, 7.8), (24.0, 14.0), (30.4, 22.8), (34.8, 33.0), (37.0, 43.6),
    (35.6, 54.6), (31.0, 65.0), (23.4, 74.0), (12.6, 80.4), (0.0, 82.4),
)  # fmt: skip
_OPENING: Final = (
    (0.0, 14.8), (6.0, 13.9), (12.6, 15.4), (19.8, 20.2), (26.4, 27.4), (31.4, 36.0), (34.0, 44.2), (32.2, 53.6),
    (27.2, 62.2), (19.6, 69.2), (10.0, 73.2), (0.0, 74.4),
)  # fmt: skip
_UPPER_OUTER: Final = ((0.0, 19.4), (9.4, 20.2), (18.8, 25.0), (26.2, 32.8), (30.6, 41.4))
_UPPER_GUM: Final = ((0.0, 25.2), (7.6, 26.0), (15.0, 29.8), (21.0, 36.0), (24.8, 43.6))
_LOWER_OUTER: Final = ((0.0, 69.4), (8.6, 68.6), (18.0, 65.0), (25.6, 58.6), (30.0, 51.2))
_CORNER: Final = ((34.0, 44.2), (37.0, 43.8), (40.0, 44.6))


def _round(half: Points) -> tuple[tuple[float, float], ...]:
    return (*half, *mirrored(half)[-2:0:-1])


def _whole(half: Points, ink: Ink = Ink.INK, wide: float = _FINE) -> Line:
    """A line across the middle, drawn from its half."""
    points = (*mirrored(half)[:0:-1], *half)
    return Line(smooth(moved(points, _AXIS)), ink, wide)


def _both(points: Points, ink: Ink = Ink.INK, wide: float = _FINE) -> tuple[Line, ...]:
    return tuple(Line(smooth(moved(half, _AXIS)), ink, wide) for half in (points, mirrored(points)))


def _lips() -> tuple[Part, ...]:
    return (
        Line(smooth(moved(_round(_LIPS), _AXIS), closed=True), Ink.INK, _STRONG),
        Line(smooth(moved(_round(_OPENING), _AXIS), closed=True), Ink.INK, _STRONG),
        *_both(_CORNER, Ink.SOFT, _SOFT),
        *_both(((1.4, 3.4), (2.0, 1.4)), Ink.SOFT, _SOFT),
        Line(smooth(((_AXIS, 14.4), (_AXIS + 0.2, 16.8), (_AXIS, 19.0))), Ink.SOFT, _SOFT),  # frenulum of the lip
    )


def opened() -> tuple[Part, ...]:
    """The mouth open: gums, palate, the uvula at its back, the tongue lying in the floor."""
    arch = ((1.7, 39.8), (5.6, 37.6), (10.6, 38.2), (14.6, 41.6), (16.8, 46.6), (17.0, 49.0))
    uvula = ((-1.7, 39.8), (-1.6, 42.6), (0.0, 44.4), (1.6, 42.6), (1.7, 39.8))
    tongue = (
        (0.0, 46.8), (6.0, 47.4), (12.0, 47.2), (17.0, 49.0), (19.0, 53.0), (17.6, 58.0), (13.2, 62.4), (7.0, 65.2),
        (0.0, 66.0),
    )  # fmt: skip
    return (
        *_lips(),
        _whole(_UPPER_OUTER), _whole(_UPPER_GUM),
        *_both(arch), Line(smooth(moved(uvula, _AXIS))),
        Line(smooth(moved(_round(tongue), _AXIS), closed=True), Ink.INK, _STRONG),
        Line(smooth(((_AXIS, 50.6), (_AXIS - 0.3, 55.6), (_AXIS, 60.6))), Ink.SOFT, _SOFT),
        Line(smooth(((_AXIS, 27.6), (_AXIS + 0.2, 31.4), (_AXIS, 35.4))), Ink.SOFT, _SOFT),
        *_both(((2.0, 28.8), (5.4, 29.0), (8.6, 30.6)), Ink.SOFT, _SOFT),
        *_both(((2.0, 32.0), (5.8, 32.2), (9.4, 33.8)), Ink.SOFT, _SOFT),
        _whole(_LOWER_OUTER),
        *_both(((12.6, 65.4), (18.8, 61.2), (23.6, 55.4), (26.2, 49.8)), Ink.INK, _FINE),
    )  # fmt: skip


def lifted() -> tuple[Part, ...]:
    """The mouth with the tongue lifted: its underside, the frenulum, the floor and the lower gum."""
    tongue = (
        (0.0, 23.4), (5.6, 23.2), (11.4, 26.0), (15.8, 31.4), (18.2, 38.0), (19.0, 44.6), (17.8, 50.4), (15.0, 54.0),
    )  # fmt: skip
    return (
        *_lips(),
        _whole(((0.0, 20.0), (9.4, 20.8), (18.4, 25.4), (25.6, 33.0), (30.0, 42.0))),
        _whole(tongue, wide=_STRONG),
        _whole(((0.0, 34.4), (0.8, 38.4), (1.4, 43.4), (2.4, 49.4), (4.8, 54.6))),  # the frenulum
        *_both(((5.4, 31.0), (7.4, 36.0), (8.6, 42.0), (8.6, 48.0)), Ink.SOFT, _SOFT),  # veins
        *_both(((10.4, 29.6), (13.4, 35.4), (14.8, 41.6), (14.4, 47.4)), Ink.SOFT, _SOFT),
        *_both(((3.4, 55.6), (8.0, 53.4), (13.6, 54.0), (18.2, 57.0)), Ink.SOFT, _FINE),  # folds of the floor
        Line(smooth(((_AXIS, 23.6), (_AXIS + 0.2, 27.0), (_AXIS, 30.6))), Ink.SOFT, _SOFT),
        _whole(((0.0, 62.6), (8.4, 62.0), (16.4, 58.8), (22.4, 53.4), (25.8, 47.4))),
        _whole(_LOWER_OUTER),
    )  # fmt: skip


_LIPS_REGIONS: Final = (
    Region("upper_lip", ((48.0, 10.0), (40.0, 10.5), (56.0, 10.5), (32.0, 14.0), (64.0, 14.0), (22.0, 22.0),
                         (74.0, 22.0), (16.5, 30.0), (79.5, 30.0), (48.0, 5.0))),
    Region("lower_lip", ((48.0, 78.0), (38.0, 77.0), (58.0, 77.0), (28.0, 72.5), (68.0, 72.5), (20.0, 65.0),
                         (76.0, 65.0), (14.5, 56.5), (81.5, 56.5), (48.0, 83.0))),
    *pair("corner", _AXIS, ((84.0, 44.2),), left_first=True),
    Region("upper_gum_middle", ((48.0, 21.6), (43.0, 22.0), (53.0, 22.0))),
    *pair("upper_gum", _AXIS, ((66.0, 29.6), (61.0, 25.6), (71.4, 35.0), (74.6, 41.0)), left_first=True),
    Region("lower_gum_middle", ((48.0, 67.6), (42.0, 67.2), (54.0, 67.2))),
    *pair("lower_gum", _AXIS, ((66.0, 62.4), (60.0, 65.6), (72.0, 56.8)), left_first=True),
)  # fmt: skip
OPEN_REGIONS: Final = (
    *_LIPS_REGIONS,
    Region("palate_front", ((48.0, 28.6), (41.0, 29.5), (55.0, 29.5))),
    Region("palate_back", ((48.0, 35.5), (40.0, 35.5), (56.0, 35.5), (34.0, 40.0), (62.0, 40.0))),
    Region("uvula", ((48.0, 42.0),)),
    *pair("cheek", _AXIS, ((77.0, 47.5), (71.0, 50.0)), left_first=True),
    Region("tongue_tip", ((48.0, 63.6), (43.0, 62.8), (53.0, 62.8))),
    Region("tongue_middle", ((48.0, 56.4), (41.0, 56.4), (55.0, 56.4))),
    Region("tongue_back", ((48.0, 49.4), (40.0, 49.8), (56.0, 49.8))),
    *pair("tongue_edge", _AXIS, ((64.8, 56.0), (62.4, 59.4), (66.0, 52.0)), left_first=True),
)
LIFTED_REGIONS: Final = (
    *_LIPS_REGIONS,
    *pair("cheek", _AXIS, ((77.6, 47.0), (75.0, 50.0)), left_first=True),
    Region("under_tip", ((48.0, 27.0), (43.0, 27.6), (53.0, 27.6))),
    Region("under_middle", ((48.0, 36.5), (42.5, 36.5), (53.5, 36.5), (48.0, 40.5))),
    Region("under_base", ((48.0, 49.5), (43.0, 49.0), (53.0, 49.0), (48.0, 45.5))),
    *pair("tongue_edge", _AXIS, ((64.6, 41.0), (61.0, 32.0), (65.6, 47.0)), left_first=True),
    Region("floor_middle", ((48.0, 58.0), (45.0, 56.6), (51.0, 56.6))),
    *pair("floor", _AXIS, ((60.0, 55.6), (56.0, 57.6), (65.0, 52.6)), left_first=True),
)
