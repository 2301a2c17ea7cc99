"""Pain over time: every mark at its row's value, lines broken where nothing was told, two values both and neither."""

from __future__ import annotations

from typing import Any

import pytest

from forms.answers import Side, Sided
from forms.chart import Entry
from forms.feed import FeedObservation
from forms.pictures.drawing import Area, Drawing, Filling, Line, Weave
from forms.pictures.pain import pain
from forms.pictures.pain_panels import MOON, TALL
from tests.helpers import pictured as p
from tests.helpers import thornbury as t

WIDTHS = (90.0, 120.0, 180.0)


def drawn(wide: float, *more: Entry[Any], who: str = t.MARA, bare: bool = False) -> Drawing:
    found = pain(p.chart(*more, bare=bare), who, p.NOW)
    assert found is not None
    return found.draw(wide)


def zeros(drawing: Drawing) -> list[float]:
    """The heights of the lines of 0, from the top down: of each panel's three lines the lowest."""
    lines = [q for q in drawing.parts if isinstance(q, Line) and q.row is None and q.wide == 0.18]
    assert len(lines) % 3 == 0
    return sorted({max(line.steps[0][1] for line in lines[at : at + 3]) for at in range(0, len(lines), 3)})


def values(drawing: Drawing, row: int) -> list[float]:
    """The values at which the marks of a row stand, read off the scale of their panel."""
    found = []
    for part in drawing.parts:
        if isinstance(part, Area) and part.row == row:
            heights = [step[-1] for step in part.steps if step]
            middle = (min(heights) + max(heights)) / 2
            zero = min(at for at in zeros(drawing) if at >= middle - 1e-6)
            found.append((zero - middle) / TALL * 10)
    return sorted(found)


def said(cell: str) -> list[int]:
    return [int(word) for word in cell.removeprefix("unresolved: ").split(" or ")]


@pytest.mark.parametrize("wide", WIDTHS)
def test_each_mark_stands_at_the_value_of_its_row(wide: float) -> None:
    drawing = drawn(wide)
    assert len(drawing.table.rows) == 25
    for row, cells in enumerate(drawing.table.rows):
        assert values(drawing, row) == pytest.approx(said(cells[3])), cells


def test_a_left_mark_lies_left_of_its_place_and_a_right_one_right_of_it() -> None:
    drawing = drawn(150)
    at: dict[tuple[str, str, str], list[float]] = {}
    for row, cells in enumerate(drawing.table.rows):
        for part in drawing.parts:
            if isinstance(part, Area) and part.row == row:
                across = [step[-2] for step in part.steps if step]
                at[cells[0], cells[1], cells[2]] = [min(across), max(across)]
    left, right = (at["15 Jan, 10:20, Mara and Ida", f"Mara’s {side}", "at latch"] for side in Side)
    assert left[1] < right[0]
    assert right[0] - left[1] < MOON


def test_a_line_breaks_where_nothing_was_told_and_where_two_values_stand() -> None:
    # Left of 15 Jan: four points, three stretches. Right: nothing midway, so only one. 18 Jan: left has two values at
    # latch, so two; right three. 22 Jan: midway told on neither side, so one each.
    drawing = drawn(150)
    whole = [q for q in drawing.parts if isinstance(q, Line) and q.wide == 0.4 and q.weave is Weave.WHOLE]
    dashed = [q for q in drawing.parts if isinstance(q, Line) and q.wide == 0.4 and q.weave is Weave.DASHED]
    assert (len(whole), len(dashed)) == (3 + 2 + 1, 1 + 3 + 1)


def test_two_values_are_hollow_both_and_the_sentence_takes_neither() -> None:
    drawing = drawn(150)
    (row,) = [n for n, cells in enumerate(drawing.table.rows) if cells[3] == "unresolved: 3 or 7"]
    hollow = [q for q in drawing.parts if isinstance(q, Area) and q.row == row]
    assert [q.filling for q in hollow] == [Filling.NONE, Filling.NONE]
    torn = t.entry(FeedObservation, t.MARA, t.IDA, named="feed9", visit="v4", observed="seen", began=p.day(22, 9, 50),
                   pain_at_latch=Sided(p.either(2, 8), None))  # fmt: skip
    assert "Mara’s left: unresolved: 2 or 8 at latch" in drawn(150, torn).sentence


def test_taps_stand_with_their_minutes_from_the_beginning() -> None:
    tapped = [cells[1:] for cells in drawn(150).table.rows if "tapped" in cells[0]]
    assert tapped == [
        ("Mara’s left", "0 min 45 s from the beginning", "5"),
        ("Mara’s left", "4 min 20 s from the beginning", "2"),
        ("Mara’s right", "10 min 40 s from the beginning", "4"),
        ("Mara’s left", "11 min 40 s from the beginning", "unresolved: 1 or 3"),
    ]


def test_a_zero_is_a_mark_and_without_any_pain_told_there_is_no_picture() -> None:
    none = t.entry(FeedObservation, t.MARA, t.IDA, named="feed9", visit="v4", observed="seen",
                   pain_at_latch=Sided(0, None))  # fmt: skip
    assert [cells[3] for cells in drawn(150, none, bare=True).table.rows] == ["0"]
    assert pain(p.chart(bare=True), t.MARA, p.NOW) is None
    assert pain(p.chart(), t.JONAS, p.NOW) is None


def test_the_picture_of_a_baby_names_each_feeder() -> None:
    other = t.entry(FeedObservation, t.JONAS, t.IDA, named="feed9", visit="v4", observed="seen",
                    began=p.day(22, 9, 55), pain_at_latch=Sided(1, None))  # fmt: skip
    drawing = drawn(150, other, who=t.IDA)
    assert {cells[1] for cells in drawing.table.rows} == {"Mara’s left", "Mara’s right", "Jonas’s left"}
    assert len(drawn(150, other).table.rows) == len(drawing.table.rows) - 1
