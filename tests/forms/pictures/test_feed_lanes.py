"""A feed as a picture: every spell, tick, pause and number lies at its second, and the table counts every tap."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.chart import Chart
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.pictures.drawing import Area, Drawing, Filling, Ink, Line, Weave, Word
from forms.pictures.feed_lanes import feed_lanes
from forms.pictures.measure import wide_of
from tests.forms.clinical.charted import BABY, PARENT, VISIT, conflict, entry, grams
from tests.forms.clinical.tapped import FEED, START, WHOLE, Row, event_entry, reading
from tests.helpers.drawn_babies import SKETCHED, WEIGHED_LEFT, around, bottle_and_side, fed_of, many
from tests.helpers.drawn_parts import box_of, overlaps, parts_of, words_outside

NOW = START + timedelta(hours=5)


def drawn(chart: Chart, wide: float = 180.0, person: str = BABY) -> Drawing:
    (maker,) = feed_lanes(chart, person, NOW)
    return maker.draw(wide)


def word(drawing: Drawing, text: str) -> Word:
    return next(part for part in drawing.parts if isinstance(part, Word) and part.text == text)


def seconds(drawing: Drawing, x: float, of: tuple[str, int] = ("4 min", 240)) -> float:
    """The second at which a place across the picture stands, read off the words of its foot."""
    zero = word(drawing, "0").x
    return (x - zero) / (word(drawing, of[0]).x - zero) * of[1]


def row(drawing: Drawing, time: str, what: str) -> int:
    """The row of the table that begins at a time with these words."""
    return next(n for n, cells in enumerate(drawing.table.rows) if cells[0] == time and cells[2].startswith(what))


def ends(drawing: Drawing, at: int, filling: Filling) -> tuple[float, float]:
    area = next(part for part in parts_of(drawing, at) if isinstance(part, Area) and part.filling is filling)
    left, _, right, _ = box_of(area.steps)
    return round(seconds(drawing, left), 3), round(seconds(drawing, right), 3)


def ticks(drawing: Drawing, at: int, *, tall: bool = True) -> list[float]:
    """The seconds of the ticks that a row of the table tells of: tall ones are swallows, short ones sucks."""
    found = []
    for part in parts_of(drawing, at):
        if isinstance(part, Line) and len(part.steps) == 2 and part.wide == 0.32:
            (x, top), (_, foot) = part.steps
            if (foot - top > 3) is tall:
                found.append(round(seconds(drawing, x), 3))
    return found


# --- by hand --------------------------------------------------------------------------------------------------------


def test_spells_bursts_and_pauses_of_a_feed_lie_where_they_were_worked_out_by_hand() -> None:
    drawing = drawn(fed_of(*WHOLE))
    # seconds from the first tap, as laid out beside the rows of the feed
    assert ends(drawing, row(drawing, "0:20", "latch"), Filling.LIGHT) == (20, 320)
    assert ends(drawing, row(drawing, "5:30", "latched again"), Filling.LIGHT) == (330, 480)
    assert ends(drawing, row(drawing, "8:20", "latch on this side"), Filling.LIGHT) == (500, 640)
    assert ends(drawing, row(drawing, "0:35", "active sucking"), Filling.SOLID) == (35, 120)
    assert ends(drawing, row(drawing, "2:00", "pause"), Filling.HATCH) == (120, 150)
    assert ends(drawing, row(drawing, "3:20", "pause"), Filling.HATCH) == (200, 245)
    assert ends(drawing, row(drawing, "7:30", "asleep"), Filling.DOTS) == (450, 480)


def test_each_swallow_is_a_tick_at_its_second_and_each_suck_a_short_one() -> None:
    drawing = drawn(fed_of(*WHOLE))
    first = row(drawing, "0:35", "active sucking")
    assert drawing.table.rows[first][2] == "active sucking, 1 min 25 s, 2 swallows, 6 sucks"
    assert ticks(drawing, first) == [54, 57]
    # sucks at 50 to 53, 55 and 56 s: at 180 mm a second is a fifth of a millimetre, and nearer ones are one tick
    assert ticks(drawing, first, tall=False) == [50, 53, 56]
    assert ticks(drawing, row(drawing, "5:30", "active sucking")) == [350, 360, 370, 380]
    assert ticks(drawing, row(drawing, "8:20", "active sucking")) == [560]


def test_left_and_right_stand_in_lanes_of_their_own_with_whose_side_in_words() -> None:
    drawing = drawn(fed_of(*WHOLE))
    left, right = word(drawing, "Mara’s left"), word(drawing, "Mara’s right")
    spells = [ends_y for at in (row(drawing, "0:20", "latch"), row(drawing, "8:20", "latch on"))
              for ends_y in [box_of(next(p for p in parts_of(drawing, at) if isinstance(p, Area)).steps)[1::2]]]  # fmt: skip
    assert spells[0][0] < left.y < spells[1][0] < right.y + 4
    assert {cells[1] for cells in drawing.table.rows} == {"", "Mara’s left", "Mara’s right"}


def test_pain_stands_as_its_number_in_a_circle_tied_to_its_second() -> None:
    drawing = drawn(fed_of(*WHOLE))
    for time, at, number in (("0:40", 40, "6"), ("5:40", 340, "2"), ("8:30", 510, "1")):
        parts = parts_of(drawing, row(drawing, time, "pain"))
        assert [part.text for part in parts if isinstance(part, Word)] == [number]
        stem = next(part for part in parts if isinstance(part, Line) and len(part.steps) == 2)
        assert seconds(drawing, stem.steps[0][0]) == pytest.approx(at, abs=0.01)
    assert "Mara’s left: 7 min 30 s on, 8 swallows, pain 6, then 2 of 10." in drawing.sentence
    assert "Mara’s right: 2 min 20 s on, 1 swallow, pain 1 of 10." in drawing.sentence


def test_what_happened_stands_in_words_on_a_stem_at_its_second() -> None:
    drawing = drawn(fed_of(*SKETCHED))
    for text, at in (("click", 262), ("letdown seen", 480), ("burp", 640), ("cough", 930)):
        told = next(part for part in drawing.parts if isinstance(part, Word) and part.text == text)
        assert told.row is not None
        stem = next(part for part in parts_of(drawing, told.row) if isinstance(part, Line) and len(part.steps) == 2)
        assert seconds(drawing, stem.steps[0][0]) == pytest.approx(at, abs=0.01), text


def test_the_weights_of_a_side_stand_at_its_ends_and_those_of_the_whole_feed_under_the_minutes() -> None:
    drawing = drawn(fed_of(*SKETCHED, more=WEIGHED_LEFT))
    before, after = word(drawing, "2,664 g before"), word(drawing, "2,690 g after")
    assert seconds(drawing, before.x) == pytest.approx(30, abs=0.01)
    assert seconds(drawing, after.x) == pytest.approx(594, abs=0.01)
    whole = drawn(bottle_and_side())
    assert word(whole, "3,412 g before, the whole feed").y > word(whole, "0").y
    rows = [cells for cells in whole.table.rows if cells[2].startswith("weight")]
    assert rows == [
        ("before", "the whole feed", "weight 3,412 g", ""),
        ("after", "the whole feed", "weight 3,470 g", ""),
    ]


def test_two_values_of_a_weight_are_both_said() -> None:
    torn = replace(reading(2664, 10, "before"), weight=conflict(grams(2664), grams(2646)))
    drawing = drawn(fed_of(*SKETCHED, more=(around(1, torn),)))
    assert word(drawing, "unresolved: 2,664 g or 2,646 g before")


# --- memory, doubt and what is not drawn ----------------------------------------------------------------------------


def test_what_was_noted_from_memory_is_drawn_open_and_the_sentence_says_how_much() -> None:
    memory = tuple(WHOLE.index((second, "swallow", "left")) for second in (350, 370))
    live, told = drawn(fed_of(*WHOLE)), drawn(fed_of(*WHOLE, memory=memory))
    burst = row(live, "5:30", "active sucking")
    assert ticks(told, burst) == [360, 380]
    opened = [box_of(part.steps) for part in parts_of(told, burst) if isinstance(part, Line) and part.wide == 0.2]
    assert [round(seconds(told, (left + right) / 2), 3) for left, _, right, _ in opened] == [350, 370]
    assert told.table.rows[burst][3] == "as it happened; 2 of 4 taps from memory, afterwards"
    assert f"2 of {len(WHOLE)} events were noted from memory; these are drawn open." in told.sentence
    assert "memory" not in live.sentence


def test_a_feed_told_from_memory_has_no_filled_burst_and_dotted_edges() -> None:
    drawing = drawn(bottle_and_side())
    burst = row(drawing, "0:00", "active sucking")
    assert not [p for p in parts_of(drawing, burst) if isinstance(p, Area) and p.filling is Filling.SOLID]
    assert [p for p in parts_of(drawing, burst) if isinstance(p, Line) and p.weave is Weave.DOTTED]
    assert "All of it was noted from memory, and is drawn open." in drawing.sentence
    assert "open or dotted: from memory" in [p.text for p in drawing.parts if isinstance(p, Word)]


def test_an_event_in_two_minds_or_without_a_time_is_listed_and_not_drawn() -> None:
    drawing = drawn(bottle_and_side())
    undrawn = [(number, cells) for number, cells in enumerate(drawing.table.rows) if cells[0] == "not drawn"]
    assert [cells[2] for _, cells in undrawn] == [
        "two times stand: swallow, Mara’s right", "no time: click, Mara’s right",
    ]  # fmt: skip
    assert all(parts_of(drawing, number) == [] for number, _ in undrawn)
    assert "1 event not drawn: two values stand. 1 event not drawn: no time or no kind." in drawing.sentence


def test_a_tap_that_fits_nowhere_is_still_drawn_counted_and_told() -> None:
    rows: tuple[Row, ...] = ((0, "begin", None), (30, "swallow", "left"), (60, "latch", "left"), (90, "swallow", "left"),
                             (110, "swallow", None), (240, "off_self", "left"))  # fmt: skip
    drawing = drawn(fed_of(*rows))
    loose = row(drawing, "0:30", "swallow")
    assert ticks(drawing, loose) == [30]
    assert "no side written, under the lanes and counted on none" in drawing.sentence
    assert "a swallow with no latch before it" in drawing.sentence
    assert word(drawing, "swallow").row == row(drawing, "1:50", "swallow, no side written")


def test_with_nothing_that_has_a_time_there_is_only_a_sentence_and_without_events_no_picture() -> None:
    click = FeedEvent(what="click", lane="left", feed=FEED, noted="live")
    lost = entry("z" * 32, click, PARENT, BABY, visit=VISIT)
    drawing = drawn(fed_of(more=(lost,)))
    assert (drawing.parts, drawing.sentence) == ((), "1 event not drawn: no time or no kind.")
    assert list(feed_lanes(fed_of(), BABY, NOW)) == []


def test_a_feed_that_goes_on_ends_at_a_dotted_line_and_says_so_far() -> None:
    chart = fed_of((0, "latch", "left"), (10, "swallow", "left"), (60, "swallow", "left"))
    (maker,) = feed_lanes(chart, BABY, START + timedelta(minutes=8))
    drawing = maker.draw(180.0)
    assert "8 min on so far" in drawing.sentence
    (now,) = [p for p in drawing.parts if isinstance(p, Line) and p.weave is Weave.DOTTED and p.row is None and p.wide == 0.5
              and abs(p.steps[0][1] - p.steps[1][1]) > 10]  # fmt: skip
    assert seconds(drawing, now.steps[0][0]) == pytest.approx(480, abs=0.01)
    assert "still on" in drawing.table.rows[row(drawing, "0:00", "latch")][2]


# --- whose, how many, how wide --------------------------------------------------------------------------------------


def test_each_feed_is_a_picture_of_its_own_for_its_feeder_and_its_baby_and_for_nobody_else() -> None:
    other = entry("d" * 32, FeedObservation(observed="seen"), PARENT, "9" * 32, visit=VISIT)
    chart = fed_of(
        *WHOLE, more=(other, event_entry("q" * 32, (5, "latch", "left"), "d" * 32, subjects=(PARENT, "9" * 32)))
    )
    assert [maker.key for maker in feed_lanes(chart, BABY, NOW)] == [f"feed_lanes:{FEED}"]
    assert len(list(feed_lanes(chart, PARENT, NOW))) == 2
    assert drawn(chart).title == "Mara feeding Wren, 20 Mar, 10:00"


def test_five_thousand_taps_are_drawn_in_some_hundreds_of_ticks_and_the_table_counts_every_one() -> None:
    drawing = drawn(many(5000))
    assert len(drawing.parts) < 700
    burst = row(drawing, "0:00", "active sucking")
    assert drawing.table.rows[burst][2].endswith("1667 swallows, 3333 sucks")
    xs = sorted(part.steps[0][0] for part in parts_of(drawing, burst) if isinstance(part, Line) and part.wide == 0.32
                and part.steps[1][1] - part.steps[0][1] > 3)  # fmt: skip
    assert all(then - first >= 0.55 - 1e-9 for first, then in pairwise(xs))
    assert "swallow, near ones drawn as one" in [part.text for part in drawing.parts if isinstance(part, Word)]


KINDS = st.sampled_from([
    "latch", "sucking", "suck", "swallow", "swallow", "swallow", "pause", "click", "pain", "asleep", "off_self",
    "letdown_seen", "taken_off", "end",
])  # fmt: skip
LANES = st.sampled_from(["left", "right", "left", "right", "tube", "bottle", None])
TAPS = st.lists(st.tuples(st.integers(0, 40), KINDS, LANES), min_size=1, max_size=40)


def counted(drawing: Drawing, what: str) -> int:
    """How many of a kind the table counts: with their number in a burst, alone in a row of their own."""
    found = 0
    for _, _, words, _ in drawing.table.rows:
        found += sum(int(number) for number in re.findall(rf"(\d+) {what}s?\b", words))
        found += words.split(",")[0] == what
    return found


@settings(max_examples=60, deadline=None)
@given(TAPS)
def test_whatever_is_tapped_the_table_counts_it_and_every_word_stays_inside(taps: list[Any]) -> None:
    at, rows = 0, []
    for gap, what, lane in taps:
        at += gap
        rows.append((at, what, lane, at % 11) if what == "pain" else (at, what, lane))
    drawing = drawn(fed_of(*rows))
    for what in ("swallow", "suck"):
        assert counted(drawing, what) == sum(kind == what for _, kind, _ in taps), what
    for what in ("click", "pain", "letdown seen"):
        code = what.replace(" ", "_")
        assert sum(cells[2].split(",")[0] == what for cells in drawing.table.rows) == sum(k == code for _, k, _ in taps)
    assert words_outside(drawing) == []
    assert all(part.row is None or part.row < len(drawing.table.rows) for part in drawing.parts)


@pytest.mark.parametrize("wide", [90.0, 120.0, 180.0])
def test_words_stay_inside_and_off_each_other(wide: float) -> None:
    for chart in (fed_of(*SKETCHED, more=WEIGHED_LEFT), fed_of(*WHOLE), bottle_and_side(), many(600)):
        drawing = drawn(chart, wide)
        assert words_outside(drawing) == []
        assert list(overlaps(drawing)) == []


def test_no_meaning_hangs_on_a_colour_alone() -> None:
    drawing = drawn(fed_of(*SKETCHED))
    fillings = {
        part.filling for part in drawing.parts
        if isinstance(part, Area) and part.row is not None and part.ink is Ink.ELDER
    }  # fmt: skip
    assert fillings == {Filling.LIGHT, Filling.SOLID, Filling.HATCH, Filling.DOTS}


def test_a_long_name_wraps_beside_its_lane() -> None:
    chart = fed_of(*WHOLE)
    named = chart.with_entries([entry(PARENT, replace(chart.by_id(PARENT).answers, full_name="Wilhelmina-Theodora O"))])  # type: ignore[union-attr]
    drawing = drawn(named, 120.0)
    assert words_outside(drawing) == []
    assert wide_of("Wilhelmina-Theodora’s left", 3.3) > 120 * 0.24
