"""Gain per day by elapsed time, and corrected age."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.clinical.age import age_in_days
from forms.clinical.growth import CorrectedAge, GainPerDay, corrected_age, gain_per_day, gestation
from forms.clinical.result import NoFigure
from forms.reading import read_moment

NEW_YORK = "America/New_York"


def local(year: int, month: int, day: int, hour: int, minute: int = 0) -> Moment:
    return read_moment(f"{year}-{month}-{day} {hour}:{minute:02}", NEW_YORK)


def grams(base: int) -> Quantity:
    return Quantity(str(base), "g", base)


@pytest.mark.parametrize(
    ("first", "first_at", "last", "last_at", "text"),
    [
        # Wren, across the night in which clocks went forward (worked out independently)
        (3075, local(2026, 3, 7, 10, 30), 3190, local(2026, 3, 9, 9, 30), "60.0 g/day"),
        (3190, local(2026, 3, 9, 9, 30), 3430, local(2026, 3, 16, 10, 0), "34.2 g/day"),
        # check row (C): 72 h to 168 h, 182 g in 4.0 days
        (3128, local(2026, 5, 4, 8, 0), 3310, local(2026, 5, 8, 8, 0), "45.5 g/day"),
        # Ida and Juno
        (2520, local(2026, 2, 3, 10, 0), 2680, local(2026, 2, 10, 10, 0), "22.9 g/day"),
        (2500, local(2026, 2, 3, 10, 0), 2610, local(2026, 2, 10, 10, 0), "15.7 g/day"),
        (2680, local(2026, 2, 10, 10, 0), 3240, local(2026, 3, 2, 10, 0), "28.0 g/day"),
        (2610, local(2026, 2, 10, 10, 0), 3050, local(2026, 3, 2, 10, 0), "22.0 g/day"),
        (3110, local(2026, 3, 5, 14, 0), 3075, local(2026, 3, 7, 14, 0), "−17.5 g/day"),
    ],
)
def test_gain_per_day_divides_by_elapsed_time(
    first: int, first_at: Moment, last: int, last_at: Moment, text: str
) -> None:
    found = gain_per_day(grams(first), first_at, grams(last), last_at)
    assert isinstance(found, GainPerDay)
    assert found.text == text


def test_a_day_of_twenty_four_hours_is_the_shortest() -> None:
    start = local(2026, 3, 7, 10, 30)
    short = Moment(start.at + timedelta(hours=24, minutes=-1), NEW_YORK)
    assert isinstance(gain_per_day(grams(3000), start, grams(3030), short), NoFigure)
    full = gain_per_day(grams(3000), start, grams(3030), Moment(start.at + timedelta(hours=24), NEW_YORK))
    assert isinstance(full, GainPerDay)
    assert full.text == "30.0 g/day"
    assert full.words == "+30 g in 1.0 days"


def test_an_unresolved_input_gives_no_gain() -> None:
    two = Conflicted(tuple(Variant(grams(g), "a", datetime(2026, 1, 1, tzinfo=UTC), "d", str(g)) for g in (3000, 3100)))
    found = gain_per_day(two, local(2026, 3, 7, 10), grams(3190), local(2026, 3, 9, 9))
    assert isinstance(found, NoFigure)
    assert found.unresolved


# Rule and limit: AAP and NICE convention, from memory (M); check rows worked out (C).
@pytest.mark.parametrize(
    ("weeks", "days", "age_days", "corrected"),
    [(34, 2, 60, 20), (36, 6, 14, -8), (35, 2, 29, -4), (35, 2, 49, 16)],
)
def test_corrected_age_counts_from_the_term_date(weeks: int, days: int, age_days: int, corrected: int) -> None:
    found = corrected_age(gestation(weeks, days), age_days)
    assert isinstance(found, CorrectedAge)
    assert found.days == corrected
    assert found.before_term is (corrected < 0)


def test_a_baby_before_the_term_date_says_so_in_words() -> None:
    ida = corrected_age(gestation(35, 2), age_in_days(None, date(2026, 1, 12), local(2026, 2, 10, 9).at, NEW_YORK))
    assert isinstance(ida, CorrectedAge)
    assert (ida.text, ida.postmenstrual) == ("−4 d to term date", "39 weeks 3 days")


def test_no_correction_from_37_weeks_or_from_24_months_on() -> None:
    assert isinstance(corrected_age(gestation(37, 0), 30), NoFigure)
    assert isinstance(corrected_age(gestation(36, 6), 30), CorrectedAge)
    assert isinstance(corrected_age(gestation(30, 0), 730), CorrectedAge)
    assert isinstance(corrected_age(gestation(30, 0), 731), NoFigure)


def test_gestation_is_never_guessed_from_half_of_it() -> None:
    assert isinstance(gestation(36, None), NoFigure)
    assert isinstance(corrected_age(gestation(None, 2), 30), NoFigure)
