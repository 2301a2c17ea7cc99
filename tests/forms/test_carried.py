"""What may be brought forward from an earlier visit, and what an earlier visit offers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from forms.all import __all__ as every_module  # noqa: F401 - fills the catalogue
from forms.answers import Absence, Absent, Sided
from forms.ask import Kind, Path, asks, paths
from forms.carried import CARRIES, brought, from_words, may_carry, not_gone_through
from forms.chart import Carried, Chart, Entry, entry_id
from forms.consent import CareConsent, TouchConsent
from forms.feed import FeedObservation
from forms.form import catalog
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.note import TODAY, Why, blanks, ready_to_sign
from forms.oral import OralAssessment
from forms.papers.call_now import call_now
from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from forms.papers.said import NotGoneThrough
from forms.parent_history import ParentHistory
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t

EARLIER = "earlier"
FIELDS = tuple(CARRIES[ParentHistory])


def told(visit: str = EARLIER, **given: Any) -> Entry[Any]:
    made = t.entry(ParentHistory, t.MARA, visit=visit, **given)
    return replace(made, heads={str(path): (f"op {visit} {path}",) for path in paths(ParentHistory)})


def earlier_visit(named: str = EARLIER, **start: Any) -> Entry[Any]:
    begun = start or {"start": t.local(9, 10, month=2)}
    made = t.entry(Visit, named=named, visit=None, **begun)
    return replace(made, entered=t.local(9, 10, month=2).at)


def follow_up(*more: Entry[Any]) -> Chart:
    return t.whole(earlier_visit(), *more, signed=False)


def offered(chart: Chart, *fields: str) -> dict[str, Any]:
    found = brought(chart, ParentHistory, (t.MARA,), fields or FIELDS)
    return {str(line.path): line.value for line in found.lines} if found is not None else {}


def test_only_histories_and_the_texts_of_a_plan_are_ever_carried() -> None:
    assert set(CARRIES) == {ParentHistory, InfantHistory, Plan}
    assert {asks(Plan)[name].kind for name in CARRIES[Plan]} == {Kind.TEXT}
    never = (CareConsent, TouchConsent, FeedObservation, WeightReading, Impression, InfantAssessment, OralAssessment,
             FeedingAmount, PlanTask, Visit)  # fmt: skip
    for form in never:
        assert not any(may_carry(form, name) for name in asks(form))


def test_no_measure_time_count_pain_mood_safety_sign_or_private_answer_is_carried() -> None:
    carried = [(form, name) for form in catalog().values() for name in asks(form) if may_carry(form, name)]
    listed = [(form, name) for form, names in CARRIES.items() for name in names]
    assert sorted(f"{form.name}.{name}" for form, name in carried) == sorted(f"{f.name}.{n}" for f, n in listed)
    kinds = {asks(form)[name].kind for form, name in carried}
    assert not kinds & {Kind.QUANTITY, Kind.COUNT, Kind.SCALE, Kind.MOMENT, Kind.DAY, Kind.REF, Kind.REFS}
    assert not [name for form, name in carried if asks(form)[name].private or name in TODAY.get(form, ())]
    for word in ("pain", "mood", "safe", "screen_", "warning", "taken", "changes", "weight", "temperature", "sleep"):
        assert not [name for _, name in carried if word in name]


def test_a_section_is_offered_what_the_latest_earlier_visit_has_and_this_one_has_not() -> None:
    chart = follow_up(told(goal="Feed both", medicines="Iron", allergies="Latex"), told(t.VISIT, medicines="None now"))
    assert offered(chart) == {"goal": "Feed both", "allergies": "Latex"}
    assert offered(chart, "allergies", "medicines") == {"allergies": "Latex"}
    found = brought(chart, ParentHistory, (t.MARA,), ("allergies",))
    assert found is not None
    assert (found.visit, found.entry) == (EARLIER, entry_id(ParentHistory, t.VISIT, (t.MARA,)))
    assert found.lines[0].source == Carried(entry_id(ParentHistory, EARLIER, (t.MARA,)), "op earlier allergies")
    assert from_words(chart, found.lines[0].source) == "from 9 Feb"


@pytest.mark.parametrize(
    "given",
    [{"allergies": Absent(Absence.DECLINED)}, {"allergies": disputed("a", "b")}, {"allergies": "  "},
     {"allergies": "to [? what]"}, {"pain_now": Sided(4, 6)}, {"mood_told": "Low"}, {"taken": "in_full"}],
)  # fmt: skip
def test_a_non_answer_a_dispute_an_unfilled_phrase_and_what_is_excluded_are_never_offered(given: Any) -> None:
    assert offered(follow_up(told(**given)), *asks(ParentHistory)) == {}


def test_sides_stay_sides_and_a_follow_up_goes_along_only_with_what_opens_it() -> None:
    chart = follow_up(told(surgery=Sided(("reduction",), None), surgery_why=Sided("Back pain", None)))
    assert offered(chart) == {"surgery@left": ("reduction",), "surgery_why@left": "Back pain"}
    assert offered(chart, "surgery_why") == {}


def test_an_older_visit_offers_what_the_latest_did_not_ask_and_struck_or_later_visits_offer_nothing() -> None:
    oldest = earlier_visit("oldest", start=t.local(1, 10, month=1))
    chart = follow_up(oldest, told("oldest", goal="Old goal", allergies="Latex"), told(goal="New goal"))
    assert offered(chart) == {"goal": "New goal"}
    assert offered(chart, "allergies") == {"allergies": "Latex"}
    later = t.whole(earlier_visit("later", start=t.local(20, 10)), told("later", goal="From the future"), signed=False)
    assert offered(later) == {}
    assert offered(t.whole(earlier_visit(), told(goal="Feed both"), signed=True)) == {}


def test_what_was_itself_brought_forward_and_never_gone_through_is_not_offered_on() -> None:
    source = told(goal="Feed both")
    grey = replace(source, carried={"goal": Carried("x", "y")})
    assert offered(follow_up(grey)) == {}
    assert offered(follow_up(replace(grey, carried={"goal": Carried("x", "y", still_so=True)}))) == {
        "goal": "Feed both"
    }


def test_the_day_has_its_year_when_it_was_another_and_an_unknown_start_says_earlier() -> None:
    source = Carried(entry_id(ParentHistory, EARLIER, (t.MARA,)), "op")
    last_year = replace(t.local(9, 10), at=t.local(9, 10).at.replace(year=2025))
    chart = t.whole(earlier_visit(start=last_year), told(goal="x"))
    assert from_words(chart, source) == "from 9 Mar 2025"
    assert from_words(t.whole(earlier_visit(start=None), told(goal="x")), source) == "from an earlier visit"


def test_a_line_not_gone_through_blocks_signing_at_its_own_question_until_it_is() -> None:
    here = entry_id(Plan, t.VISIT)
    chart = t.whole(signed=False)
    plan = t.changed(chart, here, comfort_care="Cool").by_id(here)
    assert plan is not None
    grey = replace(plan, carried={"comfort_care": Carried("x", "y")})
    found = [blank for blank in blanks(chart.with_entry(grey)) if blank.why is Why.CARRIED]
    assert [(blank.form, str(blank.path)) for blank in found] == [("plan", "comfort_care")]
    assert not_gone_through(grey, Path("comfort_care"))
    assert not ready_to_sign(chart.with_entry(grey))
    gone = replace(grey, carried={"comfort_care": Carried("x", "y", still_so=True)})
    assert not [blank for blank in blanks(chart.with_entry(gone)) if blank.why is Why.CARRIED]


def test_no_paper_prints_a_line_nobody_went_through_today_and_the_call_now_page_is_not_held_back() -> None:
    here = entry_id(Plan, t.VISIT)
    chart = t.changed(t.whole(signed=False), here, watch_baby_words="Sleeps through feeds")
    plan = chart.by_id(here)
    assert plan is not None
    chart = chart.with_entry(replace(plan, carried={"watch_baby_words": Carried("x", "y"), "goal": Carried("x", "y")}))
    with pytest.raises(NotGoneThrough, match="brought forward from an earlier visit"):
        family_plan(chart, writer=t.WRITER, now=t.NOW)
    assert "Sleeps through feeds" in words_of(call_now(chart, writer=t.WRITER, now=t.NOW)).replace("sleeps", "Sleeps")
