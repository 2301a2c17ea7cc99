"""The ring of 24 hours as a picture: each arc is as long as its line of the log, the gap's arc is the gap's figure."""

from __future__ import annotations

from datetime import datetime
from math import atan2, hypot, pi

import pytest

from forms.answers import Moment
from forms.chart import Chart
from forms.feeding_log import LogLine
from forms.pictures.day_round import day_round
from forms.pictures.drawing import Area, Drawing, Filling, Ink, Line, Word
from tests.forms.clinical.charted import BABY, conflict
from tests.helpers.drawn_babies import DAY, NOW, day_of, fed, local
from tests.helpers.drawn_parts import overlaps, parts_of, words_outside

NIGHTS = {"left": Filling.SOLID, "right": Filling.HATCH, "given": Filling.CROSS, "expressed": Filling.DOTS}


def drawn(chart: Chart, wide: float = 180.0) -> Drawing:
    maker = day_round(chart, BABY, NOW)
    assert maker is not None
    return maker.draw(wide)


def centre(drawing: Drawing) -> tuple[float, float]:
    """The middle of the ring, from the hours 0 and 12, or 6 and 18, that stand across from each other."""
    at = {part.text: part for part in drawing.parts if isinstance(part, Word) and part.tall == 3.7}
    return (at["6"].x + at["18"].x) / 2, (at["6"].y + at["18"].y) / 2 - 3.7 * 0.35


def turn(drawing: Drawing, x: float, y: float) -> float:
    cx, cy = centre(drawing)
    return atan2(x - cx, cy - y) / (2 * pi) % 1


def radius(drawing: Drawing, x: float, y: float) -> float:
    cx, cy = centre(drawing)
    return hypot(x - cx, y - cy)


def span(drawing: Drawing, part: Area | Line) -> tuple[float, float]:
    """Where the outer edge of an arc begins and how long it is, in turns."""
    ends = [step[-2:] for step in part.steps if step]
    far = max(radius(drawing, x, y) for x, y in ends)
    outer = [turn(drawing, x, y) for x, y in ends if radius(drawing, x, y) > far - 0.05]
    return outer[0], (outer[-1] - outer[0]) % 1


def bands(drawing: Drawing, row: int) -> list[Area]:
    return [part for part in parts_of(drawing, row) if isinstance(part, Area) and part.edge == 0.3]


@pytest.mark.parametrize("wide", [90.0, 180.0])
def test_each_arc_begins_at_its_time_and_is_as_long_as_its_minutes(wide: float) -> None:
    drawing = drawn(day_of(*DAY), wide)
    # minutes after midnight and minutes long, read off the log by hand
    by_hand = {0: (365, 23), 1: (520, 25), 2: (630, 20), 3: (765, 25), 4: (810, 25), 5: (920, 25), 6: (1055, 25),
               8: (1260, 30), 9: (80, 25)}  # fmt: skip
    for row, (begin, long) in by_hand.items():
        for band in bands(drawing, row):
            start, share = span(drawing, band)
            assert start == pytest.approx(begin / 1440, abs=1e-6), row
            assert share == pytest.approx(long / 1440, abs=1e-6), row
    assert {row: len(bands(drawing, row)) for row in (0, 1, 8)} == {0: 1, 1: 2, 8: 2}


def test_the_lanes_differ_in_place_and_in_filling() -> None:
    drawing = drawn(day_of(*DAY))
    found = {}
    for lane, row in (("left", 0), ("right", 2), ("given", 5), ("expressed", 4)):
        (band,) = bands(drawing, row)
        x, y = band.steps[0]
        found[lane] = (band.filling, round(radius(drawing, x, y), 1))
    assert {lane: filling for lane, (filling, _) in found.items()} == NIGHTS
    assert [far for _, far in found.values()] == sorted({far for _, far in found.values()}, reverse=True)


def test_a_line_without_an_end_is_a_tick_at_its_time() -> None:
    drawing = drawn(day_of(*DAY))
    (tick,) = [part for part in parts_of(drawing, 7) if isinstance(part, Line)]
    x, y = tick.steps[0]
    assert turn(drawing, x, y) == pytest.approx((19 * 60 + 10) / 1440, abs=1e-6)
    assert bands(drawing, 7) == []


def gap_arc(drawing: Drawing) -> Line:
    row = len(drawing.table.rows) - 1
    return max((part for part in parts_of(drawing, row) if isinstance(part, Line)), key=lambda part: len(part.steps))


def test_the_gaps_arc_is_the_gaps_figure_and_the_figure_stands_beside_its_sign() -> None:
    drawing = drawn(day_of(*DAY))
    start, share = span(drawing, gap_arc(drawing))
    assert [start * 24, share * 24] == pytest.approx([21, 4 + 20 / 60], abs=1e-4)
    words = [part.text for part in drawing.parts if isinstance(part, Word) and part.row == len(drawing.table.rows) - 1]
    assert words == ["4 h 20 min", "longest time between feeds, 21:00 to 01:20"]
    assert drawing.table.rows[-1][1] == "longest time between feeds: 4 h 20 min"
    assert "longest time between feeds 4 h 20 min, from 21:00 to 01:20" in drawing.sentence


def test_on_the_night_the_clocks_go_forward_the_arc_is_elapsed_time_and_the_hours_are_the_clocks() -> None:
    drawing = drawn(day_of(
        fed("2026-03-07 20:00"), fed("2026-03-07 23:00", "2026-03-07 23:20"), fed("2026-03-08 04:00"),
        fed("2026-03-08 06:30"), window=local("2026-03-07 20:00"),
    ))  # fmt: skip
    _, share = span(drawing, gap_arc(drawing))
    assert share * 24 == pytest.approx(4, abs=1e-4)  # 23:00 to 04:00; the clocks skipped an hour
    assert "longest time between feeds 4 h, from 23:00 to 04:00" in drawing.sentence
    hours = [part for part in drawing.parts if isinstance(part, Word) and part.tall == 3.7 and part.text.isdecimal()]
    assert {part.text for part in hours} == {"21", "0", "3", "6", "9", "12", "15", "18"}
    six = next(part for part in hours if part.text == "6")
    midnight = next(part for part in hours if part.text == "0")
    # six by the clock is five hours of real time after midnight
    cx, cy = midnight.x, next(p for p in drawing.parts if isinstance(p, Word) and p.tall == 6.4).y - 1.2
    assert atan2(six.x - cx, cy - (six.y - 3.7 * 0.35)) / (2 * pi) == pytest.approx(5 / 24, abs=1e-6)


def test_a_gap_longer_than_a_day_is_drawn_all_the_way_round() -> None:
    drawing = drawn(day_of(fed("2026-03-10 06:00"), fed("2026-03-12 06:00")))
    arc = gap_arc(drawing)
    far = [radius(drawing, *step[-2:]) for step in arc.steps]
    assert max(far) - min(far) < 0.01
    assert arc.steps[0] == pytest.approx(arc.steps[-1][-2:])
    assert "48 h" in drawing.sentence


def test_wet_diapers_are_rings_and_stools_discs_each_at_its_time() -> None:
    drawing = drawn(day_of(*DAY))
    signs = [
        part for part in parts_of(drawing, 1) if isinstance(part, Area) and part.edge != 0.3 and part.ink is Ink.INK
    ]
    assert [(part.filling, part.edge > 0) for part in signs] == [(Filling.NONE, True), (Filling.SOLID, False)]
    for part in signs:
        ends = [step[-2:] for step in part.steps[:-2] if step]
        x, y = (sum(axis) / len(ends) for axis in zip(*ends, strict=True))
        assert turn(drawing, x, y) == pytest.approx((8 * 60 + 40) / 1440, abs=1e-4)


def test_the_night_is_shaded_from_22_to_6_and_its_choice_is_named_as_the_houses_own() -> None:
    drawing = drawn(day_of(*DAY))
    nights = [
        part for part in drawing.parts if isinstance(part, Area) and part.filling is Filling.LIGHT and part.row is None
    ]
    start, share = span(drawing, nights[0])
    assert [start * 24, share * 24] == pytest.approx([22, 8], abs=1e-4)
    assert drawing.sources == ("Night: 22:00 to 06:00 by the clock of the place (house choice, no source).",)


def test_a_short_log_and_lines_without_a_time_are_said() -> None:
    drawing = drawn(day_of(fed("06:00"), fed("09:00"), LogLine(kind="left"), LogLine(kind="cup")))
    assert "This log covers 3 h and is no log of a day." in drawing.sentence
    assert "2 lines are not drawn: without a time." in drawing.sentence


def test_with_two_values_in_a_line_nothing_is_drawn_and_it_says_so() -> None:
    line = LogLine(kind=conflict("left", "right"), starts=local("2026-03-16 06:00"))
    drawing = drawn(day_of(line, *DAY))
    assert drawing.parts == ()
    assert drawing.sentence == "No ring: unresolved: two values stand in a line of the log."


def test_without_a_log_there_is_no_ring() -> None:
    assert day_round(day_of(), BABY, NOW) is None
    assert day_round(Chart("f" * 32, None, ()), BABY, datetime.now(tz=NOW.tzinfo)) is None


@pytest.mark.parametrize("wide", [90.0, 140.0, 180.0])
def test_words_stay_inside_and_off_each_other(wide: float) -> None:
    drawing = drawn(day_of(*DAY, window=Moment(local("2026-03-16 06:00").at, "America/New_York")), wide)
    assert words_outside(drawing) == []
    assert list(overlaps(drawing)) == []
