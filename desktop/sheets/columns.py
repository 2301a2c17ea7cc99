"""Side by side while there is room for every one, one under another when there is not."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize
from PySide6.QtGui import QGuiApplication, Qt
from PySide6.QtWidgets import QLayoutItem, QWidget

from desktop.controls.layouts import Flow
from desktop.theme.look import look
from desktop.theme.tokens import Space, Target

__all__ = ["Columns"]


def _tall(item: QLayoutItem, width: int) -> int:
    if item.hasHeightForWidth():
        return max(item.heightForWidth(width), item.minimumSize().height())
    return max(item.sizeHint().height(), item.minimumSize().height())


class Columns(Flow):
    """Equal columns; where one would be too narrow to read in, all of them go under one another."""

    def __init__(self, parent: QWidget | None = None, *, gap: Space = Space.WIDE) -> None:
        super().__init__(parent, gap=gap, row_gap=Space.PAD)

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = max((item.sizeHint().width() for item in shown), default=0)
        return QSize(wide * max(len(shown), 1), self.heightForWidth(wide * max(len(shown), 1)))

    def _place(self, rect: QRect, *, move: bool) -> int:
        shown = self._shown()
        if not shown:
            return 0
        each = (rect.width() - self._gap * (len(shown) - 1)) // len(shown)
        least = look().px(Target.READING * Space.SNUG)
        if any(max(item.minimumSize().width(), min(item.sizeHint().width(), least)) > each for item in shown):
            return self._stacked(rect, move=move)
        height = max(_tall(item, each) for item in shown)
        if move:
            mirrored = QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft
            for at, item in enumerate(shown):
                column = len(shown) - 1 - at if mirrored else at
                left = rect.left() + column * (each + self._gap)
                item.setGeometry(QRect(left, rect.top(), each, _tall(item, each)))
        return height

    def _stacked(self, rect: QRect, *, move: bool) -> int:
        top = 0
        for item in self._shown():
            height = _tall(item, rect.width())
            if move:
                item.setGeometry(QRect(rect.left(), rect.top() + top, rect.width(), height))
            top += height + self._row_gap
        return max(top - self._row_gap, 0)
