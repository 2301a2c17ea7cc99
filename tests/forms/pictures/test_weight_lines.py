"""Weight by age as a picture: marks and WHO lines lie where the table and WHO's own numbers put them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from forms.answers import Absence, Absent
from forms.chart import Chart
from forms.pictures.drawing import Area, Drawing, Ink, Line, Weave, Word
from forms.pictures.weight_lines import weight_lines
from tests.forms.clinical.charted import BABY, conflict
from tests.helpers.drawn_babies import EARLY, NOW, WREN, WREN_WEIGHTS, baby_of, torn, twin_by_corrected_age, weighed
from tests.helpers.drawn_parts import middle_of, overlaps, parts_of, words_outside

NEAR = 0.06  # mm: a disc is drawn in nine arcs, and its box is read off their ends


def drawn(chart: Chart, wide: float = 180.0) -> Drawing:
    maker = weight_lines(chart, BABY, NOW)
    assert maker is not None
    return maker.draw(wide)


def word(drawing: Drawing, text: str) -> Word:
    return next(part for part in drawing.parts if isinstance(part, Word) and part.text == text)


def middle(of: Word) -> float:
    return of.y - of.tall * 0.35


def scale(drawing: Drawing, low: tuple[str, int], high: tuple[str, int]) -> tuple[float, float]:
    """mm at 0 g, and mm for each gram, read off two words of the axis."""
    one, other = middle(word(drawing, low[0])), middle(word(drawing, high[0]))
    per = (other - one) / (high[1] - low[1])
    return one - low[1] * per, per


def who(drawing: Drawing) -> list[Line]:
    return [
        part for part in drawing.parts
        if isinstance(part, Line) and len(part.steps) > 5 and part.row is None and part.ink in (Ink.EDGE, Ink.SOFT)
    ]  # fmt: skip


def mark(drawing: Drawing, row: int) -> tuple[float, float]:
    return middle_of(next(part for part in parts_of(drawing, row) if isinstance(part, Area)))


@pytest.mark.parametrize("wide", [90.0, 120.0, 180.0])
def test_each_weight_lies_at_its_day_and_grams(wide: float) -> None:
    drawing = drawn(baby_of(WREN, *WREN_WEIGHTS), wide)
    zero, per = scale(drawing, ("3,000 g", 3000), ("5,000 g", 5000))
    first, week = word(drawing, "1 week").x, word(drawing, "3 weeks").x
    day = (week - first) / 14
    by_hand = ((0, 3420), (2, 3150), (3, 3075), (5, 3110), (7, 3190), (14, 3430))
    for row, (age, grams) in enumerate(by_hand):
        x, y = mark(drawing, row)
        assert x == pytest.approx(first + (age - 7) * day, abs=NEAR), row
        assert y == pytest.approx(zero + grams * per, abs=NEAR), row


def test_the_who_lines_pass_through_whos_own_numbers_and_are_named_at_their_ends() -> None:
    drawing = drawn(baby_of(WREN, *WREN_WEIGHTS))
    zero, per = scale(drawing, ("3,000 g", 3000), ("5,000 g", 5000))
    first, third = word(drawing, "1 week").x, word(drawing, "3 weeks").x
    day = (third - first) / 14
    median = next(line for line in who(drawing) if line.wide > 0.5)
    # WHO weight for age, girls, expanded table by day (S): day 0 3.2322 kg, day 14 3.5693 kg
    heights = {round((x - first) / day) + 7: y for x, y in median.steps}
    for age, kilos in ((0, Decimal("3.2322")), (14, Decimal("3.5693"))):
        assert heights[age] == pytest.approx(zero + float(kilos) * 1000 * per, abs=0.01)
    names = [part.text for part in drawing.parts if isinstance(part, Word)]
    assert [name for name in ("−2", "−1", "0, median", "+1", "+2") if name in names] == [
        "−2",
        "−1",
        "0, median",
        "+1",
        "+2",
    ]
    assert "+3" not in names
    assert len(who(drawing)) == 5


def test_a_weight_beyond_two_sd_brings_the_lines_of_three() -> None:
    drawing = drawn(baby_of(WREN, weighed(2300, "2026-03-12 09:00")))
    assert len(who(drawing)) == 7
    assert "−3" in [part.text for part in drawing.parts if isinstance(part, Word)]


def test_the_table_holds_each_weight_as_typed_with_its_unit_age_and_score() -> None:
    chart = baby_of(WREN, *WREN_WEIGHTS[:1], weighed(3430, "2026-03-16 10:00", typed="7 lb 9 oz"))
    rows = drawn(chart).table.rows
    assert [row[2] for row in rows if row[2]] == ["at birth", "2 days", "14 days"]
    assert "typed 3150 g" in rows[1][1]
    assert rows[2][1].startswith("7 lb 9.0 oz (3,430 g)")
    # worked out independently (C): -0.28 at day 14, the 39th centile
    assert rows[2][3] == "z −0.28 (39th centile)"


def test_the_table_ends_with_the_heights_of_the_lines_at_the_ticks_of_the_foot() -> None:
    rows = drawn(baby_of(WREN, *WREN_WEIGHTS)).table.rows[6:]
    assert [row[0] for row in rows] == [
        f"The WHO curves, in g, {at}" for at in ("birth", "1 week", "2 weeks", "3 weeks", "4 weeks")
    ]
    # WHO weight for age, girls, day 14 (S): median 3.5693 kg
    assert "0, median: 3,569," in rows[2][1]


def test_a_twin_born_early_stands_by_corrected_age_with_a_line_at_the_term_date() -> None:
    drawing = drawn(twin_by_corrected_age())
    first, second = word(drawing, "term date").x, word(drawing, "2 weeks").x
    day = (second - first) / 14
    # born 12 January at 35 weeks 2 days: 33 days early, so 14 February is the term date
    for row, corrected in enumerate((-33, -11, -4, 16, 23)):
        assert mark(drawing, row)[0] == pytest.approx(first + corrected * day, abs=NEAR)
    uprights = [part for part in drawing.parts if isinstance(part, Line) and part.weave is Weave.DOTTED]
    assert [line.steps[0][0] for line in uprights] == [pytest.approx(first, abs=0.01)]
    assert all(min(x for x, _ in line.steps) >= first - 0.01 for line in who(drawing))


def test_before_the_term_date_there_are_points_and_no_line_and_it_says_why() -> None:
    drawing = drawn(baby_of(EARLY, weighed(2520, "2026-02-03 10:00")))
    assert who(drawing) == []
    assert (
        "No WHO curves: born at 35 weeks 2 days: the WHO curves begin at the term date, 14 Feb 2026" in drawing.sentence
    )
    assert len(drawing.table.rows) == 2
    assert mark(drawing, 1)
    assert drawing.sources == ()


@pytest.mark.parametrize(
    "change",
    [{"sex": None}, {"sex": "not_set"}, {"sex": conflict("f", "m")}, {"gestation_weeks": Absent(Absence.NOT_ASKED)}],
)
def test_without_sex_or_gestation_there_are_points_and_no_line_and_it_says_why(change: dict[str, object]) -> None:
    drawing = drawn(baby_of(WREN | change, *WREN_WEIGHTS))
    assert who(drawing) == []
    assert "No WHO curves: " in drawing.sentence
    assert len(drawing.table.rows) == 6


def test_both_values_of_a_weight_are_drawn_tied_and_neither_counts() -> None:
    drawing = drawn(torn())
    rows = [row for row, cells in enumerate(drawing.table.rows) if cells[1].startswith("unresolved: ")]
    assert len(rows) == 2
    assert mark(drawing, rows[0])[1] != mark(drawing, rows[1])[1]
    assert [part for part in drawing.parts if isinstance(part, Line) and part.weave is Weave.DASHED]
    assert "1 unresolved" in drawing.sentence


def test_without_a_weight_there_is_no_such_picture() -> None:
    assert weight_lines(baby_of(WREN | {"birth_weight": None}), BABY, NOW) is None


@pytest.mark.parametrize("wide", [90.0, 110.0, 180.0])
def test_words_stay_inside_and_off_each_other(wide: float) -> None:
    for chart in (baby_of(WREN, *WREN_WEIGHTS), torn(), twin_by_corrected_age()):
        drawing = drawn(chart, wide)
        assert words_outside(drawing) == []
        assert list(overlaps(drawing)) == []
