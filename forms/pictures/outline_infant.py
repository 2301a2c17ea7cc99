"""Our own outline of a baby: from the front, from the back, and the head from above. Millimetres, drawn by hand.

The baby faces whoever looks: the baby's left is on the right of the picture. From behind, and from above with the face
at the top, the baby's left is on the left. Half of each figure is written down; the other half is its mirror image.
"""

from __future__ import annotations

from typing import Final

from forms.pictures.curves import Points, mirrored, moved, smooth
from forms.pictures.drawing import Anchor, Ink, Line, Part, Weave, Word, circle
from forms.pictures.regions import Region, pair

__all__ = ["BACK_REGIONS", "BODY", "FRONT_REGIONS", "HEAD", "HEAD_REGIONS", "back", "front", "head"]

BODY: Final = (90.0, 126.0)
HEAD: Final = (84.0, 92.0)
_AXIS: Final = 45.0
_STRONG, _FINE, _SOFT = 0.5, 0.35, 0.3

# One half of the body, from the neck round the arm and the leg to where the legs meet; x counts from the middle.
_HALF: Final = (
    (5.2, 35.6), (5.5, 38.4), (9.5, 40.6), (15.2, 42.2), (20.0, 46.4), (23.6, 52.6), (27.4, 58.2), (31.4, 63.6),
    (33.0, 65.6), (35.8, 66.0), (39.0, 66.2), (40.2, 67.8), (38.6, 69.2), (37.4, 70.2), (38.8, 73.4), (38.6, 76.8),
    (36.4, 78.4), (33.6, 77.2), (31.0, 74.2), (29.0, 70.8),
    (25.2, 67.0), (20.8, 62.0), (17.2, 56.4), (15.6, 53.4), (15.6, 53.4), (16.4, 59.0), (17.4, 65.6), (17.6, 72.0),
    (18.2, 78.0), (20.6, 84.0), (23.0, 90.6), (23.4, 97.0), (21.6, 102.6), (20.6, 107.4), (19.0, 112.0), (19.4, 115.4),
    (20.4, 118.8), (18.8, 121.4), (15.4, 121.6), (13.0, 119.4), (12.6, 115.6), (12.8, 112.2), (11.2, 107.6),
    (11.0, 102.6), (10.2, 98.4), (6.6, 93.2), (2.6, 88.8), (0.0, 87.0),
)  # fmt: skip
_HEAD_HALF: Final = (
    (0.0, 3.8), (5.0, 4.7), (9.4, 7.6), (12.4, 12.0), (13.7, 17.4), (13.5, 22.8), (12.0, 28.0), (9.2, 32.4),
    (5.0, 35.6), (0.0, 36.8),
)  # fmt: skip
_EAR: Final = ((13.4, 19.4), (15.2, 18.8), (15.9, 21.4), (15.0, 24.6), (13.2, 25.4))


def _both(points: Points, ink: Ink = Ink.INK, wide: float = _FINE, *, axis: float = _AXIS) -> tuple[Line, ...]:
    """A line and its mirror image."""
    return tuple(Line(smooth(moved(half, axis)), ink, wide) for half in (points, mirrored(points)))


def _one(points: Points, ink: Ink = Ink.INK, wide: float = _FINE, *, axis: float = _AXIS) -> Line:
    return Line(smooth(moved(points, axis)), ink, wide)


def _round(half: Points) -> tuple[tuple[float, float], ...]:
    """The closed figure of a half that begins and ends on the middle line."""
    return (*half, *mirrored(half)[-2:0:-1])


def _body() -> tuple[Part, ...]:
    """What front and back share: trunk and limbs in one line, the head, ears, folds of wrists, elbows and ankles."""
    head = smooth(moved(_round(_HEAD_HALF), _AXIS), closed=True)
    folds = (
        ((29.2, 69.4), (31.0, 68.8), (32.6, 67.0)),
        ((20.4, 58.4), (22.4, 58.0), (24.2, 56.4)),
        ((12.9, 112.6), (15.8, 113.6), (18.8, 112.6)),
        ((11.6, 102.6), (13.6, 103.8), (15.8, 103.8)),
    )
    fingers = (
        ((36.2, 74.4), (37.7, 76.2)), ((34.8, 75.2), (36.0, 77.2)), ((37.0, 73.0), (38.4, 74.2)),
    )  # fmt: skip
    toes = (
        ((14.6, 119.8), (14.9, 121.4)), ((16.1, 120.2), (16.4, 121.8)), ((17.5, 119.9), (17.9, 121.6)),
        ((18.8, 119.2), (19.4, 120.6)),
    )  # fmt: skip
    return (
        *_both(_HALF, wide=_STRONG),
        Line(head, Ink.INK, _STRONG),
        *_both(_EAR, wide=_STRONG),
        *(line for each in (*folds, *fingers, *toes) for line in _both(each, Ink.SOFT, _SOFT)),
    )


def front() -> tuple[Part, ...]:
    """The body from the front, eyes shut."""
    return (
        *_body(),
        *_both(((3.4, 22.2), (5.4, 23.2), (7.6, 22.4)), Ink.SOFT),
        _one(((-1.0, 26.4), (0.0, 27.0), (1.0, 26.4)), Ink.SOFT),
        _one(((-2.2, 30.2), (0.0, 30.9), (2.2, 30.2)), Ink.SOFT),
        *_both(((3.6, 40.6), (8.6, 41.8), (12.6, 43.4)), Ink.SOFT, _SOFT),  # collarbones
        *(Line(circle(_AXIS + x, 54.0, 0.7), Ink.SOFT, _SOFT) for x in (-8.4, 8.4)),
        Line(circle(_AXIS, 72.4, 1.1), Ink.SOFT, _FINE),
        *_both(((2.0, 86.6), (8.6, 84.4), (17.0, 80.6)), Ink.SOFT, _SOFT),
    )


def back() -> tuple[Part, ...]:
    """The body from behind."""
    return (
        *_body(),
        _one(((0.6, 12.4), (-1.6, 12.2), (-2.0, 14.6), (0.4, 15.8), (3.0, 14.4), (3.2, 11.0)), Ink.SOFT, _SOFT),
        _one(((0.0, 42.6), (0.3, 52.0), (0.0, 62.0), (0.0, 71.6)), Ink.SOFT, _SOFT),
        *_both(((6.0, 46.6), (4.8, 51.0), (6.6, 55.4), (10.0, 57.0)), Ink.SOFT, _SOFT),
        _one(((0.0, 77.6), (-0.2, 82.0), (0.0, 87.0)), Ink.SOFT, _FINE),
        *_both(((2.2, 88.2), (8.6, 90.2), (14.6, 88.2), (17.4, 84.6)), Ink.SOFT, _SOFT),
        *_both(((12.0, 101.0), (15.6, 102.2), (19.6, 101.0)), Ink.SOFT, _SOFT),
    )


_MIDDLE: Final = 42.0
_SKULL: Final = (
    (0.0, 11.0), (9.4, 12.2), (18.6, 17.4), (25.6, 27.0), (29.4, 39.6), (30.0, 53.0), (26.4, 66.6), (18.4, 77.0),
    (8.6, 82.0), (0.0, 83.0),
)  # fmt: skip
_SKULL_EAR: Final = ((29.6, 41.6), (32.6, 41.0), (34.2, 44.6), (33.2, 49.6), (30.2, 52.2))


def head() -> tuple[Part, ...]:
    """The head from above, the face toward the top of the picture; the soft spots and the seams are dotted."""

    def seam(*points: tuple[float, float]) -> Line:
        return Line(smooth(moved(points, _MIDDLE)), Ink.SOFT, _FINE, Weave.DOTTED)

    spot = ((0.0, 27.4), (2.6, 31.0), (6.0, 35.0), (2.6, 38.8), (0.0, 43.4))
    hind = ((0.0, 66.2), (2.6, 69.4), (0.0, 69.9))
    return (
        Line(smooth(moved(_round(_SKULL), _MIDDLE), closed=True), Ink.INK, _STRONG),
        *_both(_SKULL_EAR, wide=_STRONG, axis=_MIDDLE),
        _one(((-3.2, 11.2), (-1.8, 8.6), (0.0, 7.8), (1.8, 8.6), (3.2, 11.2)), wide=_STRONG, axis=_MIDDLE),
        Line(smooth(moved(_round(spot), _MIDDLE), closed=True), Ink.SOFT, _FINE, Weave.DOTTED),
        Line(smooth(moved(_round(hind), _MIDDLE), closed=True), Ink.SOFT, _FINE, Weave.DOTTED),
        seam((0.0, 43.4), (0.4, 50.0), (-0.3, 58.0), (0.0, 66.2)),
        seam((0.0, 27.4), (0.2, 21.0), (0.0, 15.0)),
        seam((6.0, 35.0), (13.0, 36.4), (21.0, 36.0), (27.0, 35.2)),
        seam((-6.0, 35.0), (-13.0, 36.4), (-21.0, 36.0), (-27.0, 35.2)),
        seam((2.6, 69.4), (9.0, 71.6), (17.0, 72.6)),
        seam((-2.6, 69.4), (-9.0, 71.6), (-17.0, 72.6)),
        Word(_MIDDLE, 5.4, "face", 3.1, Ink.SOFT, Anchor.MIDDLE),
        Word(_MIDDLE, 89.6, "back of the head", 3.1, Ink.SOFT, Anchor.MIDDLE),
    )


# Points of each part on one half of the picture, in mm; the first is the part's middle.
_HALVES: Final = {
    "collarbone": ((52.5, 42.0), (56.0, 42.8)),
    "shoulder": ((60.5, 44.6), (58.5, 43.0)),
    "upper_arm": ((65.0, 51.5), (62.5, 48.0), (68.0, 55.5), (63.5, 55.5)),
    "forearm": ((72.5, 62.5), (70.0, 60.0), (75.5, 66.5), (69.0, 63.0)),
    "hand": ((80.5, 73.5), (78.5, 70.5), (81.5, 76.5)),
    "hip": ((60.0, 80.0), (62.0, 83.5)),
    "thigh": ((61.5, 93.0), (58.0, 89.0), (65.0, 88.0), (61.0, 98.5)),
    "lower_leg": ((61.0, 106.5), (61.0, 102.5), (60.8, 110.5)),
    "foot": ((61.0, 117.5), (60.8, 114.5), (62.0, 120.0)),
}
_CHEST: Final = ((53.0, 51.5), (48.5, 48.5), (57.5, 50.0), (50.0, 56.0), (57.0, 56.0))
_BUTTOCK: Final = ((53.0, 83.0), (49.0, 80.0), (57.0, 86.0), (50.0, 87.0))


def _halves(*codes: str, left_first: bool) -> tuple[Region, ...]:
    return tuple(part for code in codes for part in pair(code, _AXIS, _HALVES[code], left_first=left_first))


FRONT_REGIONS: Final = (
    Region("head", ((45.0, 9.0), (39.0, 12.0), (51.0, 12.0), (45.0, 13.0))),
    Region("face", ((45.0, 25.0), (39.0, 22.0), (51.0, 22.0), (39.5, 28.0), (50.5, 28.0), (45.0, 32.0), (45.0, 19.0))),
    Region("neck", ((45.0, 38.0), (41.0, 38.0), (49.0, 38.0))),
    *pair("chest", _AXIS, _CHEST, left_first=True),
    Region("belly", ((45.0, 64.0), (36.0, 63.0), (54.0, 63.0), (36.0, 71.0), (54.0, 71.0), (45.0, 78.5), (38.0, 76.5),
                     (52.0, 76.5), (45.0, 60.5))),
    Region("navel", ((45.0, 72.4), (43.4, 72.4), (46.6, 72.4), (45.0, 70.8), (45.0, 74.0))),
    Region("diaper_area", ((45.0, 84.0), (41.0, 84.0), (49.0, 84.0), (45.0, 88.0))),
    *_halves("collarbone", "shoulder", "upper_arm", "forearm", "hand", "hip", "thigh", "lower_leg", "foot",
             left_first=True),
)  # fmt: skip
BACK_REGIONS: Final = (
    Region("back_of_head", ((45.0, 24.0), (38.0, 18.0), (52.0, 18.0), (39.0, 29.0), (51.0, 29.0), (45.0, 33.0))),
    Region("head", ((45.0, 8.5), (39.0, 10.0), (51.0, 10.0))),
    Region("neck", ((45.0, 38.5), (41.0, 38.5), (49.0, 38.5))),
    Region("upper_back", ((45.0, 52.0), (37.0, 47.0), (53.0, 47.0), (36.0, 56.0), (54.0, 56.0), (45.0, 59.0))),
    Region("lower_back", ((45.0, 69.0), (37.0, 66.0), (53.0, 66.0), (36.0, 73.0), (54.0, 73.0), (45.0, 74.5))),
    *pair("buttock", _AXIS, _BUTTOCK, left_first=False),
    *_halves("shoulder", "upper_arm", "forearm", "hand", "hip", "thigh", "lower_leg", "foot", left_first=False),
)
_SIDE: Final = ((18.0, 50.0), (21.0, 38.0), (20.0, 62.0), (27.0, 68.0))
_EARS: Final = ((10.0, 46.5),)
HEAD_REGIONS: Final = (
    Region("soft_spot", ((42.0, 35.0), (39.0, 35.0), (45.0, 35.0), (42.0, 31.0), (42.0, 40.0))),
    Region("forehead", ((42.0, 17.0), (32.0, 20.0), (52.0, 20.0), (26.0, 26.0), (58.0, 26.0))),
    Region("crown", ((42.0, 53.0), (33.0, 45.0), (51.0, 45.0), (32.0, 56.0), (52.0, 56.0), (42.0, 60.0))),
    Region("back_of_head", ((42.0, 77.0), (33.0, 75.0), (51.0, 75.0), (42.0, 71.0))),
    *pair("side", _MIDDLE, _SIDE, left_first=True),
    *pair("ear", _MIDDLE, _EARS, left_first=True),
)
