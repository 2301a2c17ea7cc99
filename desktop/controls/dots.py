"""The shapes of points in a plot, painted from roles: they differ by outline, so that no colour speaks alone."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.picture import Dot
from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Role, Stroke, Target

__all__ = ["DotSign", "paint_dot"]


def _page(box: QRectF) -> QPainterPath:
    """A sheet, higher than wide, with one corner cut."""
    sheet = box.adjusted(box.width() / 8, 0, -box.width() / 8, 0)
    cut = sheet.width() / 3
    path = QPainterPath(sheet.topLeft())
    for at in (
        QPointF(sheet.right() - cut, sheet.top()),
        QPointF(sheet.right(), sheet.top() + cut),
        sheet.bottomRight(),
        sheet.bottomLeft(),
    ):
        path.lineTo(at)
    path.closeSubpath()
    return path


def _disc(box: QRectF) -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(box)
    return path


def paint_dot(painter: QPainter, at: QPointF, dot: Dot, look: Look, colour: QColor, ground: QColor) -> None:
    """One point, centred; `ground` is what shows through a hollow one."""
    side = look.px(Target.MARK)
    box = QRectF(at.x() - side / 2, at.y() - side / 2, side, side)
    pen = QPen(colour, Stroke.LINE)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    inner = box.adjusted(Stroke.HAIR, Stroke.HAIR, -Stroke.HAIR, -Stroke.HAIR)
    match dot:
        case Dot.NOTCHED:
            bite = _disc(QRectF(box.left() - side / 4, at.y() - side / 4, side / 2, side / 2))
            painter.fillPath(_disc(box).subtracted(bite), look.colour(Role.WELD))
        case Dot.FULL | Dot.BAR:
            painter.fillPath(_disc(box), colour)
        case Dot.CROSS:
            painter.setPen(pen)
            painter.drawLine(inner.topLeft(), inner.bottomRight())
            painter.drawLine(inner.bottomLeft(), inner.topRight())
        case _:
            painter.setPen(pen)
            painter.setBrush(QBrush(ground))
            painter.drawPath(_page(inner) if dot is Dot.PAGE else _disc(inner))
            if dot is Dot.EYED:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(colour)
                painter.drawEllipse(at, side / 6, side / 6)
    painter.restore()


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
        now = look()
        middle = QRectF(self.rect()).center()
        paint_dot(QPainter(self), middle, self._dot, now, now.colour(self._ink), now.colour(Role.CARD))
