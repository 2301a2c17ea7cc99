"""Someone at the real window: sees what is on screen, clicks what can be reached, types into what has the focus.

Nothing here calls a page's own methods to get anywhere. A widget is found by the words on it, by its accessible name,
or by the field it asks for; it is brought into view, must not be covered by anything, and is then clicked or typed into.
"""

from __future__ import annotations

import re
import sys
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from types import TracebackType
from typing import Self

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt, QTimer
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QFileDialog,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QWidget,
)

from desktop.app import Hearthside, Means
from desktop.pages.decision import Decision
from desktop.pages.page import Page
from forms.clinical.feed_clock import Reading
from storage.keys import FLOOR
from tests.helpers.waiting import breathe

__all__ = ["K", "Machine", "Person", "said"]

K = Qt.Key
_BREAK = "\u200b"
_PATIENCE = 120.0
"""Seconds after which a thing that was waited for is missing; nothing is asserted about how long it took."""


def _under_way() -> str:
    """Where each thread stands, which tells what a wait that never ended was waiting for."""
    here = sys._current_frames()
    names = {thread.ident: thread.name for thread in threading.enumerate()}
    return "".join(
        f"{names.get(ident, ident)}:\n{''.join(traceback.format_stack(frame)[-4:])}" for ident, frame in here.items()
    )


@dataclass
class Machine:
    """A machine whose time stands still until it is moved, and whose ids come in a row."""

    at: datetime
    zone: str = "America/New_York"
    seconds: float = 0.0
    made: int = 0
    boot: str = "a start of this machine"

    def set_clock(self, **span: float) -> None:
        """Somebody sets the clock by so much; no time goes by."""
        self.at += timedelta(**span)

    def reading(self) -> Reading:
        """The steady clock of a feed."""
        return Reading(self.boot, round(self.seconds * 1_000_000) * 1000)

    def pass_by(self, **span: float) -> None:
        """Let time go by on both clocks."""
        gone = timedelta(**span)
        self.at += gone
        self.seconds += gone.total_seconds()

    def fresh_id(self) -> str:
        self.made += 1
        return f"{0xA0000000 + self.made:032x}"

    def means(self) -> Means:
        return Means(
            clock=lambda: self.at, steady=lambda: self.seconds, reading=self.reading, ids=self.fresh_id, zone=self.zone,
            argon=FLOOR,
        )  # fmt: skip


def said(root: QWidget) -> str:
    """All the words on screen under a widget: labels, buttons, and what stands in boxes."""
    found = []
    for widget in root.findChildren(QWidget):
        if not widget.isVisible():
            continue
        if isinstance(widget, QLabel | QAbstractButton | QLineEdit):
            found.append(widget.text().replace(_BREAK, ""))
        elif isinstance(widget, QPlainTextEdit):
            found.append(widget.toPlainText())
    return "\n".join(words for words in found if words)


class Person:
    """The window with somebody before it. `come` opens it, `go_home` closes it; what went wrong inside is in `broken`."""

    def __init__(self, folder: Path, machine: Machine) -> None:
        self.folder, self.machine = folder, machine
        self.program = Hearthside(folder, machine.means())
        self.told: list[tuple[str, str]] = []
        self.broken: list[BaseException] = []
        self.program.notices.said.connect(lambda sentence, tone: self.told.append((sentence, tone)))
        self.program.gate.broke.connect(self.broken.append)
        self.program.errands.broke.connect(self.broken.append)
        self._hook = sys.excepthook
        self._gone = self._leaving = False
        self.program.gate.ended.connect(self._ended)
        self.flashed = 0
        """How often something other than this window or a dialog took the focus away, as a part shown by itself does."""

    # --- coming and going -------------------------------------------------------------------------------------------

    def come(self) -> Self:
        """Start the program and wait until its window stands."""
        self.program.start()
        kept = sys.excepthook

        def hook(kind: type[BaseException], failure: BaseException, trace: TracebackType | None) -> None:
            self.broken.append(failure)
            kept(kind, failure, trace)

        sys.excepthook = hook
        self.window.activateWindow()
        self.until(lambda: self.window.isVisible() and self.window.isActiveWindow(), "the window")
        QGuiApplication.instance().focusWindowChanged.connect(self._focus_moved)  # type: ignore[union-attr]
        return self

    def _focus_moved(self, to: object) -> None:
        self.flashed += to is None and not self._gone and QApplication.activeModalWidget() is None

    def _ended(self) -> None:
        self._gone = True

    def close_window(self) -> None:
        """Press the window's own close button."""
        self.window.close()

    def go_home(self) -> None:
        """Close the window, whatever stands in it, and see that nothing of it is left behind."""
        self._leaving = True
        try:
            if not self._gone:
                self.close_window()
                self.until(lambda: self._gone or bool(self.buttons("Close and lose it")), "the window to close")
                if not self._gone:
                    self.decide("Close and lose it")
                    self.until(lambda: self._gone, "the window to close")
            self.program.errands.close()
        finally:
            sys.excepthook = self._hook
            flashed = self.flashed
            QGuiApplication.instance().focusWindowChanged.disconnect(self._focus_moved)  # type: ignore[union-attr]
            self.window.deleteLater()
            self.program.deleteLater()
            self.settle()
        assert self.broken == [], self.broken
        assert not [s for s, _ in self.told if "went wrong inside" in s], self.told
        assert flashed == 0, "a part of a page was shown as a window of its own"

    # --- looking ----------------------------------------------------------------------------------------------------

    @property
    def window(self) -> QWidget:
        return self.program.window

    @property
    def page(self) -> Page:
        page = self.program.window.page
        assert page is not None
        return page

    def settle(self) -> None:
        """Let what was asked for be done on this thread."""
        for _round in range(3):
            QCoreApplication.processEvents()
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    def until(self, condition: Callable[[], object], what: str) -> None:
        """Wait for a thing to come; fails with what is on screen when it does not."""
        end = time.monotonic() + _PATIENCE
        while not condition():
            late = time.monotonic() > end
            if late or (self.broken and not self._leaving):
                broken = "".join(line for one in self.broken for line in traceback.format_exception(one))
                raise AssertionError(f"waited for {what}; on screen:\n{said(self.window)}\n{broken}{_under_way()}")
            breathe()
        self.settle()

    def sees(self, words: str, within: QWidget | None = None) -> bool:
        """Whether the words are on screen."""
        return words in said(within or self.window)

    def until_sees(self, words: str, within: QWidget | None = None) -> None:
        """Wait for the words to be on screen."""
        self.until(lambda: self.sees(words, within or self.window), repr(words))

    def until_page(self, name: str) -> None:
        """Wait for a page by its object name."""
        self.until(lambda: self.program.window.page and self.page.objectName() == name, f"the page {name}")

    def until_idle(self) -> None:
        """Wait until the store has done all it was given."""

        def idle() -> bool:
            session = self.program.gate.session
            return (session is None or not session.lane.busy) and not self.program.errands.busy

        self.until(idle, "the store to be done")

    def buttons(self, words: str, within: QWidget | None = None) -> list[QAbstractButton]:
        """Every button on screen with these words, or with this accessible name."""
        found = (within or self.window).findChildren(QAbstractButton)
        return [
            one for one in found
            if one.isVisible() and words in (one.text(), one.accessibleName()) and one.text() + one.accessibleName()
        ]  # fmt: skip

    def box(self, name: str) -> QWidget:
        """The box on screen with this accessible name."""
        found = [
            one
            for kind in (QLineEdit, QPlainTextEdit)
            for one in self.window.findChildren(kind)
            if one.isVisible() and one.accessibleName() == name
        ]
        assert len(found) == 1, f"{len(found)} boxes are named {name!r}; on screen:\n{said(self.window)}"
        return found[0]

    # --- hands ------------------------------------------------------------------------------------------------------

    def reach(self, widget: QWidget) -> None:
        """Scroll a widget into view."""
        parent = widget.parentWidget()
        while parent is not None:
            if isinstance(parent, QScrollArea):
                parent.ensureWidgetVisible(widget, 8, 8)
            parent = parent.parentWidget()
        self.settle()

    def click(self, widget: QWidget) -> None:
        """Click the middle of a widget, which must be on screen, enabled, and not covered."""
        self.reach(widget)
        assert widget.isVisible(), f"{widget} is not on screen"
        assert widget.isEnabled(), f"{widget.accessibleName()!r} is not enabled"
        middle = widget.rect().center()
        top = widget.window()
        at = widget.mapTo(top, middle)
        hit = top.childAt(at)
        assert hit is not None, f"{widget.accessibleName()!r} cannot be reached"
        assert hit is widget or widget.isAncestorOf(hit), f"{widget.accessibleName()!r} is covered by {hit}"
        QTest.mouseClick(hit, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, hit.mapFrom(top, at))
        self.settle()

    def press(self, words: str, within: QWidget | None = None, *, nth: int = 0) -> None:
        """Click the button with these words; waits for it to be there and enabled."""
        self.until(
            lambda: len(self.buttons(words, within)) > nth and self.buttons(words, within)[nth].isEnabled(),
            f"the button {words!r}",
        )
        self.click(self.buttons(words, within)[nth])

    def decide(self, words: str) -> None:
        """Answer the question that stands in the way of everything else."""
        self.until(lambda: self.window.findChildren(Decision), "a question in the way")
        self.press(words, self.window.findChildren(Decision)[-1])

    def press_beside(self, words: str, near: str) -> None:
        """Click that one of several like buttons which stands nearest to some words."""
        self.until(lambda: self.buttons(words) and self.sees(near), f"{words!r} beside {near!r}")
        place = next(one for one in self.window.findChildren(QLabel) if one.isVisible() and near in one.text())
        at = place.mapTo(self.window, place.rect().center()).y()

        def away(one: QWidget) -> int:
            return abs(one.mapTo(self.window, QPoint(0, one.height() // 2)).y() - at)

        self.click(min(self.buttons(words), key=away))

    def keys(self, text: str) -> None:
        """Type text into what has the focus, each character as a keyboard that has it sends it."""
        focused = QApplication.focusWidget()
        assert focused is not None, "nothing has the focus"
        for character in text if text.isascii() else re.findall(r".[\u0300-\u036f\u200d\ufe0f]*", text, re.DOTALL):
            if character.isascii():
                QTest.keyClicks(focused, character)
            else:
                for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                    event = QKeyEvent(kind, 0, Qt.KeyboardModifier.NoModifier, character)
                    QCoreApplication.sendEvent(focused, event)
        self.settle()

    def key(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Press one key, wherever the focus is."""
        QTest.keyClick(QApplication.focusWidget() or self.window, key, modifier)
        self.settle()

    def control(self, key: Qt.Key) -> None:
        """Press Ctrl and a key."""
        self.key(key, Qt.KeyboardModifier.ControlModifier)

    def paste(self, text: str) -> None:
        """Put text on the clipboard and paste it."""
        QGuiApplication.clipboard().setText(text)
        self.control(K.Key_V)

    def write(self, box: QWidget | str, text: str, *, pasted: bool = False) -> None:
        """Click into a box, replace what stands there by this text, and leave the box."""
        where = self.box(box) if isinstance(box, str) else box
        self.click(where)
        self.control(K.Key_A)
        if pasted:
            self.paste(text)
        elif text:
            self.keys(text)
        else:
            self.key(K.Key_Delete)

    # --- time -------------------------------------------------------------------------------------------------------

    def time_passes(self, **span: float) -> None:
        """Let time pass while somebody is at the window and touches it every now and then."""
        left = timedelta(**span)
        while left > timedelta(0):
            step = min(left, timedelta(seconds=50))
            self.machine.pass_by(seconds=step.total_seconds())
            left -= step
            QTest.keyClick(self.window, K.Key_Shift)
            self.program.idle.tick()
        self.settle()

    def meets_a_bug(self, act: Callable[[], None]) -> None:
        """Do something that breaks inside the program on purpose: it says so in a sentence, and that is all."""
        act()
        while not self.broken:
            breathe()
        self.settle()
        assert self.told.pop()[0].startswith("Something went wrong inside Hearthside.")
        self.broken.clear()

    # --- the way in -------------------------------------------------------------------------------------------------

    def unlock(self, passphrase: str) -> None:
        """Type the passphrase and Enter, and wait for the record."""
        self.until_page("unlock")
        self.until(lambda: self.box("Passphrase").isEnabled(), "the passphrase box")
        self.write("Passphrase", passphrase)
        self.key(K.Key_Return)
        self.until(lambda: self.program.gate.session is not None, "the record to open")
        self.until(lambda: self.page.objectName() not in ("unlock", "feed_lock"), "a page of the record")
        self.until_idle()

    def lock(self) -> None:
        """Press Ctrl+L and wait until the store is put away."""
        self.control(K.Key_L)
        self.until(lambda: self.program.gate.session is None and not self.program.errands.busy, "the lock")

    def pick_file(self, act: Callable[[], None], place: Path) -> None:
        """Do what opens the file dialog, type a place in it and press its Save or Open."""
        done: list[str] = []

        def choose() -> None:
            dialog = QApplication.activeModalWidget()
            name = dialog.findChild(QLineEdit, "fileNameEdit") if isinstance(dialog, QFileDialog) else None
            if name is None or not name.isVisible() or done:
                return
            done.append(str(place))
            name.setText(str(place))
            keys = name.window().findChildren(QAbstractButton)
            go = next(one for one in keys if one.text().replace("&", "") in ("Save", "Open"))
            QTest.mouseClick(go, Qt.MouseButton.LeftButton)

        timer = QTimer(self.window)
        timer.setInterval(20)
        timer.timeout.connect(choose)
        timer.start()
        before = self.flashed
        act()
        timer.stop()
        timer.deleteLater()
        assert done, "no file dialog came"
        self.window.activateWindow()  # without a desktop nobody else gives the focus back after a dialog
        self.until(self.window.isActiveWindow, "the window to be active again")
        self.flashed = before
