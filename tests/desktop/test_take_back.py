"""Taking the newest step of a visit back, from beside the line that says when it was saved."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.pages.visit import VisitPage
from forms.infant_history import InfantHistory
from forms.trouble import Bug
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled


def _count(page: VisitPage, twins: TwinVisit, wets: int) -> None:
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", wets)
    page.home.save()
    settled(twins)


def _standing(page: VisitPage, twins: TwinVisit) -> object:
    return page.home.binding(InfantHistory, twins.ida).value("wets_24h")


def test_the_newest_step_is_named_and_one_key_takes_it_back(page: VisitPage, twins: TwinVisit) -> None:
    _count(page, twins, 5)
    _count(page, twins, 6)
    assert page.thread_.back.isVisible()
    assert "Wet diapers" in page.thread_.back.accessibleName()
    page.thread_.back.click()
    settled(twins)
    assert _standing(page, twins) == 5
    QTest.keyClick(page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settled(twins)
    assert _standing(page, twins) is None


def test_what_is_typed_and_not_yet_written_is_the_step_that_is_taken_back(page: VisitPage, twins: TwinVisit) -> None:
    _count(page, twins, 5)
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", 9)
    page.home.take_back()
    settled(twins)
    assert _standing(page, twins) == 5


def test_after_a_fault_of_ours_the_line_no_longer_says_saved(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    _count(page, twins, 5)

    def fail(*_drafts: object, **_more: object) -> None:
        raise Bug("broken on purpose")

    with monkeypatch.context() as broken:
        broken.setattr("desktop.open_chart.save_all", fail)
        page.home.binding(InfantHistory, twins.ida).put("wets_24h", 7)
        page.home.save()
        settled(twins)
        assert "ot saved since" in said(page.thread_)
    page.home.save()
    settled(twins)
    assert "ot saved since" not in said(page.thread_)
    assert _standing(page, twins) == 7
