"""Wet diapers and stools: every mark stands where its row of the table says, gaps are gaps, nothing is settled."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from forms.answers import Moment
from forms.chart import Entry, entry_id
from forms.feeding_log import LogLine
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity
from forms.pictures.diaper_rows import BARS
from forms.pictures.diapers import diapers
from forms.pictures.drawing import Area, Drawing, Line, Weave, Word
from forms.thresholds import Thresholds
from tests.helpers import pictured as p
from tests.helpers import thornbury as t

WIDTHS = (90.0, 120.0, 180.0)


def drawn(wide: float, *more: Entry[Any], bare: bool = False) -> Drawing:
    found = diapers(p.chart(*more, bare=bare), t.IDA, p.NOW)
    assert found is not None
    return found.draw(wide)


def told(visit: str, wets: Any, stools: Any) -> Entry[Any]:
    return t.entry(InfantHistory, t.IDA, visit=visit, wets_24h=wets, stools_24h=stools)


def heights(drawing: Drawing, row: int) -> list[float]:
    """The heights of the bars of one row of the table, in the order drawn: wet first, then stools."""
    return [
        max(step[1] for step in part.steps if step) - min(step[1] for step in part.steps if step)
        for part in drawing.parts
        if isinstance(part, Area) and part.row == row
    ]


def counted(cell: str) -> list[int]:
    """The numbers of a cell of the table, before what is expected: "unresolved: 4 or 6; expected ..." gives 4 and 6."""
    said = cell.split(";", maxsplit=1)[0].removeprefix("unresolved: ")
    return [int(part) for part in said.split(" or ") if part.isdigit()]


@pytest.mark.parametrize("wide", WIDTHS)
def test_each_bar_is_as_high_as_the_number_in_its_row(wide: float) -> None:
    drawing = drawn(wide)
    # The highest number of either panel is the published 6 wet and 3 stools of day 6 (Texas WIC chart), or a count of 6.
    for row, cells in enumerate(drawing.table.rows):
        wet, stool = counted(cells[2]), counted(cells[3])
        assert heights(drawing, row) == pytest.approx([n * BARS / 6 for n in wet] + [n * BARS / 3 for n in stool])


def test_a_single_day_of_which_nothing_is_known_is_a_gap_too() -> None:
    # Born 12 Jan 06:10: 14 Jan 10:20 is 52 h, day 3; the next visit, 15 Jan 11:20, is 77 h, day 4; 18 Jan is day 7.
    found = diapers(p.chart(told("v1", 2, 2), told("v3", 5, 3), bare=True), t.IDA, p.NOW)
    assert found is not None
    assert [row[0] for row in found.draw(150).table.rows] == ["1 to 2", "3", "4 to 6", "7"]
    early = t.entry(InfantIdentity, named=t.IDA, visit=None, called_name="Ida", born=p.day(13, 6))
    # Born 13 Jan 06:00: 14 Jan 10:20 is 28 h, day 2, with day 1 alone before it.
    found = diapers(p.chart(told("v1", 2, 2), early, bare=True), t.IDA, p.NOW)
    assert found is not None
    assert [row[0] for row in found.draw(150).table.rows] == ["1", "2"]


def test_the_rows_are_those_worked_out_by_hand() -> None:
    # Born 12 Jan 06:10. 14 Jan 10:20 is 52 h: day 3. 15 Jan 10:00 is 75 h 50 min and 11:20 is 77 h: day 4.
    # 18 Jan 11:20 is 149 h: day 7. 22 Jan 09:30 is 243 h: day 11. Texas WIC: day 3 3/3, day 4 4/3, from day 6 6/3.
    assert drawn(150).table.rows == (
        ("1 to 2", "–", "not told", "not told", "–"),
        ("3", "14 Jan 2026, 10:20", "2; expected 3 or more", "2; expected 3 or more", "told"),
        ("4", "15 Jan 2026, 10:00", "6; expected 4 or more", "2; expected 3 or more", "log"),
        ("4", "15 Jan 2026, 11:20", "4; expected 4 or more", "not told; expected 3 or more", "told"),
        ("5 to 6", "–", "not told", "not told", "–"),
        ("7", "18 Jan 2026, 11:20", "unresolved: 4 or 6; expected 6 or more", "3; expected 3 or more", "told"),
        ("8 to 10", "–", "not told", "not told", "–"),
        ("11", "22 Jan 2026, 09:30", "6; expected 6 or more", "2; expected 3 or more", "log"),
        ("11", "22 Jan 2026, 10:20", "6; expected 6 or more", "0; expected 3 or more", "told"),
    )


@pytest.mark.parametrize("wide", WIDTHS)
def test_the_expected_lines_stand_at_the_published_number_over_their_foot(wide: float) -> None:
    drawing = drawn(wide)
    for row, cells in enumerate(drawing.table.rows):
        lines = [q for q in drawing.parts if isinstance(q, Line) and q.row == row and q.weave is Weave.WHOLE]
        expected = [int(cell.split("expected ")[1].split()[0]) for cell in cells[2:4] if "expected" in cell]
        feet = sorted({q.steps[0][1] for q in drawing.parts if isinstance(q, Line) and q.row is None})
        for line, number, most in zip(lines, expected, (6, 3)[: len(expected)], strict=True):
            foot = min(at for at in feet if at >= line.steps[0][1] - 1e-6)
            assert foot - line.steps[0][1] == pytest.approx(number * BARS / most)


def test_a_day_nobody_told_of_is_a_gap_and_never_a_bar() -> None:
    drawing = drawn(150)
    for row, cells in enumerate(drawing.table.rows):
        if cells[4] == "–":
            assert heights(drawing, row) == []
            assert any(isinstance(q, Line) and q.row == row and q.weave is Weave.DOTTED for q in drawing.parts)


def test_a_zero_is_said_and_something_not_told_is_a_dash() -> None:
    drawing = drawn(150)
    last = [q.text for q in drawing.parts if isinstance(q, Word) and q.row == 8]
    assert "0" in last
    assert "–" not in last
    assert "–" in [q.text for q in drawing.parts if isinstance(q, Word) and q.row == 3]


def test_two_counts_are_both_drawn_hollow_and_neither_is_the_number() -> None:
    drawing = drawn(150)
    words = [q.text for q in drawing.parts if isinstance(q, Word) and q.row == 5]
    assert "?" in words
    assert not {"4", "6"} & set(words)
    assert sorted(heights(drawing, 5)) == pytest.approx(sorted([4 * BARS / 6, BARS, BARS]))
    assert "neither is taken" in drawing.sentence


def test_without_a_count_there_is_no_picture() -> None:
    assert diapers(p.chart(bare=True), t.IDA, p.NOW) is None
    assert diapers(p.chart(told("v4", None, None), bare=True), t.IDA, p.NOW) is None
    assert diapers(p.chart(), t.JUNO, p.NOW) is None


def test_the_practices_own_stricter_limit_stands_beside_the_published_one() -> None:
    own = Entry(entry_id(Thresholds), replace(t.practice()[0].place, form="thresholds"),
                Thresholds(wets_from_day_6=8), t.WRITER, t.START)  # fmt: skip
    drawing = drawn(150, own)
    assert drawing.table.rows[8][2] == "6; expected 6 or more, own limit 8"
    assert any(isinstance(q, Line) and q.weave is Weave.DASHED and q.row == 8 for q in drawing.parts)
    assert any("practice’s own limit" in source for source in drawing.sources)


def test_a_log_of_less_than_22_hours_is_no_day_and_not_drawn() -> None:
    short = t.entry(LogLine, t.IDA, named="one", visit="v4", kind="diaper", wet=True, starts=p.day(22, 8))
    assert diapers(p.chart(short, bare=True), t.IDA, p.NOW) is None


def test_after_day_45_no_row_is_drawn() -> None:
    born = Moment(datetime(2025, 11, 1, tzinfo=UTC), t.ZONE)
    early = t.entry(InfantIdentity, named=t.IDA, visit=None, called_name="Ida", born=born)
    drawing = drawn(150, told("v4", 5, 1), early, bare=True)
    assert drawing.table.rows[-1][2] == "5; no row of the table"
    assert not [q for q in drawing.parts if isinstance(q, Line) and q.wide == 0.8 and q.row is not None]


def test_without_one_time_of_birth_no_day_and_no_row_is_told() -> None:
    born = p.either(p.day(12, 6, 10), p.day(13, 6, 10))
    torn = t.entry(InfantIdentity, named=t.IDA, visit=None, called_name="Ida", born=born)
    drawing = drawn(150, torn)
    assert {row[0] for row in drawing.table.rows} == {"not known"}
    assert "Two times of birth stand" in drawing.sentence


@pytest.mark.parametrize("wide", WIDTHS)
def test_columns_without_room_go_on_beneath_and_none_is_left_out(wide: float) -> None:
    many = [told("v4", 5, 1)]
    drawing = drawn(wide, *many)
    assert {q.row for q in drawing.parts if isinstance(q, Word) and q.row is not None} == set(
        range(len(drawing.table.rows))
    )
