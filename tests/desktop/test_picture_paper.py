"""A picture on its way to paper: asked for beside it, shown among the papers, saved, and never while others look on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.pages.papers import Papers
from desktop.pages.visit import VisitPage
from desktop.sheets.pictures import Pictures
from forms.ask import Paper
from forms.referral import PaperIssued
from tests.helpers.asked import let_leave
from tests.helpers.kept import found
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled, visit_page_of

Show = Callable[[TwinVisit], VisitPage]


@pytest.fixture
def show(qtbot: QtBot) -> Show:
    def shown(visit: TwinVisit) -> VisitPage:
        page = visit_page_of(visit)
        qtbot.addWidget(page)
        page.resize(1280, 800)
        page.show()
        settled(visit)
        return page

    return shown


def at(made: TwinVisit, page: VisitPage, section: str) -> None:
    page.go(section.partition(".")[0], made.ida, section)
    settled(made)


def tabs_of(papers: Papers) -> tuple[str, ...]:
    assert papers.tabs is not None
    return papers.tabs.options()


def test_a_picture_is_taken_to_the_papers_drawn_there_and_saved(
    made: TwinVisit, show: Show, qtbot: QtBot, tmp_path: Path
) -> None:
    page = show(made)
    at(made, page, "plan.pictures")
    held = found(page.middle, Pictures)
    key, view = next(iter(held.views.items()))
    sentence = view.sentence.said()
    view.print_link.click()
    settled(made)
    papers = found(page.middle, Papers)
    qtbot.waitUntil(lambda: papers.shown is not None, timeout=15_000)
    assert papers.paper.kind is Paper.SUMMARY
    assert papers.paper.picture == (made.ida, key)
    assert sentence in papers.copying.said()
    place = tmp_path / "kept.pdf"
    papers._pick = lambda *_asked: place
    let_leave(made, papers, "plain")
    qtbot.waitUntil(place.exists, timeout=15_000)
    settled(made)
    assert place.read_bytes().startswith(b"%PDF-1.7")
    (left,) = page.home.chart.all(PaperIssued)
    assert (left.answers.paper, left.answers.concerns) == ("summary", made.ida)


def test_no_picture_is_put_on_paper_while_others_look_on(made: TwinVisit, show: Show, qtbot: QtBot) -> None:
    page = show(made)
    at(made, page, "plan.pictures")
    view = next(iter(found(page.middle, Pictures).views.values()))
    assert view.print_link.isVisible()
    view.print_link.click()
    settled(made)
    assert len(tabs_of(found(page.middle, Papers))) == 5
    page.toggle_shared()
    at(made, page, "leave.papers")
    assert tabs_of(found(page.middle, Papers)) == ("family_plan", "call_now")
    at(made, page, "plan.pictures")
    held = found(page.middle, Pictures)
    assert held.views
    assert not any(one.print_link.isVisible() for one in held.views.values())
