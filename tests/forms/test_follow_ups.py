"""A follow-up opens in place, on the answer and the side that calls for it, and never on a non-answer."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from forms.answers import Absence, Absent, Conflicted, Quantity, Side, Variant
from forms.ask import Path
from forms.form import conflicted, is_open, shown_asks, with_value
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.units import quantity_of

LEFT, RIGHT = Side.LEFT, Side.RIGHT


def _two(first: object, second: object) -> Conflicted:
    at = datetime(2026, 3, 2, 12, tzinfo=UTC)
    return Conflicted(tuple(Variant(v, "author", at, "device", str(n)) for n, v in enumerate((first, second))))


def test_a_follow_up_opens_only_on_the_side_that_hurts() -> None:
    answers = with_value(ParentHistory(), Path("pain_worst", LEFT), 5)
    assert is_open(answers, Path("pain_kind", LEFT))
    assert not is_open(answers, Path("pain_kind", RIGHT))


def test_no_pain_at_all_opens_nothing() -> None:
    answers = with_value(ParentHistory(), Path("pain_worst", LEFT), 0)
    assert not is_open(answers, Path("pain_kind", LEFT))


@pytest.mark.parametrize(("sure", "opens"), [(0, True), (4, True), (5, False)])
def test_little_confidence_opens_what_would_help(sure: int, opens: bool) -> None:
    answers = with_value(ParentHistory(), Path("goal_confidence"), sure)
    assert is_open(answers, Path("would_help")) is opens


@pytest.mark.parametrize(
    ("typed", "unit", "opens"),
    [("36.4", "C", True), ("36.5", "C", False), ("97.5", "F", True), ("97.7", "F", False), ("38.0", "C", False)],
)
def test_a_temperature_below_36_5_opens_what_skin_to_skin_did(typed: str, unit: str, opens: bool) -> None:
    answers = with_value(InfantAssessment(), Path("temperature"), quantity_of(typed, unit))
    assert is_open(answers, Path("temperature_after_skin")) is opens
    assert is_open(answers, Path("temperature_at"))


@pytest.mark.parametrize(("minutes", "opens"), [(60, False), (61, True)])
def test_a_first_feed_later_than_an_hour_opens_why(minutes: int, opens: bool) -> None:
    answers = with_value(InfantHistory(), Path("first_feed_after"), Quantity(str(minutes), "min", minutes))
    assert is_open(answers, Path("first_feed_late_why")) is opens


@pytest.mark.parametrize("kind", Absence)
def test_a_non_answer_opens_nothing(kind: Absence) -> None:
    answers = with_value(InfantAssessment(), Path("temperature"), Absent(kind))
    assert not is_open(answers, Path("temperature_at"))


def test_either_of_two_answers_that_stand_opens_the_follow_up() -> None:
    answers = with_value(InfantAssessment(), Path("skin"), _two(("clear",), ("bruise",)))
    assert is_open(answers, Path("moves_about"))
    assert conflicted(answers) == (Path("skin"),)


def test_a_follow_up_of_a_closed_follow_up_stays_closed_and_keeps_its_answer() -> None:
    answers = with_value(ParentHistory(), Path("screen_form"), "epds")
    answers = with_value(answers, Path("screen_item_10"), 2)
    answers = with_value(answers, Path("harm_thought_now"), "yes")
    assert is_open(answers, Path("harm_thought_now"))
    closed = with_value(answers, Path("screen_form"), None)
    assert not is_open(closed, Path("harm_thought_now"))
    assert isinstance(closed, ParentHistory)
    assert closed.harm_thought_now == "yes"


def test_only_open_questions_are_shown_in_the_order_declared() -> None:
    shown = [
        str(path) for path, _, _ in shown_asks(with_value(InfantAssessment(), Path("tone"), ("turns_to_one_side",)))
    ]
    assert shown[shown.index("tone") + 1] == "turns_to"
    assert "yellow_extent" not in shown
