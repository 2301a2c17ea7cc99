"""The full name across the width for a second, when another person is charted from now on."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.moons import Tag
from desktop.controls.surfaces import Surface
from desktop.controls.words import Title, Words
from desktop.theme.halfmoons import TagShape
from desktop.theme.tokens import Role, Size, Space

__all__ = ["NameAcross"]

_SHOWN_MS = 1_000


class NameAcross(QWidget):
    """Lies over the top of a page and goes by itself. It takes no touch and no focus."""

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self._ground: Surface | None = None
        self.timer = QTimer(self)
        self.timer.setSingleShot(True)
        self.timer.setInterval(_SHOWN_MS)
        self.timer.timeout.connect(self.hide)
        self.said = ""
        self.hide()

    def show_name(self, name: str, small: str, shape: TagShape) -> None:
        """Show who is charted now."""
        over = self.parentWidget()
        if over is None:
            return
        if self._ground is not None:
            self._ground.setParent(None)
            self._ground.deleteLater()
        self._ground = Surface(Role.WELL, (), self)
        across = QHBoxLayout(self._ground)
        across.setContentsMargins(Space.FAR, Space.WIDE, Space.FAR, Space.WIDE)
        across.setSpacing(Space.PAD)
        across.addWidget(Tag(shape, name))
        across.addWidget(Title(name, size=Size.GREETING), 1)
        across.addWidget(Words(small, size=Size.JOT, ink=Role.SOFT_INK))
        self.said = name
        height = max(self._ground.heightForWidth(over.width()), self._ground.sizeHint().height())
        self.setGeometry(0, 0, over.width(), height)
        self._ground.setGeometry(0, 0, over.width(), height)
        self._ground.show()
        self.show()
        self.raise_()
        self.setAccessibleName(f"{name}, {small}")
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))
        self.timer.start()
