"""What is due after an urgent call stands where she looks: the family first in the caseload, a line on its page."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pytestqt.qtbot import QtBot

from desktop.pages.caselines import read_caseload
from desktop.pages.family import FamilyPage
from forms.chart import Place
from storage.changes import Begin
from tests.helpers.pairing import at
from tests.helpers.program import wait_for
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, moment, new_store, put, small_family

CALL, TOLD = "9" * 32, "8" * 32


def test_a_family_stands_first_for_the_outcome_of_an_urgent_call_alone_until_it_is_told(tmp_path: Path) -> None:
    store = new_store(tmp_path / "store").store
    store.write(small_family(), author=AUTHOR)

    def first(day: int) -> list[tuple[str, date | None]]:
        read = read_caseload(moment(day).at, date(2026, 3, day), "Europe/London", "never", AUTHOR)
        return [(loop.words, case.line.next_follow_up) for case in read(store).first for loop in case.awaited]

    called = [put(CALL, "outcome", "reached"), put(CALL, "at", moment(4))]
    store.write([Begin(CALL, Place("urgent_contact", FAMILY, VISIT, (BABY,))), *called], author=AUTHOR)
    store.sign(VISIT, author=AUTHOR)
    assert first(4) == first(7) == [("Outcome of the call about Idå", date(2026, 3, 5))]
    store.write([Begin(TOLD, Place("contact", FAMILY)), put(TOLD, "at", moment(6))], author=AUTHOR)
    assert first(7) == []
    store.close()


def test_the_familys_page_says_first_what_a_call_still_waits_for(tmp_path: Path, qtbot: QtBot) -> None:
    store = new_store(tmp_path / "store").store
    called = [put(CALL, "outcome", "reached"), put(CALL, "at", moment(4))]
    place = Place("urgent_contact", FAMILY, VISIT, (BABY,))
    store.write([*small_family(), Begin(CALL, place), *called], author=AUTHOR)
    one = at(store, moment(4).at.astimezone)
    one.desk.family(FAMILY)
    wait_for(lambda: one.window.page is not None and "Outcome of the call about Idå: due tomorrow" in one.words)
    page = one.page
    assert isinstance(page, FamilyPage)
    store.write([Begin(TOLD, Place("contact", FAMILY)), put(TOLD, "at", moment(6))], author=AUTHOR)
    page.home.reload(lambda: None)
    wait_for(lambda: "Outcome of the call" not in one.words)
    one.close()
