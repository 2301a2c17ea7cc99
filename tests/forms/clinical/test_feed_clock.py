"""A feed's own time line: whatever the wall clock does, its seconds stay where they are."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from forms.answers import Moment
from forms.clinical.feed_clock import QUIET, Reading, apart, on_line
from forms.clinical.feed_line import Event, Events, feed_line
from forms.clinical.feed_numbers import first_swallow
from tests.forms.clinical.tapped import after, at

BOOT, LATER_BOOT = "b" * 32, "c" * 32
SECOND = 1_000_000_000


def event(seconds: int, boot: str = BOOT, nanos: int | None = None, zone: str = "UTC") -> Event:
    """An event tapped `seconds` after the start, with the steady clock then, which began 100 s before it."""
    reading = Reading(boot, (seconds + 100) * SECOND if nanos is None else nanos)
    return Event(f"{seconds:032d}", "latch", "left", at(seconds), steady=str(reading), zone=zone)


def wall(seconds: float) -> Moment:
    return Moment(at(seconds), "UTC")


def steady(seconds: int, boot: str = BOOT) -> Reading:
    return Reading(boot, (seconds + 100) * SECOND)


def test_a_reading_is_kept_and_read_again_and_anything_else_is_none() -> None:
    reading = Reading("4f9c a-b", 123)
    assert Reading.read(str(reading)) == reading
    for kept in ("", "4f9c", "4f9c ", " 12", "4f9c -3", "4f9c 1.5", "4f9c ²"):
        assert Reading.read(kept) is None, kept


@pytest.mark.parametrize(
    "moved", [-3600, -1, 0, 3600, 86_400], ids=["an hour back", "a second", "not", "on", "a day on"]
)
def test_the_wall_clock_may_move_and_the_next_event_stays_in_its_place(moved: int) -> None:
    found, doubt = on_line([event(0), event(60)], wall(90 + moved), steady(90))
    assert (found.at, doubt) == (at(90), "")
    assert apart([event(0)], wall(90 + moved), steady(90)) == after(moved)


def test_a_whole_feed_through_a_clock_set_back_an_hour_has_its_true_seconds() -> None:
    told: list[Event] = []
    for seconds, what, shift in ((0, "latch", 0), (34, "swallow", -3600), (90, "pause", 7200), (120, "off_self", 0)):
        found, doubt = on_line(told, wall(seconds + shift), steady(seconds))
        told.append(Event(str(seconds), what, "left", found.at, steady=str(steady(seconds))))
        assert doubt == ""
    line = feed_line(Events(tuple(told)))
    assert first_swallow(line, "left") == after(34)
    assert [spell.until - spell.at for spell in line.lane("left").spells] == [after(120)]


def test_parts_of_a_second_do_not_add_up_to_an_error() -> None:
    told = [event(0)]
    for n in range(1, 300):
        reading = Reading(BOOT, 100 * SECOND + n * 333_333_333)
        found, _ = on_line(told, wall(0), reading)
        told.append(Event(str(n), "suck", "left", found.at, steady=str(reading)))
    assert told[-1].at == at(0) + timedelta(microseconds=299 * 333_333_333 // 1_000)


def test_after_a_restart_the_wall_clock_is_taken_and_the_line_goes_on_from_there() -> None:
    told = [event(0), event(60)]
    found, doubt = on_line(told, wall(200), Reading(LATER_BOOT, 5 * SECOND))
    assert (found.at, doubt) == (at(200), "")
    told.append(Event("2", "swallow", "left", found.at, steady=str(Reading(LATER_BOOT, 5 * SECOND))))
    again, doubt = on_line(told, wall(-9_000), Reading(LATER_BOOT, 15 * SECOND))
    assert (again.at, doubt) == (at(210), "")


def test_after_a_restart_with_a_clock_behind_nothing_goes_before_the_last_event_and_it_is_said() -> None:
    found, doubt = on_line([event(0), event(60)], wall(-3_000), Reading(LATER_BOOT, 5 * SECOND))
    assert found.at == at(60)
    assert doubt.startswith("The computer's clock stands before the last event here.")
    assert "write its time over" in doubt


def test_without_a_steady_clock_the_wall_clock_is_taken_never_before_the_last_event() -> None:
    assert on_line([], wall(7), None) == (wall(7), "")
    assert on_line([event(60)], wall(70), None) == (wall(70), "")
    assert on_line([event(60)], wall(50), None)[0].at == at(60)
    assert apart([event(60)], wall(50), None) == after(0)


def test_a_sleep_of_the_machine_counts_as_time_and_a_long_one_is_asked_about() -> None:
    """The steady clock counts on while the machine sleeps; 2 hours without an event: house bound, no source."""
    assert on_line([event(0)], wall(1_200), steady(1_200)) == (wall(1_200), "")
    edge = int(QUIET.total_seconds())
    assert edge == 7_200
    assert on_line([event(0)], wall(edge), steady(edge))[1] == ""
    found, doubt = on_line([event(0)], wall(edge + 60), steady(edge + 60))
    assert found.at == at(edge + 60)
    assert doubt == "The last event here was 2 h 1 min ago. Look whether this is still the same feed."
    assert on_line([event(0)], wall(edge + 60), Reading(LATER_BOOT, 0))[1] == doubt


def test_a_steady_clock_that_went_back_is_not_believed() -> None:
    found, _ = on_line([event(60)], wall(90), Reading(BOOT, 1))
    assert found.at == at(90)


def test_an_event_whose_time_was_written_over_has_no_reading_and_moves_no_later_one() -> None:
    moved = Event("0", "begin", None, at(-240), steady="")
    found, _ = on_line([moved, event(10)], wall(5_000), steady(40))
    assert found.at == at(40)


@pytest.mark.parametrize(
    ("before", "local"),
    [
        # New York, 2026: on 8 March 02:00 becomes 03:00; on 1 November 02:00 becomes 01:00 (tz database).
        (datetime(2026, 3, 8, 6, 55, tzinfo=UTC), ("01:55", "03:05")),
        (datetime(2026, 11, 1, 5, 55, tzinfo=UTC), ("01:55", "01:05")),
    ],
    ids=["spring", "autumn"],
)
def test_a_feed_across_a_change_of_the_clocks_is_ten_minutes_long(before: datetime, local: tuple[str, str]) -> None:
    zone = "America/New_York"
    first = Event("0", "latch", "left", before, zone=zone, steady=str(Reading(BOOT, 0)))
    for reading in (Reading(BOOT, 600 * SECOND), Reading(LATER_BOOT, 9)):
        found, doubt = on_line([first], Moment(before + after(600), zone), reading)
        assert (found.at - first.at, doubt, found.zone) == (after(600), "", zone)
        assert (f"{Moment(first.at, zone).local():%H:%M}", f"{found.local():%H:%M}") == local
