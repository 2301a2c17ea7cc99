"""Our own outlines: whose side is where, what a place on them is called, and back again."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.body_mark import ON_BODY, ON_HEAD, ON_MOUTH
from forms.pictures import outline_chest
from forms.pictures.drawing import Area, Line, Part
from forms.pictures.near import Near
from forms.pictures.outlines import (
    OF_BABY,
    BodyOutline,
    Spot,
    chest_place,
    chest_spot,
    left_is_right,
    outline_of,
    region_of,
    region_spot,
)

SIDES = ("left", "right")
NAMED = {"mouth_open": ON_MOUTH, "tongue_lifted": ON_MOUTH, "body_front": ON_BODY, "body_back": ON_BODY,
         "head_above": ON_HEAD}  # fmt: skip
EVERY = [("chest", "left"), ("chest", "right"), *((code, "") for code in OF_BABY)]


def breastbone(side: str) -> float:
    """Where the dotted middle line of the body is drawn, across the picture."""
    (line,) = (part for part in outline_chest.chest(side) if isinstance(part, Line) and part.weave == "dotted")
    return float(line.steps[0][0])


def shoulder(side: str) -> float:
    """Where the arm's side of the picture is: the far end of the first line drawn, the shoulder."""
    first = outline_chest.chest(side)[0]
    assert isinstance(first, Line)
    return float(first.steps[-1][-2])


def across(side: str, hour: int) -> float:
    spot = chest_spot(side, hour, from_nipple=40)
    assert spot is not None
    return outline_of("chest", side).at(spot)[0]


def test_on_the_parents_right_3_oclock_is_toward_the_breastbone_and_9_toward_the_arm() -> None:
    nipple = outline_of("chest", "right").middle[0]
    assert nipple < across("right", 3) < breastbone("right")
    assert shoulder("right") < across("right", 9) < nipple


def test_on_the_parents_left_3_oclock_is_the_outer_side_and_9_toward_the_breastbone() -> None:
    nipple = outline_of("chest", "left").middle[0]
    assert nipple < across("left", 3) < shoulder("left")
    assert breastbone("left") < across("left", 9) < nipple


@pytest.mark.parametrize("side", SIDES)
def test_the_nipple_is_drawn_where_places_are_measured_from(side: str) -> None:
    outline = outline_of("chest", side)
    rings = [part for part in outline.parts if isinstance(part, Line) and part.steps[-1] == ()]
    assert len(rings) == 2  # the areola and the nipple
    for ring in rings:
        away = [hypot(step[-2] - outline.middle[0], step[-1] - outline.middle[1]) for step in ring.steps if step]
        assert away == pytest.approx([away[0]] * len(away))


@pytest.mark.parametrize("side", SIDES)
def test_12_is_toward_the_head_and_6_toward_the_feet(side: str) -> None:
    above, below = chest_spot(side, 12, from_nipple=40), chest_spot(side, 6, from_nipple=40)
    nipple = outline_of("chest", side).middle[1]
    assert above is not None
    assert below is not None
    assert outline_of("chest", side).at(above)[1] < nipple < outline_of("chest", side).at(below)[1]


@given(st.sampled_from(SIDES), st.integers(1, 12), st.integers(3, 24))
def test_an_hour_and_a_distance_placed_on_the_outline_are_read_back_the_same(side: str, hour: int, halves: int) -> None:
    spot = chest_spot(side, hour, from_nipple=halves * 5)
    assert spot is not None
    place = chest_place(side, spot)
    assert (place.hour, place.from_nipple) == (hour, halves * 5)


@given(st.sampled_from(SIDES), st.integers(1, 12), st.sampled_from(("nipple", "base", "areola")))
def test_an_hour_on_a_part_is_read_back_the_same(side: str, hour: int, part: str) -> None:
    spot = chest_spot(side, hour, part=part)
    assert spot is not None
    assert (chest_place(side, spot).hour, chest_place(side, spot).part) == (hour, part)


@given(st.sampled_from(SIDES), st.integers(1, 12), st.integers(0, 300))
def test_a_distance_beyond_the_picture_stands_at_its_edge_and_in_its_direction(side: str, hour: int, mm: int) -> None:
    spot = chest_spot(side, hour, from_nipple=mm)
    assert spot is not None
    assert 0 <= spot.x <= 1000
    assert 0 <= spot.y <= 1000
    assert mm < 10 or chest_place(side, spot).hour == hour


def test_the_two_chests_are_mirror_images_place_by_place() -> None:
    for hour in range(1, 13):
        right, left = chest_spot("right", hour, from_nipple=60), chest_spot("left", 12 - hour or 12, from_nipple=60)
        assert right is not None
        assert left is not None
        assert abs(right.x + left.x - 1000) <= 1
        assert abs(right.y - left.y) <= 1


def test_an_hour_alone_has_no_place() -> None:
    assert chest_spot("left", 3) is None


@given(st.sampled_from(SIDES), st.integers(0, 1000), st.integers(0, 1000))
def test_every_place_on_a_chest_has_an_hour_and_a_part_and_a_distance_outside_the_nipple(
    side: str, x: int, y: int
) -> None:
    place = chest_place(side, Spot(x, y))
    assert 1 <= place.hour <= 12
    assert (place.from_nipple is None) == (place.part in ("nipple", "base"))


@pytest.mark.parametrize("code", OF_BABY)
def test_each_part_of_an_outline_is_an_answer_and_its_middle_belongs_to_it(code: str) -> None:
    outline = outline_of(code)
    for region in outline.regions:
        assert region.code in NAMED[code]
        for point in region.points:
            assert region_of(code, outline.spot(*point)) == region.code
        spot = region_spot(code, region.code)
        assert spot is not None
        assert region_of(code, spot) == region.code


def test_each_answer_for_a_part_is_drawn_on_some_outline() -> None:
    drawn: dict[int, set[str]] = {}
    for code in OF_BABY:
        drawn.setdefault(id(NAMED[code]), set()).update(region.code for region in outline_of(code).regions)
    for options in (ON_MOUTH, ON_BODY, ON_HEAD):
        assert drawn[id(options)] == set(options)


@pytest.mark.parametrize("code", OF_BABY)
def test_the_babys_left_is_on_the_right_where_it_faces_the_reader_and_else_on_the_left(code: str) -> None:
    outline = outline_of(code)
    for region in outline.regions:
        middle = outline.wide / 2
        side = region.code.rpartition("_")[2]
        if side in SIDES:
            on_right = all(x > middle for x, _ in region.points)
            on_left = all(x < middle for x, _ in region.points)
            assert (on_right, on_left) == (
                ((side == "left") == left_is_right(code)),
                (side == "left") != left_is_right(code),
            )
    assert left_is_right(code) == (code not in ("body_back", "head_above"))


def test_the_nipples_navel_and_soft_spot_that_are_drawn_lie_in_the_parts_named_so() -> None:
    front = outline_of("body_front")
    assert region_of("body_front", front.spot(45.0, 72.4)) == "navel"
    assert region_of("body_front", front.spot(53.4, 54.0)) == "chest_left"
    assert region_of("body_front", front.spot(36.6, 54.0)) == "chest_right"
    head = outline_of("head_above")
    assert region_of("head_above", head.spot(42.0, 35.0)) == "soft_spot"


def test_a_touch_far_beside_the_baby_is_on_no_part() -> None:
    assert region_of("body_front", Spot(0, 0)) == ""
    assert region_of("body_front", Spot(1000, 1000)) == ""


def points(part: Part) -> list[tuple[float, float]]:
    if not isinstance(part, Line | Area):
        return []
    return [(step[-2], step[-1]) for step in part.steps if step]


@pytest.mark.parametrize(("code", "side"), EVERY)
def test_every_line_of_an_outline_lies_inside_its_picture(code: str, side: str) -> None:
    outline = outline_of(code, side)
    for part in outline.parts:
        for x, y in points(part):
            assert -0.5 <= x <= outline.wide + 0.5
            assert -0.5 <= y <= outline.tall + 0.5


def joins(outline: BodyOutline) -> list[float]:
    """How far each curve turns where two pieces of it meet, as the cosine between them."""
    found = []
    for part in outline.parts:
        curves = [step for step in part.steps if len(step) == 6] if isinstance(part, Line) else []
        for one, after in pairwise(curves):
            ax, ay = one[4] - one[2], one[5] - one[3]
            bx, by = after[0] - one[4], after[1] - one[5]
            long = ((ax**2 + ay**2) * (bx**2 + by**2)) ** 0.5
            if long > 1e-6:
                found.append((ax * bx + ay * by) / long)
    return found


@pytest.mark.parametrize(("code", "side"), EVERY)
def test_lines_are_smooth_but_for_the_corners_that_are_meant(code: str, side: str) -> None:
    turns = joins(outline_of(code, side))
    corners = [turn for turn in turns if turn < 0.95]
    assert len(corners) <= (4 if code.startswith("body") else 0), corners


def test_every_place_inside_the_front_of_the_body_belongs_to_some_part() -> None:
    """Sampled: the trunk, the head and along each limb, by the lines of the drawing itself."""
    front = outline_of("body_front")
    for x, y in ((45, 45), (45, 60), (45, 80), (45, 20), (62, 50), (75, 65), (81, 74), (60, 95), (61, 108), (61, 118)):
        assert region_of("body_front", front.spot(x, y)) != ""
        assert region_of("body_front", front.spot(90 - x, y)) != ""


def test_the_nearest_of_ten_thousand_points_is_found_by_looking_at_few() -> None:
    near = Near(6.35)
    places: list[tuple[float, float]] = []
    for place in range(10_000):
        places.append(((place * 37) % 1000 * 0.09, (place * 61) % 997 * 0.126))
        near.add(*places[-1], place)
    found = near.nearest(45.0, 63.0, 6.35)
    assert found is not None

    def away(place: tuple[float, float]) -> float:
        return hypot(place[0] - 45.0, place[1] - 63.0)

    assert away(places[found]) == min(map(away, places))
    assert near.asked < 500
    assert near.nearest(500.0, 500.0, 6.35) is None


@given(st.lists(st.tuples(st.floats(0, 90), st.floats(0, 90)), max_size=40), st.floats(0, 90), st.floats(0, 90))
def test_the_grid_finds_what_a_search_of_all_points_finds(held: Any, x: float, y: float) -> None:
    near = Near(6.0)
    for place, (px, py) in enumerate(held):
        near.add(px, py, place)
    within = [((px - x) ** 2 + (py - y) ** 2) ** 0.5 for px, py in held]
    found = near.nearest(x, y, 6.0)
    if min(within, default=99.0) < 5.999:
        assert found is not None
        assert within[found] <= min(within) + 1e-9
    elif min(within, default=99.0) > 6.001:
        assert found is None
