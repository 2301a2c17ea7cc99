"""A receipt is filled in on its pages: a code found by typing, its remarks, and sums that are never guessed."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act
from desktop.controls.finder import Finder
from desktop.controls.words import Words
from desktop.pages.visit import VisitPage
from desktop.sheets.receipt import Remarks, Sums
from forms.receipt import LETTERS, ReceiptCode, ReceiptLine, ReceiptPayment
from tests.helpers.kept import found, laid
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled, visit_page_of

NO_CURRENCY = " No currency is chosen; choose it under Practice."


@pytest.fixture
def page(made: TwinVisit, qtbot: QtBot) -> VisitPage:
    shown = visit_page_of(made)
    qtbot.addWidget(shown)
    shown.resize(1280, 800)
    shown.show()
    return shown


def test_a_code_found_by_typing_becomes_a_reason_with_its_title_and_edition(page: VisitPage, made: TwinVisit) -> None:
    page.go("leave", made.ida, "leave.reasons")
    finder = found(page.middle, Finder)
    finder.box.setText("p925")
    assert finder.shown() == ("P92.5",)
    finder.box.returnPressed.emit()
    settled(made)
    (held,) = page.home.chart.all(ReceiptCode, made.ida)
    assert (held.answers.letter, held.answers.code) == ("a", "P92.5")
    assert held.answers.official_words == "Neonatal difficulty in feeding at breast"
    assert held.answers.edition == "ICD-10-CM, April 2026 release"
    assert found(page.middle, Remarks).said() == ()


def test_a_code_that_does_not_fit_the_age_is_remarked_on_and_kept(page: VisitPage, made: TwinVisit) -> None:
    page.go("leave", made.ida, "leave.reasons")
    found(page.middle, Finder).picked.emit("R63.31")
    settled(made)
    (words,) = found(page.middle, Remarks).said()
    assert "after 28 days; this baby was 10 days old" in words
    assert [entry.answers.code for entry in page.home.chart.all(ReceiptCode, made.ida)] == ["R63.31"]


def test_a_code_that_stands_already_is_not_offered_in_anothers_place(page: VisitPage, made: TwinVisit) -> None:
    page.go("leave", made.ida, "leave.reasons")
    for code in ("P92.5", "R63.31"):
        found(page.middle, Finder).picked.emit(code)
        settled(made)
    acts = [act for act in found(page.middle, Remarks).findChildren(Act) if act.text().startswith("Add ")]
    assert [act.text() for act in acts] == [f"Add P92.{end}" for end in (1, 2, 3, 4, 8, 9)]
    acts[0].click()
    settled(made)
    assert "P92.1" in [entry.answers.code for entry in page.home.chart.all(ReceiptCode, made.ida)]


def test_when_every_letter_is_taken_a_remark_says_so_where_it_stands(
    page: VisitPage, made: TwinVisit, qapp: QApplication
) -> None:
    page.go("leave", made.ida, "leave.reasons")
    for code in ("R63.31", *(f"Q99.{number}" for number in range(len(LETTERS) - 1))):
        found(page.middle, Finder).picked.emit(code)
        settled(made)
    windows, remarks = len(qapp.topLevelWidgets()), found(page.middle, Remarks)
    next(act for act in remarks.findChildren(Act) if act.text() == "Add P92.1").click()
    settled(made)
    assert len(page.home.chart.all(ReceiptCode, made.ida)) == len(LETTERS)
    assert any("Every letter is taken" in words.said() and words.isVisible() for words in remarks.findChildren(Words))
    assert len(qapp.topLevelWidgets()) == windows


def test_the_first_codes_to_pick_are_those_nothing_stands_against_for_this_person(
    page: VisitPage, made: TwinVisit
) -> None:
    for who, first in ((made.ida, "P37.5"), (made.mara, "O91.02")):
        page.go("leave", who, "leave.reasons")
        assert found(laid(page), Finder).shown()[0] == first


def test_total_and_balance_follow_what_is_written_and_stay_open_while_an_amount_is_missing(
    page: VisitPage, made: TwinVisit
) -> None:
    page.go("leave", made.ida, "leave.charged")
    sums, home = found(page.middle, Sums), page.home
    assert "Total not worked out" in sums.said()
    home.add(ReceiptLine, made.ida, values={"procedure": "S9443", "units": 2, "fee": "120"})
    home.catch_up()
    settled(made)
    assert sums.said() == f"Total 240.00. Balance not worked out: no payment is written.{NO_CURRENCY}"
    home.add(ReceiptPayment, made.ida, values={"amount": "0", "way": "card"})
    home.catch_up()
    settled(made)
    assert sums.said() == f"Total 240.00. Balance 240.00.{NO_CURRENCY}"
    home.add(ReceiptLine, made.ida, values={"procedure": "S9443", "units": 1, "fee": "a lot"})
    home.catch_up()
    settled(made)
    assert "has to be an amount" in sums.said()
