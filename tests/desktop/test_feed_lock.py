"""The lock while a feed clock runs, and the times noted on it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton

from demo_db.build import PASSPHRASE as DEMO
from desktop.noted import FILE, NotedTimes
from desktop.pages.feed_lock import FeedLockPage, running
from forms.answers import Moment
from forms.visit import Jot
from tests.helpers.locks import in_feed, locked, press_lock, said_anywhere
from tests.helpers.program import Program, Time, child, read, wait_for

Start = Callable[..., Program]


def test_while_a_feed_goes_on_the_lock_shows_its_clock_the_emergency_number_and_one_key(program: Program) -> None:
    in_feed(program)
    press_lock(program)
    page = program.page
    assert isinstance(page, FeedLockPage)
    program.time.pass_by(14 * 60 + 34)
    page.tick()
    assert page.figure.said() == "16:34"
    shown = said_anywhere(program.app.window)
    assert "Emergency: 911" in shown
    assert [w.text() for w in page.findChildren(QAbstractButton) if w.isVisible()] == ["Note this time", "Unlock"]
    assert "Bram" not in shown
    assert "Lindqvist" not in shown


def test_a_clock_that_is_set_while_locked_moves_the_feed_clock_by_nothing(program: Program) -> None:
    in_feed(program)
    press_lock(program)
    page = program.page
    assert isinstance(page, FeedLockPage)
    before = page.figure.said()
    program.time.at -= timedelta(hours=1)
    page.tick()
    assert page.figure.said() == before
    program.time.pass_by(60)
    page.tick()
    assert page.figure.said() != before


def test_the_feed_clock_is_written_with_hours_once_there_are_any() -> None:
    time = Time()
    assert running(time.at, time.at) == "0:00"
    began = time.at
    time.pass_by(3 * 3600 + 61)
    assert running(began, time.at) == "3:01:01"


def test_times_noted_while_locked_are_jots_of_that_visit_after_unlocking_and_their_file_is_gone(
    program: Program, demo: Path
) -> None:
    in_feed(program)
    where = program.desk.where
    press_lock(program)
    page = program.page
    assert isinstance(page, FeedLockPage)
    noted = []
    for _ in range(2):
        program.time.pass_by(75)
        noted.append(program.time.at)
        QTest.keyClick(page.note_key, Qt.Key.Key_Space)
    assert "2 times noted" in page.noted.said()
    assert re.fullmatch(rb"(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ\n){2}", (demo / FILE).read_bytes())
    page.unlock_asked.emit()
    locked(program)
    program.unlock(DEMO)
    wait_for(lambda: program.app.gate.desk is not None and program.desk.where.page == "visit")
    program.idle()
    chart = read(program, lambda store: store.chart(where.family, where.visit))
    jots = [e.answers for e in chart.all(Jot, visit=where.visit) if e.answers.words == "Time noted on the lock screen"]
    assert [jot.noted.at for jot in jots if isinstance(jot.noted, Moment)] == noted
    assert not (demo / FILE).exists()


def test_times_noted_before_a_kill_are_filed_at_the_next_start(program: Program, start: Start, demo: Path) -> None:
    in_feed(program)
    where = program.desk.where
    press_lock(program)
    page = program.page
    assert isinstance(page, FeedLockPage)
    page.note_key.click()
    wait_for(lambda: not program.app.errands.busy)
    again = start(demo)  # the first program is never unlocked again, as after a kill
    again.unlock(DEMO)
    again.to("caseload")
    chart = read(again, lambda store: store.chart(where.family, where.visit))
    assert any(e.answers.words == "Time noted on the lock screen" for e in chart.all(Jot, visit=where.visit))
    assert not (demo / FILE).exists()


def test_times_noted_at_a_visit_nobody_knows_stay_and_wait_to_be_written_down(start: Start, demo: Path) -> None:
    NotedTimes(demo).note(Time().at)
    program = start(demo)
    program.unlock(DEMO)
    page = program.to("caseload")
    assert "Times noted while locked" in said_anywhere(page)
    assert (demo / FILE).exists()
    child(page, QAbstractButton, "They are written down").click()
    program.to("caseload")
    assert not (demo / FILE).exists()


def test_a_line_of_the_noted_times_that_is_no_time_is_told_and_the_others_are_kept(tmp_path: Path) -> None:
    noted = NotedTimes(tmp_path)
    noted.note(Time().at)
    with (tmp_path / FILE).open("ab") as file:
        file.write(b"2026-03-03T14:0\xff")
    assert noted.times() == ((Time().at,), 1)
