"""Grounds: a part of the window in one of the roles, with hairlines where it meets another."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Stroke

__all__ = ["Surface"]


class Surface(Dressed, QWidget):
    """A ground in a role. `edges` says at which sides a hairline stands."""

    def __init__(
        self, ground: Role = Role.CARD, edges: tuple[Qt.Edge, ...] = (), parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._ground, self._edges = ground, edges

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        now, box = look(), self.rect()
        painter.fillRect(box, now.colour(self._ground))
        edge, hair = now.colour(Role.EDGE), Stroke.HAIR
        for side in self._edges:
            if side in (Qt.Edge.TopEdge, Qt.Edge.BottomEdge):
                painter.fillRect(0, 0 if side is Qt.Edge.TopEdge else box.bottom() + 1 - hair, box.width(), hair, edge)
            else:
                painter.fillRect(0 if side is Qt.Edge.LeftEdge else box.right() + 1 - hair, 0, hair, box.height(), edge)
