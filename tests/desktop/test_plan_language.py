"""A plan in the family's language: offered where a parent speaks it, worded beside her own words, never to the family."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from desktop.controls.typed import Typed
from desktop.pages.paper_kinds import offered
from desktop.pages.papers import Papers
from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from forms.ask import Path as Register
from forms.family_language import FamilyLanguage
from forms.people import ParentIdentity
from forms.plan import Plan
from forms.referral import PaperIssued
from storage.changes import Put
from tests.helpers.kept import found
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled, visit_page_of


@pytest.fixture
def made(made: TwinVisit) -> TwinVisit:
    made.store.write((Put(made.mara, Register("language"), "Spanish"),), author=made.author)
    return made


def shown(made: TwinVisit, qtbot: QtBot, key: str) -> tuple[VisitPage, Papers]:
    page = visit_page_of(made)
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled(made)
    InView.of(page.home).keep(PaperIssued, "", key)
    page.go("leave", made.ida, "leave.papers")
    settled(made)
    return page, found(page.middle, Papers)


def test_the_plan_is_offered_in_the_language_of_a_parent_and_in_no_other(made: TwinVisit, qtbot: QtBot) -> None:
    page, papers = shown(made, qtbot, "family_plan.es")
    assert papers.tabs is not None
    assert papers.tabs.codes() == ("family_plan.es",)
    assert [one.words for one in offered(page.home, made.ida)][:3] == [
        "Family’s plan",
        "Plan in Spanish",
        "Call-now page",
    ]


def test_her_own_words_have_a_box_each_and_once_worded_the_pages_come(made: TwinVisit, qtbot: QtBot) -> None:
    goal = Put(made.open().binding(Plan).entity, Register("goal"), "I want to feed her lying down.")
    made.store.write((goal,), author=made.author)
    page, papers = shown(made, qtbot, "family_plan.es")
    assert papers.shown is None
    assert "waits for the Spanish words of" in papers.told.said()
    assert not papers.save_key.isEnabled()
    wanted = papers.wanted
    assert wanted is not None
    for written, box in wanted.boxes.items():
        control = box.slots()[0].control
        assert isinstance(control, Typed)
        control.type(f"palabras para {len(written)} letras")
        control.commit()
    assert papers.wanted is wanted
    page.home.save()
    settled(made)
    papers.refresh()
    settled(made)
    assert papers.shown is not None
    assert papers.wanted is None
    kept = made.store.chart(made.family, made.visit).all(FamilyLanguage)
    assert {entry.answers.english for entry in kept} == set(wanted.boxes)
    assert {entry.answers.language for entry in kept} == {"es"}


def test_how_hard_the_plan_reads_is_told_to_her_with_its_hardest_sentences_and_not_to_the_family(
    made: TwinVisit, qtbot: QtBot
) -> None:
    page, papers = shown(made, qtbot, "family_plan")
    assert papers.shown is not None
    assert "Reading grade " in papers.grade.figure.said()
    assert papers.grade.isVisibleTo(page)
    papers.set_shared(True)
    settled(made)
    assert not papers.grade.isVisibleTo(page)
    assert "Reading grade" not in papers.copying.said()


def test_a_language_from_right_to_left_is_refused_in_a_sentence_on_its_own_tab(made: TwinVisit, qtbot: QtBot) -> None:
    made.store.write((Put(made.mara, Register("language"), "Arabic"),), author=made.author)
    _, papers = shown(made, qtbot, "family_plan.ar")
    assert papers.shown is None
    assert "A plan in Arabic cannot be made yet" in papers.told.said()
    assert papers.wanted is None
    assert not papers.print_key.isEnabled()


def test_an_answer_changed_after_it_was_worded_holds_the_plan_back_again(made: TwinVisit, qtbot: QtBot) -> None:
    page, papers = shown(made, qtbot, "family_plan.es")
    page.home.binding(Plan).put("goal", "Another goal altogether.")
    page.home.save()
    settled(made)
    papers.refresh()
    settled(made)
    assert papers.wanted is not None
    assert "Another goal altogether." in papers.wanted.boxes


def test_a_parents_language_is_read_from_the_record(made: TwinVisit) -> None:
    assert made.store.chart(made.family, made.visit).person(ParentIdentity, made.mara).language == "Spanish"
