"""Locking and looking at a started program, and a visit in which a feed goes on."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit, QWidget

from desktop.pages.unlock import UnlockPage
from forms.answers import Moment
from forms.ask import Path as At
from forms.feed import FeedObservation
from storage.changes import Begin, Change, Put
from tests.helpers.program import Program, read, wait_for

__all__ = ["in_feed", "locked", "press_lock", "said_anywhere"]

FEED = "9" * 32


def locked(program: Program) -> UnlockPage:
    page = program.to("unlock")
    assert isinstance(page, UnlockPage)
    wait_for(page.open_key.isEnabled)
    return page


def in_feed(program: Program) -> None:
    """Into a visit in which a feed began two minutes ago and goes on."""
    line = read(program, lambda store: store.search("lindqvist"))[0]
    visit = line.unsigned[0]
    chart = read(program, lambda store: store.chart(line.id, visit))
    feeds = chart.all(FeedObservation, visit=visit)
    place = feeds[0].place
    began = Moment(program.time.at, "Europe/London")
    program.time.pass_by(120)
    changes: list[Change] = [Begin(FEED, place), Put(FEED, At("observed"), "seen"), Put(FEED, At("began"), began)]
    read(program, lambda store: store.write(changes, author=program.desk.session.author))
    program.desk.visit(line.id, visit)
    wait_for(lambda: program.desk.where.page == "visit")
    program.idle()
    assert program.page.running_feed() == began.at


def said_anywhere(window: QWidget) -> str:
    texts = [w.text() for w in window.findChildren(QLabel) if w.isVisible()]
    texts += [w.text() for w in window.findChildren(QAbstractButton) if w.isVisible()]
    texts += [w.text() for w in window.findChildren(QLineEdit) if w.isVisible()]
    return "\n".join(texts)


def press_lock(program: Program) -> None:
    QTest.keyClick(program.app.window, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
