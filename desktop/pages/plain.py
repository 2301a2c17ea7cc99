"""A page that is read from top to bottom in one narrow column: greeting, unlocking, what went wrong."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QTimer
from PySide6.QtGui import QFocusEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Flow, Reach, Stack
from desktop.controls.words import Title, Words, paint_ring
from desktop.pages.page import Ground, Page
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target
from forms.trouble import Trouble

__all__ = ["PlainColumn", "PlainPage", "ReadOut", "focus_soon", "key_row", "main_key", "not_read"]

_EMS = 2 * Target.READING


def key_row(*keys: QWidget) -> QWidget:
    """Keys and links side by side, wrapping where they must."""
    holder = QWidget()
    flow = Flow(holder, gap=Space.PAD)
    for key in keys:
        flow.addWidget(key)
    return holder


def focus_soon(widget: QWidget) -> None:
    """Give a widget the focus once the page it was just put on has shown it."""
    QTimer.singleShot(0, widget, widget.setFocus)


def main_key(words: str) -> Act:
    """The one likely next thing."""
    return Act(words, kind=ActKind.MAIN)


def not_read(what: str, trouble: Trouble, again: Callable[[], None]) -> Stack:
    """What stands where a list could not be read: what it is, why, and the key that tries once more."""
    key = main_key("Read again")
    key.clicked.connect(again)
    told = Stack(between=Space.PAD)
    told.setContentsMargins(0, Space.BROAD, 0, 0)
    told.add(Title(f"{what} could not be read", size=Size.FIGURE), Words(trouble.sentence), key_row(key))
    return told


class ReadOut(Ground):
    """A card of words that are read out. With the focus it has a ring, and no key is pressed by an Enter too many."""

    def __init__(self) -> None:
        super().__init__(Role.CARD)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.hasFocus():
            paint_ring(QPainter(self), self.rect(), look())


class PlainColumn(Reach):
    """One column, left of the middle, with wide air around it; add to `column`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        ground = Ground(Role.PAGE)
        super().__init__(ground, parent)
        across = QHBoxLayout(ground)
        across.setContentsMargins(Space.FAR, Space.FAR, Space.FAR, Space.FAR)
        across.addStretch(1)
        self.column = Stack(between=Space.PAD)
        self.column.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        across.addWidget(self.column, 100)
        across.addStretch(2)
        self._widen()

    def _widen(self) -> None:
        self.column.setMaximumWidth(look().px(_EMS * Space.PAD))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange and hasattr(self, "column"):
            self._widen()


class PlainPage(Page):
    """A page that is one such column."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self._reach = PlainColumn()
        self.column = self._reach.column
        outer.addWidget(self._reach)
