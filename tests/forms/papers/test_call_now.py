"""The call-now page prints whatever is missing, and says what is not settled."""

from __future__ import annotations

from datetime import date

from forms.chart import Chart, entry_id
from forms.clinical.prompts import prompts
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.papers.call_now import call_now
from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family
from forms.practice import Practice, Provider
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t


def said(chart: Chart) -> str:
    return words_of(call_now(chart, writer=t.WRITER, now=t.NOW))


def test_it_names_the_babies_the_numbers_and_whom_to_call() -> None:
    page = said(t.whole())
    for expected in ("Call now: Ida and Juno", "Call 911 now", "Dr Amadi, 555 0134", "Bea Holloway, 555 0177", "988",
                     "Emergency: 911", "Ida, born 12 January 2026, 06:10"):  # fmt: skip
        assert expected in page


def test_with_nothing_but_the_number_it_still_prints() -> None:
    kept = tuple(e for e in t.practice() if isinstance(e.answers, Practice))
    bare = Chart(t.FAMILY, None, (*kept, t.entry(Family, named=t.FAMILY, visit=None)))
    page = said(bare)
    assert "Call 911 now" in page
    assert "your baby’s doctor or clinic" in page
    assert "Given before the note was finished." in page


def test_every_value_of_a_conflict_is_printed_and_marked() -> None:
    chart = t.changed(t.whole(), entry_id(Practice), emergency_number=disputed("911", "112"))
    chart = t.changed(chart, entry_id(CareTeam, None, (t.IDA,)), primary_provider=disputed(t.DOCTOR, t.MIDWIFE))
    chart = t.changed(chart, t.IDA, called_name=disputed("Ida", "Ada"), born=disputed(t.local(1, 6), t.local(2, 6)))
    page = said(chart)
    assert "Call 911 or 112 now" in page
    assert "Dr Amadi, 555 0134" in page
    assert "Bea Holloway, 555 0177" in page
    assert "Ida or Ada (not settled)" in page
    assert "1 March 2026, 06:00 or 2 March 2026, 06:00 (not settled)" in page


def test_conflicts_in_every_answer_it_prints_hold_nothing_back() -> None:
    chart = t.whole(signed=False)
    for entry in chart.entries:
        if isinstance(entry.answers, Practice | Provider):
            for field in ("full_name", "phone", "hours", "practice_name", "crisis_line"):
                if hasattr(entry.answers, field):
                    chart = t.changed(chart, entry.id, **{field: disputed("one", "other")})
    assert "one or other (not settled)" in said(chart)


def test_a_time_zone_that_does_not_exist_holds_no_page_back() -> None:
    chart = t.changed(t.whole(), entry_id(Practice), time_zone="Europe")
    chart = t.changed(t.changed(chart, t.VISIT, start=None), t.IDA, born=None, born_day=date(2026, 3, 1))
    assert "Call 911 now" in said(chart)


def test_it_says_when_the_note_was_not_finished() -> None:
    assert "Given before the note was finished." in said(t.whole(signed=False))
    assert "Given before the note was finished." not in said(t.whole())


def test_what_was_seen_today_stands_before_the_list() -> None:
    page = said(t.whole(t.entry(InfantAssessment, t.JUNO, waking="cannot_be_woken"), signed=False))
    assert page.index("go to the emergency department now") < page.index("Call now if")
    assert "Juno: " in page


def test_each_sign_of_today_stands_under_the_provider_of_the_person_it_was_seen_on() -> None:
    chart = t.whole(
        t.entry(InfantHistory, t.IDA, stool_colour=("pale",)),
        t.entry(InfantHistory, t.JUNO, stool_colour=("red",)),
        t.entry(ParentHistory, t.MARA, systolic=145, diastolic=85),
        t.entry(ParentHistory, t.JONAS, warning_signs=("leg",)),
        t.entry(CareTeam, t.JUNO, visit=None, primary_provider=t.THROAT),
        signed=False,
    )
    page = said(chart)
    boxes = page[page.index("Call Dr Amadi, 555 0134, today") : page.index("Call now if")]
    for whom, seen in (
        ("Call Dr Amadi, 555 0134, today", "Ida: Pale, white or grey stool"),
        ("Call Dr Sorrel Quince, 555 0161, today", "Juno: Blood in the stool"),
        ("Call Bea Holloway, 555 0177, today", "Mara: Blood pressure"),
        ("Call your own doctor or midwife, today", "Jonas: Leg"),
    ):
        box = boxes[boxes.index(whom) :]
        assert seen in box[: box.index("If nobody answers")]
    assert "Call Dr Amadi, 555 0134 for Ida or Dr Sorrel Quince, 555 0161 for Juno, today," in page


def test_a_danger_told_in_private_leaves_no_trace_and_its_numbers_are_always_there() -> None:
    told = t.entry(ParentHistory, t.MARA, mood_asked="alone", harm_thought_now="yes", mood_told="marked in private")
    chart = t.whole(told)
    private = [prompt for prompt in prompts(chart, t.NOW) if prompt.private]
    assert private
    assert said(chart) == said(t.whole())
    plan = words_of(family_plan(chart, writer=t.WRITER, now=t.NOW))
    assert plan == words_of(family_plan(t.whole(), writer=t.WRITER, now=t.NOW))
    assert "Thoughts of harming yourself or your baby: 988 or 911." in plan
