"""Expressing: sums by side, gaps, published bands as words, nipple and flange."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from forms.answers import Conflicted, Moment, Quantity, Sided, Variant
from forms.clinical.expressing import ExpressedSum, band_words, flange_difference, summed
from forms.clinical.result import NoFigure
from forms.expressing import Expression

START = datetime(2026, 3, 10, 6, tzinfo=UTC)
END = START + timedelta(hours=24)


def mL(number: int | None) -> Quantity | None:  # noqa: N802 - the unit as it is written
    return None if number is None else Quantity(str(number), "mL", number)


def mm(number: int) -> Quantity:
    return Quantity(str(number), "mm", number)


def session(hours: float, left: int | None, right: int | None, **more: Any) -> Expression:
    answers: dict[str, Any] = {
        "began": Moment(START + timedelta(hours=hours), "UTC"),
        "way": Sided("electric", "electric"),
        "amount": Sided(mL(left), mL(right)),
    }
    return Expression(**(answers | more))


def test_sessions_of_24_hours_are_summed_by_side_with_their_longest_gap() -> None:
    found = summed([session(0, 40, 25), session(3, 30, 0), session(8.5, 20, 15), session(25, 99, 99)], START, END)
    assert found == ExpressedSum(3, 90, 40, 0, timedelta(hours=5.5))
    assert found.total == 130


def test_an_amount_not_written_is_not_nothing_and_a_side_not_expressed_lacks_none() -> None:
    found = summed(
        [session(0, 40, None), session(4, 30, None, way=Sided("hand", "not_expressed")), session(6, 0, 0)], START, END
    )
    assert isinstance(found, ExpressedSum)
    assert (found.left, found.right, found.unwritten) == (70, 0, 1)


def test_a_session_without_a_time_is_told_and_not_counted() -> None:
    found = summed([session(0, 40, 25), session(0, 10, 10, began=None)], START, END)
    assert isinstance(found, ExpressedSum)
    assert (found.sessions, found.total, found.untimed) == (1, 65, 1)
    assert summed([session(0, 10, 10, began=None)], START, END) == NoFigure("no session has a time")
    bare = summed([session(0, 1, 1, amount=Sided(None, None))], START, END)
    assert isinstance(bare, ExpressedSum)
    assert (bare.left, bare.right, bare.total, bare.unwritten) == (None, None, None, 2)  # not written is not 0 mL
    assert summed([], START, END) == NoFigure("no session in these hours")


def test_two_values_for_an_amount_leave_the_sum_unresolved() -> None:
    two = Conflicted((Variant(mL(10), "a", START, "d", "1"), Variant(mL(20), "b", START, "d", "2")))
    found = summed([session(0, 1, 1, amount=Sided(two, mL(1)))], START, END)
    assert isinstance(found, NoFigure)
    assert found.unresolved


# About 750 mL a day wished for, 350 to 750 borderline, below 350 low, by day 10 to 14: older preterm teaching (S2).
@pytest.mark.parametrize(
    ("total", "days", "begins"),
    [
        (750, 10, "at or above 750"), (749, 10, "between 350 and 750"), (350, 14, "between 350 and 750"),
        (349, 14, "below 350"), (0, 12, "below 350"),
    ],
)  # fmt: skip
def test_a_days_total_is_put_beside_the_published_bands_in_words(total: int, days: int, begins: str) -> None:
    words = band_words(total, days)
    assert words is not None
    assert words.startswith(begins)


def test_before_day_10_no_band_is_published_and_none_is_said() -> None:
    assert band_words(20, 9) is None


# Check row (C): nipple 17 mm, flange 21 mm. No rule follows from the difference (S, pilot S2).
def test_the_flange_is_compared_with_the_nipple_by_the_difference_alone() -> None:
    assert flange_difference(mm(17), mm(21)) == "+4 mm"
    assert flange_difference(mm(21), mm(21)) == "0 mm"
    assert flange_difference(mm(21), mm(19)) == "−2 mm"
    assert flange_difference(None, mm(21)) == NoFigure("the nipple width is not known")
