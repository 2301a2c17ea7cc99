"""The shapes of points beside the words that explain them, painted as they are drawn in a picture."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.drawn import paint_drawing, scale_of
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Target
from forms.pictures.dots import dot_parts
from forms.pictures.drawing import Drawing, Ink, Table
from forms.pictures.plot import Dot

__all__ = ["DotSign"]


class DotSign(Dressed, QWidget):
    """One shape beside the words that explain it."""

    def __init__(self, dot: Dot, words: str, ink: Role, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._dot, self._ink = dot, ink
        self.setAccessibleName(words)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        side = look().px(Target.KNOB)
        return QSize(side, side)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        scale = scale_of(look())
        wide, tall = self.width() / scale, self.height() / scale
        parts = dot_parts(self._dot, wide / 2, tall / 2, Ink(self._ink.value))
        drawing = Drawing(self.accessibleName(), "", wide, tall, parts, Table((), ()))
        paint_drawing(QPainter(self), drawing, scale, look())
