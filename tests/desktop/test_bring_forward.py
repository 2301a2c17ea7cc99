"""Bringing a section forward at the window: offered, done by one key, grey until gone through, and never silent."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton

from desktop.controls.buttons import Act
from desktop.controls.question import Question
from desktop.controls.typed import Typed
from desktop.pages.signing import Signing, standing_in_the_way, still_so
from desktop.pages.visit import VisitPage
from desktop.theme.tokens import Target
from forms.note import Why, blanks
from forms.parent_history import ParentHistory
from forms.plan import Plan
from tests.helpers import kit_walk
from tests.helpers.earlier import with_an_earlier_visit
from tests.helpers.kit_keys import K, focus, press
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import kept, key_named, said, settled

BRING = "Bring forward from 20 Feb"
Opened = Callable[[], VisitPage]


@pytest.fixture
def page(twins: TwinVisit, opened: Opened) -> VisitPage:
    with_an_earlier_visit(twins)
    page = opened()
    page.go("story", twins.mara, "story.health")
    return page


def history(twins: TwinVisit) -> ParentHistory:
    return twins.store.chart(twins.family, twins.visit).one(ParentHistory, twins.mara)


def question(page: VisitPage, field: str, form: str = "parent_history") -> Question:
    assert page.middle.page is not None
    found = page.middle.page.question(form, field)
    assert found is not None
    return found


def brought(page: VisitPage, twins: TwinVisit) -> None:
    focus(key_named(page.middle, BRING))
    press(K.Key_Return)
    settled(twins)


def carried(page: VisitPage) -> list[str]:
    return [str(blank.path) for blank in blanks(page.home.chart) if blank.why is Why.CARRIED]


def test_nothing_is_carried_by_opening_a_page_and_one_key_brings_only_that_section(
    page: VisitPage, twins: TwinVisit
) -> None:
    assert history(twins) == ParentHistory()
    key = key_named(page.middle, BRING)
    assert key.height() >= Target.TOUCH
    assert key.accessibleName() == f"{BRING}, 5 answers; each stays grey until you go through it"
    QTest.mouseClick(key, Qt.MouseButton.LeftButton)
    settled(twins)
    told = history(twins)
    assert told.medicines == "Iron, 65 mg each morning"
    assert (told.hormones, told.conditions) == (("polycystic", "thyroid"), ("anaemia",))
    assert (told.milk_makers, told.allergies) == ("Fenugreek tea", "Latex: rash")
    assert (told.goal, told.reason, told.unwell, told.mood_told, told.taken) == (None, None, None, None, None)
    assert not [act for act in page.middle.findChildren(Act) if act.isVisible() and act.text() == BRING]


def test_sections_of_pain_signs_and_what_is_private_offer_nothing(page: VisitPage, twins: TwinVisit) -> None:
    for section in ("story.pain", "story.signs", "story.private", "story.names", "story.confidence"):
        page.go("story", twins.mara, section)
        assert BRING not in [act.text() for act in page.middle.findChildren(Act) if act.isVisible()], section
    page.go("story", twins.ida, "story.diapers")
    assert BRING not in [act.text() for act in page.middle.findChildren(Act) if act.isVisible()]


def test_a_carried_answer_is_grey_says_from_when_and_has_a_key_to_keep_it(page: VisitPage, twins: TwinVisit) -> None:
    brought(page, twins)
    shown = question(page, "medicines")
    assert shown.carried.words.said() == "From 20 Feb, not gone through today"
    control = shown.controls()[0]
    assert isinstance(control, Typed)
    assert control.box.property("grey") is True
    assert shown.carried.still_so.height() >= Target.TOUCH
    QTest.mouseClick(shown.carried.still_so, Qt.MouseButton.LeftButton)
    kit_walk.settle()
    assert shown.carried.isHidden()
    assert control.box.property("grey") is False
    kept(twins, page)
    assert "medicines" not in carried(page)
    assert history(twins).medicines == "Iron, 65 mg each morning"
    assert still_so(page.home.chart) == 1


def test_changing_a_carried_answer_makes_it_todays(page: VisitPage, twins: TwinVisit) -> None:
    brought(page, twins)
    shown = question(page, "allergies")
    shown.controls()[0].setFocus()
    press(", and cats", K.Key_Tab)
    assert shown.carried.isHidden()
    kept(twins, page)
    assert "allergies" not in carried(page)
    assert still_so(page.home.chart) == 0


def test_closed_and_opened_again_what_was_not_gone_through_is_still_grey(
    page: VisitPage, twins: TwinVisit, opened: Opened
) -> None:
    brought(page, twins)
    question(page, "allergies").carried.still_so.click()
    page.leave()
    settled(twins)
    page.hide()
    again = opened()
    again.go("story", twins.mara, "story.health")
    assert question(again, "medicines").carried.words.said() == "From 20 Feb, not gone through today"
    assert question(again, "allergies").carried.isHidden()


def test_signing_says_how_many_are_left_and_lets_none_through(page: VisitPage, twins: TwinVisit) -> None:
    brought(page, twins)
    found = [sentence for sentence, _, _ in standing_in_the_way(page.home)]
    assert "5 answers brought forward from an earlier visit are not gone through yet." in found
    page.go("leave", twins.mara, "leave.finish")
    settled(twins)
    assert "brought forward, not gone through" in "\n".join(
        act.accessibleName() for act in page.middle.findChildren(QAbstractButton)
    )
    page.go("story", twins.mara, "story.health")
    for field in ("medicines", "milk_makers", "allergies", "conditions", "hormones"):
        question(page, field).carried.still_so.click()
    kept(twins, page)
    assert not [sentence for sentence, _, _ in standing_in_the_way(page.home) if "brought forward" in sentence]
    page.go("leave", twins.mara, "leave.sign")
    settled(twins)
    assert "5 answers were brought forward from an earlier visit and gone through today." in said(page.middle)
    assert page.middle.findChildren(Signing)


def test_one_step_back_takes_the_whole_section_back(page: VisitPage, twins: TwinVisit) -> None:
    brought(page, twins)
    page.home.take_back()
    settled(twins)
    assert history(twins) == ParentHistory()
    assert key_named(page.middle, BRING).isEnabled()


def test_an_answer_given_today_is_never_replaced(page: VisitPage, twins: TwinVisit) -> None:
    page.go("plan", twins.mara, "plan.care")
    question(page, "comfort_care", "plan").controls()[0].setFocus()
    press("Warm before feeds", K.Key_Tab)
    brought(page, twins)
    plan = twins.store.chart(twins.family, twins.visit).one(Plan)
    assert (plan.comfort_care, plan.expressing) == ("Warm before feeds", "After three feeds, 15 minutes")
    assert (plan.went_well, plan.weight_check_by) == (None, None)
