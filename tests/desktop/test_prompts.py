"""Prompts beside the page: there with the answer that fires them, closed in place, and never gone without a line."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.numbers import CountStepper
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.pages.finish import FinishList
from desktop.pages.visit import VisitPage
from forms.answers import Quantity
from forms.ask import Path
from forms.chart import Place, entry_id
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.prompted import PromptClosed
from forms.thresholds import Thresholds
from storage.changes import Begin, Put
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import control, kept, said, settled, visit_page_of

ONE_BELOW = "5 wet diapers in 24 hours where 6 or more are expected"
CALM_WORDS = re.compile(r"all clear|is fine|all well|nothing wrong|no concern|healthy|\bOK\b|normal", re.IGNORECASE)


def shown_now(root: QWidget) -> str:
    """The words on screen without letting any further event be processed."""
    return "\n".join(each.said() for each in root.findChildren(Words) if each.isVisible())


def links(root: QWidget, words: str) -> list[Link]:
    return [link for link in root.findChildren(Link) if link.isVisible() and link.text() == words]


def boxes(root: QWidget) -> list[Box]:
    return [box for box in root.findChildren(Box) if box.isVisible()]


def one_below(page: VisitPage, twins: TwinVisit) -> None:
    """Five wet diapers for Ida: a prompt to see her again."""
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", 5)
    settled(twins)


def closed_ones(twins: TwinVisit) -> list[PromptClosed]:
    return [entry.answers for entry in twins.store.chart(twins.family, twins.visit).all(PromptClosed)]


def test_a_calm_prompt_is_in_view_one_frame_after_the_key_that_fires_it(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.ida, "story.diapers")
    field = control(page, "infant_history", "wets_24h")
    assert isinstance(field, CountStepper)
    QTest.keyClicks(field.box, "5")
    assert ONE_BELOW not in shown_now(page.aside.calm)
    QTest.keyClick(field.box, Qt.Key.Key_Return)
    QCoreApplication.processEvents()
    words = shown_now(page.aside.calm)
    assert page.aside.calm.isVisible()
    for part in (
        "See again in 24 to 72 hours",
        ONE_BELOW,
        "See and weigh the baby again within 24 to 72 hours.",
        "Too little coming out can mean too little going in.",
        "Source: Texas WIC output chart (S)",
    ):
        assert part in words


def test_an_urgent_prompt_is_in_view_one_frame_after_the_key_that_fires_it(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.ida, "story.diapers")
    field = control(page, "infant_history", "wets_24h")
    assert isinstance(field, CountStepper)
    QTest.keyClicks(field.box, "3")
    QTest.keyClick(field.box, Qt.Key.Key_Return)
    QCoreApplication.processEvents()
    assert "3 wet diapers in 24 hours where 6 or more are expected" in shown_now(page.aside.urgent)
    assert "Same day: Ida Thornquist" in shown_now(page.aside.urgent)


def test_a_prompt_is_closed_in_place_by_an_action_a_person_and_a_time(page: VisitPage, twins: TwinVisit) -> None:
    one_below(page, twins)
    QTest.mouseClick(links(page.aside.calm, "Something is done")[0], Qt.MouseButton.LeftButton)
    settled(twins)
    action, by_whom = boxes(page.aside.calm)
    assert by_whom.text() == "Rosalind Achterberg"
    assert page.window().focusWidget() is action
    QTest.keyClicks(action, "Mara counts diapers until tomorrow")
    by_whom.setText("Mara Thornquist")
    key = next(act for act in page.aside.calm.findChildren(Act) if act.isVisible())
    QTest.mouseClick(key, Qt.MouseButton.LeftButton)
    settled(twins)
    assert ONE_BELOW not in said(page.aside.calm)
    (done,) = closed_ones(twins)
    assert (done.outcome, done.action, done.by_whom) == (
        "done", "Mara counts diapers until tomorrow", "Mara Thornquist",
    )  # fmt: skip
    assert done.covers == ("infant_output_one_below",)
    assert done.at is not None


def test_a_prompt_is_set_aside_by_a_typed_reason_alone_and_never_by_an_empty_one(
    page: VisitPage, twins: TwinVisit
) -> None:
    one_below(page, twins)
    QTest.mouseClick(links(page.aside.calm, "Set aside")[0], Qt.MouseButton.LeftButton)
    settled(twins)
    (reason,) = boxes(page.aside.calm)
    QTest.keyClick(reason, Qt.Key.Key_Return)
    settled(twins)
    assert "Write your reason first." in said(page.aside.calm)
    assert closed_ones(twins) == []
    assert ONE_BELOW in said(page.aside.calm)
    QTest.keyClicks(reason, "a diaper was thrown away uncounted")
    QTest.keyClick(reason, Qt.Key.Key_Return)
    settled(twins)
    assert ONE_BELOW not in said(page.aside.calm)
    (done,) = closed_ones(twins)
    assert (done.outcome, done.override_reason) == ("override", "a diaper was thrown away uncounted")


def test_what_is_half_typed_to_close_a_prompt_writes_nothing_and_stays_while_others_come(
    page: VisitPage, twins: TwinVisit
) -> None:
    one_below(page, twins)
    QTest.mouseClick(links(page.aside.calm, "Something is done")[0], Qt.MouseButton.LeftButton)
    settled(twins)
    QTest.keyClicks(boxes(page.aside.calm)[0], "half a sent")
    page.home.binding(InfantHistory, twins.juno).put("wets_24h", 5)
    kept(twins, page)
    assert [box.text() for box in boxes(page.aside.calm)][:1] == ["half a sent"]
    assert closed_ones(twins) == []


def test_a_corrected_answer_leaves_a_line_and_the_line_is_there_again_when_the_visit_is_opened_anew(
    page: VisitPage, twins: TwinVisit
) -> None:
    one_below(page, twins)
    kept(twins, page)
    twins.clock.pass_by(minutes=20)
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", 7)
    kept(twins, page)
    line = "No longer fires since 11:02: Wet diapers in 24 hours was changed."
    assert line in said(page.aside.gone)
    page.go("plan", twins.ida, "plan.prompts")
    settled(twins)
    assert page.middle.page is not None
    assert line in said(page.middle.page)
    again = visit_page_of(twins)
    again.show()
    settled(twins)
    assert line in said(again.aside.gone)
    again.close()


def test_a_house_threshold_is_said_beside_what_was_seen(page: VisitPage, twins: TwinVisit) -> None:
    limits = entry_id(Thresholds)
    begin = Begin(limits, Place("thresholds"))
    twins.store.write((begin, Put(limits, Path("wets_from_day_6"), 7)), author=twins.author)
    page.home.reload()
    settled(twins)
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", 6)
    settled(twins)
    assert "House threshold 7 wet diapers, published 6 wet diapers." in said(page.aside.calm)


def test_with_many_urgent_signs_the_rest_fold_away_until_another_one_comes(page: VisitPage, twins: TwinVisit) -> None:
    seen = page.home.binding(InfantAssessment, twins.ida)
    seen.put("temperature", Quantity("38.4", "C", 384))
    for name, value in (("waking", "hard_to_wake"), ("colour", ("pale",)), ("breathing", ("grunting",))):
        seen.put(name, value)
    page.home.binding(InfantHistory, twins.ida).put("vomit", ("green",))
    settled(twins)
    assert "Emergency too: Green vomit" in said(page.aside.urgent)
    (fold,) = [link for link in page.aside.urgent.findChildren(Link) if link.text().startswith("Fold away")]
    fold.click()
    assert "Green vomit" not in said(page.aside.urgent)
    assert "Emergency: Ida Thornquist" in said(page.aside.urgent)
    assert fold.text().startswith("Show 4 emergency")
    seen.put("mouth_moisture", "dry")
    settled(twins)
    assert "Emergency too: Green vomit" in said(page.aside.urgent)


def test_in_shared_view_no_prompt_is_on_screen(page: VisitPage, twins: TwinVisit) -> None:
    one_below(page, twins)
    page.toggle_shared()
    settled(twins)
    assert ONE_BELOW not in said(page)
    page.toggle_shared()
    settled(twins)
    assert ONE_BELOW in said(page.aside.calm)


@pytest.mark.parametrize("wets", [8, 6, 5, 2])
def test_nothing_beside_the_page_ever_says_that_a_baby_is_fine(page: VisitPage, twins: TwinVisit, wets: int) -> None:
    told = page.home.binding(InfantHistory, twins.ida)
    told.put("wets_24h", wets)
    settled(twins)
    for key in ("plan.prompts", "plan.urgent"):
        page.go("plan", twins.ida, key)
        settled(twins)
        assert page.middle.page is not None
        assert not CALM_WORDS.search(said(page.middle.page))
    for part in (page.aside.urgent, page.aside.calm):
        assert not CALM_WORDS.search(said(part))


def test_the_finish_list_names_a_calm_prompt_as_what_could_be_done_and_leads_to_its_page(
    page: VisitPage, twins: TwinVisit
) -> None:
    one_below(page, twins)
    page.go("leave", twins.ida, "leave.finish")
    settled(twins)
    assert page.middle.page is not None
    (finish,) = page.middle.page.findChildren(FinishList)
    (line,) = links(finish, "A prompt to close: see again in 24 to 72 hours")
    line.click()
    settled(twins)
    assert (page.spot.moment, page.spot.section("plan", twins.ida)) == ("plan", "plan.prompts")
    assert ONE_BELOW in said(page.middle.page)
