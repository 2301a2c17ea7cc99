"""The complete-note rule, on charts built by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms import all as every_form
from forms.answers import Absence, Absent, Conflicted, Sided, Variant
from forms.ask import Need, Path, asks
from forms.breast import BreastAssessment
from forms.chart import Chart, Entry, Place, Struck, entry_id
from forms.consent import CareConsent, Consent, TouchConsent
from forms.contact import UrgentContact
from forms.feed import FeedObservation
from forms.form import Form, catalog, shown_asks
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import DUE_AT_AGE, InfantHistory
from forms.note import AT_THE_DOOR, DUE, STEPS, TODAY, Blank, Level, Step, Why, answered, blanks, ready_to_sign
from forms.oral import OralAssessment
from forms.parent_history import DUE_SINCE_BIRTH, ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.referral import Referral
from forms.visit import Jot, Visit
from forms.weight import WeightReading
from tests.helpers.whole_visit import FAMILY, IDA, JUNO, MARA, START, VISIT, add, agreed, at, entry, put, whole, without


def lines(chart: Chart) -> list[tuple[str, tuple[str, ...], str, Why, Level]]:
    return [(b.form, b.subjects, str(b.path or ""), b.why, b.level) for b in blanks(chart)]


def two(*values: object) -> Conflicted:
    return Conflicted(tuple(Variant(v, "author", START, "device", f"op{n}") for n, v in enumerate(values)))


def test_a_whole_first_visit_has_nothing_left_and_is_ready() -> None:
    assert lines(whole()) == []
    assert ready_to_sign(whole())
    assert ready_to_sign(whole(IDA, JUNO))


def test_a_chart_without_a_visit_has_no_list_and_is_never_ready() -> None:
    chart = replace(whole(), visit=None)
    assert blanks(chart) == ()
    assert not ready_to_sign(chart)


def test_a_visit_without_its_head_is_never_ready() -> None:
    assert ("visit", (), "", Why.MISSING, Level.MUST) in lines(without(whole(), Visit))


def must_places(chart: Chart) -> list[tuple[type[Form], tuple[str, ...], Path]]:
    return [
        (type(e.answers), e.place.subjects, path)
        for e in chart.entries
        if not isinstance(e.answers, Consent)  # more than one row of one person; see the kinds of visit
        for path, ask, _ in shown_asks(e.answers)
        if ask.need is Need.MUST
    ]


@pytest.mark.parametrize(
    ("form", "subjects", "path"), must_places(whole()), ids=lambda part: str(getattr(part, "name", part))
)
def test_emptying_any_one_must_field_puts_exactly_its_place_on_the_list(
    form: type[Form], subjects: tuple[str, ...], path: Path
) -> None:
    chart = put(whole(), form, str(path), None, *subjects)
    if form is FeedObservation and path.field == "observed":
        chart = put(chart, Impression, "risk", "routine", MARA, IDA)
    places = [(b.form, b.subjects, b.path) for b in blanks(chart) if b.level is Level.MUST]
    assert (form.name, subjects, path) in places
    assert not ready_to_sign(chart)


@pytest.mark.parametrize("kind", [Absence.NOT_ASKED, Absence.DECLINED, Absence.NONE])
def test_a_deliberate_absence_completes_a_must_field(kind: Absence) -> None:
    assert ready_to_sign(put(whole(), Plan, "tried_and_kept", Absent(kind)))


def test_not_done_completes_a_must_field_only_with_its_reason() -> None:
    assert not ready_to_sign(put(whole(), Plan, "tried_and_kept", Absent(Absence.NOT_DONE)))
    assert ready_to_sign(put(whole(), Plan, "tried_and_kept", Absent(Absence.NOT_DONE, "too tired today")))


@pytest.mark.parametrize("empty", [None, "", "   ", ()])
def test_an_untouched_or_empty_answer_is_no_answer(empty: object) -> None:
    assert not answered(empty)


@pytest.mark.parametrize("value", [0, False, "0", ("none",)])
def test_zero_and_no_are_answers(value: object) -> None:
    assert answered(value)


def test_a_follow_up_is_asked_only_once_its_opener_is_answered_so() -> None:
    chart = put(whole(), Impression, "risk", "watch", MARA)
    assert ("impression", (MARA,), "risk_why", Why.BLANK, Level.MUST) in lines(chart)
    chart = put(chart, Impression, "risk", "routine", MARA)
    assert ready_to_sign(chart)


def test_a_conflict_blocks_even_in_a_field_that_need_not_be_answered() -> None:
    chart = put(whole(), Plan, "expressing", two("twice", "three times"))
    assert lines(chart) == [("plan", (), "expressing", Why.CONFLICT, Level.MUST)]
    assert not ready_to_sign(chart)


def test_both_follow_ups_open_while_their_opener_is_in_conflict() -> None:
    contact = entry(UrgentContact, IDA, outcome="reached")
    chart = put(add(whole(), contact), UrgentContact, "outcome", two("reached", "override"))
    assert [line[2:4] for line in lines(chart)] == [("outcome", Why.CONFLICT), ("override_reason", Why.BLANK)]


@pytest.mark.parametrize(
    ("outcome", "fields"),
    [
        ("reached", {"who", "read_back", "instruction"}),
        ("tried_not_reached", {"tries", "told_family_now", "who_tries_next", "next_when"}),
        ("family_refused", {"family_words"}),
        ("override", {"override_reason"}),
    ],
)
def test_each_outcome_of_an_urgent_contact_asks_its_own_questions_and_no_other(outcome: str, fields: set[str]) -> None:
    bare = Entry("c", Place("urgent_contact", FAMILY, VISIT, (IDA,)),
                 UrgentContact(covers=("fever",), at=at(), outcome=outcome), "author", START)  # fmt: skip
    assert {line[2] for line in lines(add(whole(), bare))} == fields


def test_a_baby_without_a_feed_or_a_reason_is_named() -> None:
    chart = without(whole(IDA, JUNO), FeedObservation, MARA, JUNO)
    assert ("feed", (MARA, JUNO), "", Why.MISSING, Level.MUST) in lines(chart)
    assert not any(line[1] == (MARA, IDA) for line in lines(chart))


def test_a_feed_not_seen_needs_only_its_reason() -> None:
    chart = without(without(whole(), FeedObservation), Impression, MARA, IDA)
    unseen = Entry("f", Place("feed", FAMILY, VISIT, (MARA, IDA)), FeedObservation(observed="not_seen"), "a", START)
    assert [line[2] for line in lines(add(chart, unseen))] == ["not_observed_because"]
    told = put(add(chart, unseen), FeedObservation, "not_observed_because", "just_fed")
    assert ready_to_sign(told)


def test_a_side_not_offered_asks_nothing_more_of_that_side() -> None:
    chart = put(without(whole(), FeedObservation), Impression, "risk", "routine", IDA)
    feed = entry(FeedObservation, MARA, IDA, used=Sided("not_offered", "fed"), swallows=Sided(None, "many"))
    assert isinstance(feed.answers, FeedObservation)
    assert feed.answers.position.left is None
    assert feed.answers.position.right is not None
    assert ready_to_sign(add(chart, feed))


@pytest.mark.parametrize(
    ("path", "value"),
    [("pain_at_end@left", 4), ("swallows@left", "none"), ("nipple_after@left", "creased"),
     ("latch_concerns@left", ("clicking",)), ("pain_middle@left", two(1, 7))],
)  # fmt: skip
def test_a_sore_or_poor_side_where_nothing_was_tried_asks_why(path: str, value: object) -> None:
    chart = put(whole(), FeedObservation, path, value)
    asked = ("feed", (MARA, IDA), "why_not_tried@left", Why.BLANK, Level.MUST)
    assert asked in lines(chart)
    assert asked not in lines(put(chart, FeedObservation, "why_not_tried@left", "Ida fell asleep"))


def test_pain_of_three_does_not_ask_why_nothing_was_tried() -> None:
    # 4 and more after the first half minute: common practice, no source.
    assert ready_to_sign(put(whole(), FeedObservation, "pain_at_end@left", 3))


def test_something_tried_asks_what_it_did_on_that_side() -> None:
    chart = put(whole(), FeedObservation, "change_tried@right", True)
    assert {line[2] for line in lines(chart)} == {
        "tried@right", "pain_before_change@right", "pain_after_change@right", "swallows_before_change@right",
        "swallows_after_change@right",
    }  # fmt: skip


def test_a_baby_without_a_weight_needs_one_or_the_reason() -> None:
    chart = without(whole(), WeightReading)
    assert lines(chart) == [("weight", (IDA,), "", Why.MISSING, Level.MUST)]
    assert ready_to_sign(put(chart, InfantAssessment, "weight_not_taken", "declined"))


def test_a_weight_of_another_day_or_around_a_feed_does_not_stand_for_this_visit() -> None:
    old = entry(WeightReading, IDA, visit=None, taken=at(-48))
    assert ("weight", (IDA,), "", Why.MISSING, Level.MUST) in lines(add(without(whole(), WeightReading), old))
    around = entry(WeightReading, IDA, feed="c" * 32, feed_side="left", feed_point="before")
    assert ("weight", (IDA,), "", Why.MISSING, Level.MUST) in lines(add(without(whole(), WeightReading), around))
    today = entry(WeightReading, IDA, visit=None, taken=at(0.2))
    assert ready_to_sign(add(without(whole(), WeightReading), today))


def test_a_struck_entry_counts_for_nothing() -> None:
    chart = whole()
    struck = tuple(
        replace(e, struck=Struck("a", START, "wrong baby")) if type(e.answers) in (WeightReading, Plan) else e
        for e in chart.entries
    )
    found = lines(replace(chart, entries=struck))
    assert ("weight", (IDA,), "", Why.MISSING, Level.MUST) in found
    assert ("plan", (), "goal", Why.BLANK, Level.MUST) in found


def test_a_form_not_begun_is_listed_question_by_question_under_the_id_it_will_have() -> None:
    found = [b for b in blanks(without(whole(), InfantAssessment)) if b.form == "infant_assessment"]
    assert {b.path.field for b in found if b.path} >= {"seen_how", "tone", "colour", "breathing", "skin"}
    assert {b.entry for b in found} == {entry_id(InfantAssessment, VISIT, (IDA,))}
    assert {b.step for b in found} == {Step.LOOK}


def test_tasks_number_at_least_one_and_never_two_alike() -> None:
    assert ("plan_task", (), "", Why.MISSING, Level.MUST) in lines(without(whole(), PlanTask))
    twice = add(whole(), entry(PlanTask, named="second", order=1))
    assert lines(twice) == [("plan_task", (), "order", Why.WRONG, Level.MUST)] * 2
    assert ready_to_sign(add(whole(), entry(PlanTask, named="second", order=2)))


def test_amounts_are_a_must_only_for_a_baby_who_was_given_more_milk() -> None:
    chart = without(whole(), FeedingAmount)
    assert lines(chart) == [("feeding_amount", (IDA,), "extra_milk", Why.BLANK, Level.SHOULD)]
    assert ready_to_sign(chart)
    given = put(chart, FeedObservation, "supplement", True)
    assert ("feeding_amount", (IDA,), "extra_milk", Why.BLANK, Level.MUST) in lines(given)


@pytest.mark.parametrize("risk", ["same_day", "emergency"])
def test_an_urgent_level_of_concern_needs_an_urgent_contact_for_that_person(risk: str) -> None:
    chart = put(put(whole(), Impression, "risk", risk, IDA), Impression, "risk_why", "sleepy", IDA)
    assert lines(chart) == [("urgent_contact", (IDA,), "", Why.MISSING, Level.MUST)]
    assert not ready_to_sign(add(chart, entry(UrgentContact, MARA, outcome="reached")))
    assert ready_to_sign(add(chart, entry(UrgentContact, IDA, outcome="reached")))


def test_a_jot_blocks_until_it_is_filed_or_said_to_stand_nowhere() -> None:
    jot = Entry("j", Place("jot", FAMILY, VISIT), Jot(words="prefers head to her left", noted=at()), "author", START)
    assert lines(add(whole(), jot)) == [("jot", (), "filed_to", Why.UNFILED, Level.MUST)]
    assert ready_to_sign(add(whole(), replace(jot, answers=replace(jot.answers, filed_to="look at baby"))))
    assert ready_to_sign(add(whole(), replace(jot, answers=Jot(noted=at()))))


def test_an_unfinished_letter_is_listed_but_does_not_hold_back_the_note() -> None:
    letter = Entry(
        "r", Place("referral", FAMILY, VISIT, (IDA,)), Referral(to="dr", question="Would you look?"), "a", START
    )
    chart = add(whole(), letter)
    assert {(line[0], line[4]) for line in lines(chart)} == {("referral", Level.SHOULD)}
    assert ready_to_sign(chart)


def test_a_begun_look_at_the_mouth_must_be_finished_and_an_unbegun_one_need_not_be() -> None:
    begun = Entry(entry_id(OralAssessment, VISIT, (IDA,)), Place("oral_assessment", FAMILY, VISIT, (IDA,)),
                  OralAssessment(), "a", START)  # fmt: skip
    assert ready_to_sign(whole())
    assert not ready_to_sign(add(whole(), begun))


def test_a_visit_that_ends_before_it_starts_is_told() -> None:
    assert ("visit", (), "end", Why.WRONG, Level.MUST) in lines(put(whole(), Visit, "end", at(-1)))


@pytest.mark.parametrize("kind", ["phone", "video"])
def test_at_a_remote_visit_nothing_was_touched_or_seen_in_the_room(kind: str) -> None:
    chart = add(put(without(whole(), TouchConsent), Visit, "kind", kind), *agreed(kind))
    assert {line[:4] for line in lines(chart)} == {
        ("breast_assessment", (MARA,), "consent", Why.WRONG),
        ("infant_assessment", (IDA,), "seen_how", Why.WRONG),
        ("weight", (IDA,), "source", Why.WRONG),
        ("feed", (MARA, IDA), "observed", Why.WRONG),
    }
    told = put(put(chart, InfantAssessment, "seen_how", "reported"), WeightReading, "source", "told")
    told = put(put(told, WeightReading, "told_by", "Mara"), FeedObservation, "observed", "video")
    told = put(told, BreastAssessment, "consent", "told")
    assert ready_to_sign(told) == (kind == "video")


def second(chart: Chart, **infant: Any) -> Chart:
    """The whole visit a week earlier, and an unfinished second one with its histories gone through again."""
    later = Visit(kind="home", start=at(24 * 7), end=at(24 * 7 + 1))
    return replace(chart, visit="later", entries=(
        *chart.entries,
        Entry("later", Place("visit", FAMILY), later, "author", START + timedelta(days=7)),
        Entry(entry_id(InfantHistory, "later", (IDA,)), Place("infant_history", FAMILY, "later", (IDA,)),
              InfantHistory(**infant), "author", START),
        entry(Impression, IDA, visit="later"),
    ))  # fmt: skip


def test_a_later_visit_goes_through_the_history_again_instead_of_taking_it_anew() -> None:
    chart = second(whole(), taken="unchanged")
    history = [line for line in lines(chart) if line[0] == "infant_history"]
    assert {line[4] for line in history} == {Level.SHOULD}
    assert {line[2] for line in history} == TODAY[InfantHistory]
    assert ("infant_history", (IDA,), "changes", Why.BLANK, Level.MUST) in lines(second(whole(), taken="changed"))
    untouched = [line for line in lines(second(whole())) if line[0] == "infant_history" and line[4] is Level.MUST]
    assert [line[2] for line in untouched] == ["taken"]


def test_a_history_never_taken_in_full_is_asked_in_full_at_a_later_visit() -> None:
    chart = second(put(whole(), InfantHistory, "taken", "unchanged", IDA), taken="unchanged")
    assert ("infant_history", (IDA,), "allergies", Why.BLANK, Level.MUST) in lines(chart)


def test_from_the_second_visit_on_each_impression_says_what_has_changed() -> None:
    assert not any(line[2] == "change" for line in lines(whole()))
    changes = [line for line in lines(second(whole(), taken="unchanged")) if line[2] == "change"]
    assert {line[1] for line in changes} == {(MARA,), (IDA,)}


def test_consent_to_care_holds_from_an_earlier_visit_until_it_ends_or_is_withdrawn() -> None:
    def asked(chart: Chart) -> bool:
        return any(line[0] == "care_consent" and line[1] == (IDA,) for line in lines(second(chart)))

    assert not asked(whole())
    assert not asked(put(whole(), CareConsent, "valid_until", date(2026, 3, 10), IDA))
    assert asked(put(whole(), CareConsent, "valid_until", date(2026, 3, 9), IDA))
    assert asked(put(whole(), CareConsent, "withdrawn_at", at(24), IDA))
    assert asked(put(whole(), CareConsent, "agreed", "no", IDA))
    assert any(line[0] == "touch_consent" and line[1] == (IDA,) for line in lines(second(whole())))


def test_lines_of_one_age_only_are_due_at_that_age_and_when_the_age_is_unknown() -> None:
    def due(days: int | None) -> bool:
        born = at(-24 * days) if days is not None else Absent(Absence.NOT_ASKED)
        chart = put(put(whole(), InfantHistory, "first_urine", None), InfantIdentity, "born", born)
        return any(line[2] == "first_urine" for line in lines(chart))

    # First week: common practice, no source; see `DUE_AT_AGE`.
    assert DUE_AT_AGE["first_urine"] == (0, 7)
    assert [due(0), due(6), due(7), due(None)] == [True, True, False, True]


def test_two_babies_are_asked_for_apart_and_each_line_names_whose_it_is() -> None:
    chart = put(whole(IDA, JUNO), InfantAssessment, "tone", None, JUNO)
    assert lines(chart) == [("infant_assessment", (JUNO,), "tone", Why.BLANK, Level.MUST)]


def test_a_parent_who_does_not_feed_needs_no_note_of_their_own() -> None:
    father = entry(ParentIdentity, visit=None, named="jonas", roles=("non_birth_parent",))
    assert ready_to_sign(add(whole(), father))
    co_feeder = entry(ParentIdentity, visit=None, named="jonas", roles=("co_feeder",))
    assert ("parent_history", ("jonas",), "taken", Why.BLANK, Level.MUST) in lines(add(whole(), co_feeder))


def test_the_list_follows_the_thread_of_the_visit() -> None:
    chart = put(put(put(whole(), Plan, "left_with", None), InfantAssessment, "tone", None), Visit, "place", None)
    assert [b.step for b in blanks(chart)] == [Step.ARRIVE, Step.LOOK, Step.LEAVE]


def test_no_line_ever_carries_an_answer() -> None:
    chart = put(whole(), Plan, "goal", two("SECRET-A", "SECRET-B"))
    assert not any("SECRET" in repr(blank) for blank in blanks(chart))
    assert all(isinstance(blank, Blank) for blank in blanks(chart))


def test_every_form_bound_to_a_visit_has_its_moment_in_the_thread() -> None:
    assert every_form
    bound = {form for form in catalog().values() if form.about.value in ("visit", "person_at_visit", "pair_at_visit")}
    assert bound <= set(STEPS)


def test_a_warning_sign_told_at_a_later_visit_asks_its_follow_ups() -> None:
    told = ParentHistory(taken="unchanged", warning_signs=("headache",))
    chart = add(second(whole(), taken="unchanged"), Entry(
        entry_id(ParentHistory, "later", (MARA,)), Place("parent_history", FAMILY, "later", (MARA,)), told, "a", START
    ))  # fmt: skip
    asked = {line[2]: line[4] for line in lines(chart) if line[0] == "parent_history"}
    assert asked["warning_severe"] is Level.MUST
    assert asked["mood_asked"] is Level.SHOULD
    assert "allergies" not in asked


def test_how_labour_went_is_due_for_two_weeks_after_the_youngest_was_born() -> None:
    def due(days: int) -> bool:
        chart = put(put(whole(), ParentHistory, "gave_birth", True), InfantIdentity, "born", at(-24 * days))
        return any(line[2] == "labour" for line in lines(chart))

    assert DUE_SINCE_BIRTH["labour"] == (0, 14)
    assert [due(13), due(14)] == [True, False]


def test_the_lines_asked_anew_each_visit_are_real_must_fields() -> None:
    assert all(asks(form)[name].need is Need.MUST for form, names in TODAY.items() for name in names)


def test_the_lines_due_at_some_ages_are_real_follow_ups() -> None:
    named = [(form, name) for form, ages in DUE.items() for name in ages]
    assert all(asks(form)[name].need is Need.WHEN_OPEN for form, name in named)


def test_the_questions_answered_at_the_door_are_real() -> None:
    assert all(field in asks(catalog()[form]) for form, field in AT_THE_DOOR)
