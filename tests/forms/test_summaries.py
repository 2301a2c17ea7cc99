"""Summary answers: what "seen, no concern" may claim, what it writes, and how long an answer counts as one."""

from __future__ import annotations

from typing import Any

import pytest

from forms import all as every_form
from forms.answers import Absence, Absent, Conflicted, Side, Sided, Variant
from forms.ask import Kind, NotPrinted, Path, asks
from forms.breast import BreastAssessment
from forms.form import Form, catalog, with_value
from forms.infant import InfantAssessment
from forms.oral import OralAssessment
from forms.summaries import claimed, is_summary, plain_answers, would_write
from tests.helpers.whole_visit import START

LEFT = Side.LEFT
LOOKED = BreastAssessment(consent="look_touch", feed_timing="before")
SUMMARIES = [(form, name) for form in catalog().values() for name, ask in asks(form).items() if ask.claims]

# Trade table, form design F5: never for output, weight, pain, mood, safety or an impression. A bruise and the alarm
# signs are safety; a number was counted or measured by nobody.
NEVER = {
    "alarm_signs", "skin_where", "unsafe_adult", "moves_about", "diaper_seen", "urine_seen", "stool_seen",
    "weight_not_taken", "waking", "tender", "pain_rest", "pain_touch", "breathing_rate", "temperature",
}  # fmt: skip


def two(*values: object) -> Conflicted:
    return Conflicted(tuple(Variant(v, "author", START, "device", f"op{n}") for n, v in enumerate(values)))


def test_only_the_three_forms_of_looking_have_summary_answers() -> None:
    assert every_form.breast
    assert {form for form, _ in SUMMARIES} == {BreastAssessment, OralAssessment, InfantAssessment}
    assert len(SUMMARIES) == 11


@pytest.mark.parametrize(("form", "name"), SUMMARIES, ids=[name for _, name in SUMMARIES])
def test_a_summary_answer_claims_only_plain_choices_of_its_own_sides(form: type[Form], name: str) -> None:
    questions = asks(form)
    summary = questions[name]
    assert isinstance(summary.paper, NotPrinted)
    assert tuple(summary.options) == tuple(summary.claims)
    for field, code in summary.claims.items():
        claimed_ask = questions[field]
        assert claimed_ask.kind in (Kind.CHOICE, Kind.MANY)
        assert code in claimed_ask.options
        assert claimed_ask.sides == summary.sides
        assert not claimed_ask.private
        assert field not in NEVER
        assert summary.options[field] == claimed_ask.label
    assert not (form is InfantAssessment and "skin" in summary.claims), "a bruise is a matter of safety"


def test_no_line_is_claimed_by_two_summary_answers() -> None:
    for form in (BreastAssessment, OralAssessment, InfantAssessment):
        lines = [field for ask in asks(form).values() for field in ask.claims]
        assert len(lines) == len(set(lines))


def test_it_writes_to_its_own_side_in_the_shape_each_field_keeps() -> None:
    assert would_write(LOOKED, "nipple_plain", LEFT) == {
        Path("nipple", LEFT): ("everted",),
        Path("damage", LEFT): ("none",),
    }
    assert plain_answers(BreastAssessment, "areola_plain")["armpit"] == "none"


def test_a_line_that_opens_only_after_a_feed_is_claimed_only_then() -> None:
    after = BreastAssessment(consent="look_touch", feed_timing="after")
    assert Path("shape_after", LEFT) in would_write(after, "nipple_plain", LEFT)
    assert Path("shape_after", LEFT) not in would_write(LOOKED, "nipple_plain", LEFT)


@pytest.mark.parametrize("given", [("crack",), ("none",), Absent(Absence.DECLINED), two(("none",), ("crack",))])
def test_an_answer_a_refusal_or_a_dispute_that_stands_is_left_alone(given: Any) -> None:
    answers = with_value(LOOKED, Path("damage", LEFT), given)
    assert list(would_write(answers, "nipple_plain", LEFT)) == [Path("nipple", LEFT)]


def test_nothing_is_claimed_where_nothing_is_asked() -> None:
    assert would_write(BreastAssessment(consent="declined"), "skin_plain", LEFT) == {}
    assert would_write(OralAssessment(), "face_plain") == {}


def summed(side: Side = LEFT) -> BreastAssessment:
    answers: Any = LOOKED
    lines = would_write(answers, "skin_plain", side)
    for path, plain in (*lines.items(), (Path("skin_plain", side), tuple(path.field for path in lines))):
        answers = with_value(answers, path, plain)
    made: BreastAssessment = answers
    return made


def test_an_answer_counts_as_a_summary_answer_while_it_stands_as_it_was_written() -> None:
    answers = summed()
    assert claimed(answers, "skin_plain", LEFT) == (Path("skin", LEFT), Path("lump", LEFT))
    assert is_summary(answers, Path("skin", LEFT))
    assert not is_summary(answers, Path("skin", Side.RIGHT))
    assert not is_summary(answers, Path("damage", LEFT))
    changed = with_value(answers, Path("skin", LEFT), ("red",))
    assert not is_summary(changed, Path("skin", LEFT))
    assert is_summary(changed, Path("lump", LEFT))


def test_an_answer_given_by_hand_is_no_summary_answer_though_it_reads_the_same() -> None:
    by_hand = BreastAssessment(consent="look_touch", skin=Sided(("usual",), None))
    assert not is_summary(by_hand, Path("skin", LEFT))


def test_where_two_devices_noted_different_lines_each_of_them_counts() -> None:
    answers = with_value(summed(), Path("skin_plain", LEFT), two(("skin",), ("lump",)))
    assert claimed(answers, "skin_plain", LEFT) == (Path("skin", LEFT), Path("lump", LEFT))


def test_a_disputed_line_is_no_summary_answer() -> None:
    answers = with_value(summed(), Path("skin", LEFT), two(("usual",), ("red",)))
    assert not is_summary(answers, Path("skin", LEFT))
