"""Checking a paper in the real window: dropped or chosen, told in plain words, its sender added by the fingerprint."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Act, Link
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.pages.check_paper import CheckPaperPage
from desktop.pages.known_senders import senders
from desktop.session import practice_chart
from desktop.theme.tokens import Role
from forms.known_sender import KnownSender
from storage.vault import unlock
from sync.handoff.known_senders import known_roots
from tests.desktop.gallery_checking import checking, known
from tests.helpers import checked_papers as papers
from tests.helpers.program import Program, child, read, wait_for

LINDEN = papers.practice()


def said(page: QWidget) -> str:
    return "\n".join(each.said() for each in page.findChildren(Words) if each.isVisible())


def drop(page: CheckPaperPage, *urls: QUrl) -> None:
    """Hold what was dragged over the page and let it go there."""
    held = QMimeData()
    held.setUrls(list(urls))
    args = (Qt.DropAction.CopyAction, held, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    enter = QDragEnterEvent(QPoint(200, 200), *args)
    QApplication.sendEvent(page, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(page, QDropEvent(QPointF(200, 200), *args))


def file(tmp_path: Path, data: bytes, name: str = "letter.pdf") -> Path:
    place = tmp_path / name
    place.write_bytes(data)
    return place


def looked_at(program: Program, tmp_path: Path, data: bytes, name: str = "letter.pdf") -> CheckPaperPage:
    page = checking(program)
    drop(page, QUrl.fromLocalFile(str(file(tmp_path, data, name))))
    program.idle()
    return page


def test_it_stands_among_the_parts_of_the_practice_and_is_come_back_to_after_the_lock(program: Program) -> None:
    program.desk.practice()
    child(program.to("practice"), Link, "Check a paper").click()
    page = program.to("check_paper")
    assert "nothing of it is kept" in said(page)
    program.desk.go(program.desk.where)
    assert program.to("check_paper").objectName() == "check_paper"


def test_a_dropped_paper_of_ones_own_is_told_in_green_with_who_when_and_what_is_inside(
    program: Program, tmp_path: Path
) -> None:
    author, now = program.desk.session.author, program.desk.session.clock()
    page = looked_at(program, tmp_path, read(program, lambda store: papers.own_paper(store, author, now)))
    assert page.found is not None
    assert page.found.head.said() == "Unchanged, and sealed by your own practice"
    assert page.found.head._ink is Role.ALDER
    words = said(page)
    for part in ("Hazel Brook, RN", "3 March 2026", "No, not a byte", "record.fhir.json", "It fits the paper."):
        assert part in words, part
    assert not [key for key in page.findChildren(Act) if key.isVisible() and key.text() == "Add to known senders"]


def test_a_chosen_paper_is_looked_at_like_a_dropped_one(program: Program, tmp_path: Path) -> None:
    page, place = checking(program), file(tmp_path, papers.paper_of(LINDEN))
    page._pick = lambda *_asked, **_kinds: place
    child(page, Act, "Choose a file").click()
    program.idle()
    assert page.found is not None
    assert place.read_bytes() == papers.paper_of(LINDEN)  # read where it lies


@pytest.mark.parametrize(
    ("data", "head"),
    [
        (lambda: papers.paper_of(LINDEN), "Unchanged, but the sender is not known"),
        (lambda: papers.spoiled(papers.paper_of(LINDEN), "flipped"), "Changed since it was sealed"),
        (lambda: papers.spoiled(papers.paper_of(LINDEN), "appended"), "Changed since it was sealed"),
        (papers.expired, "Sealed when its certificate did not hold"),
        (papers.unsealed, "Not sealed"),
        (lambda: papers.spoiled(papers.paper_of(LINDEN), "cut"), "Damaged: its seal cannot be judged"),
    ],
)
def test_whatever_is_not_from_a_known_sender_and_whole_is_never_green(
    program: Program, tmp_path: Path, data: Callable[[], bytes], head: str
) -> None:
    page = looked_at(program, tmp_path, data())
    assert page.found is not None
    assert page.found.head.said() == head
    inks = {words._ink for words in page.main.findChildren(Words)}
    assert Role.ALDER not in inks
    assert (head == "Unchanged, but the sender is not known") is page.found.checked.can_be_added


def test_several_files_an_address_a_folder_49_mb_and_no_pdf_are_one_plain_sentence_each(
    program: Program, tmp_path: Path
) -> None:
    page = checking(program)
    one, other = file(tmp_path, papers.paper_of(LINDEN)), file(tmp_path, b"a shopping list", "list.txt")
    large = file(tmp_path, papers.paper_of(LINDEN) + b"\0" * 49_000_000, "large.pdf")
    for urls, sentence in (
        ((one, other), "Drop one file at a time; nothing was opened."),
        ((tmp_path,), "could not be read: it is no file"),
        ((other,), "This file cannot be read as a PDF."),
        ((large,), "large.pdf is larger than 48 MB"),
        ((tmp_path / "gone.pdf",), "could not be read: no such file"),
    ):
        drop(page, *(QUrl.fromLocalFile(str(place)) for place in urls))
        program.idle()
        assert sentence in page.told.said()
        assert page.found is None
    drop(page, QUrl("https://example.org/letter.pdf"))
    assert "Only a file on this device" in page.told.said()


def test_a_locked_paper_asks_for_the_password_until_it_is_the_right_one(program: Program, tmp_path: Path) -> None:
    page = looked_at(program, tmp_path, papers.locked_paper())
    for typed in ("another-one", papers.PASSWORD):
        assert page.found is None
        child(page, Box, "Password of letter.pdf").setText(typed)
        child(page, Act, "Open and check it").click()
        program.idle()
    assert page.found is not None
    assert page.found.head.said() == "Unchanged, but the sender is not known"
    assert papers.PASSWORD not in said(page)


def test_a_sender_is_added_only_after_the_whole_fingerprint_was_compared_and_lasts(
    program: Program, tmp_path: Path, demo: Path
) -> None:
    page = looked_at(program, tmp_path, papers.paper_of(LINDEN))
    child(page, Act, "Add to known senders").click()
    compare = page.compare
    assert compare is not None
    assert " ".join(line.text() for line in compare.lines) == LINDEN.root
    compare.name.setText("Linden Row")
    child(compare, Act, "Add this sender").click()
    assert "Not every line is compared yet" in compare.told.said()
    for line in compare.lines:
        line.click()
    child(compare, Act, "Add this sender").click()
    assert "Say how it was compared" in compare.told.said()
    compare.how.picked.emit("in_person")
    compare.name.setText(" ")
    child(compare, Act, "Add this sender").click()
    assert "Write the name" in compare.told.said()
    assert senders(page.home) == []
    QTest.keyClicks(compare.name, "Linden Row")
    QTest.keyClick(compare.name, Qt.Key.Key_Return)
    wait_for(lambda: bool(senders(page.home)))
    program.idle()
    assert page.found is not None
    assert page.found.head.said() == "Unchanged, from Linden Row"
    assert child(page.list, Link, "Linden Row").isVisible()
    program.close()
    store = unlock(demo, DEMO)
    try:
        assert LINDEN.seal.root in known_roots(store)
        (kept,) = practice_chart(store).all(KnownSender)
        assert (kept.answers.called, kept.answers.compared) == ("Linden Row", "in_person")
        assert kept.author
    finally:
        store.close()


def test_a_fingerprint_that_differs_adds_nothing_and_says_what_that_means(program: Program, tmp_path: Path) -> None:
    page = looked_at(program, tmp_path, papers.paper_of(LINDEN))
    child(page, Act, "Add to known senders").click()
    assert page.compare is not None
    child(page.compare, Act, "They are not the same").click()
    assert "not sealed by that practice" in page.compare.told.said()
    child(page.compare, Act, "Not now").click()
    program.idle()
    assert senders(page.home) == []
    assert child(page, Act, "Add to known senders").isVisible()


def test_a_sender_struck_out_stays_readable_and_its_papers_are_those_of_a_stranger_again(
    program: Program, tmp_path: Path
) -> None:
    page = known(program)
    child(page.list, Link, "Linden Row").click()
    child(page, Link, "Strike this sender out").click()
    why = child(page, QWidget, "Why it is struck out")
    QTest.keyClicks(why, "They closed")
    QTest.keyClick(why, Qt.Key.Key_Return)
    wait_for(lambda: senders(page.home)[0].struck is not None)
    program.idle()
    assert "They closed" in said(page)
    again = looked_at(program, tmp_path, papers.paper_of(LINDEN))
    assert again.found is not None
    assert again.found.head.said() == "Unchanged, but the sender is not known"
    assert "was struck out on" in said(again)
    assert "They closed" in said(again)


def test_a_stranger_under_the_name_of_a_known_sender_is_warned_of(program: Program, tmp_path: Path) -> None:
    known(program)
    page = looked_at(program, tmp_path, papers.paper_of(papers.practice(keys="another")))
    assert "Take care: “Linden Row”, whom you know, goes by this very name" in said(page)


def test_a_record_that_does_not_fit_its_paper_is_said_beside_the_finding(program: Program, tmp_path: Path) -> None:
    other = papers.practice(keys="another").seal
    page = looked_at(program, tmp_path, papers.sealed_by(LINDEN.seal, record_seal=other))
    assert "what it carries inside does not fit its pages" in said(page)
    assert "The record was signed by somebody else than the paper." in said(page)


def test_a_paper_asked_for_later_overtakes_one_that_is_still_looked_at(program: Program, tmp_path: Path) -> None:
    page = checking(program)
    page.check(file(tmp_path, papers.paper_of(LINDEN), "first.pdf"))
    page.check(file(tmp_path, papers.unsealed(), "second.pdf"))
    program.idle()
    assert page.found is not None
    assert page.found.head.said() == "Not sealed"
