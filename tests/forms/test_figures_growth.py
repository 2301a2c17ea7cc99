"""The growth figures of the strip: which baby has them, at which age, and what explains them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.answers import Moment, Quantity
from forms.chart import Chart, Entry, Struck, entry_id
from forms.figure import NOTHING, Figure
from forms.figures import figures
from forms.form import Form
from forms.infant import InfantAssessment
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practitioner
from forms.reading import read_moment
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, NOW, PARENT, VISIT, ZONE, conflict, entry, grams

# Wren, a girl, born Mon 2 Mar 2026 06:10 at 39+4 with 3,420 g; clocks went forward on Sun 8 Mar.
WREN = ((3110, "2026-03-05 14:00"), (3075, "2026-03-07 10:30"), (3190, "2026-03-09 09:30"), (3430, "2026-03-16 10:00"))
# Ida and Juno, girls, born 12 Jan 2026 at 35+2; 3,240 and 3,050 g on 2 Mar after the swap was put right.
IDA = ((2520, "2026-02-03 10:00"), (2680, "2026-02-10 10:00"), (3240, "2026-03-02 10:00"))
JUNO = ((2500, "2026-02-03 10:00"), (2610, "2026-02-10 10:00"), (3050, "2026-03-02 10:00"))


def local(text: str) -> Moment:
    return read_moment(text, ZONE)


def baby(*weighings: tuple[int, str], more: tuple[Entry[Form], ...] = (), **identity: Any) -> Chart:
    """Wren unless told otherwise, at the visit of her last weight."""
    answers: dict[str, Any] = {
        "born": local("2026-03-02 06:10"), "birth_weight": grams(3420), "gestation_weeks": 39, "gestation_days": 4,
        "sex": "f",
    }  # fmt: skip
    entries: list[Entry[Form]] = [
        entry("author", Practitioner(full_name="Rosalind Achterberg")),
        entry(BABY, InfantIdentity(**(answers | identity))),
        entry(PARENT, ParentIdentity(called_name="Mara")),
        entry(VISIT, Visit(start=local(weighings[-1][1] if weighings else "2026-03-16 10:00"))),
        *more,
    ]
    entries += [weighed(base, when, n) for n, (base, when) in enumerate(weighings)]
    return Chart(FAMILY, VISIT, tuple(entries))


def weighed(base: int, when: str, number: int, **more: Any) -> Entry[Form]:
    answers: dict[str, Any] = {"weight": grams(base), "taken": local(when), "state": "bare"}
    return entry(f"{number:032d}", WeightReading(**(answers | more)), BABY)


def twin(weighings: tuple[tuple[int, str], ...], birth_weight: int, **identity: Any) -> Chart:
    preterm: dict[str, Any] = {
        "born": local("2026-01-12 09:00"), "gestation_weeks": 35, "gestation_days": 2, "birth_weight": grams(birth_weight),
    }  # fmt: skip
    return baby(*weighings, **(preterm | identity))


def shown(chart: Chart, at: Moment | None = None) -> dict[str, Figure]:
    start = chart.person(Visit, VISIT).start
    assert isinstance(start, Moment)
    return {figure.id: figure for figure in figures(chart, (at or start).at, BABY)}


def test_wren_stands_at_z_0_40_at_birth_and_minus_0_28_on_day_14() -> None:
    figure = shown(baby(*WREN))["weight_z"]  # worked out apart from this program (C)
    assert figure.big == "z −0.28"
    assert figure.small == ("39th centile", "day 14 of age", "at birth z +0.40")
    assert not figure.watch


@pytest.mark.parametrize(
    ("weighings", "birth", "score", "gain"),
    [(IDA, 2310, "−0.81 21st", "28.0 g/day"), (JUNO, 2145, "−1.22 11th", "22.0 g/day")],
)
def test_the_twins_are_scored_at_their_corrected_age(
    weighings: tuple[tuple[int, str], ...], birth: int, score: str, gain: str
) -> None:
    strip = shown(twin(weighings, birth))  # worked out apart from this program (C)
    assert strip["corrected_age"].big == "16 d corrected"
    z, centile = score.split()
    assert strip["weight_z"].big == f"z {z}"
    assert strip["weight_z"].small == (f"{centile} centile", "corrected day 16 (49 d since birth)")
    assert strip["gain"].big == gain


@pytest.mark.parametrize(
    ("weighings", "birth", "percent", "gain"),
    [(IDA[:2], 2310, "+16.0 %", "22.9 g/day"), (JUNO[:2], 2145, "+21.7 %", "15.7 g/day")],
)
def test_before_the_term_date_there_is_no_score_and_the_reason_is_shown(
    weighings: tuple[tuple[int, str], ...], birth: int, percent: str, gain: str
) -> None:
    strip = shown(twin(weighings, birth))
    assert strip["corrected_age"].big == "−4 d to term date"
    assert "now 39 weeks 3 days" in strip["corrected_age"].small
    assert strip["weight_z"].big == NOTHING
    assert strip["weight_z"].small == ("before the term date (−4 d to term date): no WHO score",)
    assert (strip["percent"].big, strip["gain"].big) == (percent, gain)
    assert "spaces" not in strip


@pytest.mark.parametrize(
    ("identity", "why"),
    [
        ({"sex": None}, "the sex for the growth table is not set: no WHO score"),
        ({"sex": "not_set"}, "the sex for the growth table is not set: no WHO score"),
        ({"gestation_weeks": None}, "the gestation in weeks is not known: no WHO score"),
        ({"born": None}, "the birth date is not known"),
    ],
)
def test_a_score_that_cannot_be_worked_out_says_what_is_missing(identity: dict[str, Any], why: str) -> None:
    figure = shown(baby(*WREN, **identity))["weight_z"]
    assert (figure.big, figure.small, figure.unresolved) == (NOTHING, (why,), False)


def test_a_birth_day_without_a_time_is_enough_for_a_score() -> None:
    figure = shown(baby(*WREN, born=None, born_day=date(2026, 3, 2)))["weight_z"]
    assert figure.big == "z −0.28"


def test_the_day_of_age_changes_at_midnight_where_the_family_lives() -> None:
    late, after = (
        baby((3430, when), born=local("2026-03-02 23:50")) for when in ("2026-03-16 23:59", "2026-03-17 00:01")
    )
    assert "day 14 of age" in shown(late)["weight_z"].small
    assert "day 15 of age" in shown(after)["weight_z"].small


@pytest.mark.parametrize("name", ["sex", "gestation_weeks"])
def test_an_unresolved_input_shows_no_score(name: str) -> None:
    two: dict[str, Any] = {"sex": conflict("f", "m"), "gestation_weeks": conflict(35, 39)}
    one: dict[str, Any] = {name: two[name]}
    figure = shown(baby(*WREN, **one))["weight_z"]
    assert (figure.big, figure.unresolved) == (NOTHING, True)


def test_centile_spaces_from_birth_are_said_from_two_weeks_on_only() -> None:
    figure = shown(baby(*WREN))["spaces"]
    assert figure.big == "1.02 spaces lower"  # (0.4029 + 0.2764) / (2/3), worked out apart (C)
    assert figure.small[2] == "for this birth weight a fall of 2 or more asks for a provider's look"
    assert "spaces" not in shown(baby(*WREN[:3]))


def test_two_birth_weights_leave_the_spaces_unresolved_and_the_score_of_now_standing() -> None:
    strip = shown(baby(*WREN, birth_weight=conflict(grams(3420), grams(3240))))
    assert strip["spaces"].unresolved
    assert strip["weight_z"].big == "z −0.28"


def test_a_gain_near_a_who_interval_is_scored_and_another_is_not() -> None:
    boy: dict[str, Any] = {"sex": "m"}
    strip = shown(baby((4120, "2026-03-30 10:00"), **boy))
    assert strip["velocity"].big == "z −0.98"  # +700 g in 28 days, worked out apart (C)
    assert strip["velocity"].small == ("16th centile", "+700 g from day 0 to 28", "interval: birth to 4 weeks")
    assert "velocity" not in shown(baby((4120, "2026-04-03 10:00"), **boy))
    assert "velocity" not in shown(baby(*WREN, **boy))


def test_a_second_month_is_scored_from_the_weighing_nearest_its_start() -> None:
    strip = shown(baby((4000, "2026-03-28 10:00"), (4050, "2026-03-30 10:00"), (4650, "2026-05-02 10:00"), sex="m"))
    assert strip["velocity"].big == "z −2.06"  # +600 g from 4 weeks to 2 months, worked out apart (C)
    assert strip["velocity"].small[1] == "+600 g from day 28 to 61"


def test_the_median_of_the_same_days_is_said_beside_a_gain() -> None:
    strip = shown(baby(*WREN))
    assert "the WHO median gains 32.9 g/day from day 7 to 14" in strip["gain"].small  # girls, days 7 to 14 (C)
    assert "WHO Child Growth Standards, 2006 (S)" in strip["gain"].source
    assert not any("median gains" in words for words in shown(baby(*WREN, sex="not_set"))["gain"].small)


def looked(**answers: Any) -> Entry[Form]:
    return entry(entry_id(InfantAssessment, VISIT, (BABY,)), InfantAssessment(**answers), BABY, visit=VISIT)


def mm(base: int) -> Quantity:
    return Quantity(str(base), "mm", base)


def test_length_and_head_of_this_visit_are_scored_and_said_in_both_units() -> None:
    strip = shown(baby((4100, "2026-03-30 10:00"), more=(looked(length=mm(510), head=mm(360)),)))
    assert strip["length_z"].big == "z −1.22"  # girl, day 28, 51.0 cm: -1.2230 (C)
    assert strip["length_z"].small == (
        "11th centile",
        "51.0 cm (20.08 in), day 28 of age",
    )
    assert strip["head_z"].big.startswith("z −0.32")  # (36.0 / 36.3761 - 1) / .03215 = -0.3216 (C)


def test_length_and_head_at_birth_are_scored_until_there_are_later_ones() -> None:
    at_birth: dict[str, Any] = {"birth_length": mm(480), "birth_head": mm(325), "sex": "f"}
    strip = shown(baby(*WREN, **at_birth))
    assert (strip["head_z"].big, strip["head_z"].small) == ("z −1.16", ("12th centile", "at birth"))  # -1.1640 (C)
    later = shown(baby(*WREN, more=(looked(head=mm(352)),), **at_birth))
    assert "at birth z −1.16" in later["head_z"].small
    assert "head_z" not in shown(baby(*WREN))


def test_an_earlier_visits_length_stands_with_its_own_day_until_it_is_measured_again() -> None:
    other = "d" * 32
    before = (
        entry(other, Visit(start=local("2026-03-09 09:00"))),
        entry(entry_id(InfantAssessment, other, (BABY,)), InfantAssessment(length=mm(500)), BABY, visit=other),
    )
    assert "day 7 of age" in shown(baby(*WREN, more=before))["length_z"].small[1]
    assert "day 14 of age" in shown(baby(*WREN, more=(*before, looked(length=mm(510)))))["length_z"].small[1]
    assert "length_z" not in shown(baby(*WREN[:1], more=before))


def test_a_score_beyond_whos_flag_asks_for_the_entry_to_be_checked_and_stays() -> None:
    figure = shown(baby((900, "2026-03-16 10:00")))["weight_z"]
    assert figure.big.startswith("z −")
    assert figure.watch.startswith("check the entry")


def test_every_figure_with_a_number_says_its_formula_what_went_in_and_its_source() -> None:
    chart = baby((4120, "2026-03-30 10:00"), more=(looked(length=mm(510), head=mm(360)),), birth_length=mm(480))
    strip = shown(chart)
    assert {"age", "weight", "percent", "gain", "weight_z", "spaces", "velocity", "length_z", "head_z"} <= set(strip)
    for figure in strip.values():
        if figure.big != NOTHING:
            assert figure.formula, figure.id
            assert figure.inputs, figure.id
            assert figure.source, figure.id


def test_the_inputs_of_a_score_name_the_value_its_time_who_entered_it_and_the_table_row() -> None:
    inputs = shown(baby((3430, "2026-03-16 10:00")))["weight_z"].inputs
    assert inputs[0] == (
        "weight: 3,430 g (7 lb 9.0 oz), 16 Mar 2026, 10:00, in nothing at all, entered by Rosalind Achterberg"
    )
    assert inputs[1] == "table: female, day 14 of age, born 2 Mar 2026, 06:10; L 0.2304, M 3,569 g, S 0.14339"
    assert inputs[2].startswith("birth weight: 3,420 g (7 lb 8.6 oz), 2 Mar 2026, 06:10")


Weighing = tuple[int, int, bool]


@settings(max_examples=60, deadline=None)
@given(
    weighings=st.lists(
        st.tuples(st.integers(2500, 6000), st.integers(1, 60 * 24 * 60), st.booleans()), min_size=2, max_size=6,
        unique_by=lambda each: each[1],
    ),
    draw=st.data(),
)  # fmt: skip
def test_no_order_of_entering_correcting_or_striking_weights_changes_a_figure(
    weighings: list[Weighing], draw: st.DataObject
) -> None:
    """The same weights stand in the end: some after a correction, some beside ones that were struck out."""
    born = local("2026-03-02 06:10")
    final: list[Entry[Form]] = []
    steps: list[tuple[Entry[Form], ...]] = []
    for number, (base, minutes, slip) in enumerate(weighings):
        taken = Moment(born.at + timedelta(minutes=minutes), ZONE)
        right = entry(f"{number:032d}", WeightReading(weight=grams(base), taken=taken, state="bare"), BABY)
        final.append(right)
        wrong = entry(right.id, WeightReading(weight=grams(base + 700), taken=taken, state="clothes"), BABY)
        steps.append((wrong, right) if slip else (right,))
        if slip:
            gone = entry(f"{900 + number:032d}", WeightReading(weight=grams(9000), taken=taken, state="bare"), BABY)
            struck = Entry(gone.id, gone.place, gone.answers, "author", NOW, Struck("author", NOW, "typing slip"))
            steps.append((gone, struck))
    last = max(minutes for _, minutes, _ in weighings)
    at = born.at + timedelta(minutes=last)
    plain = Chart(FAMILY, VISIT, (*baby().entries[:3], entry(VISIT, Visit(start=Moment(at, ZONE))), *final))
    chart = Chart(FAMILY, VISIT, plain.entries[:4])
    queue = [list(each) for each in steps]
    while queue:
        doing = draw.draw(st.sampled_from(range(len(queue))))
        chart = chart.with_entry(queue[doing].pop(0))
        queue = [each for each in queue if each]
    assert figures(chart, at, BABY) == figures(plain, at, BABY)
