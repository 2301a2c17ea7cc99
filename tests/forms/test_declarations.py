"""Every declared form keeps the promises that storage, window, papers and hand-over rely on."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any, get_type_hints

import pytest

import forms.all
from forms.answers import Given, Moment, Quantity, Sided
from forms.ask import Ask, Coded, Kind, Need, NotCoded, NotPrinted, Paper, Printed, asks, codes
from forms.form import Form, catalog
from forms.infant_history import DUE_AT_AGE, InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import DUE_SINCE_BIRTH, ParentHistory
from forms.units import UNITS

ROOT = Path(__file__).resolve().parents[2]
FORMS = sorted(catalog().values(), key=lambda form: form.name)

HOLDS: dict[Kind, Any] = {
    Kind.CHOICE: str,
    Kind.MANY: tuple[str, ...],
    Kind.SCALE: int,
    Kind.COUNT: int,
    Kind.QUANTITY: Quantity,
    Kind.MOMENT: Moment,
    Kind.DAY: date,
    Kind.LINE: str,
    Kind.TEXT: str,
    Kind.YES_NO: bool,
    Kind.REF: str,
    Kind.REFS: tuple[str, ...],
}
# Named for mypy, which takes a subscript of an alias for a type and would not let a value in.
GIVEN: Any = Given
ON_SIDES: Any = Sided

# LOINC codes that the hand-over reference found in open sources; no other code may be claimed.
SEEN_CODES = frozenset({
    "29463-7", "9843-4", "8302-2", "8310-5", "8339-4", "11884-4", "73756-9", "34117-2", "57133-1", "11488-4", "60591-5",
    "64295-9", "57059-8", "18842-5", "59284-0", "18776-5", "10164-2", "61150-9", "51848-0", "8716-3", "69730-0",
    "10160-0", "48765-2", "47519-4", "11369-6", "11450-4", "82810-3", "10162-6", "72514-3", "89269-5", "63895-7",
})  # fmt: skip


def _each() -> list[tuple[str, str, Ask]]:
    return [(form.name, name, ask) for form in FORMS for name, ask in asks(form).items()]


def _where(wrong: list[tuple[str, str, Ask]]) -> list[str]:
    return [f"{form}.{name}" for form, name, _ in wrong]


def _check_digit_holds(code: str) -> bool:
    digits = [int(c) for c in code.replace("-", "")]
    doubled = [sum(divmod(2 * d, 10)) if place % 2 else d for place, d in enumerate(reversed(digits))]
    return sum(doubled) % 10 == 0


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.name)
def test_a_field_is_typed_as_its_question_answers(form: type[Form]) -> None:
    hints = get_type_hints(form)
    for name, ask in asks(form).items():
        answer = GIVEN[HOLDS[ask.kind]]
        assert hints[name] == (ON_SIDES[answer] if ask.sides else answer), f"{form.name}.{name}"


def test_an_untouched_form_has_no_answer_anywhere() -> None:
    for form in FORMS:
        empty = form()
        for name, ask in asks(form).items():
            assert getattr(empty, name) == (Sided(None, None) if ask.sides else None)


def test_no_field_hides_a_word_of_the_form_itself() -> None:
    own = {"name", "title", "about", "repeats"}
    assert [f"{form.name}.{f.name}" for form in FORMS for f in fields(form) if f.name in own] == []


def test_every_module_that_declares_a_form_is_imported_by_forms_all() -> None:
    declaring = {
        p.stem for p in (ROOT / "forms").glob("*.py") if re.search(r"^@declared\(", p.read_text("utf-8"), re.MULTILINE)
    }
    assert set(forms.all.__all__) == declaring


def test_a_follow_up_opens_on_an_earlier_field_and_on_answers_that_field_can_have() -> None:
    for form in FORMS:
        seen: dict[str, Ask] = {}
        for name, ask in asks(form).items():
            if ask.when is not None:
                where = f"{form.name}.{name}"
                assert ask.when.field in seen, f"{where} opens on a field that does not come before it"
                trigger = seen[ask.when.field]
                if trigger.kind in (Kind.CHOICE, Kind.MANY):
                    assert set(ask.when.one_of) <= set(trigger.options), where
                if trigger.kind is Kind.YES_NO:
                    assert set(ask.when.one_of) <= {True, False}, where
                numbers = (ask.when.at_least, ask.when.at_most)
                assert ask.when.one_of or ask.when.answered or any(n is not None for n in numbers), where
                if any(n is not None for n in numbers):
                    assert trigger.kind in (Kind.SCALE, Kind.COUNT, Kind.QUANTITY), where
            seen[name] = ask


def test_choices_have_options_whose_codes_explain_themselves_and_whose_words_differ() -> None:
    for form, name, ask in _each():
        if ask.kind in (Kind.CHOICE, Kind.MANY):
            assert ask.options, f"{form}.{name}"
            odd = [code for code in ask.options if not re.fullmatch(r"[a-z][a-z0-9_]*", code) and code not in UNITS]
            assert odd == [], f"{form}.{name}"
            assert len(set(ask.options.values())) == len(ask.options), f"{form}.{name}"
            assert all(words.strip() for words in ask.options.values()), f"{form}.{name}"
            assert set(ask.alone) <= set(ask.options), f"{form}.{name}"
        else:
            assert not ask.options, f"{form}.{name}"


def test_labels_are_there_and_unique_inside_a_form() -> None:
    for form in FORMS:
        labels = Counter(ask.label for ask in asks(form).values())
        assert [label for label, times in labels.items() if times > 1 or not label.strip()] == [], form.name


def test_numbers_are_bounded_and_say_where_the_bound_comes_from() -> None:
    measured = [each for each in _each() if each[2].kind in (Kind.COUNT, Kind.QUANTITY, Kind.SCALE)]
    for form, name, ask in measured:
        assert ask.low is not None, f"{form}.{name}"
        assert ask.high is not None, f"{form}.{name}"
        assert ask.low < ask.high, f"{form}.{name}"
    assert _where([e for e in measured if e[2].kind is not Kind.SCALE and not e[2].source]) == []


def test_units_of_a_quantity_exist_and_measure_one_thing() -> None:
    for form, name, ask in _each():
        if ask.kind is Kind.QUANTITY:
            assert len({UNITS[unit].dimension for unit in ask.units}) == 1, f"{form}.{name}"
        else:
            assert not ask.units, f"{form}.{name}"


def test_references_name_forms_answers_prompts_or_questions() -> None:
    for form, name, ask in _each():
        assert bool(ask.of) == (ask.kind in (Kind.REF, Kind.REFS)), f"{form}.{name}"
        assert set(ask.of) <= {*catalog(), "answer", "prompt", "question"}, f"{form}.{name}"


def test_every_field_says_which_papers_it_may_stand_on_or_why_on_none() -> None:
    for form, name, ask in _each():
        if isinstance(ask.paper, Printed):
            assert ask.paper.on, f"{form}.{name}"
        else:
            assert ask.paper.why.strip(), f"{form}.{name}"


def test_every_field_has_a_code_seen_in_an_open_source_or_says_why_it_has_none() -> None:
    for form, name, ask in _each():
        if isinstance(ask.code, Coded):
            assert ask.code.system == "http://loinc.org", f"{form}.{name}"
            assert ask.code.code in SEEN_CODES, f"{form}.{name}"
            assert _check_digit_holds(ask.code.code), f"{form}.{name}"
        else:
            assert isinstance(ask.code, NotCoded), f"{form}.{name}"
            assert ask.code.why.strip(), f"{form}.{name}"


def test_the_check_digit_rule_refuses_a_slip() -> None:
    assert _check_digit_holds("29463-7")
    assert not _check_digit_holds("29463-8")
    assert not _check_digit_holds("29436-7")


def test_private_answers_stand_on_no_paper() -> None:
    assert _where([e for e in _each() if e[2].private and not isinstance(e[2].paper, NotPrinted)]) == []


def test_what_opens_under_a_private_answer_is_private_too() -> None:
    leaks = [
        f"{form.name}.{name}"
        for form in FORMS
        for name, ask in asks(form).items()
        if ask.when is not None and asks(form)[ask.when.field].private and not ask.private
    ]
    assert leaks == []


def test_loss_mood_and_safety_are_private() -> None:
    private = {name for name, ask in asks(ParentHistory).items() if ask.private}
    by_line = {
        6: {"pregnancies", "births", "living_children", "loss", "loss_told"},
        26: {"mood_asked", "mood_asked_alone_at", "mood_told", "mood_signs", "screen_form", "screen_other", "screen_total",
             "screen_item_10", "screen_day", "screen_by", "screen_language", "harm_thought_now"},
        28: {"safety_asked", "safety_asked_alone_at", "safe_at_home", "afraid_of", "safety_told"},
    }  # fmt: skip
    assert private == set().union(*by_line.values())


def test_histories_and_findings_never_reach_the_family_plan_or_the_call_now_page() -> None:
    histories = ("parent_history", "infant_history", "infant_assessment", "oral_assessment", "breast_")
    family_papers = {Paper.FAMILY_PLAN, Paper.CALL_NOW}
    travelling = [e for e in _each() if isinstance(e[2].paper, Printed) and family_papers & set(e[2].paper.on)]
    assert [where for where in _where(travelling) if where.startswith(histories)] == []


def test_each_tongue_movement_takes_several_descriptors_and_could_not_see() -> None:
    for name in ("tongue_reach", "tongue_lift", "tongue_side", "tongue_cupping", "tongue_wave", "tongue_snap"):
        ask = asks(OralAssessment)[name]
        assert ask.kind is Kind.MANY
        assert "not_seen" in ask.alone
        assert len(ask.options) != 3 + 1, "three steps and could not see would be a grade"


def test_what_is_due_only_at_an_age_is_exactly_what_opens_without_a_trigger() -> None:
    def without_trigger(form: type[Form]) -> set[str]:
        return {name for name, ask in asks(form).items() if ask.need is Need.WHEN_OPEN and ask.when is None}

    assert without_trigger(InfantHistory) == set(DUE_AT_AGE)
    assert set(DUE_SINCE_BIRTH) <= {n for n, ask in asks(ParentHistory).items() if ask.need is Need.WHEN_OPEN}
    others = [form for form in FORMS if form is not InfantHistory]
    assert [form.name for form in others if without_trigger(form)] == []


def test_no_question_names_a_condition_or_a_failing() -> None:
    barred = re.compile(r"diagnos|failure|failed|tongue.?tie|abnormal", re.IGNORECASE)
    wrong = [e for e in _each() if barred.search(" ".join((e[2].label, e[2].help, *e[2].options.values())))]
    assert _where(wrong) == []


def test_the_options_of_a_question_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        codes(yes="Yes")["no"] = "No"  # type: ignore[index]
