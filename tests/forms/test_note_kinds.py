"""The complete-note rule line by line, for each kind of visit (trade line C11), and the consents each brings up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Sided, Variant
from forms.ask import Path, asks
from forms.breast import BreastAssessment
from forms.chart import Chart, Entry, Place, entry_id
from forms.consent import PURPOSES, TOLD_ONCE, Consent, TouchConsent
from forms.feed import FeedObservation
from forms.form import Form, shown_asks, with_value
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.note import Level, Why, blanks, ready_to_sign
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.scores import Score
from forms.visit import Present, Visit
from forms.weight import WeightReading
from tests.helpers.whole_visit import FAMILY, IDA, MARA, START, add, agreed, at, entry, put, whole, without

LATER = "later"


def musts(chart: Chart) -> set[tuple[str, tuple[str, ...], str]]:
    return {(b.form, b.subjects, str(b.path or "")) for b in blanks(chart) if b.level is Level.MUST}


def remote(kind: str) -> Chart:
    """A whole visit at which nobody was in the room."""
    chart = add(put(without(whole(), TouchConsent), Visit, "kind", kind), *agreed(kind))
    told = put(put(chart, InfantAssessment, "seen_how", "reported"), WeightReading, "source", "told")
    told = put(put(told, WeightReading, "told_by", "Mara"), BreastAssessment, "consent", "told")
    if kind == "video":
        return put(told, FeedObservation, "observed", "video")
    return no_feed(told, "remote")


def no_feed(chart: Chart, why: str) -> Chart:
    """The same visit without a feed that was watched: only the reason stands, and no impression of the pair."""
    bare = without(without(chart, FeedObservation), Impression, MARA, IDA)
    return add(bare, entry(FeedObservation, MARA, IDA, observed="not_seen", not_observed_because=why))


def follow_up() -> Chart:
    """A whole second visit a week after a whole first one."""
    days = 7
    head = Visit(kind="home", start=at(24 * days), end=at(24 * days + 1), place="home", practitioner="rowan",
                 reason="weight", interpreter="not_needed")  # fmt: skip
    again: dict[type[Form], dict[str, Any]] = {
        InfantHistory: {"taken": "unchanged"}, ParentHistory: {"taken": "unchanged"},
        Impression: {"change": "better"}, PlanTask: {"order": 1},
        FeedObservation: {"swallows": Sided("many", "many"), "pain_after_30s": Sided(1, 1)},
    }  # fmt: skip
    bound = (TouchConsent, InfantHistory, ParentHistory, InfantAssessment, WeightReading, FeedObservation, Impression,
             FeedingAmount, Plan, PlanTask, Present)  # fmt: skip
    copied = [
        entry(type(e.answers), *e.place.subjects, visit=LATER, **again.get(type(e.answers), {}))
        for e in whole().entries
        if type(e.answers) in bound
    ]  # fmt: skip
    later: Entry[Any] = Entry(LATER, Place("visit", FAMILY), head, "author", START + timedelta(days=days))
    return replace(whole(), visit=LATER, entries=(*whole().entries, later, *copied))


KINDS: dict[str, Chart] = {
    "first, at home": whole(),
    "first, in the clinic": put(whole(), Visit, "kind", "clinic"),
    "first, in a group": put(whole(), Visit, "kind", "group"),
    "by video": remote("video"),
    "by phone": remote("phone"),
    "not fed at the breast or chest": no_feed(whole(), "not_at_breast"),
    "baby asleep": no_feed(whole(), "asleep"),
    "follow-up": follow_up(),
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_visit_can_be_whole(kind: str) -> None:
    assert musts(KINDS[kind]) == set()
    assert ready_to_sign(KINDS[kind])


# Trade line C11, one row for each thing it names: the form, and what of it a note of that kind cannot do without.
NAMED: dict[str, tuple[type[Form], tuple[str, ...], tuple[str, ...]]] = {
    "consent state": (TouchConsent, (IDA,), ("agreed",)),
    "C5 line 1, the weight": (WeightReading, (IDA,), ("weight", "taken", "state", "source")),
    "C5 lines 3 to 7": (
        InfantAssessment, (IDA,),
        ("state_on_arrival", "waking", "tone", "colour", "mouth_moisture", "fontanelle", "eyes", "skin_turgor",
         "breathing_rate", "breathing", "breath_noises"),
    ),
    "C6 or its line 18": (FeedObservation, (MARA, IDA), ("observed",)),
    "C9 of the parent": (Impression, (MARA,), ("risk",)),
    "C9 of the baby": (Impression, (IDA,), ("risk",)),
    "C10": (Plan, (), ("goal", "watch_baby", "followup_kind", "language", "left_how")),
    "start, end, place, practitioner": (Visit, (), ("start", "end", "place", "practitioner")),
    "present list": (Present, (), ("full_name", "part", "hears_all")),
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("named", NAMED)
def test_what_the_rule_names_is_missed_at_each_kind_of_visit_when_it_is_emptied(kind: str, named: str) -> None:
    form, subjects, fields = NAMED[named]
    chart = KINDS[kind]
    here = [e for e in chart.all(form) if e.place.subjects == subjects and chart.visit in (e.place.visit, e.id)]
    if form is TouchConsent and kind in ("by phone", "by video"):
        assert here == []  # nobody's hands were in the room, so nobody is asked
        return
    assert len(here) == 1
    for field in fields:
        emptied = chart.with_entry(replace(here[0], answers=with_value(here[0].answers, Path(field), None)))
        assert (form.name, subjects, field) in musts(emptied), field


def test_a_feed_that_was_not_seen_needs_its_reason_at_each_kind_of_visit() -> None:
    for kind in ("by phone", "not fed at the breast or chest", "baby asleep"):
        chart = put(KINDS[kind], FeedObservation, "not_observed_because", None)
        assert musts(chart) == {("feed", (MARA, IDA), "not_observed_because")}, kind


def test_at_a_later_visit_the_history_says_that_it_was_gone_through() -> None:
    chart = follow_up()
    for form, who in ((ParentHistory, MARA), (InfantHistory, IDA)):
        held = chart.by_id(entry_id(form, LATER, (who,)))
        assert held is not None
        emptied = chart.with_entry(replace(held, answers=with_value(held.answers, Path("taken"), None)))
        assert (form.name, (who,), "taken") in musts(emptied)


def test_a_weight_told_on_the_phone_or_none_with_its_reason_are_both_whole() -> None:
    chart = without(remote("phone"), WeightReading)
    assert musts(chart) == {("weight", (IDA,), "")}
    assert ready_to_sign(put(chart, InfantAssessment, "weight_not_taken", "no_scale"))


def test_a_gloved_finger_at_a_visit_from_afar_cannot_be() -> None:
    looked = entry(OralAssessment, IDA, consent="given", gloved=True)
    wrong = [(b.form, str(b.path), b.why) for b in blanks(add(remote("video"), looked)) if b.why is Why.WRONG]
    assert wrong == [("oral_assessment", "gloved", Why.WRONG)]
    assert not [b for b in blanks(add(whole(), looked)) if b.why is Why.WRONG]


@pytest.mark.parametrize(
    ("kind", "how", "wrong"),
    [("phone", "look_touch", True), ("phone", "look", True), ("phone", "told", False), ("video", "look_touch", True),
     ("video", "look", False), ("video", "told", False)],
)  # fmt: skip
def test_nobody_touches_from_afar_and_nobody_looks_by_phone(kind: str, how: str, wrong: bool) -> None:
    chart = put(remote(kind), BreastAssessment, "consent", how)
    found = [(b.form, str(b.path)) for b in blanks(chart) if b.why is Why.WRONG]
    assert found == ([("breast_assessment", "consent")] if wrong else [])


@pytest.mark.parametrize("kind", ["phone", "video"])
def test_a_visit_from_afar_needs_consent_to_talk_that_way(kind: str) -> None:
    chart = remote(kind)
    rows = [e for e in chart.entries if isinstance(e.answers, Consent) and e.answers.purpose == kind]
    without_it = replace(chart, entries=tuple(e for e in chart.entries if e not in rows))
    assert musts(without_it) == {("consent", (MARA,), "")}
    for change in ({"agreed": "no"}, {"withdrawn_at": at()}, {"valid_until": date(2026, 3, 2)}):
        changed = replace(rows[0], answers=replace(rows[0].answers, **change))
        assert ("consent", (MARA,), "") in musts(chart.with_entry(changed)), change


def test_a_student_in_the_room_needs_the_family_s_leave_on_that_day() -> None:
    chart = put(whole(), Present, "part", "student")
    assert musts(chart) == {("consent", (MARA,), "")}
    assert ready_to_sign(add(chart, *agreed("student_present")))
    before = replace(
        agreed("student_present")[0], answers=replace(agreed("student_present")[0].answers, given_at=at(-24))
    )
    assert musts(add(chart, before)) == {("consent", (MARA,), "")}


def interprets(**more: Any) -> Entry[Any]:
    row = agreed("interpreter")[0]
    return replace(row, answers=replace(row.answers, **more))


def test_a_relative_interprets_only_by_the_parent_s_choice_and_a_minor_only_with_a_reason() -> None:
    chart = put(put(whole(), Visit, "interpreter", "family_member"), Visit, "interpreter_name", "Lena")
    chart = put(chart, Visit, "interpreter_language", "Polish")
    assert musts(chart) == {("consent", (MARA,), "")}
    assert ready_to_sign(add(chart, interprets(interpreter_is="adult")))
    minor = add(chart, interprets(interpreter_is="minor"))
    assert musts(minor) == {("consent", (MARA,), ""), ("consent", (MARA,), "minor_why")}
    assert not ready_to_sign(add(chart, interprets(interpreter_is="minor", minor_why=Absent(Absence.NOT_ASKED))))
    assert ready_to_sign(add(chart, interprets(interpreter_is="minor", minor_why="nobody else could be reached")))


def test_fees_and_the_privacy_notice_are_listed_until_told_once_and_hold_nothing_back() -> None:
    chart = without(whole(), Consent)
    listed = [(b.form, b.label, b.level) for b in blanks(chart)]
    assert listed == [("consent", f"Consent: {PURPOSES[once]}", Level.SHOULD) for once in TOLD_ONCE]
    assert ready_to_sign(chart)


def test_a_consent_begun_and_not_finished_keeps_the_note_open() -> None:
    row = agreed("text")[0]
    assert ready_to_sign(add(whole(), row))
    for path, ask, _ in shown_asks(row.answers):
        if ask.need.value != "free":
            torn = replace(row, answers=with_value(row.answers, path, None))
            assert not ready_to_sign(add(whole(), torn)), path


def test_a_scored_tool_begun_needs_each_part_or_a_word_that_it_could_not_be_scored() -> None:
    score = entry(Score, IDA, tool="latch")
    assert ready_to_sign(add(whole(), score))
    short = replace(score, answers=replace(score.answers, latch_c=None))
    assert musts(add(whole(), short)) == {("score", (IDA,), "latch_c")}
    said = replace(score, answers=replace(score.answers, latch_c=Absent(Absence.NOT_DONE, "fell asleep")))
    assert ready_to_sign(add(whole(), said))


@pytest.mark.parametrize(
    ("screen", "total", "tenth", "wrong"),
    [("epds", 31, 0, True), ("phq_2", 7, None, True), ("epds", 2, 3, True), ("epds", 9, 1, False), ("phq_2", 6, None, False)],
)  # fmt: skip
def test_mood_numbers_its_screen_cannot_have_are_on_the_list(screen: str, total: int, tenth: Any, wrong: bool) -> None:
    chart = whole()
    for field, value in (("screen_form", screen), ("screen_total", total), ("screen_item_10", tenth)):
        chart = put(chart, ParentHistory, field, value)
    found = [(b.form, str(b.path)) for b in blanks(chart) if b.why is Why.WRONG]
    assert found == ([("parent_history", "screen_total")] if wrong else [])


def test_a_blank_tenth_item_keeps_the_note_open() -> None:
    chart = whole()
    for field, value in (("screen_form", "epds"), ("screen_total", 9)):
        chart = put(chart, ParentHistory, field, value)
    assert ("parent_history", (MARA,), "screen_item_10") in musts(chart)


def test_every_purpose_has_words_and_only_real_questions_follow_it() -> None:
    opened = {purpose for ask in asks(Consent).values() if ask.when and ask.when.field == "purpose"
              for purpose in ask.when.one_of}  # fmt: skip
    assert opened == set(PURPOSES) - {"privacy_notice"}


def test_a_disputed_consent_does_not_hold() -> None:
    row = agreed("phone")[0]
    sides = Conflicted((Variant("yes", "a", START, "one", "op1"), Variant("no", "a", START, "two", "op2")))
    chart = add(without(remote("phone"), Consent), *agreed(*TOLD_ONCE))
    torn = replace(row, answers=replace(row.answers, agreed=sides))
    assert ("consent", (MARA,), "agreed") in musts(add(chart, torn))
