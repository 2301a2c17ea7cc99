"""The main window: one page at a time, sentences for the user above it, the warning before the lock below it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QAction, QCloseEvent, QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QMainWindow, QPlainTextEdit, QVBoxLayout, QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.words import Words
from desktop.notices import Notices
from desktop.pages.page import Edge, Ground, Page
from desktop.settings import DeviceSettings
from desktop.theme.apply import apply_look
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space

__all__ = ["Window"]

_NEWS_MS = 8_000
_WIDE, _HIGH = 1280, 800
_INKS: Mapping[str, Role] = MappingProxyType({"news": Role.ALDER, "watch": Role.WELD, "trouble": Role.INK})
_SAID_FIRST: Mapping[str, str] = MappingProxyType({"news": "", "watch": "Look at this: ", "trouble": ""})


class _Said(Ground):
    """The bar of the sentence that was said last. News goes by itself, trouble stays until it is put away."""

    def __init__(self) -> None:
        super().__init__(Role.WELL)
        across = QHBoxLayout(self)
        across.setContentsMargins(Space.WIDE, Space.FINE, Space.WIDE, Space.FINE)
        self.words = Words(strong=True)
        self.words.setMinimumHeight(look().px(Space.FAR))
        across.addWidget(self.words, 1)
        away = Link("Put away")
        away.clicked.connect(self.hide)
        across.addWidget(away)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_NEWS_MS)
        self._timer.timeout.connect(self.hide)
        self.hide()

    def say(self, sentence: str, tone: str) -> None:
        """Show a sentence."""
        self.words.take_ink(_INKS.get(tone, Role.INK))
        self.words.say(_SAID_FIRST.get(tone, "") + sentence)
        self.show()
        self._timer.stop()
        if tone == "news":
            self._timer.start()


class _Warning(Ground):
    """The band that warns before the lock."""

    def __init__(self) -> None:
        super().__init__(Role.WELL, Edge.TOP)
        across = QHBoxLayout(self)
        across.setContentsMargins(Space.WIDE, Space.PAD, Space.WIDE, Space.PAD)
        self.words = Words(size=Size.JOT, strong=True)
        across.addWidget(self.words, 1)
        across.addWidget(Act("Stay open"))
        self.hide()

    def count(self, seconds: int) -> None:
        """Show how long is left."""
        self.words.dress()  # a hidden label does not hear that the text size changed
        self.words.say(f"Locks in {seconds} s. Any key or touch keeps it open.")
        self.show()


class Window(QMainWindow):
    """The window. Signals: `lock_asked()` on Ctrl+L, `closing()` when it was asked to close."""

    lock_asked = Signal()
    closing = Signal()

    def __init__(self, settings: DeviceSettings, notices: Notices) -> None:
        super().__init__()
        self.settings = settings
        self.may_close = False
        self.setWindowTitle("Hearthside")
        self.setMinimumSize(_WIDE // 2, _HIGH // 2)
        self.resize(_WIDE, _HIGH)
        centre = QWidget()
        self._column = QVBoxLayout(centre)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._said, self._warning = _Said(), _Warning()
        self._column.addWidget(self._said)
        self._column.addWidget(self._warning)
        self.setCentralWidget(centre)
        self.page: Page | None = None
        notices.said.connect(self._said.say)
        settings.changed.connect(self.dress)
        self._keys()
        self.dress()

    def _keys(self) -> None:
        self._key("Ctrl+L", self.lock_asked.emit)
        self._key("Ctrl+T", self.settings.next_theme)
        for keys in ("Ctrl++", "Ctrl+="):
            self._key(keys, self.settings.bigger)
        self._key("Ctrl+-", self.settings.smaller)
        self._find = self._key("/", self._find_pressed)
        QGuiApplication.instance().focusObjectChanged.connect(self._focused)  # type: ignore[union-attr]

    def _key(self, keys: str, act: Callable[[], object]) -> QAction:
        action = QAction(self)
        action.setShortcut(QKeySequence(keys))
        action.triggered.connect(lambda _on=False: act())
        self.addAction(action)
        return action

    def _focused(self, focused: object) -> None:
        """In a text field "/" is a character."""
        self._find.setEnabled(not isinstance(focused, QLineEdit | QPlainTextEdit))

    def _find_pressed(self) -> None:
        if self.page is not None:
            self.page.seek()

    def dress(self) -> None:
        """Put theme and text size in force, live."""
        app = QApplication.instance()
        if isinstance(app, QApplication):
            apply_look(app, self.settings.now.look)

    def put(self, page: Page) -> Page | None:
        """Show a page; the one that stood there before is taken out and handed back, hidden."""
        before = self.page
        if before is not None:
            self._column.removeWidget(before)
            before.hide()
            before.setParent(None)
        self.page = page
        self._column.insertWidget(1, page, 1)
        page.show()
        page.setFocus()
        return before

    def warn(self, seconds: int) -> None:
        """Show the warning before the lock."""
        self._warning.count(seconds)

    def hush(self) -> None:
        """Put away what was said last; nothing said over the record stays over the lock."""
        self._said.hide()

    def ease(self) -> None:
        """Take the warning away."""
        self._warning.hide()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Closing waits until everything typed is written and the store is locked."""
        if self.may_close:
            event.accept()
            return
        event.ignore()
        self.closing.emit()
