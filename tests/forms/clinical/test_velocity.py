"""A month's gain against the WHO growth velocity standards, 2009, and the slope of the median."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from statistics import NormalDist

import pytest

from forms.clinical.result import NoFigure
from forms.clinical.velocity import INTERVALS, Interval, Velocity, gain_at, interval_of, median_per_day, velocity

P5, P15 = (Decimal(str(NormalDist().inv_cdf(share))) for share in (0.05, 0.15))

# Printed by WHO, 2009: -2 SD, 5th, 15th and 50th centile of the gain in grams (S2, two public data files that agree).
PRINTED = (
    ("birth to 4 weeks", (321, 460, 681, 1023), (358, 446, 602, 879)),
    ("4 weeks to 2 months", (615, 713, 886, 1196), (490, 578, 734, 1011)),
    ("2 to 3 months", (372, 446, 577, 815), (297, 369, 494, 718)),
    ("3 to 4 months", (219, 285, 403, 617), (192, 259, 376, 585)),
    ("4 to 5 months", (128, 194, 311, 522), (108, 172, 286, 489)),
    ("5 to 6 months", (40, 103, 217, 422), (31, 93, 203, 401)),
)


def named(words: str) -> Interval:
    return next(each for each in INTERVALS if each.words == words)


@pytest.mark.parametrize(("words", "boys", "girls"), PRINTED)
def test_the_printed_gains_come_back_from_the_tables_with_their_shift_taken_off(
    words: str, boys: tuple[int, ...], girls: tuple[int, ...]
) -> None:
    for sex, printed in (("male", boys), ("female", girls)):
        found = [round(gain_at(z, sex, named(words))) for z in (Decimal(-2), P5, P15, Decimal(0))]
        assert found == list(printed)


# Worked out apart from this program (C). Without the shift the first would be -2.05, a wrong alarm.
@pytest.mark.parametrize(
    ("sex", "first", "last", "grams", "z"),
    [("male", 0, 28, 700, "-0.9826"), ("female", 0, 28, 500, "-1.4329"), ("male", 28, 61, 600, "-2.0561")],
)
def test_a_gain_scores_as_worked_out(sex: str, first: int, last: int, grams: int, z: str) -> None:
    found = velocity(sex, first, last, grams)
    assert isinstance(found, Velocity)
    assert round(found.z, 4) == Decimal(z)


def test_a_score_and_its_gain_are_inverses_for_both_sexes_in_all_six_intervals() -> None:
    assert len(INTERVALS) == 6
    for interval in INTERVALS:
        for sex in ("female", "male"):
            for grams in (-350, -100, 0, 150, 700, 1500):
                found = velocity(sex, interval.start, interval.end, grams)
                assert isinstance(found, Velocity)
                assert abs(gain_at(found.z, sex, interval) - grams) < Decimal("1e-15")


def test_the_ends_of_the_intervals_are_whole_months_in_whole_days() -> None:
    months = [0, 28, *(int(Fraction(36525, 1200) * n + Fraction(1, 2)) for n in range(2, 7))]  # halves up (S)
    assert [each.start for each in INTERVALS] == months[:-1]
    assert [each.end for each in INTERVALS] == months[1:]


# Within 3 days of both ends: house rule, from memory (M).
@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (0, 28, "birth to 4 weeks"), (3, 25, "birth to 4 weeks"), (3, 31, "birth to 4 weeks"), (4, 28, None),
        (0, 24, None), (0, 32, None), (25, 64, "4 weeks to 2 months"), (31, 58, "4 weeks to 2 months"), (24, 61, None),
        (58, 94, "2 to 3 months"), (152, 183, "5 to 6 months"), (152, 187, None), (0, 61, None), (5, 14, None),
    ],
)  # fmt: skip
def test_only_weighings_within_three_days_of_both_ends_are_scored(first: int, last: int, words: str | None) -> None:
    interval = interval_of(first, last)
    assert (interval.words if interval else None) == words
    assert isinstance(velocity("female", first, last, 400), Velocity) is (words is not None)


def test_without_a_sex_or_with_a_loss_beyond_the_tables_there_is_a_reason() -> None:
    for found in (velocity("not_set", 0, 28, 500), velocity("female", 0, 28, -400)):
        assert isinstance(found, NoFigure)
        assert found.why


# Slope of the WHO median, worked out apart from this program (C), g/day.
@pytest.mark.parametrize(
    ("sex", "first", "last", "per_day"),
    [
        ("male", 7, 14, "37.9"), ("male", 14, 28, "43.9"), ("male", 28, 42, "40.2"), ("male", 42, 60, "33.9"),
        ("male", 60, 91, "26.7"), ("male", 91, 122, "20.6"), ("female", 7, 14, "32.9"), ("female", 14, 28, "37.8"),
        ("female", 28, 42, "34.3"), ("female", 42, 60, "29.2"), ("female", 60, 91, "23.7"), ("female", 91, 122, "19.0"),
    ],
)  # fmt: skip
def test_the_median_rises_by_so_many_grams_a_day(sex: str, first: int, last: int, per_day: str) -> None:
    found = median_per_day(sex, first, last)
    assert isinstance(found, Fraction)
    assert abs(found - Fraction(per_day)) <= Fraction(1, 20)


def test_the_median_rises_by_about_15_and_14_grams_a_day_at_four_to_six_months() -> None:
    for sex, about in (("male", 15), ("female", 14)):  # (C)
        found = median_per_day(sex, 122, 183)
        assert isinstance(found, Fraction)
        assert round(found) == about


def test_between_two_weighings_of_one_day_the_median_has_no_slope() -> None:
    assert isinstance(median_per_day("female", 9, 9), NoFigure)
    assert isinstance(median_per_day("female", -2, 9), NoFigure)
    assert isinstance(median_per_day("", 2, 9), NoFigure)
