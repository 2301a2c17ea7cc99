"""The live figures: each explains itself, and none shows a number while one of its inputs is unresolved."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from forms.answers import Moment, Quantity
from forms.chart import Chart, Entry, entry_id
from forms.feed import FeedObservation
from forms.figures import Figure, figures
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practice
from forms.reading import read_moment
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, NOW, PARENT, VISIT, ZONE, charted, conflict, entry, grams

FEED = "c" * 32


def local(text: str) -> Moment:
    return read_moment(text, ZONE)


def shown(chart: Chart, at: Moment, person: str = BABY) -> dict[str, Figure]:
    return {figure.id: figure for figure in figures(chart, at.at, person)}


# Wren, born Mon 2 Mar 2026 06:10 at 39+4 with 3,420 g; clocks went forward on Sun 8 Mar.
WREN = ((3110, "2026-03-05 14:00"), (3075, "2026-03-07 10:30"), (3190, "2026-03-09 09:30"), (3430, "2026-03-16 10:00"))


def wren(weighings: int, *more: Entry[Form], **identity: Any) -> Chart:
    answers: dict[str, Any] = {
        "born": local("2026-03-02 06:10"), "birth_weight": grams(3420), "gestation_weeks": 39, "gestation_days": 4,
    }  # fmt: skip
    entries: list[Entry[Form]] = [
        entry(BABY, InfantIdentity(**(answers | identity))),
        entry(PARENT, ParentIdentity(called_name="Mara")),
        entry(VISIT, Visit(start=local(WREN[weighings - 1][1]))),
        *more,
    ]
    entries += [
        entry(f"{n:032d}", WeightReading(weight=grams(g), taken=local(when), state="bare"), BABY)
        for n, (g, when) in enumerate(WREN[:weighings])
    ]
    return Chart(FAMILY, VISIT, tuple(entries))


@pytest.mark.parametrize(
    ("weighings", "age", "percent", "change", "gain"),
    [
        (1, "3 d 7 h 50 min", "−9.1 %", "−310 g since birth", "−93.2 g/day"),
        (2, "5 d 4 h 20 min", "−10.1 % (−10.09 %)", "−345 g since birth", "−18.9 g/day"),
        (3, "7 d 2 h 20 min", "−6.7 %", "−230 g since birth", "60.0 g/day"),
        (4, "14 d 2 h 50 min", "+0.3 %", "+10 g since birth", "34.2 g/day"),
    ],
)
def test_wrens_line_back_up_is_shown_at_each_visit(
    weighings: int, age: str, percent: str, change: str, gain: str
) -> None:
    strip = shown(wren(weighings), local(WREN[weighings - 1][1]))
    assert strip["age"].big == age
    assert strip["percent"].big == percent
    assert change in strip["percent"].small
    assert strip["gain"].big == gain
    assert "corrected_age" not in strip


def test_regaining_birth_weight_is_said_beside_the_percent() -> None:
    assert "back to birth weight by day 14" in shown(wren(4), local("2026-03-16 10:00"))["percent"].small


def test_a_past_visit_shows_its_own_figures() -> None:
    chart = wren(4)
    earlier = Chart(FAMILY, VISIT, tuple(
        entry(VISIT, Visit(start=local("2026-03-07 10:30"), end=local("2026-03-07 11:45"))) if e.id == VISIT else e
        for e in chart.entries
    ))  # fmt: skip
    strip = shown(earlier, local("2026-03-20 09:00"))
    assert strip["percent"].big == "−10.1 % (−10.09 %)"
    assert strip["age"].big == "5 d 5 h 35 min"


def test_the_published_median_is_said_for_a_known_kind_of_birth_only() -> None:
    told = entry(entry_id(ParentHistory, VISIT, (PARENT,)), ParentHistory(birth=("vaginal",)), PARENT, visit=VISIT)
    with_birth = shown(wren(1, told), local("2026-03-05 14:00"))["percent"]
    assert any("6.4 % at 72 h" in words for words in with_birth.small)
    assert "(S2)" in with_birth.source
    without = shown(wren(1), local("2026-03-05 14:00"))["percent"]
    assert not any("median" in words for words in without.small)


def test_a_late_preterm_twin_shows_both_ages_and_no_score_before_term() -> None:
    chart = wren(4, born=local("2026-01-12 09:00"), gestation_weeks=35, gestation_days=2)
    strip = shown(chart, local("2026-03-16 10:00"))
    assert strip["corrected_age"].big == "30 d corrected"
    early = shown(Chart(FAMILY, None, chart.entries), local("2026-02-10 10:00"))["corrected_age"]
    assert early.big == "−4 d to term date"
    assert early.small == (
        "29 d since birth, born at 35 weeks 2 days", "now 39 weeks 3 days", "before the term date: no WHO score",
    )  # fmt: skip


def test_a_birth_day_without_a_time_gives_an_age_in_days_only() -> None:
    strip = shown(wren(1, born=None, born_day=date(2026, 3, 2)), local("2026-03-05 14:00"))
    assert (strip["age"].big, strip["age"].small) == ("3 days", ("birth time not known: days only",))
    assert strip["gain"].big == "–"


def test_weights_are_shown_in_the_practices_unit_with_the_other_beside() -> None:
    practice = entry("9" * 32, Practice(weight_unit="lb_oz"))
    figure = shown(wren(1, practice), local("2026-03-05 14:00"))["weight"]
    assert figure.big == "6 lb 13.7 oz"
    assert figure.small == ("3,110 g", "5 Mar 2026, 14:00")


@pytest.mark.parametrize(
    ("identity", "unresolved"),
    [
        ({"birth_weight": conflict(grams(3420), grams(3240))}, {"percent"}),
        ({"born": conflict(local("2026-03-02 06:10"), local("2026-03-03 06:10"))}, {"age", "output"}),
        ({"gestation_weeks": conflict(35, 36)}, {"corrected_age"}),
    ],
)
def test_a_figure_with_two_values_for_an_input_says_unresolved_and_shows_no_number(
    identity: dict[str, Any], unresolved: set[str]
) -> None:
    strip = shown(wren(3, **identity), local("2026-03-09 09:30"))
    assert {figure.id for figure in strip.values() if figure.unresolved} == unresolved
    for name in unresolved:
        assert strip[name].big == "–"
        assert any("unresolved" in words for words in strip[name].small)


def test_a_weight_in_conflict_leaves_every_figure_of_weight_unresolved() -> None:
    for answers in (
        {"weight": conflict(grams(3400), grams(4300)), "taken": local("2026-03-07 12:00")},
        {"weight": grams(3400), "taken": conflict(local("2026-03-07 12:00"), local("2026-03-04 12:00"))},
    ):
        reading: dict[str, Any] = answers
        chart = wren(2, entry("8" * 32, WeightReading(**reading), BABY))
        strip = shown(chart, local("2026-03-07 12:30"))
        assert {name for name, figure in strip.items() if figure.unresolved} == {
            "weight",
            "percent",
            "gain",
            "weight_z",
        }


def feed_weights(*rows: tuple[int, int, str, str], **after: Any) -> tuple[Entry[Form], ...]:
    """(grams, minutes before NOW, side, before or after) around one feed of Mara and the baby."""
    made: list[Entry[Form]] = [entry(FEED, FeedObservation(observed="seen"), PARENT, BABY, visit=VISIT)]
    for n, (base, minutes, side, point) in enumerate(rows):
        answers: dict[str, Any] = {
            "weight": grams(base), "taken": Moment(NOW - timedelta(minutes=minutes), ZONE), "state": "dry_diaper",
            "scale_name": "home", "scale_step": Quantity("2", "g", 2), "feed": FEED, "feed_side": side,
            "feed_point": point,
        }  # fmt: skip
        if point == "after":
            answers |= {"diaper_changed": False, "same_clothes": True, "spit_up": False} | after
        made.append(entry(f"{70 + n:032d}", WeightReading(**answers), BABY))
    return tuple(made)


ROWS = ((3412, 40, "left", "before"), (3450, 25, "left", "after"), (3450, 24, "right", "before"), (3474, 10, "right", "after"))  # fmt: skip


def test_transfer_is_shown_per_side_and_in_all_with_the_scale_step() -> None:
    strip = {f.id: f for f in figures(charted(*feed_weights(*ROWS)), NOW, BABY)}
    assert strip[f"transfer:{FEED}:left"].big == "38 g = 38 mL (±2)"
    assert strip[f"transfer:{FEED}:left"].label == "Transfer, Mara's left"
    assert strip[f"transfer:{FEED}:left"].small == ("3412 g, then 3450 g",)
    assert strip[f"transfer:{FEED}"].big == "62 g = 62 mL (±4)"
    assert "one feed is a sample of the day" in strip[f"transfer:{FEED}"].small


def test_a_void_side_keeps_its_numbers_and_stands_outside_the_total() -> None:
    strip = {f.id: f for f in figures(charted(*feed_weights(*ROWS, diaper_changed=True)), NOW, BABY)}
    assert "void: diaper changed between" in strip[f"transfer:{FEED}:left"].big
    assert strip[f"transfer:{FEED}"].big == "no pair of weights that counts"


def test_a_weight_around_a_feed_is_not_the_babys_weight_while_there_is_another() -> None:
    chart = charted(*feed_weights(*ROWS), losing=3390)
    assert {f.id: f for f in figures(chart, NOW, BABY)}["weight"].big == "3,390 g"


def test_with_weights_around_a_feed_alone_there_is_no_weight_percent_or_gain() -> None:
    strip = {f.id: f for f in figures(charted(*feed_weights(*ROWS)), NOW, BABY)}
    for name in ("weight", "percent", "gain"):
        assert (strip[name].big, strip[name].small) == ("–", ("only weighed around a feed so far",))


def test_output_stands_against_the_row_of_the_day_and_a_blank_is_not_a_zero() -> None:
    def output(**told: Any) -> Figure:
        history = entry(entry_id(InfantHistory, VISIT, (BABY,)), InfantHistory(**told), BABY, visit=VISIT)
        return shown(wren(2, history), local("2026-03-07 10:30"))["output"]

    assert output(wets_24h=2, stools_24h=1).big == "2 wet, 1 stool"
    assert output(wets_24h=2, stools_24h=1).small == ("day 6 of life: 6 wet and 3 stools or more",)
    assert output(wets_24h=0).big == "0 wet, stools not known"
    assert output().big == "–"
    assert output(wets_24h=conflict(2, 6)).unresolved
    assert "last wet 3 h 30 min ago" in output(last_wet=local("2026-03-07 07:00")).small


def test_a_parent_has_no_such_figures() -> None:
    assert figures(charted(), NOW, PARENT) == ()


def test_every_figure_names_its_source_with_a_mark_its_formula_and_what_went_in() -> None:
    told: dict[str, int] = {"wets_24h": 5, "stools_24h": 3}
    for figure in figures(charted(*feed_weights(*ROWS), losing=3600, told=told), NOW, BABY):
        assert figure.source
        assert figure.formula or figure.big == "–", figure.id
        assert figure.inputs or figure.big == "–", figure.id
        assert figure.id == "weight" or any(f"({mark})" in figure.source for mark in ("C", "S", "S2", "M"))
