"""The family's paper log is read aloud and typed, by keyboard alone."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.pages.visit import VisitPage
from desktop.sheets.log_fast import LogFast
from forms.feeding_log import LogLine
from forms.people import ParentIdentity
from storage.troubles import DiskFull
from tests.desktop.gallery_log_in import fast_of, log_in_of, type_line
from tests.desktop.gallery_milk import mL
from tests.helpers.log_pages import said_by, standing
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import kept, said, settled

K = Qt.Key

# Thirty lines of a paper log as they are read aloud, from Monday 12:10 to Tuesday 09:40, and what each says.
DIARY: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("mon 1210 l 15", "02T12:10", {"kind": "left", "minutes_left": 15}),
    ("1230 r 10 w", "02T12:30", {"kind": "right", "minutes_right": 10, "wet": True}),
    ("1305 w s y", "02T13:05", {"kind": "diaper", "wet": True, "stool": "yellow"}),
    ("1400 bo o 45", "02T14:00", {"kind": "bottle", "milk": "own", "amount": mL(45)}),
    ("1430 p l 40 r 25", "02T14:30", {"kind": "pumped", "pumped_left": mL(40), "pumped_right": mL(25)}),
    ("1515 l", "02T15:15", {"kind": "left"}),
    ("1530 w", "02T15:30", {"kind": "diaper", "wet": True}),
    ("1600 l 12 r 14", "02T16:00", {"kind": "both", "minutes_left": 12, "minutes_right": 14}),
    ("1645 s gn", "02T16:45", {"kind": "diaper", "stool": "green"}),
    ("1700 lr 20", "02T17:00", {"kind": "both", "minutes_together": 20}),
    ("1730 w", "02T17:30", {"kind": "diaper", "wet": True}),
    ("1815 r 18", "02T18:15", {"kind": "right", "minutes_right": 18}),
    ("1850 bo f 30", "02T18:50", {"kind": "bottle", "milk": "formula", "amount": mL(30)}),
    ("1920 w s y", "02T19:20", {"kind": "diaper", "wet": True, "stool": "yellow"}),
    ("2000 l 22 spit", "02T20:00", {"kind": "left", "minutes_left": 22, "brought_up": "little"}),
    ("2045 p 65", "02T20:45", {"kind": "pumped", "pumped_together": mL(65)}),
    ("2130 r 9", "02T21:30", {"kind": "right", "minutes_right": 9}),
    ("2150 w", "02T21:50", {"kind": "diaper", "wet": True}),
    ("2310 tb l 20 f 15", "02T23:10",
     {"kind": "tube_breast", "milk": "formula", "amount": mL(15), "minutes_left": 20}),
    ("2340 l 11", "02T23:40", {"kind": "left", "minutes_left": 11}),
    ("0215 r 14", "03T02:15", {"kind": "right", "minutes_right": 14}),  # past midnight: asked, and Enter again
    ("0240 w", "03T02:40", {"kind": "diaper", "wet": True}),
    ("0400 bo o ?", "03T04:00", {"kind": "bottle", "milk": "own"}),
    ("0430 s y", "03T04:30", {"kind": "diaper", "stool": "yellow"}),
    ("0550 l 8 r 6", "03T05:50", {"kind": "both", "minutes_left": 8, "minutes_right": 6}),
    ("0640 w", "03T06:40", {"kind": "diaper", "wet": True}),
    ("0715 cup dm 12", "03T07:15", {"kind": "cup", "milk": "donor", "amount": mL(12)}),
    ("0800 w s bn", "03T08:00", {"kind": "diaper", "wet": True, "stool": "brown"}),
    ("0900 l 16", "03T09:00", {"kind": "left", "minutes_left": 16}),
    ("0940 r", "03T09:40", {"kind": "right"}),
)  # fmt: skip
_OF_MARA = ("left", "right", "both", "tube_breast", "pumped")


def strike(fast: LogFast, text: str) -> int:
    """A line typed key by key; the keys pressed until it was kept."""
    QTest.keyClicks(fast.box, text)
    keys = len(text)
    for _ in range(2):
        if fast.box.text():
            QTest.keyClick(fast.box, K.Key_Return)
            keys += 1
    return keys


def test_thirty_lines_are_typed_by_keyboard_alone_in_eleven_keys_each_and_say_what_was_read_aloud(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    fast.box.setFocus()
    keys = sum(strike(fast, typed) for typed, _, _ in DIARY)
    assert fast.box.hasFocus()
    assert fast.box.text() == ""
    found = [said_by(entry) for entry in standing(page, twins)]
    expected = [
        {"starts": f"2026-03-{at}", "source": "notes"}
        | ({"feeder": twins.mara} if answers["kind"] in _OF_MARA else {})
        | answers
        for _, at, answers in DIARY
    ]
    assert found == expected
    # Each line and its Enter, and one Enter more for the one question, where the log passed midnight.
    assert keys == sum(len(typed) + 1 for typed, _, _ in DIARY) + 1
    assert keys / len(DIARY) <= 11
    assert len(twins.store.chart(twins.family, twins.visit).all(LogLine, twins.ida)) == 30


def test_what_is_understood_is_said_while_one_types_and_nothing_is_kept_before_enter(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    QTest.keyClicks(fast.box, "tue 0210 l 15")
    assert fast.understood.said() == "Tue 3 Mar 2026 02:10, Mara’s left, 15 min"
    QTest.keyClicks(fast.box, " blodo")
    assert fast.understood.said() == ""
    assert "“blodo” is no word of these lines. Perhaps “blood”" in fast.sentence.said()
    assert standing(page, twins) == ()


def test_a_line_that_cannot_be_read_stays_in_the_box_with_its_sentence_and_is_still_there_on_coming_back(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    strike(fast, "0210 b 60")
    sentence = "“b” could be both or bottle. Write both, or bo for a bottle."
    assert (fast.box.text(), fast.sentence.said()) == ("0210 b 60", sentence)
    page.go("weigh", twins.ida)
    again = fast_of(page, twins)
    assert again is not fast
    assert (again.box.text(), again.sentence.said()) == ("0210 b 60", sentence)
    assert standing(page, twins) == ()


def test_a_day_that_was_not_typed_is_asked_once_and_a_changed_line_is_asked_anew(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    QTest.keyClicks(fast.box, "2310 l")
    QTest.keyClick(fast.box, K.Key_Return)
    assert "This is the first line: Monday, 2 Mar 2026, 23:10?" in said(page)
    QTest.keyClicks(fast.box, " 5")
    QTest.keyClick(fast.box, K.Key_Return)
    assert standing(page, twins) == ()
    QTest.keyClick(fast.box, K.Key_Return)
    (line,) = standing(page, twins)
    assert said_by(line)["starts"] == "2026-03-02T23:10"


def test_up_takes_the_last_line_back_and_enter_corrects_that_entry_instead_of_adding_one(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    strike(fast, "tue 0210 l 15 wet")
    strike(fast, "0300 r 10")
    QTest.keyClicks(fast.box, "0400 ")
    QTest.keyClick(fast.box, K.Key_Up)
    QTest.keyClick(fast.box, K.Key_Up)
    assert fast.box.text() == "tue 0210 l 15 wet"
    assert "Correcting: Tue 3 Mar 2026 02:10, Mara’s left, 15 min; wet." in said(page)
    fast.box.selectAll()
    strike(fast, "tue 0210 l 25")
    first, second = standing(page, twins)
    assert (first.answers.minutes_left, first.answers.wet) == (25, None)
    assert second.answers.minutes_right == 10
    kept(twins, page)
    on_disk = twins.store.chart(twins.family, twins.visit).all(LogLine, twins.ida)
    assert [(line.answers.minutes_left, line.answers.wet) for line in on_disk] == [(25, None), (None, None)]


def test_down_and_escape_go_back_to_the_line_one_was_typing_and_change_nothing(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    strike(fast, "tue 0210 l 15")
    before = [said_by(line) for line in standing(page, twins)]
    for back in (K.Key_Down, K.Key_Escape):
        fast.box.setText("0400 r")
        QTest.keyClick(fast.box, K.Key_Up)
        assert fast.box.text() == "tue 0210 l 15"
        QTest.keyClick(fast.box, back)
        assert fast.box.text() == "0400 r"
        assert not fast.correcting.isVisible()
    assert [said_by(line) for line in standing(page, twins)] == before


def test_one_undo_takes_back_one_line_and_the_next_is_again_read_after_the_one_before(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    fast.box.setFocus()
    strike(fast, "mon 2310 l 15")
    strike(fast, "2350 r 10")
    settled(twins)
    QTest.keyClick(fast.box, K.Key_Z, Qt.KeyboardModifier.ControlModifier)
    (left,) = standing(page, twins)
    assert left.answers.kind == "left"
    QTest.keyClicks(fast.box, "2330 bo 60")
    assert fast.understood.said().startswith("Mon 2 Mar 2026 23:30")


def test_a_number_alone_is_in_the_unit_that_is_picked_and_the_strip_says_which(
    page: VisitPage, twins: TwinVisit
) -> None:
    fast = fast_of(page, twins)
    assert fast.unit.codes() == ("mL",)  # as the practice writes volumes
    fast.unit.picked.emit("fl_oz")
    strike(fast, "tue 0210 bo 2")
    (line,) = standing(page, twins)
    assert said_by(line)["amount"].unit == "fl_oz"


def test_with_two_who_feed_no_side_is_of_anybody_until_one_is_picked(page: VisitPage, twins: TwinVisit) -> None:
    joren = page.home.begin(ParentIdentity)
    joren.put("called_name", "Joren")
    page.home.binding(ParentIdentity, entity=joren.entity).put("roles", ("birth_parent",))
    fast = fast_of(page, twins)
    assert "Sides are of" in said(page)
    type_line(fast, "tue 0210 l")
    fast.sides.picked.emit(joren.entity)
    type_line(fast, "0300 l")
    type_line(fast, "0400 l by mara")
    assert [line.answers.feeder for line in standing(page, twins)] == [None, joren.entity, twins.mara]


def test_on_a_full_disk_a_typed_line_stays_on_screen_and_is_written_when_there_is_room(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    fast = fast_of(page, twins)

    def full(*_given: object, **_more: object) -> None:
        raise DiskFull

    monkeypatch.setattr(twins.store, "write", full)
    type_line(fast, "tue 0210 l 15")
    settled(twins)
    assert "Mara’s left, 15 min" in fast.lines.said()
    monkeypatch.undo()
    kept(twins, page)
    (line,) = twins.store.chart(twins.family, twins.visit).all(LogLine, twins.ida)
    assert line.answers.minutes_left == 15


def test_a_signed_visit_takes_no_line_and_says_why(page: VisitPage, twins: TwinVisit) -> None:
    fast = fast_of(page, twins)
    twins.store.sign(twins.visit, author=twins.author)
    page.home.reload()
    settled(twins)
    assert not fast.box.isVisible()
    assert "This visit is signed, so its log takes no more lines." in said(page)
    log_in = log_in_of(page, twins)
    assert not log_in.choose.isVisible()
    assert "This visit is signed, so its log takes no more lines." in said(page)


def test_the_words_of_a_line_are_told_on_the_page_and_none_is_cut(page: VisitPage, twins: TwinVisit) -> None:
    fast = fast_of(page, twins)
    fast.help.click()
    assert fast.words is not None
    rows = {row[0]: row[1] for row in fast.words.rows()}
    assert rows["0210 l 15"] == "left, 15 minutes"
    assert rows["bottle, bo"].startswith("a bottle")
    assert not fast.words.cut()
