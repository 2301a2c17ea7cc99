"""Impression, tasks, amounts, letters: what is picked, numbered and added up."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act
from desktop.controls.words import Words
from desktop.pages.visit import VisitPage
from desktop.sheets.amounts import day_words
from desktop.sheets.findings import Findings, answers_of, given_words
from desktop.sheets.impression import notes_of
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.plan_tasks import PlanTasks
from desktop.sheets.release_shown import ReleaseShown
from desktop.sheets.urgent import Covers
from desktop.sheets.written_elsewhere import WrittenElsewhere
from forms.answers import Absence, Absent, Quantity
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.plan import PlanTask
from forms.referral import Referral
from tests.helpers.kept import found, laid, put, put_one
from tests.helpers.twins import TwinVisit, twin_visit
from tests.helpers.visits import settled, visit_page_of


@pytest.fixture
def made(tmp_path: Path) -> Iterator[TwinVisit]:
    visit = twin_visit(tmp_path / "store")
    yield visit
    settled(visit)
    visit.lane.close()


@pytest.fixture
def opened(made: TwinVisit, qtbot: QtBot) -> Callable[[], VisitPage]:
    def show() -> VisitPage:
        page = visit_page_of(made)
        qtbot.addWidget(page)
        page.resize(1280, 800)
        page.show()
        settled(made)
        return page

    return show


def test_an_answer_ticked_as_a_finding_is_kept_as_where_it_stands_and_reads_as_it_stands_now(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    put_one(made, OralAssessment, made.ida, consent="given", tongue_lift=("edges_curl",))
    page = opened()
    page.go("plan", made.ida, "plan.findings")
    findings = found(page.middle, Findings)
    oral = page.home.binding(OralAssessment, made.ida)
    findings.toggle(f"{oral.entity}/tongue_lift")
    assert page.home.binding(Impression, made.ida).value("findings") == (f"{oral.entity}/tongue_lift",)
    oral.put("tongue_lift", ("tip_leads",))
    assert given_words(page.home, f"{oral.entity}/tongue_lift").endswith("The tip leads")
    oral.put("tongue_lift", None)
    assert given_words(page.home, f"{oral.entity}/tongue_lift").endswith("no answer now")


def test_no_private_answer_and_none_of_the_other_twin_is_offered_as_a_finding(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    put_one(made, InfantAssessment, made.ida, tone=("low",), unsafe_adult=True)
    put_one(made, InfantAssessment, made.juno, tone=("high",))
    put_one(made, ParentHistory, made.mara, mood_signs=("low",))
    page = opened()
    of_ida = [one.words for group in answers_of(page.home, (made.ida,)).values() for one in group]
    assert "Tone: Somewhat low" in of_ida
    assert not any("adult" in words or "Stiff" in words for words in of_ida)
    assert answers_of(page.home, (made.mara,)) == {}


def test_a_pair_has_an_impression_of_its_own_once_a_feed_was_seen(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    put(made, FeedObservation, made.ids(), made.mara, made.ida, observed="seen")
    page = opened()
    assert notes_of(page.home, made.ida) == ((made.ida,), (made.mara, made.ida))
    page.go("plan", made.ida, "plan.impression")
    InView.of(page.home).show(Impression, made.ida, made.mara, made.ida)
    settled(made)
    laid(page).binding.put("strengths", "They look at each other.")
    assert page.home.chart.one(Impression, made.mara, made.ida).strengths == "They look at each other."
    assert page.home.chart.one(Impression, made.ida).strengths is None


def test_a_task_begun_in_the_third_place_is_number_three_and_no_fourth_place_is_there(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    page = opened()
    page.go("plan", made.ida, "plan.tasks")
    tasks = found(page.middle, PlanTasks)
    assert len(tasks.places) == 3
    tasks.places[2].begin_key.click()
    assert page.home.chart.all(PlanTask) == ()
    assert tasks.places[2].page is not None
    tasks.places[2].page.binding.put("what", "Rest between feeds.")
    kept = [entry.answers for entry in page.home.chart.all(PlanTask)]
    assert [(task.order, task.what) for task in kept] == [(3, "Rest between feeds.")]


def test_a_task_without_a_number_is_told_and_can_be_put_in_its_place(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    task = put(made, PlanTask, made.ids(), what="Pump twice.")
    page = opened()
    page.go("plan", made.ida, "plan.tasks")
    settled(made)
    tasks = found(page.middle, PlanTasks)
    next(act for act in tasks.findChildren(Act) if act.text() == "Make it number 2").click()
    assert page.home.binding(PlanTask, entity=task).value("order") == 2


def test_the_day_is_multiplied_only_from_what_was_entered() -> None:
    thirty = Quantity("30", "mL", 30)
    assert day_words(thirty, 4) == "120 mL (4.06 fl oz) in a day and a night"
    ounce = Quantity("1", "fl_oz", 30)
    assert day_words(ounce, 4) == "4.06 fl oz (120 mL) in a day and a night"
    assert "added up here" in day_words(None, 4)
    assert "no day" in day_words(Absent(Absence.DECLINED), 4)


def test_a_letter_says_whether_it_may_leave_and_where_to_go_if_not(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    put(made, Referral, made.ids(), made.ida, to=made.dentist, question="Please look at her tongue.")
    page = opened()
    page.go("leave", made.ida, "leave.letter")
    settled(made)
    check = found(page.middle, ReleaseShown)
    assert "holds today: the letter cannot leave" in check.words.said()
    gone: list[Jump] = []
    InView.of(page.home).jumped.connect(gone.append)
    check.go.click()
    assert (gone[0].moment, gone[0].section) == ("arrive", "arrive.release")


def test_a_question_without_its_mark_is_told_beside_it(made: TwinVisit, opened: Callable[[], VisitPage]) -> None:
    put(made, Referral, made.ids(), made.ida, to=made.dentist, question="Please look at her tongue.")
    page = opened()
    page.go("leave", made.ida, "leave.letter")
    settled(made)
    told = [one for one in page.middle.findChildren(Words) if "question mark; this one" in one.said()]
    assert [one.isVisibleTo(page) for one in told] == [True]
    laid(page).binding.put("question", "Does her tongue need a closer look?")
    assert [one.isVisibleTo(page) for one in told] == [False]


def test_a_letter_is_drafted_with_its_first_answer_and_not_before(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    page = opened()
    page.go("leave", made.ida, "leave.letter")
    assert page.home.chart.all(Referral) == ()
    laid(page).binding.put("to", made.dentist)
    assert [entry.answers.state for entry in page.home.chart.all(Referral, made.ida)] == ["drafted"]


def test_urgent_signs_are_ticked_one_by_one_or_all_by_one_key_and_never_beforehand(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    put_one(
        made, InfantAssessment, made.ida, waking="hard_to_wake", colour=("yellow", "blue_lips_face"),
        breathing=("grunting",),
    )  # fmt: skip
    page = opened()
    page.write_contact(made.ida)
    settled(made)
    covers = found(page.middle, Covers)
    assert covers.picked() == ()
    offered = covers.strip.options()
    assert len(offered) > 1
    covers.strip.button(offered[0]).click()
    assert covers.picked() == (offered[0],)
    covers.all_key.click()
    assert set(covers.picked()) == set(offered)


def test_looking_at_the_parent_says_what_is_written_elsewhere_and_leads_there(
    made: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    page = opened()
    page.go("look", made.mara, "look.parent")
    elsewhere = found(page.middle, WrittenElsewhere)
    said = " ".join(words.said() for words in elsewhere.findChildren(Words))
    assert "Nothing of Mara’s pain" in said
    page.home.binding(ParentHistory, made.mara).put("pain_now@left", 6)
    said = " ".join(words.said() for words in elsewhere.findChildren(Words))
    assert "Mara’s left: 6" in said
