"""Percent from birth weight: decided on whole grams, shown without rounding across an edge."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.clinical.result import NoFigure
from forms.clinical.weight import PercentFromBirth, edges, median_words, percent_from_birth, regain_words
from forms.thresholds import Limits

BORN = Moment(datetime(2026, 3, 2, 11, 10, tzinfo=UTC), "America/New_York")


def grams(base: int) -> Quantity:
    return Quantity(str(base), "g", base)


# Worked-out check rows (C); 10 % or more includes exactly 10 (house choice between NICE NG75 and Flaherman 2015).
@pytest.mark.parametrize(
    ("birth", "now", "text", "at_least_ten"),
    [
        (3400, 3128, "−8.0 % (−8.00 %)", False),
        (3250, 2920, "−10.2 %", True),
        (3000, 2700, "−10.0 % (−10.00 %)", True),
        (3000, 2701, "−9.97 %", False),
        (3200, 3280, "+2.5 %", False),
        # Wren: born 3,420 g
        (3420, 3110, "−9.1 %", False),
        (3420, 3075, "−10.1 % (−10.09 %)", True),
        (3420, 3190, "−6.7 %", False),
        (3420, 3430, "+0.3 %", False),
        # the edge of ten
        (3420, 3079, "−9.97 %", False),
        (3420, 3078, "−10.0 % (−10.00 %)", True),
        (3420, 3077, "−10.03 %", True),
        # Ida and Juno on 10 Feb
        (2310, 2680, "+16.0 %", False),
        (2145, 2610, "+21.7 %", False),
        # beside the other thresholds
        (4000, 3500, "−12.5 % (−12.50 %)", True),
        (4000, 3501, "−12.48 %", True),
        (3420, 3421, "+0.03 %", False),
        (2000, 1700, "−15.0 % (−15.00 %)", True),
        (3000, 3000, "0.0 %", False),
        (3420, 3419, "−0.03 %", False),
    ],
)
def test_percent_from_birth_shows_two_decimals_where_one_would_hide_an_edge(
    birth: int, now: int, text: str, at_least_ten: bool
) -> None:
    found = percent_from_birth(grams(birth), grams(now))
    assert isinstance(found, PercentFromBirth)
    assert found.text == text
    assert found.lost_at_least(10) is at_least_ten


def test_near_a_limit_that_the_practice_set_the_text_is_finer_too() -> None:
    # 8.97 % of 3,000 g stands as 9.0 % with one decimal; a house limit of 9 % does not fire there.
    birth, now = grams(3000), grams(2731)
    plain, house = (percent_from_birth(birth, now, edges(held)) for held in (Limits(), Limits({"loss_same_day": 90})))
    assert isinstance(plain, PercentFromBirth)
    assert isinstance(house, PercentFromBirth)
    assert (plain.text, house.text) == ("−9.0 %", "−8.97 %")


def test_a_threshold_between_whole_percents_is_exact_too() -> None:
    edge = PercentFromBirth(4000, 3500)
    assert edge.lost_at_least(Fraction("12.5"))
    assert not edge.lost_more_than(Fraction("12.5"))
    assert not PercentFromBirth(4000, 3501).lost_at_least(Fraction("12.5"))


def test_exactly_ten_percent_counts_for_every_birth_weight_and_one_gram_less_does_not() -> None:
    for birth in range(300, 6000, 10):
        assert PercentFromBirth(birth, birth - birth // 10).lost_at_least(10)
        assert not PercentFromBirth(birth, birth - birth // 10 + 1).lost_at_least(10)


def test_a_missing_or_unresolved_weight_gives_no_percent() -> None:
    two = Conflicted(tuple(Variant(grams(g), "a", BORN.at, "d", str(g)) for g in (3400, 3420)))
    assert percent_from_birth(None, grams(3000)) == NoFigure("the birth weight is not known")
    unresolved = percent_from_birth(two, grams(3000))
    assert isinstance(unresolved, NoFigure)
    assert unresolved.unresolved
    assert isinstance(percent_from_birth(grams(3400), two), NoFigure)


# Flaherman, Pediatrics 2015, as quoted in a news report (S2).
@pytest.mark.parametrize(
    ("hours", "birth", "says"),
    [
        (24, "vaginal", "4.2 % at 24 h"),
        (50, "vaginal", "7.1 % at 48 h"),
        (72, "vaginal", "6.4 % at 72 h"),
        (24, "caesarean", "4.9 % at 24 h"),
        (48, "caesarean", "8.0 % at 48 h"),
        (72, "caesarean", "8.6 % at 72 h"),
        (96, "caesarean", "5.8 % at 96 h"),
    ],
)
def test_the_published_median_nearest_in_age_is_said_in_words(hours: int, birth: str, says: str) -> None:
    assert says in (median_words(Fraction(hours), birth) or "")


def test_no_median_is_said_far_from_a_published_hour_or_for_an_unknown_birth() -> None:
    assert median_words(Fraction(100), "vaginal") is None
    assert median_words(Fraction(11), "vaginal") is None
    assert median_words(Fraction(48), "") is None


def on(day: int) -> datetime:
    return BORN.at + timedelta(days=day)


def test_regaining_birth_weight_is_said_by_the_day_it_was_seen() -> None:
    wren = [(on(3), 3110), (on(5), 3075), (on(7), 3190)]
    assert regain_words(3420, BORN, wren) == "below birth weight on day 7"
    assert regain_words(3420, BORN, [*wren, (on(14), 3430)]) == "back to birth weight by day 14"
    assert regain_words(3420, BORN, [*wren, (on(14), 3430), (on(16), 3410)]) == "below birth weight on day 16"
    assert regain_words(3200, BORN, [(on(9), 3280)]) == "above birth weight on day 9"
    assert regain_words(3200, BORN, []) is None
