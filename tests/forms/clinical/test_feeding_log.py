"""A log of feeds and diapers: what any 24 hours of it come to, by elapsed time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.clinical.feeding_log import DAY, DayLog, day_log, gap_words
from forms.clinical.result import NoFigure
from forms.feeding_log import LogLine

ZONE = "America/New_York"


def at(text: str, zone: str = ZONE, fold: int = 0) -> Moment:
    return Moment(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone), fold=fold), zone)


def mL(number: int) -> Quantity:  # noqa: N802 - the unit as it is written
    return Quantity(str(number), "mL", number)


def feed(text: str, kind: str = "left", **more: Any) -> LogLine:
    return LogLine(starts=at(text), kind=kind, **more)


def logged(*lines: LogLine, window: Moment | None = None, zone: str = ZONE) -> DayLog:
    found = day_log([(str(n), line) for n, line in enumerate(lines)], window, zone)
    assert isinstance(found, DayLog)
    return found


# Elapsed time (C): the clocks of New York went forward on 8 Mar 2026 at 02:00 and go back on 1 Nov 2026 at 02:00.
@pytest.mark.parametrize(
    ("first", "then", "gap"),
    [
        ("2026-03-09T22:00", "2026-03-10T03:00", "5 h"),
        ("2026-03-07T23:30", "2026-03-08T03:30", "3 h"),
        ("2026-10-31T23:30", "2026-11-01T03:30", "5 h"),
        ("2026-03-09T10:00", "2026-03-09T10:25", "25 min"),
        ("2026-03-09T10:00", "2026-03-10T12:10", "26 h 10 min"),
    ],
)
def test_a_gap_is_elapsed_time_whatever_the_clocks_did(first: str, then: str, gap: str) -> None:
    found = logged(feed(first), feed(then))
    assert found.longest_gap is not None
    assert gap_words(found.longest_gap) == gap


def test_an_hour_that_the_clock_showed_twice_lies_between_its_two_times() -> None:
    twice = logged(
        LogLine(starts=at("2026-11-01T01:30", fold=0), kind="left"),
        LogLine(starts=at("2026-11-01T01:30", fold=1), kind="right"),
    )
    assert twice.longest_gap == timedelta(hours=1)


def test_feeds_are_split_into_day_and_night_by_the_clock_of_the_place() -> None:
    found = logged(
        feed("2026-03-10T21:59"), feed("2026-03-10T22:00"), feed("2026-03-11T05:59"), feed("2026-03-11T06:00"),
        LogLine(starts=at("2026-03-11T03:00"), kind="diaper", wet=True),
    )  # fmt: skip
    assert len(found.feeds) == 4
    assert found.at_night == 2  # 22:00 to 06:00: house choice, no source


def test_the_median_gap_of_an_even_number_lies_between_the_two_in_the_middle() -> None:
    found = logged(*(feed(f"2026-03-10T{hour:02}:00") for hour in (6, 8, 11, 15, 20)))
    assert [gap_words(then.began - first.began) for first, then in found.gaps] == ["2 h", "3 h", "4 h", "5 h"]
    assert found.median_gap == timedelta(hours=3, minutes=30)
    assert found.longest_gap == timedelta(hours=5)


def test_any_24_hours_can_be_chosen_and_the_lines_outside_are_told() -> None:
    lines = [feed(f"2026-03-{day}T{hour:02}:00") for day in (10, 11) for hour in (1, 7, 13, 19)]
    found = logged(*lines, window=at("2026-03-10T12:00"))
    assert len(found.feeds) == 4
    assert found.outside == 4
    assert found.start == at("2026-03-10T12:00").at
    first = logged(*lines)
    assert first.start == at("2026-03-10T01:00").at
    assert len(first.feeds) == 4, "what begins 24 hours later belongs to the next day"


def test_a_gap_across_the_edge_of_the_24_hours_is_not_hidden_by_it() -> None:
    found = logged(
        feed("2026-03-10T05:00"), feed("2026-03-10T12:00"), feed("2026-03-10T14:00"), window=at("2026-03-10T06:00")
    )
    assert found.longest_gap == timedelta(hours=7)


# The span below which a log is no log of a day, 22 hours: rule of the trade (P).
@pytest.mark.parametrize(("hours", "minutes", "day"), [(19, 0, False), (21, 59, False), (22, 0, True), (23, 30, True)])
def test_a_log_of_less_than_22_hours_is_never_called_a_day(hours: int, minutes: int, *, day: bool) -> None:
    start = at("2026-03-10T06:00")
    last = Moment(start.at + timedelta(hours=hours, minutes=minutes), ZONE)
    found = logged(LogLine(starts=start, kind="left"), LogLine(starts=last, kind="right"))
    assert found.covered == timedelta(hours=hours, minutes=minutes)
    assert found.is_a_day is day


def test_a_log_that_goes_on_beyond_the_24_hours_covers_them_whole() -> None:
    found = logged(
        feed("2026-03-09T23:00"), feed("2026-03-10T08:00"), feed("2026-03-11T09:00"), window=at("2026-03-10T06:00")
    )
    assert found.covered == DAY


def test_minutes_are_summed_for_each_side_and_what_is_not_written_is_told() -> None:
    found = logged(
        feed("2026-03-10T06:00", "both", minutes_left=12, minutes_right=8),
        feed("2026-03-10T09:00", "left", ends=at("2026-03-10T09:15")),
        feed("2026-03-10T12:00", "both", minutes_left=5),
        feed("2026-03-10T15:00", "right"),
        feed("2026-03-10T18:00", "bottle", milk="own", amount=mL(40)),
    )
    left, right = found.minutes("left"), found.minutes("right")
    assert (left.total, left.lines, left.unwritten) == (32, 3, 0)
    assert (right.total, right.lines, right.unwritten) == (8, 3, 2)


def test_milk_is_summed_by_kind_and_milk_of_an_unwritten_kind_or_amount_stays_apart() -> None:
    found = logged(
        feed("2026-03-10T06:00", "bottle", milk="own", amount=mL(40)),
        feed("2026-03-10T09:00", "cup", milk="own", amount=mL(15)),
        feed("2026-03-10T12:00", "tube_breast", milk="formula", amount=mL(20)),
        feed("2026-03-10T15:00", "bottle", amount=mL(30)),
        feed("2026-03-10T18:00", "bottle", milk="formula"),
        feed("2026-03-10T20:00", "left"),
    )
    milk = {kind: (found.milk()[kind].total, found.milk()[kind].unwritten) for kind in found.milk()}
    assert milk == {"own": (55, 0), "formula": (20, 1), "": (30, 0)}


def test_milk_expressed_is_summed_by_the_feeders_side_and_is_no_feed() -> None:
    found = logged(
        feed("2026-03-10T06:00", "pumped", pumped_left=mL(40), pumped_right=mL(25)),
        feed("2026-03-10T10:00", "pumped", pumped_left=mL(30)),
    )
    assert found.feeds == ()
    assert (found.pumped("left").total, found.pumped("right").total, found.pumped("right").unwritten) == (70, 25, 1)


def test_diapers_are_counted_only_where_something_is_said_of_them_and_small_stools_stand_apart() -> None:
    silent = logged(feed("2026-03-10T06:00"))
    assert (silent.wets, silent.stools) == (None, None)
    found = logged(
        feed("2026-03-10T06:00", wet=True, stool="yellow"),
        feed("2026-03-10T09:00", wet=False, stool="none"),
        feed("2026-03-10T12:00", wet=True, stool="green", stool_small=True),  # under about 2.5 cm: Texas WIC (S)
    )
    assert (found.wets, found.stools) == (2, 1)
    assert found.stool_colours == {"yellow": 1, "green": 1}
    assert logged(feed("2026-03-10T06:00", wet=False, stool="none")).stools == 0


def test_a_line_without_a_time_and_one_that_ends_before_it_begins_count_nowhere_and_are_told() -> None:
    found = logged(
        feed("2026-03-10T06:00"),
        LogLine(kind="bottle", milk="own", amount=mL(60)),
        feed("2026-03-10T09:00", ends=at("2026-03-10T08:30"), wet=True),
    )
    assert len(found.feeds) == 1
    assert found.milk() == {}
    assert found.wets is None
    assert [(out.entry, out.why) for out in found.left_out] == [("1", "without a time"), ("2", "ends before it begins")]


def test_feeds_that_follow_within_half_an_hour_are_counted_as_written_and_said_so() -> None:
    found = logged(
        feed("2026-03-10T06:00", ends=at("2026-03-10T06:15")),
        feed("2026-03-10T06:45", "right"),
        feed("2026-03-10T09:00"),
    )
    assert len(found.feeds) == 3
    assert found.soon_after == 1  # 30 minutes: house choice, no source


def test_a_log_without_any_time_and_one_with_two_values_have_no_figure() -> None:
    assert day_log([], None, ZONE) == NoFigure("the log has no line")
    assert day_log([("1", LogLine(kind="left"))], None, ZONE) == NoFigure("no line of the log has a time")
    now = datetime(2026, 3, 10, tzinfo=UTC)
    two = Conflicted((Variant("left", "a", now, "d", "1"), Variant("right", "b", now, "d", "2")))
    found = day_log([("1", LogLine(kind=two, starts=at("2026-03-10T06:00")))], None, ZONE)
    assert isinstance(found, NoFigure)
    assert found.unresolved


MINUTES = st.lists(st.integers(0, 3 * 24 * 60), min_size=1, max_size=40)
ZONES = st.sampled_from(["America/New_York", "Europe/London", "Australia/Lord_Howe", "UTC"])
STARTS = st.integers(0, 360 * 24 * 60).map(
    lambda minutes: datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
)


@given(STARTS, MINUTES, ZONES, st.randoms())
def test_no_order_of_entering_and_no_zone_changes_a_figure(
    start: datetime, minutes: list[int], zone: str, random: Any
) -> None:
    lines = [LogLine(starts=Moment(start + timedelta(minutes=m), zone), kind="left", minutes_left=1) for m in minutes]
    window = Moment(start, zone)
    found = logged(*lines, window=window, zone=zone)
    again = list(lines)
    random.shuffle(again)
    other = logged(*again, window=Moment(start, "UTC"), zone="UTC")
    assert (found.longest_gap, found.median_gap, found.minutes("left"), found.covered, found.outside) == (
        other.longest_gap, other.median_gap, other.minutes("left"), other.covered, other.outside,
    )  # fmt: skip
    assert len(found.feeds) + found.outside == len(lines)


@given(STARTS, MINUTES, st.integers(0, 3 * 24 * 60))
def test_every_chosen_window_counts_exactly_the_feeds_that_begin_in_it(
    start: datetime, minutes: list[int], shift: int
) -> None:
    lines = [LogLine(starts=Moment(start + timedelta(minutes=m), ZONE), kind="bottle") for m in minutes]
    found = logged(*lines, window=Moment(start + timedelta(minutes=shift), ZONE))
    assert len(found.feeds) == sum(1 for m in minutes if shift <= m < shift + 24 * 60)
    assert timedelta(0) <= found.covered <= DAY
    gaps = sorted(b - a for a, b in zip(sorted(minutes), sorted(minutes)[1:], strict=False)
                  if shift <= a < shift + 1440 or shift <= b < shift + 1440)  # fmt: skip
    assert found.longest_gap == (timedelta(minutes=gaps[-1]) if gaps else None)
