"""Events in words, and times typed into them: minutes into the session, or the clock with its seconds."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.event_words import began, event_words, how_noted, into, read_time
from forms.feed import FeedObservation
from forms.feed_event import ExpressionEvent, FeedEvent
from forms.trouble import Refused

ZONE = "America/New_York"
START = Moment(datetime(2026, 3, 3, 15, 42, 18, 400_000, tzinfo=UTC), ZONE)  # 10:42:18 there


def after(**span: float) -> Moment:
    return Moment(START.at + timedelta(**span), ZONE)


@pytest.mark.parametrize(
    ("at", "words"),
    [
        (after(seconds=0), "0:00"),
        (after(seconds=252), "4:12"),
        (after(seconds=59, milliseconds=999), "0:59"),
        (after(minutes=75, seconds=9), "75:09"),
        (after(seconds=-65), "1:05 before"),
    ],
)
def test_how_far_into_a_feed_is_told_in_minutes_and_seconds(at: Moment, words: str) -> None:
    assert into(START, at) == words


@given(st.integers(min_value=0, max_value=59_999))
def test_minutes_into_a_feed_are_read_back_as_they_are_told(seconds: int) -> None:
    told = into(START, after(seconds=seconds))
    assert read_time(told, START, START) == after(seconds=seconds)


@pytest.mark.parametrize(
    ("typed", "local"),
    [("10:45:00", "2026-03-03 10:45:00"), ("10.45.07", "2026-03-03 10:45:07"), ("21:00:00", "2026-03-03 21:00:00"),
     ("10:40:00", "2026-03-03 10:40:00")],
)  # fmt: skip
def test_with_seconds_a_time_is_one_of_the_clock_on_the_day_of_the_feed(typed: str, local: str) -> None:
    assert read_time(typed, START, START).local().strftime("%Y-%m-%d %H:%M:%S") == local


def test_a_feed_over_midnight_has_its_clock_times_on_the_next_day() -> None:
    late = Moment(datetime(2026, 3, 4, 4, 50, tzinfo=UTC), ZONE)  # 23:50 there
    found = read_time("0:04:30", late, late)
    assert found.local().strftime("%Y-%m-%d %H:%M:%S") == "2026-03-04 00:04:30"


@pytest.mark.parametrize(
    ("typed", "local"),
    [("10:42", "2026-03-03 10:42:00"), ("10:41:30", "2026-03-03 10:41:30"), ("10:43", "2026-03-02 10:43:00"),
     ("9:15 pm", "2026-03-02 21:15:00"), ("12:05 am", "2026-03-03 00:05:00")],
)  # fmt: skip
def test_where_no_beginning_stands_a_time_is_the_last_such_time_of_day(typed: str, local: str) -> None:
    assert read_time(typed, None, START).local().strftime("%Y-%m-%d %H:%M:%S") == local


@pytest.mark.parametrize(
    ("typed", "start", "says"),
    [
        ("4:75", START, "Seconds go from 00 to 59"),
        ("soon", START, "Write the time like 4:12 for minutes into the feed"),
        ("25:00:00", START, "There is no such time of day"),
        ("soon", None, "Write the time like 10:42"),
        ("13:00 pm", None, "With am or pm the hour goes from 1 to 12"),
        ("24:00", None, "There is no such time of day"),
    ],
)
def test_what_is_no_time_is_refused_with_what_to_type(typed: str, start: Moment | None, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_time(typed, start, START)
    assert says in refused.value.sentence


def test_an_event_is_told_in_one_line_with_whose_side_it_was() -> None:
    swallow = FeedEvent(what="swallow", at=after(seconds=252), lane="left", noted="live")
    assert event_words(swallow, START, "Mara") == "4:12 swallow, Mara’s left"
    assert event_words(swallow, None, "Mara") == "10:46:30 swallow, Mara’s left"
    pain = FeedEvent(what="pain", at=after(seconds=20), lane="right", pain=6)
    assert event_words(pain, START, "Mara") == "0:20 pain, 6 of 10, Mara’s right"
    bottle = FeedEvent(what="amount", at=after(minutes=9), lane="bottle", amount=Quantity("60", "mL", 60))
    assert event_words(bottle, START, "Mara") == "9:00 amount so far, 60 mL, bottle"
    begins = FeedEvent(what="latch", at=START, lane="bottle")
    assert event_words(begins, START, "Mara") == "0:00 begins, bottle"
    assert event_words(ExpressionEvent(what="end", at=START, lane="left"), START, "Bea") == "0:00 ends, Bea’s left"
    drops = ExpressionEvent(what="drops", at=after(seconds=61), lane="right")
    assert event_words(drops, START, "Bea") == "1:01 first drops, Bea’s right"


def test_what_is_missing_or_disputed_is_said_and_nothing_is_picked() -> None:
    variants = tuple(Variant(value, "a", START.at, "d", str(value)) for value in (4, 6))
    assert (
        event_words(FeedEvent(what="pain", lane="left"), START, "Mara")
        == "no time: pain, not said how much, Mara’s left"
    )
    disputed = FeedEvent(what="pain", at=after(seconds=5), pain=Conflicted(variants))
    assert event_words(disputed, START, "Mara") == "0:05 pain, two figures stand"
    moved = FeedEvent(what="latch", at=Conflicted(variants), lane=Conflicted(variants))
    assert event_words(moved, START, "Mara") == "two times stand: latch, two places stand"


def test_from_memory_is_told_apart_from_what_was_noted_as_it_happened() -> None:
    assert how_noted(FeedEvent(noted="live")) == "as it happened"
    assert how_noted(FeedEvent(noted="after")) == "from memory, afterwards"
    assert how_noted(FeedEvent()) == "not known how noted"


def test_the_times_of_a_feed_count_from_its_first_event_and_without_one_from_when_it_began() -> None:
    marks = [FeedEvent(what="begin", at=after(minutes=2)), FeedEvent(what="latch", at=after(minutes=1))]
    assert began(FeedObservation(began=START), marks) == after(minutes=1)
    assert began(FeedObservation(began=START), [FeedEvent(what="latch")]) == START
    assert began(FeedObservation(), ()) is None
