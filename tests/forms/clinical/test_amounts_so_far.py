"""Milk read as "so far": bottle and tube into the feed's answers, a session of expressing into its own."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from forms.answers import Absence, Absent, Moment, Quantity, Side, Sided
from forms.ask import Path
from forms.clinical.amounts_so_far import expressing_answers, less_than_before, milk_answers
from forms.clinical.feed_answers import answers_from
from forms.clinical.feed_line import Event, Events, FeedLine, feed_line
from forms.expressing import Expression
from forms.feed import FeedObservation

START = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)


def line(*events: tuple[int, str, str | None, int | None], expressing: bool = False) -> FeedLine:
    """Seconds, what, lane, and mL."""
    timed = tuple(
        Event(f"{number:032x}", what, lane, START + timedelta(seconds=second), ml=ml)
        for number, (second, what, lane, ml) in enumerate(events)
    )
    return feed_line(Events(timed, expressing=expressing))


BOTTLE = (
    (0, "latch", "bottle", None), (250, "amount", "bottle", 30), (540, "amount", "bottle", 60),
    (600, "taken_off", "bottle", None),
)  # fmt: skip


def test_a_bottle_read_as_30_at_4_10_and_as_60_at_9_00_and_taken_off_at_10_00_is_60_ml_in_10_minutes() -> None:
    found = milk_answers(FeedObservation(observed="seen"), line(*BOTTLE))
    assert found == {
        Path("bottle_seen"): True, Path("bottle_amount"): Quantity("60", "mL", 60), Path("bottle_minutes"): 10,
    }  # fmt: skip
    assert found.items() <= answers_from(FeedObservation(observed="seen"), line(*BOTTLE)).items()


def test_while_the_bottle_goes_on_nothing_is_answered_of_it() -> None:
    assert milk_answers(FeedObservation(observed="seen"), line(*BOTTLE[:3])) == {}


def test_seconds_are_not_rounded_up_to_a_minute() -> None:
    taps = ((0, "latch", "bottle", None), (599, "taken_off", "bottle", None))
    assert milk_answers(FeedObservation(), line(*taps))[Path("bottle_minutes")] == 9


def test_what_was_typed_or_refused_is_never_written_over() -> None:
    typed = FeedObservation(bottle_seen=True, bottle_amount=Quantity("55", "mL", 55), bottle_minutes=8)
    assert milk_answers(typed, line(*BOTTLE)) == {}
    declined = FeedObservation(bottle_seen=True, bottle_amount=Absent(Absence.DECLINED), bottle_minutes=8)
    assert milk_answers(declined, line(*BOTTLE)) == {}
    assert milk_answers(FeedObservation(bottle_seen=False), line(*BOTTLE)) == {}


def test_an_answer_the_events_gave_goes_along_with_one_more_of_them() -> None:
    more = (*BOTTLE, (660, "latch", "bottle", None), (700, "amount", "bottle", 75), (780, "off_self", "bottle", None))
    stood = FeedObservation(bottle_seen=True, bottle_amount=Quantity("60", "mL", 60), bottle_minutes=10)
    assert milk_answers(stood, line(*more), line(*BOTTLE)) == {
        Path("bottle_amount"): Quantity("75", "mL", 75), Path("bottle_minutes"): 12,
    }  # fmt: skip


def test_a_tube_is_more_milk_by_tube_and_a_cup_is_asked_about() -> None:
    taps = (
        (0, "latch", "left", None),
        (5, "latch", "tube", None),
        (200, "amount", "tube", 20),
        (320, "end", None, None),
    )
    assert milk_answers(FeedObservation(), line(*taps)) == {
        Path("supplement"): True, Path("supplement_method"): "tube_breast", Path("supplement_minutes"): 5,
        Path("supplement_amount"): Quantity("20", "mL", 20),
    }  # fmt: skip
    cup = ((0, "latch", "cup", None), (60, "amount", "cup", 10), (90, "taken_off", "cup", None))
    assert milk_answers(FeedObservation(), line(*cup)) == {}


@pytest.mark.parametrize(("ml", "asked"), [(59, True), (60, False), (61, False), (0, True)])
def test_a_reading_smaller_than_one_before_is_asked_about(ml: int, asked: bool) -> None:
    assert bool(less_than_before(line(*BOTTLE), "bottle", ml)) is asked
    assert less_than_before(line(*BOTTLE), "cup", ml) == ""


# --- expressing ------------------------------------------------------------------------------------------------------

DOUBLE = (
    (0, "latch", "left", None), (10, "latch", "right", None), (75, "drops", "left", None), (190, "drops", "right", None),
    (240, "letdown_seen", "left", None), (300, "letdown_felt", "left", None), (420, "letdown_seen", "left", None),
    (600, "amount", "left", 25), (900, "end", "left", None), (905, "amount", "right", 40), (960, "end", "right", None),
)  # fmt: skip


def test_a_double_session_answers_its_beginning_end_drops_letdowns_and_amounts() -> None:
    found = expressing_answers(Expression(), line(*DOUBLE, expressing=True))
    assert found == {
        Path("source"): "seen",
        Path("began"): Moment(START, "UTC"),
        Path("ended"): Moment(START + timedelta(seconds=960), "UTC"),
        Path("together"): "double",
        Path("first_drops", Side.LEFT): 1,  # 75 s
        Path("first_drops", Side.RIGHT): 3,  # 180 s after the right began
        Path("let_downs", Side.LEFT): 2,  # the one that was felt only is not one that was seen
        Path("amount", Side.LEFT): Quantity("25", "mL", 25),
        Path("amount", Side.RIGHT): Quantity("40", "mL", 40),
    }


def test_one_side_after_the_other_is_single_and_one_alone_is_one_side() -> None:
    after = (
        (0, "latch", "left", None),
        (60, "end", "left", None),
        (70, "latch", "right", None),
        (90, "end", "right", None),
    )
    assert expressing_answers(Expression(), line(*after, expressing=True))[Path("together")] == "single"
    assert expressing_answers(Expression(), line(*after[:2], expressing=True))[Path("together")] == "one_side"
    assert Path("together") not in expressing_answers(Expression(), line(*after[:1], expressing=True))


def test_a_session_that_goes_on_has_no_end_and_takes_back_the_one_it_gave() -> None:
    first = line(*DOUBLE[:1], (60, "end", "left", None), expressing=True)
    again = line(*DOUBLE[:1], (60, "end", "left", None), (80, "latch", "left", None), expressing=True)
    stood = Expression(began=Moment(START, "UTC"), ended=Moment(START + timedelta(seconds=60), "UTC"))
    assert expressing_answers(stood, again, first)[Path("ended")] is None
    typed = Expression(began=Moment(START, "UTC"), ended=Moment(START + timedelta(hours=1), "UTC"))
    assert Path("ended") not in expressing_answers(typed, again, first)


def test_answers_of_a_session_that_were_given_stand() -> None:
    given = Expression(
        source="told", together="single", amount=Sided(Quantity("30", "mL", 30), None), first_drops=Sided(5, None)
    )
    found = expressing_answers(given, line(*DOUBLE, expressing=True))
    assert not {Path("source"), Path("together"), Path("amount", Side.LEFT), Path("first_drops", Side.LEFT)} & set(
        found
    )
