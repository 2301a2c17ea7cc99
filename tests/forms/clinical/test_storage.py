"""Until when expressed milk is kept."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from forms.answers import Moment
from forms.clinical.result import NoFigure
from forms.clinical.storage import UNIT_RULES, Kept, UseBy, months_later, use_by

ZONE = "America/New_York"


def at(text: str) -> Moment:
    return Moment(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(ZONE)), ZONE)


# Check rows: fridge 4 days, thawed 24 h (CDC and ABM protocol 8, 2017, as quoted, S2); left in a bottle 2 h (CDC, S).
# 2 Mar 2026 is a Monday. The clocks go forward on Sunday 8 Mar 2026 at 02:00.
@pytest.mark.parametrize(
    ("since", "kept", "text"),
    [
        ("2026-03-02T09:00", Kept.FRIDGE, "use by Fri 6 Mar 2026, 09:00"),
        ("2026-03-02T09:00", Kept.THAWED_FRIDGE, "use by Tue 3 Mar 2026, 09:00"),
        ("2026-03-02T09:00", Kept.ROOM, "use by Mon 2 Mar 2026, 13:00"),
        ("2026-03-02T09:00", Kept.BOTTLE, "use by Mon 2 Mar 2026, 11:00"),
        ("2026-03-02T09:00", Kept.THAWED_ROOM, "use by 10:00, at most until Mon 2 Mar 2026, 11:00"),
        ("2026-03-02T09:00", Kept.FREEZER, "best by Wed 2 Sep 2026, use by Tue 2 Mar 2027"),
        ("2026-03-07T23:30", Kept.ROOM, "use by Sun 8 Mar 2026, 04:30"),
        ("2026-03-06T09:00", Kept.FRIDGE, "use by Tue 10 Mar 2026, 09:00"),
        ("2026-03-07T12:00", Kept.THAWED_FRIDGE, "use by Sun 8 Mar 2026, 13:00"),
    ],
)
def test_milk_for_a_term_baby_at_home_has_a_last_moment(since: str, kept: Kept, text: str) -> None:
    found = use_by(at(since), kept, "term_home")
    assert isinstance(found, UseBy)
    assert found.text == text


# Calendar months (C); a day that the month has not is the next day, as for every due date.
@pytest.mark.parametrize(
    ("on", "months", "later"),
    [
        (date(2027, 8, 29), 6, date(2028, 2, 29)),
        (date(2026, 8, 29), 6, date(2027, 3, 1)),
        (date(2028, 2, 29), 12, date(2029, 3, 1)),
        (date(2026, 8, 31), 6, date(2027, 3, 1)),
        (date(2026, 12, 31), 6, date(2027, 7, 1)),
        (date(2026, 6, 30), 6, date(2026, 12, 30)),
    ],
)
def test_months_end_on_the_same_day_of_the_month_or_the_next_day(on: date, months: int, later: date) -> None:
    assert months_later(on, months) == later


@pytest.mark.parametrize("kept", Kept)
def test_for_a_preterm_or_ill_baby_the_units_rules_hold(kept: Kept) -> None:
    assert use_by(at("2026-03-02T09:00"), kept, "early_or_ill") == NoFigure(UNIT_RULES)


def test_without_knowing_for_whom_or_since_when_there_is_no_last_moment() -> None:
    assert isinstance(use_by(at("2026-03-02T09:00"), Kept.ROOM, None), NoFigure)
    assert isinstance(use_by(None, Kept.ROOM, "term_home"), NoFigure)
