"""The window from the greeting to an open store, on real stores."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Link
from desktop.controls.words import Words
from desktop.pages.caseload import CaseloadPage
from desktop.pages.first_launch import FirstLaunchPage
from desktop.pages.first_steps import SHEET_PROVED, FirstStepsPage
from desktop.pages.recovery_sheet import SheetTyped
from desktop.pages.unlock import RecoveryPage, UnlockPage
from forms.ask import Path as At
from forms.practice import Practice, Practitioner
from storage.changes import Put
from storage.vault import unlock
from sync.handoff.seals import root_fingerprint, root_waits
from tests.helpers.program import Program, child, empty_store, wait_for
from tests.helpers.stores import PASSPHRASE, opened

Start = Callable[..., Program]


def first_launch(program: Program) -> FirstStepsPage:
    """Through the greeting and the passphrase, to the recovery sheet."""
    page = program.page
    assert isinstance(page, FirstLaunchPage)
    for _ in range(4):
        program.idle()
        QTest.keyClick(program.app.window.focusWidget(), Qt.Key.Key_Return)
    program.idle()
    page.secret.box.setText(PASSPHRASE)
    page.again.box.setText(PASSPHRASE)
    QTest.keyClick(page.again.box, Qt.Key.Key_Return)
    steps = program.to("first_steps")
    assert isinstance(steps, FirstStepsPage)
    return steps


def prove(program: Program, steps: FirstStepsPage, words: str) -> SheetTyped:
    steps.go("back")
    typed = steps.findChild(SheetTyped)
    assert isinstance(typed, SheetTyped)
    typed.words.setPlainText(words)
    typed.check.click()
    program.idle()
    return typed


def test_a_first_launch_leads_by_keyboard_from_the_greeting_to_the_recovery_sheet(start: Start, tmp_path: Path) -> None:
    program = start(tmp_path / "store")
    steps = first_launch(program)
    assert steps.step == "sheet"
    assert len(program.desk.session.words.split()) == 9


def test_a_short_passphrase_and_two_that_differ_are_refused_in_a_sentence_and_make_no_store(
    start: Start, tmp_path: Path
) -> None:
    program = start(tmp_path / "store")
    page = program.page
    assert isinstance(page, FirstLaunchPage)
    page.go(4)
    page.secret.box.setText("too short")
    page.make_key.click()
    assert "at least 15 characters" in page.told.said()
    page.secret.box.setText(PASSPHRASE)
    page.again.box.setText(PASSPHRASE + "x")
    page.make_key.click()
    assert "do not match" in page.told.said()
    assert not (tmp_path / "store").exists()


def test_a_passphrase_can_be_pasted_and_shown_and_is_hidden_again_by_itself(start: Start, tmp_path: Path) -> None:
    program = start(tmp_path / "store")
    page = program.page
    assert isinstance(page, FirstLaunchPage)
    page.go(4)
    program.idle()
    box = page.secret.box
    QGuiApplication.clipboard().setText(PASSPHRASE)
    box.paste()
    assert box.text() == PASSPHRASE
    assert box.echoMode() is box.EchoMode.Password
    page.secret.show_link.click()
    assert box.echoMode() is box.EchoMode.Normal
    page.secret.hide()
    assert box.echoMode() is box.EchoMode.Password
    QGuiApplication.clipboard().clear()


def test_a_slip_in_the_typed_sheet_is_told_and_the_right_words_go_on(start: Start, tmp_path: Path) -> None:
    program = start(tmp_path / "store")
    steps = first_launch(program)
    words = program.desk.session.words
    wrong = words[:-1] + ("0" if words[-1] != "0" else "1")
    assert "do not fit together" in prove(program, steps, wrong).told.said()
    assert steps.step == "back"
    prove(program, steps, words.lower().replace(" ", ""))
    assert steps.step == "who"
    assert program.desk.session.words == ""
    program.close()
    store = opened(tmp_path / "store")
    assert store.secret(SHEET_PROVED) is not None
    store.close()


def test_the_recovery_sheet_is_left_in_no_file(start: Start, tmp_path: Path) -> None:
    program = start(tmp_path / "store")
    first_launch(program)
    words = program.desk.session.words
    program.close()
    groups = [group.encode() for group in words.split()]
    for file in (f for f in tmp_path.rglob("*") if f.is_file()):
        data = file.read_bytes()
        assert not all(group in data for group in groups), file


def test_a_change_of_country_changes_what_was_offered_and_never_what_was_written(start: Start, tmp_path: Path) -> None:
    program = start(tmp_path / "store")
    steps = first_launch(program)
    facts = steps.home.binding(Practice)
    facts.put("country", "us")
    assert (facts.value("emergency_number"), facts.value("paper_size")) == ("911", "letter")
    assert facts.value("time_zone") == "Europe/London"
    facts.put("crisis_line", "written by hand")
    facts.put("country", "gb")
    assert (facts.value("emergency_number"), facts.value("weight_unit")) == ("999", "g")
    assert facts.value("crisis_line") == "written by hand"
    facts.put("country", "other")
    assert facts.value("emergency_number") is None


def test_the_seals_are_made_once_names_are_known_and_the_root_key_waits_until_it_is_taken_out(
    start: Start, tmp_path: Path
) -> None:
    program = start(tmp_path / "store")
    steps = first_launch(program)
    steps.home.binding(Practice).put("practice_name", "Lantern Feeding Practice")
    steps.home.binding(Practitioner, entity=program.desk.session.author).put("full_name", "Robin Vale")
    steps.go("root")
    program.idle()
    steps.routes.caseload()
    program.to("caseload")
    program.close()
    store = opened(tmp_path / "store")
    assert root_fingerprint(store) is not None
    assert root_waits(store)
    store.close()


def test_whoever_is_interrupted_after_the_passphrase_goes_on_where_papers_need_facts(
    start: Start, tmp_path: Path
) -> None:
    program = start(tmp_path / "store")
    first_launch(program)
    program.close()
    again = start(tmp_path / "store")
    again.unlock(PASSPHRASE)
    steps = again.to("first_steps")
    assert isinstance(steps, FirstStepsPage)
    assert steps.step == "who"


# --- the way in ------------------------------------------------------------------------------------------------------


def test_a_wrong_passphrase_is_told_and_the_right_one_then_opens(start: Start, demo: Path) -> None:
    program = start(demo)
    program.unlock("orchard lantern kettle none")
    page = program.page
    assert isinstance(page, UnlockPage)
    wait_for(page.open_key.isEnabled)
    assert page.told.said() == "That passphrase does not open this store. Type it again; nothing was changed."
    assert page.secret.box.text() == ""
    program.unlock(DEMO)
    assert isinstance(program.to("caseload"), CaseloadPage)


def test_a_damaged_key_file_is_told_and_the_recovery_sheet_gives_a_new_passphrase(start: Start, tmp_path: Path) -> None:
    words = empty_store(tmp_path / "store")
    slot = tmp_path / "store" / "keys" / "passphrase.slot"
    data = bytearray(slot.read_bytes())
    data[40] ^= 1
    slot.write_bytes(data)
    program = start(tmp_path / "store")
    program.unlock(PASSPHRASE)
    page = program.page
    assert isinstance(page, UnlockPage)
    wait_for(page.open_key.isEnabled)
    assert "key file" in page.told.said()
    page.recover_link.click()
    recovery = program.page
    assert isinstance(recovery, RecoveryPage)
    recovery.words.setPlainText(words)
    recovery.secret.box.setText("walnut harbour velvet spoon")
    recovery.open_key.click()
    program.to("first_steps")
    program.close()
    again = start(tmp_path / "store")
    again.unlock("walnut harbour velvet spoon")
    again.to("first_steps")


def test_mistyped_recovery_words_stay_on_screen_to_be_compared(start: Start, tmp_path: Path) -> None:
    empty_store(tmp_path / "store")
    program = start(tmp_path / "store")
    page = program.page
    assert isinstance(page, UnlockPage)
    page.recover_link.click()
    recovery = program.page
    assert isinstance(recovery, RecoveryPage)
    recovery.words.setPlainText("ABCD EFGH")
    recovery.secret.box.setText("walnut harbour velvet spoon")
    recovery.open_key.click()
    wait_for(recovery.open_key.isEnabled)
    assert "do not fit together" in recovery.told.said()
    assert recovery.words.toPlainText() == "ABCD EFGH"


def test_a_second_window_on_one_store_is_told_and_may_try_again(start: Start, demo: Path) -> None:
    first = start(demo)
    first.unlock(DEMO)
    first.to("caseload")
    second = start(demo)
    second.unlock(DEMO)
    page = second.page
    assert isinstance(page, UnlockPage)
    wait_for(page.open_key.isEnabled)
    assert page.told.said() == "This store is already open in another window. Use that window, or close it first."
    assert page.open_key.text() == "Try again"
    first.close()
    second.unlock(DEMO)
    second.to("caseload")


def test_a_paper_given_as_a_store_is_told_and_stays_as_it_was(start: Start, tmp_path: Path) -> None:
    paper = tmp_path / "plan.pdf"
    paper.write_bytes(b"%PDF-1.7 not a store")
    page = start(paper).page
    assert isinstance(page, UnlockPage)
    assert "is not a Hearthside store" in page.told.said()
    assert paper.read_bytes() == b"%PDF-1.7 not a store"


def test_a_folder_without_rights_is_told_at_the_first_launch(start: Start, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file where the folder should go")
    program = start(tmp_path / "taken" / "store")
    page = program.page
    assert isinstance(page, FirstLaunchPage)
    page.go(4)
    page.secret.box.setText(PASSPHRASE)
    page.again.box.setText(PASSPHRASE)
    page.make_key.click()
    wait_for(page.make_key.isEnabled)
    assert page.told.said().endswith(".")
    assert "Traceback" not in page.told.said()
    assert (tmp_path / "taken").read_text() == "a file where the folder should go"


def test_lost_answers_are_told_after_unlocking_and_stay_on_the_list_of_what_waits(start: Start, demo: Path) -> None:
    store = unlock(demo, DEMO)
    visit = store.caseload()[0].unsigned[0]
    store.settle()
    before = (demo / "record.db").read_bytes()
    store.write([Put(visit, At("reason"), "asked again")], author="a" * 32)
    tail = (demo / "record.tail").read_bytes()
    store.close()
    (demo / "record.db").write_bytes(before)
    (demo / "record.db-wal").unlink(missing_ok=True)
    (demo / "record.tail").write_bytes(tail)
    program = start(demo)
    program.unlock(DEMO)
    page = program.to("caseload")
    told = [said for said in program.said if "damaged; a copy is kept in" in said]
    assert len(told) == 1
    assert told[0] in [words.said() for words in page.findChildren(Words)]


def test_the_greeting_opens_an_invented_practice_beside_the_place_of_the_real_one(start: Start, tmp_path: Path) -> None:
    program = start(tmp_path / "Hearthside")
    child(program.page, Link, "Look around an invented practice first").click()
    page = program.to("caseload")
    assert "Finch-Adeyemi, Arlo" in [words.said() for words in page.findChildren(Words)]
    assert any(DEMO in said for said in program.said)
    assert not (tmp_path / "Hearthside").exists()
