"""The family's log comes in: read aloud and typed by keyboard alone, or from a file, which is taken in whole or not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.controls.control import Control
from desktop.files import pick_file
from desktop.pages.visit import VisitPage
from desktop.sheets.log_day import LogDay
from desktop.sheets.log_fast import LogFast
from desktop.sheets.log_in import LogIn, file_rows
from desktop.sheets.log_kept import log_setting
from desktop.sheets.log_preview import AT_ONCE, Preview
from forms.answers import Moment
from forms.ask import asks
from forms.chart import Entry
from forms.feeding_log import FeedingLog, LogLine
from forms.log_csv import LARGEST, read_file
from forms.people import ParentIdentity
from forms.trouble import Refused
from storage.troubles import DiskFull
from tests.desktop.gallery_log_in import ROWS, fast_of, log_file, log_in_of, type_line
from tests.desktop.gallery_milk import mL, write
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import kept, said, settled

K = Qt.Key


def standing(page: VisitPage, twins: TwinVisit) -> tuple[Entry[LogLine], ...]:
    settled(twins)
    return page.home.chart.all(LogLine, twins.ida)


def said_by(entry: Entry[LogLine]) -> dict[str, Any]:
    """The answers of a line, its times as the clock of the place shows them."""
    found = {name: getattr(entry.answers, name) for name in asks(LogLine)}
    times = {k: v.local().isoformat()[:16] for k, v in found.items() if isinstance(v, Moment)}
    return {name: value for name, value in (found | times).items() if value is not None}


# --- typed --------------------------------------------------------------------------------------------------------------

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


# --- from a file --------------------------------------------------------------------------------------------------------


def chosen(page: VisitPage, twins: TwinVisit, data: bytes, name: str = "diary.csv") -> LogIn:
    """The page of the file with this content looked at."""
    found = log_in_of(page, twins)
    place = twins.store.folder.parent / name
    place.write_bytes(data)
    found.read(place)
    settled(twins)
    return found


def preview_of(found: LogIn) -> Preview:
    assert found.preview is not None
    return found.preview


def test_a_good_file_is_shown_first_and_taken_in_as_one_step_that_one_undo_takes_back(
    page: VisitPage, twins: TwinVisit
) -> None:
    found = chosen(page, twins, log_file(ROWS[0], ROWS[1], ROWS[2]))
    preview = preview_of(found)
    assert standing(page, twins) == ()
    assert preview.good.table.rows()[0] == ("2", "Mon 2 Mar 2026 11:12", "Feeder's left, 15 min", "")
    assert preview.take.text() == "Take in all 3 lines"
    steps = len(twins.store.undoable(family=twins.family))
    preview.take.click()
    settled(twins)
    assert [line.answers.kind for line in standing(page, twins)] == ["left", "both", "bottle"]
    assert all(line.answers.source == "file" for line in standing(page, twins))
    assert len(twins.store.undoable(family=twins.family)) == steps + 1
    assert "3 lines taken in, Tue 3 Mar 2026 10:42." in said(page)
    assert page.home.chart.one(FeedingLog, twins.ida).taken_in == "diary.csv, Tue 3 Mar 2026 10:42: 3 lines taken in."
    page.home.take_back()
    assert standing(page, twins) == ()
    assert page.home.chart.one(FeedingLog, twins.ida).taken_in is None


def test_the_ring_and_the_figures_show_the_lines_of_the_file_afterwards(page: VisitPage, twins: TwinVisit) -> None:
    found = chosen(page, twins, log_file(ROWS[0], ROWS[1], ROWS[2]))
    preview_of(found).take.click()
    settled(twins)
    found.to_day.click()
    assert page.middle.page is not None
    day = page.middle.page.findChild(LogDay)
    assert day is not None
    assert "3 feeds" in day.ring.accessibleName()
    assert "45 mL" in said(page)


def test_with_bad_rows_nothing_can_be_taken_in_until_they_are_left_out_by_number_and_reason_which_is_kept(
    page: VisitPage, twins: TwinVisit
) -> None:
    found = chosen(page, twins, log_file(*ROWS[:4], ROWS[8]))
    preview = preview_of(found)
    assert preview.bad.table.rows() == (
        ("5", "Milk taken (mL)", "some", "Write this as a number in digits, like 12 or 12.5."),
        ("6", "Time began", "25:10", "There is no such time of day; hours go to 23 and minutes to 59."),
    )
    assert not preview.take.isEnabled()
    assert "2 rows cannot be read: mend the file, or leave them out." in said(page)
    found._take()  # whatever key would press it
    settled(twins)
    assert standing(page, twins) == ()
    preview.leave_bad.click()
    assert "Left out: 2 rows, and why" in said(page)
    assert len(preview.bad.table.rows()) == 2
    preview.take.click()
    assert len(standing(page, twins)) == 3
    words = page.home.chart.one(FeedingLog, twins.ida).taken_in
    assert isinstance(words, str)
    assert words.splitlines()[1:] == [
        "Row 5 left out, Milk taken (mL) “some”: Write this as a number in digits, like 12 or 12.5.",
        "Row 6 left out, Time began “25:10”: There is no such time of day; hours go to 23 and minutes to 59.",
    ]


def test_a_second_file_is_told_beside_the_first(page: VisitPage, twins: TwinVisit) -> None:
    for row, name in ((ROWS[0], "first.csv"), (ROWS[1], "second.csv")):
        preview_of(chosen(page, twins, log_file(row), name)).take.click()
        settled(twins)
    words = page.home.chart.one(FeedingLog, twins.ida).taken_in
    assert isinstance(words, str)
    assert [line.partition(",")[0] for line in words.splitlines()] == ["first.csv", "second.csv"]


@pytest.mark.parametrize(("leave", "lines"), [(True, 2), (False, 4)])
def test_rows_that_are_perhaps_there_already_are_shown_and_asked_about(
    page: VisitPage, twins: TwinVisit, leave: bool, lines: int
) -> None:
    write(page.home, LogLine, twins.ida, kind="left", starts=twins.at(-23.5), minutes_left=15)  # Monday 11:12
    found = chosen(page, twins, log_file(ROWS[0], ROWS[6], ROWS[7]))
    preview = preview_of(found)
    assert [row[::2] for row in preview.twice.table.rows()] == [
        ("2", "the log has Mon 2 Mar 2026 11:12, Feeder's left, 15 min"),
        ("4", "the same as row 3"),
    ]
    assert not preview.take.isEnabled()
    (preview.leave_twice if leave else preview.take_twice).click()
    preview.take.click()
    assert len(standing(page, twins)) == lines


def test_a_line_typed_while_a_file_is_looked_at_is_found_to_be_one_of_its_rows(
    page: VisitPage, twins: TwinVisit
) -> None:
    found = chosen(page, twins, log_file(ROWS[0]))
    assert preview_of(found).take.isEnabled()
    type_line(fast_of(page, twins), "mon 1112 l 15")
    again = log_in_of(page, twins)
    assert not preview_of(again).take.isEnabled()
    assert "1 row, perhaps in the log already" in said(page)


def test_a_file_looked_at_is_still_there_on_coming_back_and_put_back_it_leaves_nothing(
    page: VisitPage, twins: TwinVisit
) -> None:
    chosen(page, twins, log_file(*ROWS))
    page.go("weigh", twins.ida)
    again = log_in_of(page, twins)
    preview_of(again).back.click()
    assert again.preview is None
    assert "diary.csv was put back; nothing of it was taken in." in said(page)
    assert standing(page, twins) == ()


def test_on_a_full_disk_nothing_is_half_in_and_the_file_is_still_there_to_be_taken_in_again(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = chosen(page, twins, log_file(ROWS[0], ROWS[1]))

    def full(*_given: object, **_more: object) -> None:
        raise DiskFull

    monkeypatch.setattr(twins.store, "write", full)
    preview_of(found).take.click()
    settled(twins)
    assert f"{DiskFull().sentence} Nothing of the file was taken in; it is still here." in said(page)
    assert standing(page, twins) == ()
    monkeypatch.undo()
    preview_of(found).take.click()
    assert len(standing(page, twins)) == 2
    assert "Nothing of the file was taken in" not in said(page)


def test_a_disk_that_fills_up_in_the_middle_of_the_write_leaves_no_line_of_the_file(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    from storage.writing import Writing

    found = chosen(page, twins, log_file(ROWS[0], ROWS[1], ROWS[2]))
    whole = Writing.result

    def full(writing: Writing) -> object:
        del writing
        raise DiskFull  # after every operation was handed to the database

    monkeypatch.setattr(Writing, "result", full)
    preview_of(found).take.click()
    settled(twins)
    monkeypatch.setattr(Writing, "result", whole)
    chart = twins.store.chart(twins.family, twins.visit)
    assert chart.all(LogLine, twins.ida) == ()
    assert chart.one(FeedingLog, twins.ida).taken_in is None


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty."),
        (log_file() + b"\xff", "Row 12 holds a character that is not in UTF-8."),
        (b"a,b\r\n1,2\r\n", "The first row has no heading of a log."),
        (b"x" * (LARGEST + 1), "The file is larger than 2 MB."),
    ],
    ids=["empty", "not UTF-8", "no log", "too large"],
)
def test_a_file_that_is_no_log_is_refused_on_the_page_in_one_sentence(
    page: VisitPage, twins: TwinVisit, data: bytes, sentence: str
) -> None:
    found = chosen(page, twins, data)
    assert found.preview is None
    assert f"diary.csv: {sentence}" in said(page)
    assert "Nothing was taken in." in said(page)
    assert found.choose.isVisible()


def test_a_file_in_which_no_row_can_be_read_offers_nothing_to_take_in(page: VisitPage, twins: TwinVisit) -> None:
    found = chosen(page, twins, log_file(ROWS[8]))
    assert not preview_of(found).take.isVisible()
    assert "No row of this file can be read." in said(page)


def test_what_is_no_file_is_refused_and_a_pipe_is_not_waited_for(
    twins: TwinVisit, page: VisitPage, tmp_path: Path
) -> None:
    import os

    setting = log_setting(page.home, twins.ida)
    os.mkfifo(tmp_path / "pipe")
    for place in (tmp_path / "pipe", tmp_path):
        with pytest.raises(Refused, match="This is no file"):
            file_rows(place, setting)
    with pytest.raises(Refused, match="The file cannot be read"):
        file_rows(tmp_path / "gone.csv", setting)


def test_reading_can_be_stopped_and_what_comes_of_it_afterwards_is_not_shown(page: VisitPage, twins: TwinVisit) -> None:
    found = log_in_of(page, twins)
    place = twins.store.folder.parent / "diary.csv"
    place.write_bytes(log_file())
    found.read(place)
    assert found.state.said() == "Reading diary.csv."
    found.stop.click()
    settled(twins)
    assert found.preview is None
    assert "Reading was stopped; nothing was taken in." in said(page)


def test_a_long_file_shows_its_first_rows_and_all_of_them_on_asking(page: VisitPage, twins: TwinVisit) -> None:
    rows = [f"2026-02-{1 + n // 24:02},{n % 24:02}:00,,,Feeder's left,,,,,5" for n in range(AT_ONCE + 10)]
    preview = preview_of(chosen(page, twins, log_file(*rows)))
    assert len(preview.good.table.rows()) == AT_ONCE
    preview.good.all.click()
    assert len(preview.good.table.rows()) == AT_ONCE + 10
    assert not preview.good.table.cut()


def test_the_blank_file_is_saved_where_one_chose_and_is_a_log_and_the_columns_are_told(
    page: VisitPage, twins: TwinVisit, tmp_path: Path
) -> None:
    found = log_in_of(page, twins)
    place = tmp_path / "blank.csv"
    found._place = lambda *_asked: place
    found.blank.click()
    assert read_file(place.read_bytes(), log_setting(page.home, twins.ida)).rows == ()
    found._place = lambda *_asked: tmp_path / "nowhere" / "blank.csv"
    found.blank.click()
    assert "The blank file was not saved" in said(page)
    found.columns.click()
    assert found.table is not None
    assert not found.table.cut()


def test_in_shared_view_the_page_of_files_is_gone_and_the_typed_line_stays(page: VisitPage, twins: TwinVisit) -> None:
    log_in_of(page, twins)
    page.toggle_shared()
    assert page.middle.tabs is not None
    assert "story.file" not in page.middle.tabs.options()
    fast = fast_of(page, twins)
    assert said(page)
    assert fast.box.isVisible()


def test_no_question_stands_on_the_page_of_a_file_that_another_page_asks(page: VisitPage, twins: TwinVisit) -> None:
    found = log_in_of(page, twins)
    assert found.findChildren(Control) == []
    assert found._pick is pick_file
