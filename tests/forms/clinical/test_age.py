"""Age: the hours there really were."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from forms.answers import Absence, Absent, Conflicted, Moment, Variant
from forms.clinical.age import Age, age, age_in_days, elapsed_words, possible_births
from forms.clinical.result import NoFigure
from forms.reading import read_moment

NEW_YORK = "America/New_York"
WREN = read_moment("2026-03-02 06:10", NEW_YORK)


def at(year: int, month: int, day: int, hour: int = 0, minute: int = 0) -> datetime:
    return read_moment(f"{year}-{month}-{day} {hour}:{minute:02}", NEW_YORK).at


def conflict(*values: object) -> Conflicted:
    return Conflicted(
        tuple(Variant(v, "author", datetime(2026, 3, 2, tzinfo=UTC), "device", str(n)) for n, v in enumerate(values))
    )


# Worked out independently for a baby born Mon 2 Mar 2026 06:10 in New York; clocks went forward on Sun 8 Mar.
@pytest.mark.parametrize(
    ("when", "words", "spoken", "day_of_life"),
    [
        (at(2026, 3, 2, 6, 10), "0 min", "0 h", 1),
        (at(2026, 3, 3, 6, 9), "23 h 59 min", "23 h", 1),
        (at(2026, 3, 3, 6, 10), "1 d", "24 h", 2),
        (at(2026, 3, 5, 14, 0), "3 d 7 h 50 min", "79 h", 4),
        (at(2026, 3, 7, 10, 30), "5 d 4 h 20 min", "124 h", 6),
        (at(2026, 3, 9, 9, 30), "7 d 2 h 20 min", "7 days", 8),
        (at(2026, 3, 16, 10, 0), "14 d 2 h 50 min", "14 days", 15),
        (at(2026, 3, 30, 7, 10), "4 weeks", "4 weeks", 29),
        (at(2026, 3, 30, 7, 9), "27 d 23 h 59 min", "27 days", 28),
        (at(2026, 4, 7, 12, 0), "5 weeks 1 day", "5 weeks 1 day", 37),
        (at(2026, 6, 2, 12, 0), "3 months", "3 months", 93),
        (at(2026, 7, 14, 12, 0), "4 months 12 days", "4 months 12 days", 135),
    ],
)
def test_age_counts_elapsed_time_across_a_clock_change(
    when: datetime, words: str, spoken: str, day_of_life: int
) -> None:
    found = age(WREN, when)
    assert isinstance(found, Age)
    assert (found.words, found.spoken, found.day_of_life) == (words, spoken, day_of_life)


def test_calendar_days_count_dates_and_not_hours() -> None:
    before_the_hour = age(WREN, at(2026, 3, 16, 1, 0))
    assert isinstance(before_the_hour, Age)
    assert (before_the_hour.days, before_the_hour.calendar_days) == (13, 14)


@pytest.mark.parametrize(
    ("born", "when", "words"),
    [
        ("2024-1-31 8:00", at(2024, 5, 30, 8), "3 months 29 days"),
        ("2024-1-31 8:00", at(2024, 5, 31, 8), "4 months"),
        ("2023-11-30 8:00", at(2024, 3, 1, 8), "3 months"),
        ("2025-12-15 8:00", at(2026, 12, 15, 8), "12 months"),
    ],
)
def test_a_month_ends_on_the_same_day_of_the_month_or_the_next_day_there_is(
    born: str, when: datetime, words: str
) -> None:
    found = age(read_moment(born, NEW_YORK), when)
    assert isinstance(found, Age)
    assert found.spoken == words


def test_without_one_birth_time_there_is_no_age() -> None:
    assert age(None, at(2026, 3, 9, 9)) == NoFigure("the birth time is not known")
    assert age(Absent(Absence.NOT_ASKED), at(2026, 3, 9, 9)) == NoFigure("the birth time is not known")
    two = age(conflict(WREN, Moment(WREN.at + timedelta(days=1), NEW_YORK)), at(2026, 3, 9, 9))
    assert isinstance(two, NoFigure)
    assert two.unresolved


def test_a_time_before_the_birth_has_no_age() -> None:
    assert isinstance(age(WREN, at(2026, 3, 2, 6, 9)), NoFigure)
    assert isinstance(age_in_days(WREN, None, at(2026, 3, 1, 9), NEW_YORK), NoFigure)


def test_days_are_known_from_a_birth_day_alone() -> None:
    assert age_in_days(None, date(2026, 1, 12), at(2026, 2, 10, 9), NEW_YORK) == 29
    assert age_in_days(WREN, None, at(2026, 3, 16, 1), NEW_YORK) == 14
    assert isinstance(age_in_days(None, None, at(2026, 2, 10, 9), NEW_YORK), NoFigure)
    both = age_in_days(conflict(WREN, None), date(2026, 3, 2), at(2026, 3, 9, 9), NEW_YORK)
    assert isinstance(both, NoFigure)
    assert both.unresolved


def test_a_missing_birth_time_leaves_the_whole_birth_day_possible() -> None:
    assert possible_births(None, date(2026, 3, 2), NEW_YORK) == (at(2026, 3, 2, 0), at(2026, 3, 2, 23, 59))
    assert possible_births(WREN, None, NEW_YORK) == (WREN.at,)
    assert possible_births(None, None, NEW_YORK) == ()
    later = Moment(WREN.at + timedelta(days=1), NEW_YORK)
    assert possible_births(conflict(WREN, later), None, NEW_YORK) == (WREN.at, later.at)


def test_a_stretch_of_time_leaves_out_its_empty_parts() -> None:
    assert elapsed_words(timedelta(days=5, hours=4)) == "5 d 4 h"
    assert elapsed_words(timedelta(days=14, minutes=3)) == "14 d 3 min"
    assert elapsed_words(timedelta(seconds=59)) == "0 min"
