"""What only the parent and the consultant should see: behind a tap, stamped, and away in the shared view."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, spaced
from desktop.controls.words import Words
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space

__all__ = ["PrivateVeil"]


class PrivateVeil(QWidget):
    """Private questions behind a tap.

    `title` names them without saying what was answered ("Mood and safety"). `stamp` is the question that says whether
    she was asked alone; it stands first once the veil is open. `set_shared(True)` takes all of it off the screen, and
    afterwards it is closed again. Signal `opened(bool)`.
    """

    opened = Signal(bool)

    def __init__(
        self, title: str, content: QWidget, *, stamp: QWidget | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._shared = False
        column = QVBoxLayout(self)
        spaced(column, Space.SNUG)
        self.opener = Act(title, small="private, tap when nobody looks on", icon=Icon.VEIL)
        self.opener.clicked.connect(lambda: self.open(True))
        self._inside = QWidget()
        inner = QVBoxLayout(self._inside)
        spaced(inner, Space.PAD)
        head = QWidget()
        across = Beside(head)
        across.addWidget(Words(f"{title}. On no paper; hidden in shared view.", size=Size.SMALL, ink=Role.SOFT_INK))
        self.closer = Link("Close the veil")
        self.closer.setAccessibleName(f"Close the veil over {title}")
        self.closer.clicked.connect(lambda: self.open(False))
        across.addWidget(self.closer)
        inner.addWidget(head)
        if stamp is not None:
            inner.addWidget(stamp)
        inner.addWidget(content)
        column.addWidget(self.opener)
        column.addWidget(self._inside)
        self._inside.hide()

    def is_open(self) -> bool:
        """Whether the content is on screen."""
        return not self._inside.isHidden()

    def open(self, on: bool) -> None:
        """Open or close the veil; it stays shut in shared view."""
        on = on and not self._shared
        had = self.is_open()
        self._inside.setVisible(on)
        self.opener.setVisible(not on)
        if on != had:
            (self.closer if on else self.opener).setFocus()
            self.opened.emit(on)

    def set_shared(self, on: bool) -> None:
        """Shared view on: nothing of this is on screen, not even its title. Off: back, and closed."""
        self._shared = on
        self.open(False)
        self.setVisible(not on)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.is_open():
            self.open(False)
            return
        super().keyPressEvent(event)
