"""Milk by side, and milk given another way: bars as long as their rows say, void struck, unknown never guessed."""

from __future__ import annotations

import re
from typing import Any

import pytest

from forms.answers import Sided
from forms.chart import Chart, Entry
from forms.expressing import Expression
from forms.feed import FeedObservation
from forms.feeding_log import LogLine
from forms.pictures.drawing import Area, Drawing, Filling, Line, Word
from forms.pictures.milk_sides import milk_sides
from forms.pictures.supplement_share import supplement_share
from tests.helpers import pictured as p
from tests.helpers import thornbury as t

WIDTHS = (90.0, 120.0, 180.0)


def sides(wide: float, *more: Entry[Any], who: str = t.MARA, bare: bool = False) -> Drawing:
    found = milk_sides(p.chart(*more, bare=bare), who, p.NOW)
    assert found is not None
    return found.draw(wide)


def share(wide: float, chart: Chart) -> Drawing:
    found = supplement_share(chart, t.IDA, p.NOW)
    assert found is not None
    return found.draw(wide)


def across(part: Area) -> tuple[float, float]:
    xs = [step[0] for step in part.steps if step]
    return min(xs), max(xs)


def boxes(drawing: Drawing, row: int) -> list[Area]:
    return [part for part in drawing.parts if isinstance(part, Area) and part.row == row and len(part.steps) == 5]


def amounts(cell: str) -> list[int]:
    """The mL of a cell of the table: of each of its pairs, or each of the values that stand; below zero counts as 0."""
    if cell == "–":
        return []
    return [
        max(int(found.replace("−", "-")), 0)
        for part in cell.split("; ")
        for found in (re.findall(r"(\d+) mL", part) or re.findall(r"\(?(−?\d+) g", part))
    ]


# --- milk by side -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("wide", WIDTHS)
def test_each_bar_reaches_from_the_spine_as_far_as_its_row_says(wide: float) -> None:
    drawing = sides(wide)
    unit = None
    for row, cells in enumerate(drawing.table.rows):
        for cell, way in ((cells[1], -1), (cells[2], 1)):
            bars = [b for b in (across(q) for q in boxes(drawing, row)) if ((b[0] + b[1]) / 2 - wide / 2) * way > 0]
            assert len(bars) == len(amounts(cell)), cells
            for (left, right), amount in zip(bars, amounts(cell), strict=True):
                unit = unit or (right - left) / amount
                assert right - left == pytest.approx(amount * unit)
                assert (wide / 2 - right if way < 0 else left - wide / 2) == pytest.approx(0.6)


def test_the_rows_are_those_worked_out_by_hand() -> None:
    assert sides(150).table.rows == (
        ("18 Jan, 06:00", "40 mL", "25 mL", "Mara: expressed"),
        ("18 Jan, 10:30", "28 g = 28 mL (±2)", "void: diaper changed between (36 g, not counted)",
         "Mara: feed with Ida, weighed"),
        ("22 Jan, 01:10", "55 mL", "–", "Mara: expressed"),
        ("22 Jan, 05:40", "unresolved: 30 mL or 50 mL", "0 mL", "Mara: expressed"),
        ("22 Jan, 09:15", "42 g = 42 mL (±2)", "no measurable transfer (−2 g, ±2)", "Mara: feed with Ida, weighed"),
    )  # fmt: skip


def test_a_void_pair_is_hollow_and_struck_through() -> None:
    drawing = sides(150)
    void = [q for q in boxes(drawing, 1) if q.filling is Filling.NONE]
    strokes = [q for q in drawing.parts if isinstance(q, Line) and q.row == 1]
    assert (len(void), len(strokes)) == (1, 1)
    left, right = across(void[0])
    assert strokes[0].steps[0][0] <= left + 0.01
    assert strokes[0].steps[1][0] > right
    assert "void" in [q.text for q in drawing.parts if isinstance(q, Word) and q.row == 1]


def test_two_amounts_are_hollow_both_and_no_number_stands_for_them() -> None:
    drawing = sides(150)
    assert [q.filling for q in boxes(drawing, 3)][:2] == [Filling.NONE, Filling.NONE]
    assert [q.text for q in drawing.parts if isinstance(q, Word) and q.row == 3 and "mL" in q.text] == ["0 mL"]
    assert "neither is taken" in drawing.sentence


def test_a_side_of_which_nothing_is_written_is_a_dash_and_not_a_zero() -> None:
    assert "–" in [q.text for q in sides(150).parts if isinstance(q, Word) and q.row == 2]


def test_a_feed_weighed_as_one_is_told_in_words_and_given_to_no_side() -> None:
    whole = (
        t.entry(FeedObservation, t.MARA, t.IDA, named="feed9", visit="v4", observed="seen", began=p.day(22, 9)),
        *p.weighed("feed9", "v4", "both", p.day(22, 9), 2500, 2560),
    )
    drawing = sides(150, *whole, bare=True)
    assert drawing.table.rows == (
        ("22 Jan, 09:00", "–", "–", "Mara: feed with Ida, weighed; weighed as one: 60 g = 60 mL (±2)"),
    )
    assert boxes(drawing, 0) == []


def test_an_unresolved_weight_leaves_its_side_without_a_bar() -> None:
    torn = (
        t.entry(FeedObservation, t.MARA, t.IDA, named="feed9", visit="v4", observed="seen", began=p.day(22, 9)),
        *p.weighed("feed9", "v4", "left", p.day(22, 9), 2500, p.either(t.grams(2560), t.grams(2506))),
    )
    drawing = sides(150, *torn, bare=True)
    assert drawing.table.rows[0][1] == "unresolved: two values stand for a weight of this feed"
    assert boxes(drawing, 0) == []
    assert "unresolved" in [q.text for q in drawing.parts if isinstance(q, Word) and q.row == 0]


def test_a_baby_has_only_the_feeds_and_each_feeder_a_head_of_their_own() -> None:
    other = (
        t.entry(FeedObservation, t.JONAS, t.IDA, named="feed9", visit="v4", observed="seen", began=p.day(22, 9)),
        *p.weighed("feed9", "v4", "left", p.day(22, 9), 2500, 2510),
    )
    drawing = sides(150, *other, who=t.IDA)
    words = [q.text for q in drawing.parts if isinstance(q, Word)]
    assert {"Mara’s left", "Mara’s right", "Jonas’s left", "Jonas’s right"} <= set(words)
    assert not any("expressed" in cells[3] for cells in drawing.table.rows)


def test_without_any_milk_known_there_is_no_picture() -> None:
    assert milk_sides(p.chart(bare=True), t.MARA, p.NOW) is None
    empty = t.entry(Expression, t.MARA, named="ex9", visit="v4", began=p.day(22, 5), amount=Sided(None, None))
    assert milk_sides(p.chart(empty, bare=True), t.MARA, p.NOW) is None


# --- milk given another way -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("wide", WIDTHS)
def test_each_part_of_a_bar_is_as_long_as_its_row_says_and_begins_where_the_last_ended(wide: float) -> None:
    drawing = share(wide, p.chart())
    unit = (wide - 0.8) / 135  # the longest bar, 40 + 45 + 50 mL, fills the width but for its edges
    end = 0.4
    for row, (_, milk, much) in enumerate(drawing.table.rows):
        if milk == "in all":
            end = 0.4
        elif much.endswith(" mL"):
            (bar,) = boxes(drawing, row)
            assert across(bar) == pytest.approx((end, end + int(much.split()[0]) * unit))
            end = across(bar)[1]


def test_the_share_is_worked_out_by_hand_and_told_only_where_a_feed_was_weighed() -> None:
    # 21 Jan 09:30 to 22 Jan 09:30: 45 + 30 + 20 mL given; feed3 at 09:15 is within: 42 g and −2 g, 40 mL. 95 / 135.
    # 14 Jan: nothing weighed (the feed of 15 Jan, 10:20, was not).
    rows = share(150, p.chart()).table.rows
    told = [cells[2] for cells in rows if cells[1] == "in all"]
    assert told == [
        "95 mL given another way; no share, since no feed at the breast or chest was weighed",
        "95 mL given another way of the 135 mL that are known, 70 %",
    ]


def test_feeds_at_the_breast_have_a_ring_each_and_no_amount() -> None:
    drawing = share(150, p.chart())
    for row, (_, milk, much) in enumerate(drawing.table.rows):
        if much.endswith("amount not known"):
            rings = [q for q in drawing.parts if isinstance(q, Area) and q.row == row]
            assert len(rings) == int(much.split()[0]), milk
            assert all(ring.filling is Filling.NONE for ring in rings)
    assert "Not known: 7 feeds at the breast or chest, not measured (1 with a tube)." in drawing.sentence
    assert "Not known: 1 feed given another way, amount not written." in drawing.sentence


def test_a_conflict_in_the_log_leaves_no_bar_and_says_unresolved() -> None:
    torn = t.entry(LogLine, t.IDA, named="v4-line2", visit="v4", kind="bottle", milk="own",
                   amount=p.either(p.mL(45), p.mL(60)), starts=p.day(21, 14, 30))  # fmt: skip
    rows = share(150, p.chart(torn)).table.rows
    assert rows[-1][2].startswith("unresolved")
    assert not [cells for cells in rows if "22 Jan" in cells[0] and cells[1] != "in all"]


def test_a_feed_that_weighed_less_afterwards_takes_nothing_from_what_another_brought() -> None:
    # 40 mL, and 6 g less: no measurable transfer, which is no milk taken away. 95 of 40 + 0 + 95 mL: 70 %
    less = (
        t.entry(FeedObservation, t.MARA, t.IDA, named="feed8", visit="v4", observed="seen", began=p.day(22, 9, 20)),
        *p.weighed("feed8", "v4", "left", p.day(22, 9, 20), 2520, 2514),
    )
    table = share(180.0, p.chart(*less)).table
    assert ("at the breast or chest, 2 feeds weighed", "40 mL") in [row[1:] for row in table.rows]
    assert table.rows[-1][2] == "95 mL given another way of the 135 mL that are known, 70 %"


def test_a_feed_that_begins_as_the_hours_end_is_not_one_of_them() -> None:
    ends = p.day(22, 9, 30)  # the log of 21 January, 09:30, reaches over 24 h
    next_one = (
        t.entry(FeedObservation, t.MARA, t.IDA, named="feed8", visit="v4", observed="seen", began=ends),
        *p.weighed("feed8", "v4", "left", ends, 2520, 2570),
    )
    assert share(180.0, p.chart(*next_one)).table == share(180.0, p.chart()).table


def test_a_conflict_in_a_weight_leaves_the_share_unresolved() -> None:
    torn = p.weighed("feed3", "v4", "left", p.day(22, 9, 15), 2520, p.either(t.grams(2562), t.grams(2526)))
    rows = share(150, p.chart(*torn)).table.rows
    assert rows[-1][2] == "95 mL given another way; the share is unresolved"
    assert not any(cells[2] == "40 mL" for cells in rows)


def test_without_milk_given_another_way_there_is_no_picture() -> None:
    assert supplement_share(p.chart(bare=True), t.IDA, p.NOW) is None
    only = t.entry(LogLine, t.IDA, named="one", visit="v4", kind="left", starts=p.day(22, 8))
    assert supplement_share(p.chart(only, bare=True), t.IDA, p.NOW) is None


def test_a_log_without_a_feed_at_the_breast_says_so() -> None:
    only = t.entry(LogLine, t.IDA, named="one", visit="v4", kind="bottle", milk="donor", amount=p.mL(50),
                   starts=p.day(22, 8))  # fmt: skip
    rows = share(150, p.chart(only, bare=True)).table.rows
    assert [cells[1:] for cells in rows] == [
        ("donor milk, given", "50 mL"),
        ("in all", "50 mL given another way, and no feed at the breast or chest in the log"),
    ]
