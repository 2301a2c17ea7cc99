"""The signing page tells the consultant what a student charted, and the finish list asks whose supervision it was."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Link
from desktop.pages.co_sign import FromStudents
from desktop.pages.finish import FinishList
from desktop.pages.papers import Papers
from desktop.pages.signing import Signing, standing_in_the_way
from desktop.pages.visit import VisitPage
from desktop.pages.visit_middle import field_in_focus
from forms.ask import Path
from forms.chart import entry_id
from forms.clinical.prompts import unclosed
from forms.infant_history import InfantHistory
from forms.plan import Plan
from forms.practice import Practitioner
from forms.prompted import PromptClosed
from storage.changes import Put, StrikeOut
from tests.helpers.flashes import Flashes
from tests.helpers.kept import found, put
from tests.helpers.students import TAM, answers, student_charts, student_in
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled, visit_page_of

Show = Callable[[str], VisitPage]


@pytest.fixture
def at(qtbot: QtBot, made: TwinVisit) -> Show:
    """The visit's page at one of its sections."""

    def shown(section: str) -> VisitPage:
        page = visit_page_of(made)
        qtbot.addWidget(page)
        page.resize(1280, 800)
        page.show()
        settled(made)
        page.go(section.partition(".")[0], made.ida, section)
        settled(made)
        return page

    return shown


def top(page: VisitPage) -> str:
    """What the finish list says first."""
    return found(page.middle, FinishList).top.said()


def links(part: FromStudents) -> dict[str, Link]:
    return {link.text(): link for link in part.findChildren(Link)}


def test_without_a_student_the_page_says_nothing_of_any(made: TwinVisit, at: Show) -> None:
    student_in(made)
    page = at("leave.sign")
    part = found(page.middle, FromStudents)
    assert not part.isVisible()
    assert "student" not in said(found(page.middle, Signing))


def test_each_note_tells_how_many_answers_are_a_students_and_each_leads_to_its_question(
    made: TwinVisit, at: Show
) -> None:
    student_in(made)
    student_charts(made)
    page = at("leave.sign")
    part = found(page.middle, FromStudents)
    told = said(part)
    assert "Tam Orrel, student under supervision of Rosalind Achterberg." in told
    keys = [link for link in part.findChildren(Link) if link.accessibleName().startswith("Read: ")]
    assert sorted(key.text().split()[0] for key in keys) == ["1", "3"]
    next(key for key in keys if "Ida" in key.accessibleName()).click()
    settled(made)
    assert any(link.hasFocus() and link.accessibleName().startswith("Close: Ida") for link in part.findChildren(Link))
    assert {"Feeds in 24 hours", "Wet diapers in 24 hours", "Medicines, drops and vitamins"} <= set(links(part))
    links(part)["Feeds in 24 hours"].click()
    settled(made)
    assert (page.spot.moment, page.spot.who) == ("story", made.ida)
    assert field_in_focus(page) == ("infant_history", "feeds_24h")


def test_what_was_changed_since_stands_with_what_it_was_and_what_it_is(made: TwinVisit, at: Show) -> None:
    student_in(made)
    student_charts(made)
    page = at("leave.sign")
    part = found(page.middle, FromStudents)
    assert "Tam Orrel: None so far. Now: None." in said(part)
    page.home.binding(InfantHistory, made.ida).put("feeds_24h", 11)
    page.home.save()
    settled(made)
    part.refresh()
    assert "Tam Orrel: 9. Now: 11." in said(part)
    assert any(text.startswith("2 of ") for text in links(part))
    made.store.write([StrikeOut(entry_id(Plan, made.visit), "written anew")], author=made.author)
    page.home.reload()
    settled(made)
    page.home.binding(InfantHistory, made.ida).put("feeds_24h", 12)
    page.home.save()
    settled(made)
    part.refresh()
    assert "Plan: struck out." in said(part)
    assert "Tam Orrel: 9. Now: 12." in said(part)


def test_where_nothing_was_changed_that_is_said(made: TwinVisit, at: Show) -> None:
    student_in(made)
    answers(made, Plan, by=TAM, went_well="Ida woke by herself.")
    part = found(at("leave.sign").middle, FromStudents)
    assert "What was changed since" in said(part)
    assert "Nothing of it." in said(part)
    assert "Your signature is the co-signature" in said(part)


def test_once_signed_the_list_goes_and_the_signature_stands_for_it(made: TwinVisit, at: Show) -> None:
    student_in(made)
    student_charts(made)
    made.store.sign(made.visit, author=made.author)
    page = at("leave.sign")
    assert not found(page.middle, FromStudents).isVisible()
    assert "Signed by Rosalind Achterberg" in said(found(page.middle, Signing))


def test_whoever_charts_as_a_student_cannot_sign_on_any_device(made: TwinVisit, at: Show) -> None:
    student_in(made)
    made.author = TAM
    page = at("leave.sign")
    signing = found(page.middle, Signing)
    assert "is written down as a student, and a student does not sign" in said(signing)
    assert not signing.sign_key.isEnabled()
    assert standing_in_the_way(page.home)


def test_a_supervisor_who_is_not_written_down_is_asked_for_on_the_finish_list_and_kept(
    made: TwinVisit, at: Show
) -> None:
    student_in(made, supervisor=None)
    student_charts(made)
    page = at("leave.finish")
    asked = found(page.middle, FinishList).supervisors
    assert asked.isVisible()
    assert "Who supervises Tam Orrel, student?" in said(asked)
    assert top(page).endswith("; whose supervision a student is under is not written down yet.")
    box = asked.asked[TAM, "supervisor"].findChildren(QLineEdit)[0]
    QTest.keyClicks(box, "Rosalind Achterberg")
    asked.asked[TAM, "supervisor"].commit()
    page.home.save()
    settled(made)
    assert asked.asked[TAM, "supervisor"].isVisible()
    kept = made.store.entry(TAM)
    assert kept is not None
    assert isinstance(kept.answers, Practitioner)
    assert kept.answers.supervisor == "Rosalind Achterberg"
    page.go("leave", made.ida, "leave.sign")
    settled(made)
    assert "student under supervision of Rosalind Achterberg" in said(found(page.middle, FromStudents))


def test_no_supervisor_is_asked_for_while_no_student_charted(made: TwinVisit, at: Show) -> None:
    student_in(made, supervisor=None)
    assert not found(at("leave.finish").middle, FinishList).supervisors.isVisible()


def test_with_nothing_left_blank_but_a_supervisor_the_finish_list_says_so_in_one_sentence(
    made: TwinVisit, qtbot: QtBot
) -> None:
    (open_,) = unclosed(made.store.chart(made.family, made.visit), made.clock())
    put(made, PromptClosed, made.ids(), made.ida, covers=(open_.rule,), outcome="override", override_reason="Seen to.")
    student_in(made, supervisor=None)
    home = made.open()
    finish = FinishList(home)
    qtbot.addWidget(finish)
    assert finish.top.said() == "Nothing is left blank."
    student_charts(made)
    home.reload()
    settled(made)
    finish.refresh()
    still = "whose supervision a student is under is not written down yet."
    assert finish.top.said() == f"Nothing of the visit is left blank; {still}"
    home.binding(Plan).put("left_with", None)
    finish.refresh()
    assert finish.top.said() == f"1 must be answered before signing; {still}"
    home.binding(Plan).put("left_with", "plan")
    home.save()
    settled(made)
    made.store.sign(made.visit, author=made.author)
    home.reload()
    settled(made)
    finish.refresh()
    assert finish.top.said() == f"This visit is signed; {still}"


def test_neither_page_of_a_visit_with_a_student_flashes_up_as_a_window_of_its_own(
    made: TwinVisit, at: Show, qapp: QApplication
) -> None:
    student_in(made, supervisor=None)
    student_charts(made)
    page = at("arrive.visit")
    flashes = Flashes(page)
    qapp.installEventFilter(flashes)
    for section in ("leave.sign", "leave.finish"):
        page.go("leave", made.ida, section)
        settled(made)
    qapp.removeEventFilter(flashes)
    assert found(page.middle, FinishList).supervisors.isVisible()
    assert flashes.seen == set()


def test_a_role_that_became_another_is_asked_about_and_takes_nothing_from_the_list_meanwhile(
    made: TwinVisit, at: Show
) -> None:
    student_in(made)
    student_charts(made)
    made.clock.pass_by(hours=1)
    made.store.write([Put(TAM, Path.read("practice_role"), "consultant")], author=made.author)
    page = at("leave.sign")
    assert "Tam Orrel, student under supervision of Rosalind Achterberg." in said(found(page.middle, FromStudents))
    page.go("leave", made.ida, "leave.finish")
    settled(made)
    asked = found(page.middle, FinishList).supervisors
    assert "Until when was Tam Orrel a student here?" in said(asked)
    assert top(page).endswith("; until when somebody was a student here is not written down yet.")
    page.home.binding(Practitioner, entity=TAM).put("student_until", date(2026, 3, 3))
    page.home.save()
    settled(made)
    found(page.middle, FinishList).refresh()
    assert "until when" not in top(page)
    assert asked.asked[TAM, "student_until"].isVisible()


def test_a_visit_that_a_student_signed_is_told_as_not_co_signed(made: TwinVisit, at: Show) -> None:
    student_in(made)
    answers(made, Plan, by=TAM, went_well="Ida woke by herself.")
    made.store.write([Put(TAM, Path.read("practice_role"), "consultant")], author=made.author)
    made.store.sign(made.visit, author=TAM)
    made.clock.pass_by(hours=1)
    made.store.write([Put(TAM, Path.read("practice_role"), "student")], author=made.author)
    page = at("leave.sign")
    told = said(found(page.middle, Signing))
    assert "Signed by Tam Orrel, a student then, " in told
    assert "not co-signed. Papers say so and carry no seal." in told
    page.go("leave", made.ida, "leave.papers")
    settled(made)
    assert found(page.middle, Papers).state.said().startswith("The visit is signed by a student alone")
