"""Milk beside the breast or chest: what was entered, multiplied."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.clinical.result import NoFigure
from forms.clinical.supplement import Supplement, estimated_intake, first_days_row, planning_weight
from forms.units import US_FLUID_OUNCE, decimal


# Check row (C): 3.200 kg, 150 mL/kg as entered, 8 feeds, 38 mL each.
def test_what_each_feed_lacks_is_a_range_of_whole_fives() -> None:
    have = estimated_intake([38], 8)
    assert have == 304
    found = Supplement(150, 3200, Fraction(304), 8)
    assert [found.need, found.deficit, found.per_feed] == [480, 176, 22]
    assert found.each_words == "20 to 25 mL"


# Check row (C) with 20 kcal in an ounce (S2): 480 mL = 16.23 oz = 324.6 kcal = 101 kcal/kg at 3.200 kg.
def test_a_days_milk_has_its_ounces_and_its_energy() -> None:
    found = Supplement(150, 3200, Fraction(0), 8)
    assert decimal(found.need / US_FLUID_OUNCE, 2) == "16.23"
    assert decimal(found.kcal, 1) == "324.6"
    assert decimal(found.kcal_per_kg, 0) == "101"


def test_who_takes_more_than_the_need_lacks_nothing() -> None:
    found = Supplement(150, 3200, Fraction(500), 8)
    assert found.deficit == 0
    assert found.each_words == "0 mL"


def test_an_exact_five_is_no_range() -> None:
    assert Supplement(100, 2000, Fraction(0), 10).each_words == "20 mL"


# ABM protocol 3, 2017, colostrum intake, as quoted (S2).
@pytest.mark.parametrize(
    ("hours", "row"),
    [
        (Fraction(0), (0, 24, 2, 10)),
        (Fraction("23.99"), (0, 24, 2, 10)),
        (Fraction(24), (24, 48, 5, 15)),
        (Fraction(30), (24, 48, 5, 15)),
        (Fraction(48), (48, 72, 15, 30)),
        (Fraction(72), (72, 96, 30, 60)),
        (Fraction("95.99"), (72, 96, 30, 60)),
        (Fraction(96), None),
    ],
)
def test_the_published_row_is_the_one_that_begins_with_the_hour(
    hours: Fraction, row: tuple[int, int, int, int] | None
) -> None:
    assert first_days_row(hours) == row


# Birth weight until it is regained: from memory (M).
def test_the_birth_weight_is_multiplied_until_it_is_regained() -> None:
    assert planning_weight(3200, None) == (3200, "birth weight")
    assert planning_weight(3200, 3199) == (3200, "birth weight, not yet regained")
    assert planning_weight(3200, 3200) == (3200, "latest weight")
    assert planning_weight(3200, 3650) == (3650, "latest weight")
    assert planning_weight(None, 3650) == NoFigure("the birth weight is not known")


def test_an_estimate_is_the_median_of_the_weighed_feeds_times_the_feeds_of_a_day() -> None:
    assert estimated_intake([62, 20, 38], 8) == 304
    assert estimated_intake([30, 41], 8) == 284
    assert estimated_intake([], 8) == NoFigure("no feed was weighed")


@given(st.integers(1, 300), st.integers(300, 25_000), st.integers(0, 2_000), st.integers(1, 24))
def test_the_arithmetic_only_multiplies(per_kg: int, grams: int, have: int, feeds: int) -> None:
    found = Supplement(per_kg, grams, Fraction(have), feeds)
    assert found.need * 1000 == per_kg * grams
    assert found.deficit == max(found.need - have, 0)
    least, most = found.each
    assert least <= found.per_feed <= most
    assert most - least in (0, 5)
