"""A family's log comes in from a file: shown first, and taken in whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from desktop.controls.control import Control
from desktop.files import pick_file
from desktop.pages.visit import VisitPage
from desktop.sheets.log_day import LogDay
from desktop.sheets.log_in import LogIn, file_rows
from desktop.sheets.log_kept import log_setting
from desktop.sheets.log_preview import AT_ONCE, Preview
from forms.feeding_log import FeedingLog, LogLine
from forms.log_csv import LARGEST, read_file
from forms.trouble import Refused
from storage.troubles import DiskFull
from tests.desktop.gallery_log_in import ROWS, fast_of, log_file, log_in_of, type_line
from tests.desktop.gallery_milk import write
from tests.helpers.log_pages import standing
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled


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
    assert "The lines of the file were taken out of the log again." in said(page)
    assert "taken in, Tue" not in said(page)
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
