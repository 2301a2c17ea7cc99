"""The two half-moons and the whole moon, in their four states; and the babies' tag shapes. All painted from roles.

The left half is always the person's own left, and the pair never mirrors, whatever the direction of the writing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPainterPath, QPen, QPolygonF

from desktop.theme.look import Look
from desktop.theme.tokens import Role, Stroke
from forms.answers import Side
from forms.pictures.whose import TAG_INKS, TagShape

__all__ = ["TAG_ROLES", "MoonState", "TagShape", "paint_half", "paint_pair", "paint_tag", "paint_whole"]


class MoonState(StrEnum):
    """What a moon says. Its value is also the word that stands for it in an accessible name."""

    NOT_DONE = "not done"
    DONE = "done"
    DECLINED = "declined"
    CONCERN = "concern"


TAG_ROLES: Mapping[TagShape, Role] = MappingProxyType({shape: Role(ink.value) for shape, ink in TAG_INKS.items()})


def _half(rect: QRectF, side: Side) -> QPainterPath:
    """A half disc with its flat edge on the inner side of `rect`, which is half as wide as it is high."""
    whole = QRectF(rect.left() if side is Side.LEFT else rect.right() - rect.height(), rect.top(), 0, 0)
    whole.setSize(QRectF(0, 0, rect.height(), rect.height()).size())
    path = QPainterPath(QPointF(whole.center().x(), whole.top()))
    path.arcTo(whole, 90, 180 if side is Side.LEFT else -180)
    path.closeSubpath()
    return path


def _notch(path: QPainterPath, at: QPointF, radius: float) -> QPainterPath:
    bite = QPainterPath()
    bite.addEllipse(at, radius, radius)
    return path.subtracted(bite)


def _fill(painter: QPainter, path: QPainterPath, state: MoonState, look: Look, ground: Role) -> None:
    pen = QPen(look.colour(Role.INK), Stroke.LINE)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if state is MoonState.NOT_DONE:
        painter.setPen(pen)
        painter.setBrush(look.colour(ground))
    elif state is MoonState.DECLINED:
        painter.fillPath(path, look.colour(ground))
        painter.save()
        painter.setClipPath(path)
        painter.setPen(QPen(look.colour(Role.INK), Stroke.LINE))
        box, step = path.boundingRect(), 3 * Stroke.LINE
        reach, start = box.height(), box.left() - box.height()
        while start < box.right():
            painter.drawLine(QPointF(start, box.bottom()), QPointF(start + reach, box.top()))
            start += step
        painter.restore()
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QBrush(look.colour(Role.WELD if state is MoonState.CONCERN else Role.INK)))
    painter.drawPath(path)
    painter.restore()


def paint_half(
    painter: QPainter, rect: QRectF, side: Side, state: MoonState, look: Look, ground: Role = Role.CARD
) -> None:
    """One half-moon, as high as `rect` and half as wide, its flat edge at the inner side of `rect`."""
    inset = Stroke.LINE / 2 if state in (MoonState.NOT_DONE, MoonState.DECLINED) else 0
    box = rect.adjusted(inset, inset, -inset, -inset)
    path = _half(box, side)
    if state is MoonState.CONCERN:
        outer = box.left() if side is Side.LEFT else box.right()
        path = _notch(path, QPointF(outer, box.center().y()), box.height() / 5)
    _fill(painter, path, state, look, ground)


def paint_pair(
    painter: QPainter, rect: QRectF, left: MoonState, right: MoonState, look: Look, ground: Role = Role.CARD
) -> None:
    """Both halves in a square `rect`, flat sides touching but for a hair of ground between them."""
    half = rect.width() / 2
    gap = Stroke.HAIR / 2
    paint_half(painter, QRectF(rect.left(), rect.top(), half - gap, rect.height()), Side.LEFT, left, look, ground)
    at = rect.left() + half + gap
    paint_half(painter, QRectF(at, rect.top(), half - gap, rect.height()), Side.RIGHT, right, look, ground)


def paint_whole(painter: QPainter, rect: QRectF, state: MoonState, look: Look, ground: Role = Role.CARD) -> None:
    """One whole moon in a square `rect`, for a moment that has no sides."""
    inset = Stroke.LINE / 2 if state in (MoonState.NOT_DONE, MoonState.DECLINED) else 0
    box = rect.adjusted(inset, inset, -inset, -inset)
    path = QPainterPath()
    path.addEllipse(box)
    if state is MoonState.CONCERN:
        path = _notch(path, QPointF(box.left(), box.center().y()), box.height() / 5)
    _fill(painter, path, state, look, ground)


def _circle(box: QRectF) -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(box)
    return path


def _polygon(*points: QPointF) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF(points))
    path.closeSubpath()
    return path


def _square(box: QRectF) -> QPainterPath:
    path = QPainterPath()
    inset = box.width() / 16
    path.addRect(box.adjusted(inset, inset, -inset, -inset))
    return path


def _cross(box: QRectF) -> QPainterPath:
    arm = box.width() / 5
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    path.addRect(QRectF(box.center().x() - arm / 2, box.top(), arm, box.height()))
    path.addRect(QRectF(box.left(), box.center().y() - arm / 2, box.width(), arm))
    return path


_SHAPES: Mapping[TagShape, Callable[[QRectF], QPainterPath]] = MappingProxyType(
    {
        TagShape.CIRCLE: _circle,
        TagShape.SQUARE: _square,
        TagShape.TRIANGLE: lambda b: _polygon(QPointF(b.center().x(), b.top()), b.bottomRight(), b.bottomLeft()),
        TagShape.DIAMOND: lambda b: _polygon(
            QPointF(b.center().x(), b.top()),
            QPointF(b.right(), b.center().y()),
            QPointF(b.center().x(), b.bottom()),
            QPointF(b.left(), b.center().y()),
        ),
        TagShape.PARENT: _cross,
    }
)


def paint_tag(painter: QPainter, rect: QRectF, shape: TagShape, look: Look) -> None:
    """A person's tag in its own colour; the name always stands beside it."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillPath(_SHAPES[shape](rect), look.colour(TAG_ROLES[shape]))
    painter.restore()
