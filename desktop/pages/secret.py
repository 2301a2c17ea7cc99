"""What pages about opening and closing share: the passphrase box, the sentence under it, and the emblem."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Beside, spaced
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.theme.halfmoons import MoonState, paint_pair
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Target

__all__ = ["Emblem", "Secret", "Told"]


class Secret(QWidget):
    """A box for a passphrase. Hidden at first; shown while she wants it. Signal `entered()`: Enter was pressed."""

    entered = Signal()

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        spaced(column, Space.FINE)
        column.addWidget(Words(label, strong=True))
        self.box = Box(size=Size.JOT, ems=16)
        self.box.setEchoMode(QLineEdit.EchoMode.Password)
        self.box.setAccessibleName(label)
        self.box.setInputMethodHints(
            Qt.InputMethodHint.ImhSensitiveData
            | Qt.InputMethodHint.ImhNoPredictiveText
            | Qt.InputMethodHint.ImhNoAutoUppercase
        )
        self.box.returnPressed.connect(self.entered)
        self.show_link = Link("Show it")
        self.show_link.clicked.connect(self._turn)
        across = QWidget()
        beside = Beside(across, gap=Space.SNUG)
        beside.addWidget(self.box)
        beside.addWidget(self.show_link)
        column.addWidget(across)
        self.setFocusProxy(self.box)

    def _turn(self) -> None:
        hidden = self.box.echoMode() is QLineEdit.EchoMode.Password
        self.box.setEchoMode(QLineEdit.EchoMode.Normal if hidden else QLineEdit.EchoMode.Password)
        self.show_link.say("Hide it" if hidden else "Show it")
        self.box.setFocus()

    def take(self) -> str:
        """What was typed; the box is emptied, so that it does not wait in the window."""
        typed = self.box.text()
        self.box.clear()
        return typed

    def hideEvent(self, event: QHideEvent) -> None:
        """What nobody sees is not kept showing."""
        self.box.setEchoMode(QLineEdit.EchoMode.Password)
        self.show_link.say("Show it")
        super().hideEvent(event)


class Told(Words):
    """The sentence that says what stands in the way, or what is under way; gone while there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent=parent)
        self.hide()

    def trouble(self, sentence: str) -> None:
        """Something is in the way."""
        self._strong = True
        self.take_ink(Role.WELD)
        self._show(sentence)

    def progress(self, sentence: str) -> None:
        """Something is under way."""
        self._strong = False
        self.take_ink(Role.SOFT_INK)
        self._show(sentence)

    def _show(self, sentence: str) -> None:
        self.say(sentence)
        self.setVisible(bool(sentence))


class Emblem(Dressed, QWidget):
    """The two half-moons, large, on a page that is about opening and closing: one half filled, the other outlined."""

    def __init__(self, left: MoonState = MoonState.DONE, right: MoonState = MoonState.NOT_DONE) -> None:
        super().__init__()
        self._left, self._right = left, right

    def sizeHint(self) -> QSize:
        side = look().px(2 * Target.PAD)
        return QSize(side, side)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        side = self.sizeHint().width()
        painter = QPainter(self)
        paint_pair(painter, QRectF(0, 0, side, side), self._left, self._right, look(), Role.PAGE)
