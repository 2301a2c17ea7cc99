"""The ring of 24 hours: every arc is as long as the time it stands for, and the gap's arc is the gap's own figure."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Moment
from forms.clinical.day_ring import DayRing, day_ring
from forms.clinical.feeding_log import DAY, DayLog, day_log
from forms.feeding_log import LogLine

ZONE = "America/New_York"


def at(text: str) -> Moment:
    return Moment(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(ZONE)), ZONE)


def logged(*lines: LogLine, window: Moment | None = None) -> DayLog:
    found = day_log([(str(n), line) for n, line in enumerate(lines)], window, ZONE)
    assert isinstance(found, DayLog)
    return found


def ring(*lines: LogLine, window: Moment | None = None) -> DayRing:
    return day_ring(logged(*lines, window=window))


def fed(starts: str, ends: str | None = None, kind: str = "left", **more: Any) -> LogLine:
    return LogLine(starts=at(starts), ends=at(ends) if ends else None, kind=kind, **more)


def test_midnight_is_at_the_top_and_a_feed_lies_at_its_hour_for_as_long_as_it_took() -> None:
    found = ring(fed("2026-03-10T18:00", "2026-03-10T18:30"), fed("2026-03-11T06:00"))
    assert [(arc.start, arc.share) for arc in found.arcs] == [
        (Fraction(3, 4), Fraction(1, 48)), (Fraction(1, 4), Fraction(0)),
    ]  # fmt: skip
    assert {hour.hour: hour.turn for hour in found.hours}[0] == 0


def test_both_sides_lie_in_both_lanes_and_every_other_kind_in_its_own() -> None:
    found = ring(
        fed("2026-03-10T18:00", kind="both"), fed("2026-03-10T20:00", kind="cup"), fed("2026-03-10T21:00", kind="pumped"),
        fed("2026-03-10T22:00", kind="diaper", wet=True, stool="yellow"),
    )  # fmt: skip
    assert [arc.lane for arc in found.arcs] == ["left", "right", "given", "expressed"]
    assert len(found.wets) == len(found.stools) == 1


def test_the_night_is_shaded_from_22_to_6_and_only_inside_the_24_hours() -> None:
    found = ring(fed("2026-03-10T08:00"), window=at("2026-03-10T08:00"))
    assert [(night.start, night.share) for night in found.nights] == [(Fraction(22, 24), Fraction(8, 24))]
    begun_at_night = ring(fed("2026-03-10T23:00"), window=at("2026-03-10T23:00"))
    assert sorted(night.share for night in begun_at_night.nights) == [Fraction(1, 24), Fraction(7, 24)]


def test_on_the_night_the_clocks_go_forward_the_arcs_keep_elapsed_time_and_the_hours_follow_the_clock() -> None:
    found = ring(fed("2026-03-07T23:00"), fed("2026-03-08T04:00"), window=at("2026-03-07T20:00"))
    assert found.gap is not None
    assert found.gap.share * 24 == 4  # 23:00 to 04:00, of which the clocks skipped one hour
    assert {hour.hour: hour.turn for hour in found.hours}[6] == Fraction(5, 24)
    assert sum(night.share for night in found.nights) * 24 == 7


def test_a_gap_longer_than_a_day_goes_all_the_way_round_and_no_further() -> None:
    found = ring(fed("2026-03-10T06:00"), fed("2026-03-12T06:00"))
    assert found.gap is not None
    assert found.gap.share == 1


MINUTES = st.lists(st.integers(0, 24 * 60 - 1), min_size=2, max_size=30)
STARTS = st.integers(0, 360 * 24 * 60).map(lambda m: datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=m))


@given(STARTS, MINUTES)
def test_the_gaps_arc_is_always_the_figure_and_runs_from_feed_to_feed(start: datetime, minutes: list[int]) -> None:
    lines = [LogLine(starts=Moment(start + timedelta(minutes=m), ZONE), kind="left") for m in minutes]
    log = logged(*lines, window=Moment(start, ZONE))
    found = day_ring(log)
    assert found.gap is not None
    assert log.longest_gap is not None
    assert found.gap.share * (DAY // timedelta(microseconds=1)) == log.longest_gap // timedelta(microseconds=1)
    ends = {arc.start for arc in found.arcs}
    assert {found.gap.start, (found.gap.start + found.gap.share) % 1} <= ends
    assert all(0 <= arc.start < 1 for arc in (*found.arcs, *found.nights))
