"""A device joins through real windows: the code, the figures, the role, the record; and every way it does not."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.joining import Step
from desktop.pages.coming_back import ComeBackPage
from desktop.pages.joining import JoinPage
from desktop.pages.letting_in import LetInPage
from desktop.pages.members import MembersPage
from desktop.sharing import Stage
from forms.role import Role
from sync.exchange.practice import practice_of
from tests.helpers.pairing import At, Pair, a_pair, at
from tests.helpers.program import wait_for
from tests.helpers.shelf import device
from tests.helpers.stores import AUTHOR, BABY, put, small_family
from tests.helpers.two_devices import settled_all


@pytest.fixture
def pair(tmp_path: Path, qtbot: QtBot) -> Iterator[Pair]:
    made = a_pair(tmp_path)
    yield made
    made.close()


def ask(pair: Pair, label: str = "Tablet") -> JoinPage:
    """The new device shows a code."""
    pair.new.desk.join()
    page = pair.new.page
    assert isinstance(page, JoinPage)
    pair.new.until("Have an owner’s device beside you")
    page.place.device.setText(label)
    page.place.address.setText(str(pair.place))
    page.place.keep.click()
    pair.new.until("Type this code on an owner’s device")
    return page


def type_code(pair: Pair, code: str) -> LetInPage:
    """The owner types it."""
    pair.owner.desk.let_in()
    page = pair.owner.page
    assert isinstance(page, LetInPage)
    pair.owner.until("Then type here the code")
    page.code.type(code)
    pair.owner.press("Look for the device")
    return page


def compare(pair: Pair) -> tuple[JoinPage, LetInPage]:
    """Both screens show figures."""
    new = ask(pair)
    assert new.joining.asking is not None
    owner = type_code(pair, new.joining.asking.shown)
    pair.owner.until("Are these figures the same on both screens?")
    new.joining.look()
    pair.new.until("Are these figures the same on both screens?")
    return new, owner


def arrive(one: At) -> None:
    """The first round ends, and somebody says who charts."""
    one.until("Who charts on this device?")
    settled_all(one.session)
    one.press("Rosalind Achterberg")
    wait_for(lambda: one.page.objectName() == "caseload")
    settled_all(one.session)


def test_a_device_is_let_in_with_a_code_figures_and_a_role_and_today_opens_with_the_record(pair: Pair) -> None:
    new, owner = compare(pair)
    assert new.joining.met is not None
    assert owner.letting.guest is not None
    assert new.joining.met.digits == owner.letting.guest.digits
    assert set(new.joining.met.digits.split()) <= set(pair.new.words.split())
    pair.owner.press("The same on both")
    pair.owner.until("What may “Tablet” do?")
    pair.new.press("The same on both")
    pair.owner.press("Let it in")
    assert "Say what the device may do first." in pair.owner.words
    owner.role.keys[Role.STUDENT].click()
    pair.owner.press("Let it in")
    pair.owner.until("“Tablet” is let in")
    new.joining.look()
    arrive(pair.new)
    assert pair.new.store.exchange().digest() == pair.owner.store.exchange().digest()
    assert "Quillfeather-Ode" in pair.new.words
    assert pair.new.session.author == AUTHOR
    practice = practice_of(pair.new.store)
    assert practice is not None
    assert practice.roster.members[pair.new.store.device].role is Role.STUDENT


def test_figures_that_differ_let_nobody_in_and_end_the_code(pair: Pair) -> None:
    new, _owner = compare(pair)
    assert new.joining.asking is not None
    code = new.joining.asking.shown
    pair.owner.press("Not the same")
    pair.owner.until("Turned away: nobody was let in")
    pair.new.press("Not the same")
    pair.new.until("Nothing was taken in.")
    settled_all(pair.owner.session)
    type_code(pair, code)
    pair.owner.until("was used or turned away before")
    practice = practice_of(pair.owner.store)
    assert practice is not None
    assert set(practice.roster.members) == {pair.owner.store.device}
    assert practice_of(pair.new.store) is None


def test_a_letter_no_code_has_and_a_code_that_does_not_fit_are_told_while_typing(pair: Pair) -> None:
    pair.owner.desk.let_in()
    page = pair.owner.page
    assert isinstance(page, LetInPage)
    pair.owner.until("Then type here the code")
    page.code.boxes[0].setFocus()
    QTest.keyClicks(page.code.boxes[0], "8hu")
    assert "No code has “U” in it. Compare group 1" in pair.owner.words
    page.code.clear()
    assert "No code" not in pair.owner.words
    page.code.type("ABCD " * 13)
    assert "A letter or digit of the code is wrong" in pair.owner.words
    pair.owner.press("Look for the device")
    assert page.letting.step is Step.REST


def test_groups_fill_one_after_the_other_and_are_erased_back_into_the_one_before(pair: Pair) -> None:
    pair.owner.desk.let_in()
    page = pair.owner.page
    assert isinstance(page, LetInPage)
    pair.owner.until("Then type here the code")
    pair.owner.window.activateWindow()
    wait_for(pair.owner.window.isActiveWindow)
    page.code.boxes[0].setFocus()
    for letter in "abcd1":
        QTest.keyClicks(pair.owner.window.focusWidget(), letter)
    assert [box.text() for box in page.code.boxes[:3]] == ["ABCD", "1", ""]
    for _ in range(2):
        QTest.keyClick(pair.owner.window.focusWidget(), Qt.Key.Key_Backspace)
    assert page.code.boxes[0].hasFocus()


def test_a_code_older_than_ten_minutes_is_over_on_both_and_a_new_one_is_made_at_once(pair: Pair) -> None:
    new = ask(pair)
    assert new.joining.asking is not None
    code = new.joining.asking.shown
    late = datetime(2026, 3, 3, 14, 30, tzinfo=UTC)
    pair.owner.session.clock = lambda: late
    type_code(pair, code)
    pair.owner.until("The code is older than ten minutes")
    pair.new.session.clock = lambda: late
    new.tick()
    assert "Its ten minutes are over." in pair.new.words
    new.joining.look()
    pair.new.until("Not joined")
    assert "older than ten minutes" in pair.new.words
    pair.new.press("Make a new code")
    pair.new.until("Type this code on an owner’s device")
    assert new.joining.asking is not None
    assert new.joining.asking.shown != code


def test_a_place_that_goes_away_meanwhile_is_asked_again_while_the_code_holds(pair: Pair) -> None:
    new = ask(pair)
    pair.place.rename(pair.place.with_name("away"))
    new.joining.look()
    pair.new.until("is not there")
    assert new.joining.step is Step.SHOWN
    pair.place.with_name("away").rename(pair.place)
    new.joining.look()
    wait_for(lambda: "is not there" not in pair.new.words)
    assert new.joining.step is Step.SHOWN


def test_leaving_the_page_at_any_step_keeps_nothing_and_the_same_device_may_ask_again(pair: Pair) -> None:
    ask(pair)
    pair.new.press("Cancel")
    pair.new.until("Have an owner’s device beside you")
    new, _owner = compare(pair)
    pair.new.desk.sync()
    pair.owner.desk.caseload()
    assert new.joining.step is Step.REST
    settled_all(pair.new.session)
    assert practice_of(pair.new.store) is None
    compare(pair)


def test_a_device_that_is_no_owner_sees_who_belongs_without_the_acts(pair: Pair) -> None:
    _let_in(pair, Role.CONSULTANT)
    pair.new.desk.members()
    pair.new.until("2 devices belong")
    assert "Laptop" in pair.new.words
    assert not pair.new.offers("Let a device in")
    assert not pair.new.offers("Put Laptop out")
    assert "done on an owner’s device" in pair.new.words
    pair.new.desk.let_in()
    pair.new.until("Only an owner’s device can let others in.")


def _let_in(pair: Pair, role: Role) -> None:
    new, owner = compare(pair)
    pair.owner.press("The same on both")
    pair.new.press("The same on both")
    owner.role.keys[role].click()
    pair.owner.press("Let it in")
    pair.owner.until("“Tablet” is let in")
    wait_for(lambda: pair.owner.session.sharing.stage is Stage.DONE)
    new.joining.look()
    arrive(pair.new)


def test_a_role_is_changed_and_the_only_owner_stays_one(pair: Pair) -> None:
    _let_in(pair, Role.STUDENT)
    pair.owner.desk.members()
    page = pair.owner.page
    assert isinstance(page, MembersPage)
    pair.owner.until("“Laptop” is the only owner.")
    pair.owner.press("Change what Laptop may do")
    pair.owner.until("It is the only owner. Make another device an owner first")
    pair.owner.press("Leave it as it is")
    pair.owner.press("Change what Tablet may do")
    pair.owner.press("Owner, Charts and signs, lets devices in and puts them out.")
    pair.owner.press("Keep this")
    wait_for(lambda: len(page.sharing.seen.practice.roster.owners()) == 2)  # type: ignore[union-attr]
    settled_all(pair.owner.session)
    assert "is the only owner" not in pair.owner.words


def test_a_lost_device_is_put_out_after_its_page_says_what_that_cannot_do(pair: Pair) -> None:
    _let_in(pair, Role.CONSULTANT)
    practice = practice_of(pair.owner.store)
    assert practice is not None
    before = practice.roster.epoch
    pair.owner.desk.members()
    pair.owner.press("Put Tablet out")
    pair.owner.until("It cannot take back what the device has read.")
    pair.owner.press("Leave it in")
    pair.owner.press("Put Tablet out")
    pair.owner.press("Put it out now")
    wait_for(lambda: pair.new.store.device in practice_of(pair.owner.store).roster.put_out)  # type: ignore[union-attr]
    settled_all(pair.owner.session)
    pair.owner.until("What it holds already it keeps.")
    after = practice_of(pair.owner.store)
    assert after is not None
    assert after.roster.epoch != before
    pair.owner.store.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    pair.owner.session.sharing.round()
    settled_all(pair.owner.session)
    pair.new.session.sharing.round()
    settled_all(pair.new.session)
    trouble = pair.new.session.sharing.trouble
    assert trouble is not None
    assert "not a member of the practice any more" in trouble.sentence
    assert pair.new.store.exchange().digest() != pair.owner.store.exchange().digest()


def test_sheet_and_place_bring_the_record_back_and_the_lost_device_is_put_out(pair: Pair, tmp_path: Path) -> None:
    lost = pair.owner.store.exchange().digest()
    back = pair.new
    back.desk.come_back()
    page = back.page
    assert isinstance(page, ComeBackPage)
    back.until("The sheet and the place where the devices met are enough.")
    page.place.device.setText("New laptop")
    page.place.address.setText(str(pair.place))
    page.words.setPlainText(pair.words[:-1])
    page.place.keep.click()
    wait_for(lambda: not page.place._busy)
    assert practice_of(back.store) is None
    other = device(tmp_path, "other")
    page.words.setPlainText(other.recovery_words)
    other.store.close()
    page.place.keep.click()
    back.until("This recovery sheet opens no practice at the place")
    page.words.setPlainText(pair.words.lower().replace(" ", ""))
    page.place.keep.click()
    back.until("The record is back. Which devices are lost?")
    settled_all(back.session)
    assert back.store.exchange().digest() == lost
    back.press("Put Laptop out")
    back.until("Put out: “Laptop”.")
    back.press("Go on")
    arrive(back)
    practice = practice_of(back.store)
    assert practice is not None
    assert set(practice.roster.members) == {back.store.device}
    assert pair.words not in back.words


def test_the_sync_page_of_an_empty_record_leads_to_joining_and_coming_back_and_that_of_a_written_one_does_not(
    pair: Pair, tmp_path: Path
) -> None:
    pair.new.desk.sync()
    pair.new.until("Or is the record somewhere already?")
    pair.new.press("Join devices that are there already")
    wait_for(lambda: pair.new.page.objectName() == "join")
    written = at(device(tmp_path, "written").store)
    written.store.write(small_family(), author=AUTHOR)
    written.desk.sync()
    settled_all(written.session)
    assert "Or is the record somewhere already?" not in written.words
    written.close()


def test_a_device_that_was_not_heard_of_for_days_is_named_where_others_are_listed(pair: Pair) -> None:
    _let_in(pair, Role.CONSULTANT)
    pair.owner.session.sharing.round()
    settled_all(pair.owner.session)
    pair.owner.session.clock = lambda: datetime(2026, 3, 3, 15, tzinfo=UTC) + timedelta(days=5)
    pair.owner.desk.members()
    pair.owner.until("Silent for 5 days")
    pair.owner.desk.sync()
    pair.owner.until("Tablet: silent for 5 days.")
