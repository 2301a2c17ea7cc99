"""Centile spaces between the place at birth and now. NICE NG75 2017, 1.2.1 as quoted (S2); a space is 2/3 SD (M)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from forms.clinical.faltering import Faltering, below_second, faltering, spaces_fallen, spaces_for_concern

D = Decimal


def test_a_fall_from_minus_0_30_to_minus_1_80_is_two_and_a_quarter_spaces() -> None:
    assert spaces_fallen(D("-0.30"), D("-1.80")) == Fraction(9, 4)  # worked out apart (C)
    assert spaces_fallen(D("-1.80"), D("-0.30")) == -Fraction(9, 4)


def test_that_fall_concerns_the_guideline_from_the_9th_to_the_91st_and_not_above_it() -> None:
    found = faltering(D("-0.30"), D("-1.80"))
    assert isinstance(found, Faltering)
    assert found.words == "2.25 centile spaces below the place at birth"
    assert faltering(D("1.50"), D("0.00")) is None  # 2.25 spaces too, above the 91st


# Edges: 1 space below the 9th, 2 from the 9th to the 91st, 3 above; "or more" (S2).
@pytest.mark.parametrize(
    ("birth", "now", "concern"),
    [
        ("-1.4", "-1.95", False), ("-1.4", "-1.99", False), ("-1.34", "-2.00", False),
        ("0", "-1.3333", False), ("0", "-1.3334", True), ("1", "-0.3333", False), ("1", "-0.3334", True),
        ("1.3334", "-0.6665", False), ("1.3334", "-0.6667", True), ("2", "0.0001", False), ("2", "0", True),
    ],
)  # fmt: skip
def test_the_fall_that_concerns_depends_on_the_place_at_birth(birth: str, now: str, concern: bool) -> None:
    assert (faltering(D(birth), D(now)) is not None) is concern


def test_a_small_baby_needs_one_space_only() -> None:
    found = faltering(D("-1.50"), D("-2.17"))
    assert isinstance(found, Faltering)
    assert (found.needed, found.below_second) == (1, True)
    assert found.words == "1.01 centile spaces below the place at birth, below the 2nd centile"


def test_the_bands_hold_their_own_edges() -> None:
    ninth = Fraction(-4, 3)
    for z, needed in (("-1.3334", 1), ("-1.3333", 2), ("0", 2), ("1.3333", 2), ("1.3334", 3)):
        assert spaces_for_concern(D(z)) == needed
    assert D("-1.3334") < ninth < D("-1.3333")


def test_below_the_2nd_centile_line_concerns_whatever_the_birth_weight_and_the_line_itself_does_not() -> None:
    assert below_second(D("-2.0001"))
    assert not below_second(D("-2"))
    found = faltering(None, D("-2.0001"))
    assert isinstance(found, Faltering)
    assert (found.spaces, found.words) == (None, "below the 2nd centile")
    assert faltering(None, D("-1.9")) is None


def test_a_rise_concerns_nobody() -> None:
    assert faltering(D("-1"), D("1.5")) is None
