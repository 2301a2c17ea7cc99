"""The line of a feed: what was tapped, lane by lane, and nothing crossed, guessed or counted twice."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import pairwise
from types import FrameType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Moment
from forms.chart import Chart, Struck
from forms.clinical.feed_line import (
    ACTIVE,
    LANES,
    LATCHED,
    PAUSED,
    SLEEPING,
    Burst,
    Event,
    FeedLine,
    Rest,
    Spell,
    events_by,
    events_of,
    feed_line,
    likely_next,
)
from forms.expressing import Expression
from forms.feed import FeedObservation
from tests.forms.clinical.charted import BABY, FAMILY, NOW, PARENT, VISIT, charted, conflict, entry
from tests.forms.clinical.tapped import FEED, WHOLE, Row, after, at, event_entry, pumped_entry, tapped

TWIN, OTHER_FEED, SESSION = "d" * 32, "8" * 32, "6" * 32


def spells(line: FeedLine, lane: str) -> list[tuple[str, str]]:
    return [(spell.kind, spell.ended) for spell in line.lane(lane).spells]


def test_a_whole_feed_worked_by_hand() -> None:
    """See `tapped.WHOLE`, where each number is worked out beside its row."""
    line = feed_line(tapped(*WHOLE))
    left, right = line.lane("left"), line.lane("right")
    assert (line.began, line.ended, line.on) == (at(0), at(660), ())
    assert left.spells == (
        Spell(at(20), at(320), "latch", "taken_off"), Spell(at(330), at(480), "relatch", "off_self")
    )  # fmt: skip
    assert right.spells == (Spell(at(500), at(640), "switch", "off_self"),)
    assert left.bursts == (
        Burst(at(35), at(120), 6, 2), Burst(at(150), at(200), 5, 0), Burst(at(245), at(320), 3, 2),
        Burst(at(330), at(450), 0, 4),
    )  # fmt: skip
    assert left.rests == (Rest(at(120), at(150)), Rest(at(200), at(245)), Rest(at(450), at(480), asleep=True))
    assert left.pauses == left.rests[:2]
    assert (right.bursts, right.rests) == ((Burst(at(500), at(620), 0, 1),), (Rest(at(620), at(640)),))
    assert left.swallows == tuple(at(s) for s in (54, 57, 245, 252, 350, 360, 370, 380))
    assert left.pains == ((at(40), 6), (at(340), 2))
    assert [event.what for event in right.letdowns] == ["letdown_felt"]
    assert (left.doubts, right.doubts, line.astray) == ((), (), ())


def test_an_open_spell_runs_to_now_and_without_a_now_to_the_last_event() -> None:
    rows: tuple[Row, ...] = ((0, "latch", "left"), (30, "swallow", "left"))
    running = feed_line(tapped(*rows), at(90))
    assert running.lane("left").spells == (Spell(at(0), at(90), "latch", ""),)
    assert running.lane("left").bursts == (Burst(at(0), at(90), 0, 1, running=True),)
    assert (running.ended, running.on) == (None, ("left",))
    assert feed_line(tapped(*rows)).lane("left").spells[0].until == at(30)
    # A time written over to lie after now is no reason for a spell that ends before its events.
    assert feed_line(tapped(*rows), at(10)).lane("left").spells[0].until == at(30)


def test_without_events_there_is_an_empty_line_that_has_not_begun() -> None:
    line = feed_line(tapped(), at(0))
    assert (line.began, line.ended, line.last, line.on, dict(line.lanes)) == (None, None, None, (), {})


def test_sucking_begins_at_the_latch_unless_active_sucking_is_tapped_first() -> None:
    for first, begins in (("sucking", 40), ("suck", 0), ("swallow", 0), ("pause", 0), ("off_self", 0), ("asleep", 0)):
        line = feed_line(tapped((0, "latch", "left"), (20, "pain", "left", 3), (40, first, "left")), at(60))
        assert line.lane("left").bursts[0].at == at(begins), first
    late = feed_line(tapped((0, "latch", "left"), (20, "suck", "left"), (40, "sucking", "left")), at(60))
    assert late.lane("left").bursts[0].at == at(0)


def test_a_suck_or_a_swallow_tapped_in_a_pause_or_in_sleep_goes_on_from_there() -> None:
    for rest in ("pause", "asleep"):
        for what in ("sucking", "suck", "swallow"):
            line = feed_line(tapped((0, "latch", "left"), (50, rest, "left"), (80, what, "left")), at(100)).lane("left")
            assert [(b.at, b.until) for b in line.bursts] == [(at(0), at(50)), (at(80), at(100))]
            assert line.rests == (Rest(at(50), at(80), rest == "asleep"),)


def test_what_is_tapped_twice_changes_nothing() -> None:
    once = feed_line(tapped((0, "latch", "left"), (50, "pause", "left"), (80, "sucking", "left")), at(100))
    twice = feed_line(
        tapped(
            (0, "latch", "left"), (50, "pause", "left"), (60, "pause", "left"), (80, "sucking", "left"),
            (90, "sucking", "left"),
        ),
        at(100),
    )  # fmt: skip
    assert once.lane("left").bursts == twice.lane("left").bursts
    assert once.lane("left").rests == twice.lane("left").rests


def test_falling_asleep_in_a_pause_ends_the_pause_and_a_pause_in_sleep_is_none() -> None:
    line = feed_line(
        tapped((0, "latch", "left"), (50, "pause", "left"), (70, "asleep", "left"), (80, "pause", "left")), at(100)
    ).lane("left")
    assert line.rests == (Rest(at(50), at(70)), Rest(at(70), at(100), asleep=True, running=True))
    assert line.state == SLEEPING


def test_a_latch_on_the_other_side_ends_the_spell_and_coming_back_is_a_relatch() -> None:
    line = feed_line(
        tapped((0, "latch", "left"), (60, "latch", "right"), (100, "latch", "left"), (130, "off_self", "left"))
    )
    assert spells(line, "left") == [("latch", "switched"), ("relatch", "off_self")]
    assert spells(line, "right") == [("switch", "switched")]
    assert [spell.until for spell in line.lane("left").spells] == [at(60), at(130)]


def test_a_tube_at_the_breast_runs_beside_a_side_and_a_bottle_does_not() -> None:
    rows: tuple[Row, ...] = ((0, "latch", "left"), (10, "latch", "tube"), (60, "latch", "right"))
    assert feed_line(tapped(*rows), at(90)).on == ("right", "tube")
    bottle = feed_line(tapped(*rows, (80, "latch", "bottle")), at(90))
    assert bottle.on == ("bottle",)
    assert spells(bottle, "tube") == [("latch", "switched")]


def test_both_sides_of_an_expressing_parent_run_at_once() -> None:
    rows: tuple[Row, ...] = (
        (0, "latch", "left"), (0, "latch", "right"), (90, "drops", "left"), (600, "amount", "left", 40),
        (660, "end", "right"),
    )  # fmt: skip
    line = feed_line(tapped(*rows, expressing=True), at(700))
    assert line.on == ("left",)
    assert spells(line, "right") == [("latch", "end")]
    assert line.lane("left").amounts == ((at(600), 40),)
    assert line.ended is None


def test_the_end_of_the_watching_ends_every_spell_and_a_latch_after_it_goes_on() -> None:
    rows: tuple[Row, ...] = ((0, "latch", "left"), (100, "end", None))
    ended = feed_line(tapped(*rows), at(500))
    assert (ended.ended, spells(ended, "left")) == (at(100), [("latch", "end")])
    again = feed_line(tapped(*rows, (200, "latch", "left")), at(500))
    assert (again.ended, spells(again, "left")) == (None, [("latch", "end"), ("relatch", "")])
    # Pain said after the end is of this feed and does not open it again.
    assert feed_line(tapped(*rows, (200, "pain", None, 2)), at(500)).ended == at(100)


def test_falling_asleep_on_no_lane_is_true_of_every_lane_and_nothing_else_is_moved_to_one() -> None:
    asleep = feed_line(tapped((0, "latch", "left"), (5, "latch", "tube"), (60, "asleep", None)), at(90))
    assert [asleep.lane(name).state for name in ("left", "tube")] == [SLEEPING, SLEEPING]
    line = feed_line(tapped((0, "latch", "left"), (60, "swallow", None), (70, "off_self", None)), at(90))
    assert line.lane("left").swallows == ()
    assert line.lane("left").on
    assert [event.what for event in line.astray] == ["swallow", "off_self"]


@pytest.mark.parametrize(
    ("rows", "doubt"),
    [
        (((0, "swallow", "left"),), "a swallow with no latch before it"),
        (((0, "sucking", "left"),), "a run of sucking with no latch before it"),
        (((0, "pause", "left"),), "a pause with no latch before it"),
        (((0, "off_self", "left"),), "let go with no latch before it"),
        (((0, "latch", "left"), (9, "latch", "left")), "latched twice with no letting go between"),
    ],
)
def test_a_tap_that_does_not_fit_stays_and_is_told(rows: tuple[Row, ...], doubt: str) -> None:
    lane = feed_line(tapped(*rows), at(60)).lane("left")
    assert lane.doubts == (doubt,)
    assert len(lane.events) == len(rows)
    assert len(lane.spells) == sum(row[1] == "latch" for row in rows[:1])


def test_the_likely_next_event_follows_what_the_lane_is_doing() -> None:
    steps: tuple[tuple[Row, str, str], ...] = (
        ((0, "latch", "left"), LATCHED, "swallow"),
        ((20, "swallow", "left"), ACTIVE, "swallow"),
        ((40, "pause", "left"), PAUSED, "sucking"),
        ((50, "sucking", "left"), ACTIVE, "swallow"),
        ((60, "asleep", "left"), SLEEPING, "off_self"),
        ((70, "off_self", "left"), "off", "latch"),
    )
    assert likely_next(feed_line(tapped()), "left") == "latch"
    for number, (_, state, likely) in enumerate(steps, start=1):
        line = feed_line(tapped(*(row for row, _, _ in steps[:number])), at(90))
        assert (line.lane("left").state, likely_next(line, "left")) == (state, likely)
        assert likely_next(line, "right") == "latch"


def test_the_likely_next_event_of_expressing_is_drops_and_then_an_amount() -> None:
    rows: tuple[Row, ...] = ((0, "latch", "left"), (60, "drops", "left"))
    assert likely_next(feed_line(tapped(expressing=True)), "left") == "latch"
    assert likely_next(feed_line(tapped(*rows[:1], expressing=True), at(90)), "left") == "drops"
    assert likely_next(feed_line(tapped(*rows, expressing=True), at(90)), "left") == "amount"


# Out of a chart.


def chart_of(*entries: Any) -> Chart:
    return Chart(
        FAMILY, VISIT, (*charted().entries, entry(FEED, FeedObservation(), PARENT, BABY, visit=VISIT), *entries)
    )


def test_events_are_read_in_the_order_of_their_times_and_carry_everything() -> None:
    rows: tuple[Row, ...] = ((5, "pain", "left", 6), (0, "latch", "left"), (9, "changed", "left", "chin first"))
    found = events_of(chart_of(*(event_entry(f"{n:032d}", row) for n, row in enumerate(rows))), FEED)
    assert [event.what for event in found.timed] == ["latch", "pain", "changed"]
    assert found.timed[1].pain == 6
    assert found.timed[2].words == "chin first"
    assert found.timed[0].zone == "America/New_York"
    assert all(event.live for event in found.timed)


def test_events_at_one_time_stand_as_they_were_entered() -> None:
    first = event_entry("f" * 32, (0, "latch", "left"))
    then = replace(event_entry("0" * 32, (0, "swallow", "left")), entered=NOW + after(1))
    for order in ((first, then), (then, first)):
        assert [event.what for event in events_of(chart_of(*order), FEED).timed] == ["latch", "swallow"]


@pytest.mark.parametrize(
    "more",
    [
        {"what": conflict("latch", "swallow")},
        {"at": conflict(Moment(at(0), "UTC"), Moment(at(5), "UTC"))},
        {"lane": conflict("left", "right")},
        {"feed": conflict(FEED, OTHER_FEED)},
        {"what": "pain", "pain": conflict(2, 7)},
    ],
    ids=lambda more: next(iter(more)),
)
def test_an_event_with_two_values_is_unresolved_and_never_guessed(more: dict[str, Any]) -> None:
    chart = chart_of(event_entry("1" * 32, (0, "latch", "left"), **more), event_entry("2" * 32, (9, "suck", "left")))
    found = events_of(chart, FEED)
    assert found.unresolved == ("1" * 32,)
    assert [event.what for event in found.timed] == ["suck"]
    assert feed_line(found).unresolved == ("1" * 32,)


def test_a_conflict_that_counts_for_nothing_leaves_the_event_in_place() -> None:
    kept = event_entry("1" * 32, (0, "latch", "left"), words=conflict("deep", "wide"), pain=conflict(1, 2), noted=None)
    (event,) = events_of(chart_of(kept), FEED).timed
    assert (event.words, event.pain, event.live) == ("deep / wide", None, False)


def test_an_event_without_a_kind_or_a_time_is_told_apart_and_one_struck_out_is_gone() -> None:
    struck = replace(event_entry("3" * 32, (0, "latch", "left")), struck=Struck("author", NOW, "slip"))
    chart = chart_of(
        event_entry("1" * 32, (0, "latch", "left"), what=None),
        event_entry("2" * 32, (0, "latch", "left"), at=None),
        struck,
    )
    found = events_of(chart, FEED)
    assert (found.timed, found.untimed, found.unresolved) == ((), ("1" * 32, "2" * 32), ())


def test_expressing_events_are_read_for_their_session() -> None:
    session = entry(SESSION, Expression(), PARENT, visit=VISIT)
    chart = chart_of(
        session, pumped_entry("1" * 32, (0, "latch", "left"), SESSION), event_entry("2" * 32, (0, "latch", "left"))
    )
    found = events_of(chart, SESSION)
    assert found.expressing
    assert [event.id for event in found.timed] == ["1" * 32]


# Random feeds.

KINDS = (
    "latch", "sucking", "suck", "swallow", "pause", "asleep", "off_self", "taken_off", "compress", "cough", "changed",
    "pain", "begin", "end",
)  # fmt: skip
LANED = st.one_of(st.none(), st.sampled_from(LANES))


@st.composite
def feeds(draw: st.DrawFn, most: int = 25) -> list[Row]:
    """Rows of a feed at times that differ, in any order of sense and nonsense."""
    times = draw(st.lists(st.integers(0, 5_000), unique=True, max_size=most))
    return [(time, draw(st.sampled_from(KINDS)), draw(LANED)) for time in sorted(times)]


@given(feeds(), feeds(), st.data())
def test_two_feeds_written_in_any_interleaving_are_each_as_if_alone(
    one: list[Row], two: list[Row], data: st.DataObject
) -> None:
    """Two babies of one feeder, at once: the same lanes, the same seconds, and nothing of one in the other."""
    ours = [event_entry(f"1{n:031d}", row) for n, row in enumerate(one)]
    theirs = [event_entry(f"2{n:031d}", row, OTHER_FEED, subjects=(PARENT, TWIN)) for n, row in enumerate(two)]
    mixed = chart_of(*data.draw(st.permutations([*ours, *theirs])))
    for owner, entries in ((FEED, ours), (OTHER_FEED, theirs)):
        alone = feed_line(events_of(chart_of(*entries), owner), at(6_000))
        assert feed_line(events_of(mixed, owner), at(6_000)) == alone
        assert feed_line(events_by(mixed)[owner], at(6_000)) == alone if entries else owner not in events_by(mixed)


@given(feeds(), st.data())
def test_the_order_of_entering_does_not_matter_and_striking_then_adding_again_gives_the_same(
    rows: list[Row], data: st.DataObject
) -> None:
    entries = [event_entry(f"{n:032d}", row) for n, row in enumerate(rows)]
    line = feed_line(events_of(chart_of(*entries), FEED), at(6_000))
    assert feed_line(events_of(chart_of(*data.draw(st.permutations(entries))), FEED), at(6_000)) == line
    gone = data.draw(st.sets(st.sampled_from(range(len(rows))))) if rows else set()
    struck = [replace(e, struck=Struck("author", NOW, "slip")) for n, e in enumerate(entries) if n in gone]
    again = [event_entry(f"7{n:031d}", rows[n]) for n in sorted(gone)]
    kept = [e for n, e in enumerate(entries) if n not in gone]
    redone = feed_line(events_of(chart_of(*struck, *kept, *again), FEED), at(6_000))
    assert {name: without_ids(redone, name) for name in redone.lanes} == {
        name: without_ids(line, name) for name in line.lanes
    }


def without_ids(line: FeedLine, lane: str) -> Any:
    found = line.lane(lane)
    return found.spells, found.bursts, found.rests, found.state, found.doubts, [(e.what, e.at) for e in found.events]


@given(feeds())
def test_bursts_and_rests_fill_a_spell_without_overlap_and_no_suck_is_lost(rows: list[Row]) -> None:
    line = feed_line(tapped(*rows), at(6_000))
    for lane in line.lanes.values():
        parts: list[Burst | Rest] = sorted([*lane.bursts, *lane.rests], key=lambda part: (part.at, part.until))
        for first, then in pairwise(parts):
            assert first.until <= then.at
        for part in parts:
            assert any(spell.at <= part.at <= part.until <= spell.until for spell in lane.spells)
        for first_spell, next_spell in zip(lane.spells, lane.spells[1:], strict=False):
            assert first_spell.until <= next_spell.at
        within = [e for e in lane.of("swallow") if any(b.at <= e.at <= b.until for b in lane.bursts)]
        assert sum(burst.swallows for burst in lane.bursts) == len(within)
    breasts = [s for name in ("left", "right", "bottle", "cup") for s in line.lane(name).spells]
    breasts.sort(key=lambda spell: (spell.at, spell.until))
    assert all(first.until <= then.at for first, then in pairwise(breasts))


def steps_of(events: Any) -> int:
    """How many lines of the feed line's module run for these events: the work, whatever the machine."""
    count = 0

    def trace(frame: FrameType, what: str, _: Any) -> Any:
        nonlocal count
        if not frame.f_code.co_filename.endswith("feed_line.py"):
            return None
        count += what == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        feed_line(events, at(100_000))
    finally:
        sys.settrace(before)
    return count


@pytest.mark.parametrize(
    "cycle",
    [
        ("latch", "left", "suck", "left", "swallow", "left", "pause", "left", "off_self", "left"),
        ("latch", "left", "latch", "right", "latch", "bottle", "asleep", "bottle", "swallow", "bottle"),
    ],
    ids=["on and off", "from lane to lane"],
)
def test_five_thousand_events_cost_five_times_a_thousand(cycle: tuple[str, ...]) -> None:
    def events(number: int) -> Any:
        pairs = list(zip(cycle[::2], cycle[1::2], strict=True))
        return tapped(*((n, *pairs[n % len(pairs)]) for n in range(number)))

    small, large = steps_of(events(1_000)), steps_of(events(5_000))
    assert small > 1_000
    assert large <= 5 * small


def test_an_event_is_told_by_its_own_time_however_late_it_was_entered() -> None:
    late = replace(event_entry("0" * 32, (10, "swallow", "left"), noted="after"), entered=NOW + after(3_600))
    found = events_of(chart_of(late, event_entry("1" * 32, (20, "swallow", "left"))), FEED)
    assert [(event.at, event.live) for event in found.timed] == [(at(10), False), (at(20), True)]
    assert isinstance(found.timed[0], Event)
