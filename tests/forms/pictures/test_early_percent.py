"""The first days as a picture: every mark lies where its row of the table says, and nothing disputed is joined."""

from __future__ import annotations

from math import hypot

import pytest

from forms.answers import Moment
from forms.chart import Chart
from forms.pictures.drawing import Area, Drawing, Filling, Line, Weave, Word
from forms.pictures.early_percent import early_percent
from tests.forms.clinical.charted import BABY, conflict, grams
from tests.helpers.drawn_babies import NOW, WREN, WREN_WEIGHTS, baby_of, torn, weighed
from tests.helpers.drawn_parts import box_of, middle_of, overlaps, parts_of, span_of, words_outside

WIDTHS = (90.0, 120.0, 180.0)
NEAR = 0.06  # mm: a disc is drawn in nine arcs, and its box is read off their ends


def drawn(chart: Chart, wide: float = 180.0) -> Drawing:
    maker = early_percent(chart, BABY, NOW)
    assert maker is not None
    return maker.draw(wide)


def word(drawing: Drawing, text: str) -> Word:
    return next(part for part in drawing.parts if isinstance(part, Word) and part.text == text)


def tick_places(drawing: Drawing, *words: str) -> list[float]:
    return [word(drawing, text).x for text in words]


def mark(drawing: Drawing, row: int) -> tuple[float, float]:
    """The middle of a row's point."""
    return middle_of(next(part for part in parts_of(drawing, row) if isinstance(part, Area)))


def height_of(drawing: Drawing, text: str) -> float:
    at = word(drawing, text)
    return at.y - at.tall * 0.35


@pytest.mark.parametrize("wide", WIDTHS)
def test_each_mark_lies_at_its_hour_and_percent_as_worked_by_hand(wide: float) -> None:
    drawing = drawn(baby_of(WREN, *WREN_WEIGHTS), wide)
    # born 2 March 06:10 with 3,420 g; hours of elapsed time (the clocks go forward on 8 March), percent of 3,420
    by_hand = ((0, 0), (50 + 5 / 6, -270), (79 + 5 / 6, -345), (124 + 1 / 3, -310), (170 + 1 / 3, -230),
               (338 + 5 / 6, 10))  # fmt: skip
    left, right = tick_places(drawing, "7 days", "14 days")
    top, foot = height_of(drawing, "0 %"), height_of(drawing, "−10 %")
    for row, (hours, change) in enumerate(by_hand):
        x, y = mark(drawing, row)
        assert x == pytest.approx(left + (hours - 168) / 168 * (right - left), abs=NEAR), row
        assert y == pytest.approx(top - change / 342 * (foot - top), abs=NEAR), row


def test_the_table_says_the_same_with_who_knows_it_and_from_where() -> None:
    table = drawn(baby_of(WREN, *WREN_WEIGHTS)).table
    assert table.columns == ("Hours of age", "From birth weight", "Weight", "When", "Known from")
    assert [row[1] for row in table.rows] == ["0.0 %", "−7.9 %", "−10.1 % (−10.09 %)", "−9.1 %", "−6.7 %", "+0.3 %"]
    assert [row[4].split(",")[0] for row in table.rows] == [
        "birth weight", "read in hospital papers", "seen on the scale", "told by Mara", "seen on the scale",
        "seen on the scale",
    ]  # fmt: skip


def test_marks_differ_in_shape_by_where_they_are_known_from() -> None:
    drawing = drawn(baby_of(WREN, *WREN_WEIGHTS))
    shapes = []
    for row in (0, 1, 2, 3):
        areas = [part for part in parts_of(drawing, row) if isinstance(part, Area)]
        shapes.append((len(areas), tuple(area.filling for area in areas), len(areas[0].steps)))
    assert len(set(shapes)) == 4
    assert shapes[2][1] == (Filling.SOLID,)  # seen on the scale: a full disc


def test_the_lines_of_seven_and_ten_percent_lie_at_their_heights_and_name_their_source() -> None:
    drawing = drawn(baby_of(WREN, *WREN_WEIGHTS))
    top, foot = height_of(drawing, "0 %"), height_of(drawing, "−10 %")
    levels = sorted(
        box_of(part.steps)[1]
        for part in drawing.parts
        if isinstance(part, Line) and part.weave is Weave.DASHED and part.row is None
    )
    assert levels == pytest.approx([top + 0.7 * (foot - top), foot], abs=0.01)
    words = [part.text for part in drawing.parts if isinstance(part, Word)]
    assert {"7 %: ABM, AAP (M)", "10 %: NICE (S)", "birth weight"} <= set(words)
    assert "NICE NG75, 2017 (S)" in drawing.sources


def test_values_of_which_one_can_hold_are_both_shown_tied_by_dashes_and_joined_to_nothing() -> None:
    drawing = drawn(torn())
    rows = [row for row, cells in enumerate(drawing.table.rows) if cells[1].startswith("unresolved: ")]
    assert len(rows) == 2
    one, other = (span_of(parts_of(drawing, row)[0]) for row in rows)
    assert one[1] != other[1]
    joins = [part for part in drawing.parts if isinstance(part, Line) and part.wide > 0.5 and part.row is None]
    whole = [part for part in joins if part.weave is Weave.WHOLE]
    tied = [part for part in joins if part.weave is Weave.DASHED]
    assert len(tied) == 1
    ends = {(round(x, 3), round(y, 3)) for line in whole for x, y in line.steps}
    for x, y in tied[0].steps:
        assert (round(x, 3), round(y, 3)) not in ends
    assert "1 unresolved: both values are shown" in drawing.sentence
    assert "unresolved" in [part.text for part in drawing.parts if isinstance(part, Word)]


def test_with_two_birth_weights_every_percent_is_shown_and_none_counts() -> None:
    drawing = drawn(baby_of(WREN | {"birth_weight": conflict(grams(3420), grams(3240))}, *WREN_WEIGHTS[:2]))
    later = [cells[1] for cells in drawing.table.rows if "birth weight" not in cells[4]]
    assert len(later) == 4
    assert all(words.startswith("unresolved: ") for words in later)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"birth_weight": None}, "No percent from birth: the birth weight is not known."),
        ({"born": None}, "No percent from birth: "),
        ({"born": conflict(WREN["born"], Moment(NOW, "UTC"))}, "No percent from birth: unresolved: "),
    ],
)
def test_without_what_a_percent_needs_there_is_no_line_and_the_reason_is_said(
    change: dict[str, object], why: str
) -> None:
    drawing = drawn(baby_of(WREN | change, *WREN_WEIGHTS))
    assert drawing.parts == ()
    assert drawing.sentence.startswith(why)


def test_a_baby_with_its_birth_weight_alone_has_no_such_picture() -> None:
    assert early_percent(baby_of(WREN), BABY, NOW) is None


@pytest.mark.parametrize("wide", WIDTHS)
def test_words_stay_inside_and_off_each_other_and_hide_no_point(wide: float) -> None:
    crowded = [weighed(3400 - n * 25, f"2026-03-{3 + n // 2:02} {8 + 10 * (n % 2):02}:00") for n in range(12)]
    for chart in (baby_of(WREN, *WREN_WEIGHTS), torn(), baby_of(WREN, *crowded)):
        drawing = drawn(chart, wide)
        assert words_outside(drawing) == []
        assert list(overlaps(drawing)) == []
        labels = [span_of(part) for part in drawing.parts if isinstance(part, Word) and part.row is not None]
        for row in range(len(drawing.table.rows)):
            x, y = mark(drawing, row)
            assert not any(left < x < right and top < y < foot for left, top, right, foot in labels)


@pytest.mark.parametrize("wide", WIDTHS)
def test_a_label_is_nearest_to_its_own_point_and_the_lowest_always_has_one(wide: float) -> None:
    crowded = [weighed(3400 - n * 25, f"2026-03-{3 + n // 2:02} {8 + 10 * (n % 2):02}:00") for n in range(12)]
    for chart, lowest in ((baby_of(WREN, *WREN_WEIGHTS), 2), (baby_of(WREN, *crowded), 12)):
        drawing = drawn(chart, wide)
        points = [mark(drawing, row) for row in range(len(drawing.table.rows))]
        labels = {p.row: span_of(p) for p in drawing.parts if isinstance(p, Word) and p.row is not None}
        assert lowest in labels
        for row, (left, top, right, foot) in labels.items():
            away = [hypot(max(left - x, 0, x - right), max(top - y, 0, y - foot)) for x, y in points]
            assert away.index(min(away)) == row


@pytest.mark.parametrize("wide", WIDTHS)
def test_no_shape_in_the_plot_stands_where_nothing_was_weighed(wide: float) -> None:
    drawing = drawn(baby_of(WREN, *WREN_WEIGHTS), wide)
    foot = word(drawing, "hours of age").y
    inks = {part.ink for part in parts_of(drawing, 2) if isinstance(part, Area)}
    loose = [p for p in drawing.parts if isinstance(p, Area) and p.row is None and p.ink in inks]
    assert loose
    assert all(box_of(part.steps)[1] > foot for part in loose)  # the key under the plot, and nothing else
