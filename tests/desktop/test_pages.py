"""Caseload, family, address book and practice on a copy of the invented practice."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLineEdit, QWidget

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Act, Link
from desktop.controls.typed import Line
from desktop.controls.words import Words
from desktop.pages.address_book import AddressBookPage, missing_for_letter
from desktop.pages.caseload import CaseloadPage
from desktop.pages.family import FamilyPage
from desktop.pages.practice import PracticePage
from desktop.pages.root_key import RootKey
from desktop.sheets.practice import CONTACT, HERE, KEEPING, ON_PAPER, PROVIDER, WHO
from desktop.sheets.sheet import Placed
from desktop.theme.look import look
from forms.answers import Moment
from forms.ask import asks
from forms.contact import Contact
from forms.form import Form
from forms.people import InfantIdentity
from forms.practice import Practice, Practitioner, Provider
from forms.visit import Visit
from storage.troubles import WrongPassphrase
from storage.vault import unlock
from sync.handoff.seals import root_waits
from tests.helpers.program import Program, child, read, wait_for

Start = Callable[..., Program]
NEW = "walnut harbour velvet spoon"


def caseload(program: Program) -> CaseloadPage:
    page = program.page
    assert isinstance(page, CaseloadPage)
    return page


def new_family(program: Program, name: str) -> FamilyPage:
    page = caseload(program)
    page.ask_new()
    QTest.keyClicks(page.new.name, name)
    QTest.keyClick(page.new.name, Qt.Key.Key_Return)
    family = program.to("family")
    assert isinstance(family, FamilyPage)
    return family


def practice(program: Program) -> PracticePage:
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    return page


def words(page: QWidget) -> list[str]:
    return [each.said() for each in page.findChildren(Words) if each.isVisible()]


def test_the_caseload_lists_urgent_families_first_and_says_what_waits(program: Program) -> None:
    page = caseload(program)
    assert child(page.list, Act, "Act now").accessibleDescription() == "Finch-Adeyemi, Arlo"
    first = next(said for said in words(page.list) if said.startswith("Emergency"))
    assert "Hard to wake" in first
    assert "Root key still on this device" in words(page.side)
    assert "Recovery sheet not checked" in words(page.side)


def test_slash_goes_to_the_search_and_escape_gives_the_list_back(program: Program) -> None:
    page = caseload(program)
    page.new_key.setFocus()
    QTest.keyClick(page.new_key, Qt.Key.Key_Slash)
    assert page.search.hasFocus()
    QTest.keyClicks(page.search, "thorn")
    program.idle()
    assert [link.text() for link in page.list.findChildren(Link)] == ["Thornquist, Ida and Juno"]
    QTest.keyClick(page.search, Qt.Key.Key_Escape)
    program.idle()
    assert child(page.list, Act, "Act now").isVisible()


def test_a_slash_typed_into_the_search_is_a_character(program: Program) -> None:
    page = caseload(program)
    page.search.setFocus()
    QTest.keyClicks(page.search, "a/b")
    assert page.search.text() == "a/b"


def test_a_search_that_fits_nobody_says_so(program: Program) -> None:
    page = caseload(program)
    page.search.setText("nobody at all")
    program.idle()
    assert words(page.list) == ["No family fits “nobody at all”."]


def test_a_family_name_of_only_spaces_is_refused_and_nothing_is_written(program: Program) -> None:
    page = caseload(program)
    before = len(read(program, lambda store: store.caseload()))
    page.ask_new()
    QTest.keyClicks(page.new.name, "    ")
    QTest.keyClick(page.new.name, Qt.Key.Key_Return)
    program.idle()
    assert page.new.told.said().startswith("“Family name” holds only spaces")
    assert program.page is page
    assert len(read(program, lambda store: store.caseload())) == before


def test_a_new_family_is_begun_with_its_name_and_its_babies_get_tags_of_their_own(program: Program) -> None:
    family = new_family(program, "Ó Briain-Åkesson")
    assert family.title.said() == "Ó Briain-Åkesson"
    for _ in range(2):
        family.add_person(InfantIdentity)
        program.idle()
    babies = family.home.infants()
    shapes = [family.home.chart.person(InfantIdentity, baby).tag_shape for baby in babies]
    assert shapes == ["circle", "square"]


def test_what_is_typed_on_the_family_page_is_on_disk_after_going_elsewhere(program: Program) -> None:
    family = new_family(program, "Quillfeather")
    family.add_person(InfantIdentity)
    program.idle()
    box = next(line.box for line in family.findChildren(Line) if line.name == "Called name")
    box.setFocus()
    QTest.keyClicks(box, "Wren")
    program.desk.caseload()
    program.to("caseload")
    assert [line.babies[0][1] for line in read(program, lambda store: store.search("quill"))] == ["Wren"]


def test_a_visit_begins_with_its_start_and_its_consultant_and_nothing_else(
    program: Program,
) -> None:
    family = new_family(program, "Quillfeather")
    family.begin_key.click()
    wait_for(lambda: program.desk.where.page == "visit")
    where = program.desk.where
    entry = read(program, lambda store: store.entry(where.visit))
    assert entry is not None
    assert isinstance(entry.answers, Visit)
    author, zone = program.desk.session.author, program.desk.session.zone
    assert entry.answers == Visit(start=Moment(program.time.at, zone), practitioner=author)


def test_the_address_book_says_what_a_letter_to_a_provider_lacks(program: Program) -> None:
    program.desk.address_book()
    page = program.to("address_book")
    assert isinstance(page, AddressBookPage)
    assert "Lacks a way to send letters" in words(page.list)
    assert missing_for_letter(Provider(full_name="Dr A", profession="ent", phone="1", fax="2")) == ()
    page.add()
    program.idle()
    box = next(line.box for line in page.findChildren(Line) if line.name == "Name" and line.isVisible())
    box.setFocus()
    QTest.keyClicks(box, "Dr Noor Haverly")
    program.desk.caseload()
    program.to("caseload")
    names = [
        e.answers.full_name for e in read(program, lambda s: s.practice_entries()) if isinstance(e.answers, Provider)
    ]
    assert "Dr Noor Haverly" in names


def test_theme_and_text_size_change_at_once_and_are_remembered(program: Program, start: Start, demo: Path) -> None:
    page = practice(program)
    page.go("window")
    child(page.main, QAbstractButton, "Night").click()
    child(page.main, QAbstractButton, "200 %").click()
    child(page.main, QAbstractButton, "12").click()
    assert (look().theme.name, look().text) == ("Night", 200)
    program.close()
    again = start(demo)
    assert (look().theme.name, look().text, again.app.settings.now.idle) == ("Night", 200, 12)


def test_the_keys_for_light_and_text_work_on_every_page(program: Program) -> None:
    QTest.keyClick(program.app.window, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(program.app.window, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert (look().theme.name, look().text) == ("Lamp", 125)


def test_damaged_window_settings_are_the_first_values_again(program: Program, start: Start, demo: Path) -> None:
    program.close()
    (demo / "window.json").write_bytes(b'{"theme": "Noon", "text": 900, "idle": 0')
    now = start(demo).app.settings.now
    assert (now.theme, now.text, now.idle) == ("Day", 100, 5)


def test_a_changed_passphrase_opens_the_store_and_the_old_one_no_longer_does(
    program: Program, start: Start, demo: Path
) -> None:
    page = practice(program)
    page.go("passphrase")
    for name, text in (
        ("Passphrase as it is now", DEMO), ("New passphrase, at least 15 characters", NEW), ("Once more", NEW),
    ):  # fmt: skip
        child(page.main, QLineEdit, name).setText(text)
    child(page.main, Act, "Change the passphrase").click()
    wait_for(lambda: "The new passphrase holds from now on." in words(page.main))
    program.close()
    with pytest.raises(WrongPassphrase):
        unlock(demo, DEMO)
    unlock(demo, NEW).close()


def test_the_root_key_leaves_the_store_for_the_file_she_picked(program: Program, tmp_path: Path) -> None:
    place = tmp_path / "stick" / "root.p12"
    place.parent.mkdir()
    root = RootKey(program.desk.session, pick=lambda *_where: place)
    root.secret.box.setText(NEW)
    gone: list[bool] = []
    root.saved.connect(lambda: gone.append(True))
    root.key.click()
    wait_for(lambda: bool(gone))
    assert place.stat().st_size > 0
    assert not read(program, root_waits)
    root.deleteLater()


def test_a_root_key_file_that_is_there_already_is_told_and_left_alone(program: Program, tmp_path: Path) -> None:
    place = tmp_path / "root.p12"
    place.write_bytes(b"something else")
    root = RootKey(program.desk.session, pick=lambda *_where: place)
    root.show()
    root.secret.box.setText(NEW)
    root.key.click()
    wait_for(lambda: root.key.isEnabled() and "was not saved" in root.told.said())
    assert place.read_bytes() == b"something else"
    assert read(program, root_waits)
    root.hide()
    root.deleteLater()


@pytest.mark.parametrize("form", [Practice, Practitioner, Provider, Contact])
def test_each_question_outside_a_visit_stands_on_its_sheet_exactly_once(form: type[Form]) -> None:
    placed = [
        field for section in (WHO, ON_PAPER, HERE, KEEPING, PROVIDER, CONTACT) for field in Placed.by(section).fields
    ]
    assert sorted(name for of, name in placed if of is form) == sorted(asks(form))


def test_a_time_zone_that_does_not_exist_is_told_and_stays_as_typed(program: Program) -> None:
    page = practice(program)
    page.go("here")
    facts = page.home.binding(Practice)
    facts.put("time_zone", "Brackwater time")
    program.idle()
    assert any(said.startswith("No time zone of that name is known") for said in words(page.main))
    assert facts.value("time_zone") == "Brackwater time"
    program.desk.caseload()
    program.to("caseload")
    program.idle()
    assert program.desk.session.zone == "UTC"
    assert "Time zone not known" in words(caseload(program).side)
    again = practice(program)
    again.go("here")
    again.home.binding(Practice).put("time_zone", "America/New_York")
    program.idle()
    assert not any(said.startswith("No time zone") for said in words(again.main))
