"""The place that shows where a file can be dropped, and what is said when what was dropped is not one file of here."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Beside
from desktop.controls.surfaces import Surface
from desktop.controls.words import Words
from desktop.theme.look import look
from desktop.theme.tokens import Radius, Role, Space, Stroke

__all__ = ["DropArea", "one_file"]

_ONE = "Drop one file at a time; nothing was opened."
_HERE = "Only a file on this device can be dropped here; nothing was opened. Save it first, then drop it."


def one_file(dropped: QMimeData) -> Path | str:
    """The one local file that was dropped, or a sentence that says what is wrong with what was."""
    urls = dropped.urls()
    if len(urls) != 1:
        return _ONE
    return Path(urls[0].toLocalFile()) if urls[0].isLocalFile() else _HERE


class DropArea(Surface):
    """Words and a key in a broken outline, which closes while a file is held over it."""

    def __init__(self, words: str, key: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(Role.WELL, parent=parent)
        self._held = False
        self.setContentsMargins(Space.WIDE, Space.PAD, Space.WIDE, Space.PAD)
        across = Beside(self, gap=Space.WIDE, middle=True)
        across.addWidget(Words(words))
        across.addWidget(key)

    def hold(self, *, held: bool) -> None:
        """A file is held over the page, or is not any more."""
        self._held = held
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = Qt.PenStyle.SolidLine if self._held else Qt.PenStyle.DashLine
        ink = look().colour(Role.ELDER if self._held else Role.EDGE)
        painter.setPen(QPen(ink, Stroke.RING if self._held else Stroke.LINE, line))
        inset = Stroke.RING / 2
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset), Radius.EASED, Radius.EASED)
