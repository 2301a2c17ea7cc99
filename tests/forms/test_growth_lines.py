"""The lines of growth: what is a point, what is counted in words, and where each figure comes from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from forms.answers import Absence, Absent, Moment
from forms.chart import Chart, Entry, Struck
from forms.clinical.growth import GainPerDay
from forms.clinical.growth_score import GrowthScore
from forms.clinical.result import NoFigure
from forms.clinical.who import Lms, lms, value_at
from forms.form import Form
from forms.growth_lines import LEVELS, ZS, Axis, GrowthLines, WeightPoint, growth_lines
from forms.people import InfantIdentity
from forms.practice import Practice
from forms.reading import read_moment
from forms.units import quantity_of
from forms.visit import Visit
from forms.weighings import Known
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, NOW, VISIT, ZONE, conflict, entry, grams

OTHER = "9" * 32


def local(text: str) -> Moment:
    return read_moment(text, ZONE)


def weighed(base: int, when: str, **more: Any) -> Entry[Form]:
    answers: dict[str, Any] = {"weight": grams(base), "taken": local(when), "state": "bare", "source": "seen"} | more
    return entry(f"{when}{base}".ljust(32, "0"), WeightReading(**answers), BABY)


# Story 1: Wren, born Mon 2 Mar 2026 06:10 at 39+4 with 3,420 g; clocks went forward on Sun 8 Mar.
WREN: dict[str, Any] = {
    "born": local("2026-03-02 06:10"), "birth_weight": grams(3420), "gestation_weeks": 39, "gestation_days": 4,
    "sex": "f",
}  # fmt: skip
WREN_WEIGHTS = tuple(
    weighed(base, when)
    for base, when in (
        (3110, "2026-03-05 14:00"), (3075, "2026-03-07 10:30"), (3190, "2026-03-09 09:30"), (3430, "2026-03-16 10:00"),
    )
)  # fmt: skip
# Story 4: Ida and Juno, born 12 Jan 2026 at 35+2.
IDA: dict[str, Any] = {
    "born": local("2026-01-12 10:00"), "birth_weight": grams(2310), "gestation_weeks": 35, "gestation_days": 2,
    "sex": "f",
}  # fmt: skip
JUNO = IDA | {"birth_weight": grams(2145)}


def lines(*weights: Entry[Form], visit: str | None = None, **identity: Any) -> GrowthLines:
    chart = Chart(FAMILY, visit, (entry(BABY, InfantIdentity(**identity)), *weights))
    return growth_lines(chart, BABY, local("2026-07-01 12:00").at)


def twin(identity: dict[str, Any], *bases: int) -> GrowthLines:
    days = ("2026-02-03 10:00", "2026-02-10 10:00", "2026-03-02 10:00")
    return lines(*(weighed(base, day) for base, day in zip(bases, days, strict=False)), **identity)


def z(point: WeightPoint) -> str:
    assert isinstance(point.score, GrowthScore), point.score
    return point.score.text


# --- against the WHO curves -----------------------------------------------------------------------------------------


def test_wrens_weights_stand_at_her_days_of_age_with_the_scores_worked_out_beforehand() -> None:
    series = lines(*WREN_WEIGHTS, **WREN).weight
    assert [(p.x, p.weight.base) for p in series.points] == [(0, 3420), (3, 3110), (5, 3075), (7, 3190), (14, 3430)]
    # worked out independently (C): +0.40 at birth, -0.28 at day 14, the 39th centile
    assert (z(series.points[0])[:5], z(series.points[-1])) == ("+0.40", "−0.28 (39th centile)")
    assert (series.axis, series.begin, series.until, series.why) == (Axis.BIRTH, 0, 28, "")


@pytest.mark.parametrize(("identity", "last", "score"), [(IDA, 3240, "−0.81"), (JUNO, 3050, "−1.22")])
def test_a_twin_born_early_stands_on_the_curves_by_corrected_age(identity: Any, last: int, score: str) -> None:
    first, second = (2520, 2680) if last == 3240 else (2500, 2610)
    series = twin(identity, first, second, last).weight
    assert series.axis is Axis.TERM
    assert [p.x for p in series.points] == [-33, -11, -4, 16]  # 16 d corrected on 2 Mar (C)
    assert [p.age_days for p in series.points] == [0, 22, 29, 49]
    # worked out independently (C): with the age since birth it would be -2.89 and -3.30
    assert z(series.points[-1])[:5] == score
    assert all(isinstance(p.score, NoFigure) for p in series.points[:-1])
    assert series.begin == -33


def test_before_the_term_date_there_are_points_and_no_curves_and_the_date_is_said() -> None:
    series = twin(IDA, 2520, 2680).weight
    assert (series.axis, series.curves) == (Axis.BIRTH, ())
    assert [p.x for p in series.points] == [0, 22, 29]
    assert series.why == (
        "born at 35 weeks 2 days: the WHO curves begin at the term date, 14 Feb 2026, and no weight stands since"
    )


def test_the_seven_curves_are_the_heights_of_the_who_table_of_each_day() -> None:
    series = lines(*WREN_WEIGHTS, **WREN).weight
    assert tuple(curve.z for curve in series.curves) == ZS
    for curve in series.curves:
        assert [day for day, _ in curve.at] == list(range(29))
        for day, height in curve.at:
            table = lms("weight", "female", day)
            assert isinstance(table, Lms)
            assert height == value_at(curve.z, table)
    # WHO table, girls, day 14 (S): median 3.5693 kg
    assert dict(series.curves[3].at)[14] == Decimal("3569.3")


def test_on_a_long_foot_the_curves_reach_its_end_with_fewer_days_between() -> None:
    curve = lines(weighed(8900, "2027-03-02 10:00"), **WREN).weight.curves[0]
    assert curve.at[0][0] == 0
    assert curve.at[-1][0] >= 365
    assert len(curve.at) < 250


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"sex": "not_set"}, "the sex for the growth table is not set: no WHO score"),
        ({"sex": None}, "the sex for the growth table is not set: no WHO score"),
        ({"sex": conflict("f", "m")}, "unresolved: two values stand for the sex for the growth table"),
        ({"gestation_weeks": None}, "the gestation in weeks is not known: no WHO score"),
        ({"gestation_weeks": Absent(Absence.NOT_ASKED)}, "the gestation in weeks is not known: no WHO score"),
    ],
)
def test_without_sex_or_gestation_there_are_points_and_no_curves_and_the_reason_is_said(change: Any, why: str) -> None:
    series = lines(*WREN_WEIGHTS, **(WREN | change)).weight
    assert (series.curves, series.why) == ((), why)
    assert [p.x for p in series.points] == [0, 3, 5, 7, 14]
    assert all(isinstance(p.score, NoFigure) for p in series.points)


def test_with_two_birth_times_weights_stand_by_their_dates_and_no_age_is_picked() -> None:
    torn = conflict(local("2026-03-02 06:10"), local("2026-03-01 06:10"))
    found = lines(*WREN_WEIGHTS, **(WREN | {"born": torn}))
    assert (found.weight.axis, found.weight.curves) == (Axis.FIRST_WEIGHT, ())
    assert found.weight.why == "unresolved: two values stand for the birth time"
    assert [p.x for p in found.weight.points] == [1, 0, 4, 6, 8, 15]
    assert [p.weighing.unresolved for p in found.weight.points] == [True, True, False, False, False, False]
    assert all(p.age_days is None for p in found.weight.points)
    assert found.early.points == ()
    assert found.early.why == "unresolved: two values stand for the birth time"


def test_with_a_birth_day_and_no_time_days_of_age_are_known_and_hours_are_not() -> None:
    found = lines(*WREN_WEIGHTS, **(WREN | {"born": None, "born_day": date(2026, 3, 2)}))
    assert [p.x for p in found.weight.points] == [0, 3, 5, 7, 14]
    assert found.weight.points[0].taken == date(2026, 3, 2)
    assert z(found.weight.points[-1]) == "−0.28 (39th centile)"
    assert (found.early.points, found.early.why) == ((), "the birth time is not known")
    assert [span.earlier.known for span in found.gain.spans] == [Known.SEEN] * 3


def test_a_score_beyond_3_sd_is_shown_and_never_refused() -> None:
    point = lines(weighed(2900, "2026-04-13 10:00"), **WREN).weight.points[-1]
    assert z(point).startswith("−3.28")  # check row: girl, day 42, 2.900 kg (C)


# --- which weights --------------------------------------------------------------------------------------------------


def test_struck_weights_are_nowhere_and_weights_around_a_feed_are_only_counted() -> None:
    slip = replace(weighed(6300, "2026-03-10 10:00"), struck=Struck("author", NOW, "typing slip"))
    around = weighed(3250, "2026-03-10 11:00", feed=OTHER, feed_side="left", feed_point="before")
    found = lines(*WREN_WEIGHTS, slip, around, **WREN)
    shown = (
        [p.weight.base for p in found.weight.points] + [p.weight.base for p in found.early.points]
        + [weight.base for s in found.gain.spans for weight, _ in (*s.earlier.pairs(), *s.later.pairs())]
    )  # fmt: skip
    assert not {6300, 3250} & set(shown)
    assert found.left_out.words("g") == ("1 weight around a feed is no weight of the body and not counted here.",)


def test_a_weight_with_two_values_is_two_points_marked_unresolved_in_each_set_and_no_gain() -> None:
    torn = weighed(3190, "2026-03-09 09:30", weight=conflict(grams(3190), grams(3910)))
    found = lines(*WREN_WEIGHTS[:2], torn, WREN_WEIGHTS[3], **WREN)
    marked = [(p.weight.base, p.x) for p in found.weight.points if p.weighing.unresolved]
    assert marked == [(3190, 7), (3910, 7)]
    assert [p.change.text for p in found.early.points if p.unresolved] == ["−6.7 %", "+14.3 %"]
    reasons = [s.gain.why for s in found.gain.spans if isinstance(s.gain, NoFigure)]
    assert reasons == [
        "unresolved: two values stand for the later weight", "unresolved: two values stand for the earlier weight",
    ]  # fmt: skip


def test_two_birth_weights_make_every_percent_two_and_none_of_them_certain() -> None:
    points = lines(WREN_WEIGHTS[0], **(WREN | {"birth_weight": conflict(grams(3420), grams(3240))})).early.points
    assert [p.change.text for p in points] == ["0.0 %", "0.0 %", "−9.1 %", "−4.0 %"]
    assert all(p.unresolved for p in points)


def test_where_a_weight_is_known_from_and_from_whom_stays_with_its_point() -> None:
    told = weighed(3300, "2026-03-11 10:00", source="told", told_by="Mara")
    read = weighed(3350, "2026-03-12 10:00", source="document", document="clinic note", state="clothes")
    unsaid = weighed(3360, "2026-03-13 10:00", source=None)
    points = lines(told, read, unsaid, **WREN).weight.points
    assert [(p.weighing.known, p.weighing.who) for p in points] == [
        (Known.BIRTH, ""), (Known.TOLD, "Mara"), (Known.DOCUMENT, "clinic note"), (Known.UNSAID, ""),
    ]  # fmt: skip
    assert points[2].weighing.dressed == ("in clothes",)


def test_a_weight_without_a_time_and_one_before_the_birth_stand_in_no_line_and_are_said() -> None:
    found = lines(weighed(3200, "2026-03-08 10:00", taken=None), weighed(3300, "2026-02-08 10:00"), **WREN)
    assert [p.weight.base for p in found.weight.points] == [3420]
    assert found.left_out.words("g") == (
        "1 weight without a time, in no line: 3,200 g (7 lb 0.9 oz).",
        "1 weight timed before the birth, in no line: 3,300 g (7 lb 4.4 oz).",
    )


def test_a_past_visit_shows_what_was_weighed_by_then_and_counts_the_rest() -> None:
    start, end = local("2026-03-09 09:00"), local("2026-03-09 11:00")
    visit = entry(VISIT, Visit(start=start, end=end))
    found = lines(visit, *WREN_WEIGHTS, visit=VISIT, **WREN)
    assert [p.weight.base for p in found.weight.points] == [3420, 3110, 3075, 3190]
    assert found.left_out.words("g") == ("1 weight was taken after this visit and not shown with it.",)


def test_no_weight_at_all_is_said_and_drawn_as_nothing() -> None:
    found = lines(sex="f")
    assert (found.weight.points, found.weight.curves, found.weight.why) == ((), (), "no weight is written down yet")
    assert (found.early.points, found.gain.spans) == ((), ())
    assert found.gain.why.startswith("a gain needs two weights")


def test_weights_are_shown_in_the_unit_the_family_was_weighed_in_last_else_the_practices() -> None:
    pounds = weighed(0, "2026-03-12 10:00", weight=quantity_of("7 lb 4 oz", "lb_oz"))
    practice = entry("8" * 32, Practice(weight_unit="lb_oz"))
    assert lines(*WREN_WEIGHTS, pounds, **WREN).unit == "lb_oz"
    assert lines(*WREN_WEIGHTS, practice, **WREN).unit == "g"
    assert lines(practice, **WREN).unit == "lb_oz"
    assert lines(**WREN).unit == "g"


# --- the first days -------------------------------------------------------------------------------------------------


def test_wrens_first_days_are_percents_by_the_hour_and_the_night_clocks_changed_counts_as_it_was() -> None:
    series = lines(*WREN_WEIGHTS, **WREN).early
    # story 1, worked out independently
    assert [(float(round(p.hours, 2)), p.change.text) for p in series.points] == [
        (0.0, "0.0 %"), (79.83, "−9.1 %"), (124.33, "−10.1 % (−10.09 %)"), (170.33, "−6.7 %"), (338.83, "+0.3 %"),
    ]  # fmt: skip
    assert (series.until, series.later) == (360, 0)


@pytest.mark.parametrize(("base", "text"), [(3079, "−9.97 %"), (3078, "−10.0 % (−10.00 %)"), (3077, "−10.03 %")])
def test_at_the_edge_of_ten_the_strip_says_two_decimals(base: int, text: str) -> None:
    # story 2, worked out independently: 3,079 g is 9.97 %, 3,078 g exactly 10.00 %, 3,077 g 10.03 %
    assert lines(weighed(base, "2026-03-07 10:30"), **WREN).early.points[-1].change.text == text


def test_the_strip_ends_after_day_14_and_counts_what_comes_later() -> None:
    last = local("2026-03-02 06:10").at + timedelta(hours=360)
    inside = weighed(3500, "2026-03-17 10:00", taken=Moment(last, ZONE))
    outside = weighed(3510, "2026-03-18 10:00", taken=Moment(last + timedelta(minutes=1), ZONE))
    series = lines(inside, outside, **WREN).early
    assert [p.weight.base for p in series.points] == [3420, 3500]
    assert series.later == 1


def test_the_lines_at_seven_and_ten_name_their_source_and_the_medians_are_words() -> None:
    assert [(level.percent, level.source) for level in LEVELS] == [
        (7, "ABM #2 and #3, AAP 2022 (M)"), (10, "NICE NG75, 2017 (S)"),
    ]  # fmt: skip
    vaginal, caesarean = lines(**WREN).early.medians
    assert "4.2 % at 24 h, 7.1 % at 48 h, 6.4 % at 72 h" in vaginal  # Flaherman 2015, as quoted (S2)
    assert "4.9 % at 24 h, 8.0 % at 48 h, 8.6 % at 72 h, 5.8 % at 96 h" in caesarean


# --- gain per day ---------------------------------------------------------------------------------------------------


def gains(found: GrowthLines) -> list[str]:
    return [s.gain.text if isinstance(s.gain, GainPerDay) else s.gain.why for s in found.gain.spans]


def test_gain_stands_between_neighbouring_weighings_by_elapsed_time() -> None:
    # stories 1 and 4, worked out independently: 60 and 34.2; 22.9 and 28.0; 15.7 and 22.0 g/day
    assert gains(lines(*WREN_WEIGHTS, **WREN))[2:] == ["60.0 g/day", "34.2 g/day"]
    assert gains(twin(IDA, 2520, 2680, 3240))[1:] == ["22.9 g/day", "28.0 g/day"]
    assert gains(twin(JUNO, 2500, 2610, 3050))[1:] == ["15.7 g/day", "22.0 g/day"]


def test_under_a_day_apart_there_is_no_gain_and_the_weight_a_day_before_is_taken_too() -> None:
    again = weighed(3200, "2026-03-09 11:30")
    found = lines(*WREN_WEIGHTS[:3], again, **WREN)
    assert [s.over for s in found.gain.spans[2:]] == [0, 0, 1]
    assert gains(found)[2:] == [
        "60.0 g/day",
        "less than 24 hours between the two weighings",
        "62.5 g/day",
    ]  # 125 g in 48 h (C)


def test_one_weight_gives_no_gain_and_says_what_is_needed() -> None:
    found = lines(**WREN).gain
    assert (found.spans, found.why) == ((), "a gain needs two weights with their times, at least 24 hours apart")
