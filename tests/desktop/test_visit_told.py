"""What a visit tells by itself: urgent signs, what stands twice, what is signed or declined, and what it hides."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.controls.banner import Banner, UrgentPanel
from desktop.controls.buttons import Act
from desktop.pages.visit import VisitPage
from desktop.pages.visit_middle import field_in_focus
from desktop.theme.halfmoons import MoonState
from forms.answers import Conflicted, Quantity
from forms.ask import Path
from forms.consent import TouchConsent
from forms.contact import UrgentContact
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from storage.changes import Put
from tests.helpers import kit_walk
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import control, key_named, said, settled


def sleepy(page: VisitPage, twins: TwinVisit) -> None:
    told = page.home.binding(InfantHistory, twins.ida)
    told.put("wets_24h", 2)
    told.put("stools_24h", 0)
    page.home.binding(InfantAssessment, twins.ida).put("waking", "hard_to_wake")
    kit_walk.settle()


def test_an_urgent_sign_is_shown_with_the_answer_that_fires_it(page: VisitPage, twins: TwinVisit) -> None:
    assert page.aside.urgent.isHidden()
    sleepy(page, twins)
    shown = said(page.aside.urgent)
    prompt = page.aside.urgent.prompts[0]
    for words in ("Emergency: Ida Thornquist", prompt.seen, prompt.why, prompt.contact, prompt.source, "You decide"):
        assert words in shown
    page._add_up()
    notched = {key for key, bead in page.thread_.beads.items() if bead.moment.left is MoonState.CONCERN}
    assert notched == {"story", "look"}


def test_the_urgent_sign_goes_only_when_a_complete_contact_covers_it(page: VisitPage, twins: TwinVisit) -> None:
    sleepy(page, twins)
    before = page.aside.urgent.prompts
    key_named(page.aside, "Write down the contact").click()
    assert page.spot.moment == "plan"
    assert page.spot.who == twins.ida
    begun = next(
        b for b in page.home._bindings.values() if b.form is UrgentContact and b.draft.place.subjects == (twins.ida,)
    )
    begun.put("covers", tuple(prompt.rule for prompt in before))
    assert field_in_focus(page) == ("urgent_contact", "outcome")
    begun.put("outcome", "reached")
    begun.put("at", begun.now())
    assert page.aside.urgent.prompts == before
    begun.put("who", "Dr Ottoline Marsh, on call")
    begun.put("read_back", value=True)
    begun.put("instruction", "Bring Ida in now")
    kit_walk.settle()
    assert page.aside.urgent.prompts == ()
    assert page.aside.urgent.isHidden()


def test_from_an_urgent_sign_the_call_now_page_is_one_key_away_while_the_note_is_unfinished(
    page: VisitPage, twins: TwinVisit
) -> None:
    sleepy(page, twins)
    key_named(page.aside, "Print call-now page").click()
    settled(twins)
    assert page.middle.tabs is not None
    assert page.middle.tabs.codes() == ("leave.papers",)


def test_shared_view_takes_everything_private_off_the_screen_and_one_key_brings_it_back(
    page: VisitPage, twins: TwinVisit, qtbot: QtBot
) -> None:
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", 2)
    page.go("story", twins.mara, "story.reach")
    kit_walk.settle()
    assert "Reaching Mara" in said(page.middle)
    QTest.keyClick(page, Qt.Key.Key_F9)
    settled(twins)
    shown = said(page)
    assert not page.left.isVisible()
    assert not page.aside.isVisible()
    for words in ("Reaching", "555 0199", "Mood", "Safety at home"):
        assert words not in shown
    assert page.middle.tabs is not None
    assert not {"story.reach", "story.private", "story.confidence"} & set(page.middle.tabs.options())
    assert "Shared view" in said(page.told)
    QTest.keyClick(page, Qt.Key.Key_F9)
    assert page.left.isVisible()
    assert page.aside.isVisible()
    assert page.middle.tabs is not None
    assert "story.private" in page.middle.tabs.options()


def test_a_veil_that_is_open_is_shut_by_the_shared_view(page: VisitPage, twins: TwinVisit) -> None:
    page.go("arrive", twins.mara, "arrive.home")
    page.toggle_shared()
    assert page.middle.page is not None
    assert all(not veil.is_open() for veil in page.middle.page._veils)
    assert "4 Bell Row" not in said(page)


def test_in_shared_view_an_urgent_sign_is_neither_shown_nor_said_aloud_until_the_view_ends(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    said_aloud: list[str] = []
    monkeypatch.setattr(UrgentPanel, "announce", lambda panel: said_aloud.append(panel.accessibleName()))
    page.go("plan", twins.mara, "plan.goal")
    page.toggle_shared()
    page.home.binding(ParentHistory, twins.mara).put("mood_signs", ("harm_thoughts",))
    kit_walk.settle()
    page._add_up()
    assert said_aloud == []
    assert "harm" not in said(page)
    assert page.middle.tabs is not None
    assert "plan.urgent" not in page.middle.tabs.options()
    assert "Something waits for you." in said(page.told)
    page.toggle_shared()
    assert said_aloud == ["Emergency: Mara Thornquist"]


def test_declined_touch_stands_over_the_page_all_the_while(page: VisitPage, twins: TwinVisit) -> None:
    page.home.binding(TouchConsent, twins.ida).put("agreed", "no")
    page._add_up()
    settled(twins)
    assert "Touch is declined for Ida Thornquist" in said(page.told)
    page.go("look", twins.ida)
    assert "said no to touch" in page.middle.beside.said()


def test_two_answers_that_stand_are_told_and_one_key_goes_there(page: VisitPage, twins: TwinVisit) -> None:
    for reading in (2310, 2130):
        put = Put(twins.ida, Path("birth_weight"), Quantity(str(reading), "g", reading), replaces=())
        page.home.lane.run(lambda store, put=put: store.write((put,), author=twins.author))  # type: ignore[misc]
    settled(twins)
    assert isinstance(page.home.chart.person(InfantIdentity, twins.ida).birth_weight, Conflicted)
    page._add_up()
    settled(twins)
    assert "One answer stands twice" in said(page.told)
    page.show_conflict()
    assert page.middle.title.said() == "Ida’s birth"
    assert page.spot.who == twins.ida


def test_a_signed_visit_says_who_signed_it_and_takes_no_answer(page: VisitPage, twins: TwinVisit) -> None:
    page.home.lane.run(lambda store: store.sign(twins.visit, author=twins.author))
    settled(twins)
    page.home.reload()
    settled(twins)
    page._add_up()
    settled(twins)
    assert "Signed by Rosalind Achterberg, 3 Mar 2026 10:42" in said(page.told)
    page.go("story", twins.ida, "story.diapers")
    assert not control(page, "infant_history", "wets_24h").isEnabled()
    assert not page.aside.jots.entry.isEnabled()
    page.go("arrive", twins.ida, "arrive.room")
    assert not [act for act in page.middle.findChildren(Act) if act.isVisible() and "is here" in act.text()]


def test_no_banner_is_shown_while_there_is_nothing_to_say(page: VisitPage) -> None:
    assert page.told.findChildren(Banner) == []
    assert page.home.chart.all(ParentIdentity)
