"""The few line icons of the window, our own drawings on a 24 by 24 field; an icon never stands without its word."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from desktop.theme.tokens import Stroke

__all__ = ["Icon", "paint_icon"]

_FIELD = 24


class Icon(StrEnum):
    """What an icon shows."""

    PLUS = "plus"
    MINUS = "minus"
    TICK = "tick"
    OPEN = "open"  # opens in place, below
    CLOSE = "close"
    CLOCK = "clock"
    VEIL = "veil"  # behind a tap
    PAD = "pad"  # number pad
    ERASE = "erase"
    SCALE = "scale"
    BOWL = "bowl"
    PAPER = "paper"
    JUMP = "jump"
    SYNC = "sync"  # two devices that hand over, each to the other


def _lines(*runs: tuple[tuple[float, float], ...]) -> QPainterPath:
    path = QPainterPath()
    for run in runs:
        path.moveTo(*run[0])
        for point in run[1:]:
            path.lineTo(*point)
    return path


def _clock() -> QPainterPath:
    path = _lines(((12, 7), (12, 12), (15.5, 14)))
    path.addEllipse(QPointF(12, 12), 9, 9)
    return path


def _veil() -> QPainterPath:
    """A drawn curtain: a rail and three folds."""
    path = _lines(((3, 5), (21, 5)))
    for x in (5, 10, 15):
        path.moveTo(x, 5)
        path.cubicTo(x + 4, 9, x - 1, 15, x + 3, 20)
    return path


def _pad() -> QPainterPath:
    path = QPainterPath()
    for x in (5, 12, 19):
        for y in (6, 12, 18):
            path.addEllipse(QPointF(x, y), 1, 1)
    return path


def _scale() -> QPainterPath:
    path = _lines(((4, 20), (20, 20)), ((12, 20), (12, 12)))
    path.moveTo(3, 8)
    path.quadTo(12, 16, 21, 8)
    path.closeSubpath()
    return path


def _bowl() -> QPainterPath:
    path = _lines(((3, 11), (21, 11)))
    path.arcTo(QRectF(3, 2, 18, 18), 0, -180)
    return path


_DRAWN: Mapping[Icon, Callable[[], QPainterPath]] = MappingProxyType(
    {
        Icon.PLUS: lambda: _lines(((12, 5), (12, 19)), ((5, 12), (19, 12))),
        Icon.MINUS: lambda: _lines(((5, 12), (19, 12))),
        Icon.TICK: lambda: _lines(((4, 13), (10, 19), (20, 6))),
        Icon.OPEN: lambda: _lines(((5, 9), (12, 16), (19, 9))),
        Icon.CLOSE: lambda: _lines(((6, 6), (18, 18)), ((18, 6), (6, 18))),
        Icon.CLOCK: _clock,
        Icon.VEIL: _veil,
        Icon.PAD: _pad,
        Icon.ERASE: lambda: _lines(
            ((9, 5), (21, 5), (21, 19), (9, 19), (3, 12), (9, 5)), ((12, 9), (17, 15)), ((17, 9), (12, 15))
        ),
        Icon.SCALE: _scale,
        Icon.BOWL: _bowl,
        Icon.PAPER: lambda: _lines(
            ((6, 3), (15, 3), (19, 7), (19, 21), (6, 21), (6, 3)), ((9, 11), (16, 11)), ((9, 15), (16, 15))
        ),
        Icon.JUMP: lambda: _lines(((4, 12), (20, 12)), ((14, 6), (20, 12), (14, 18))),
        Icon.SYNC: lambda: _lines(
            ((3, 4), (8, 4), (8, 20), (3, 20), (3, 4)),
            ((16, 4), (21, 4), (21, 20), (16, 20), (16, 4)),
            ((10, 9), (14, 9)),
            ((10, 15), (14, 15)),
        ),
    }
)


def paint_icon(painter: QPainter, rect: QRectF, icon: Icon, colour: QColor) -> None:
    """Draws an icon in a square `rect` with a line of even width."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(rect.topLeft())
    scale = rect.width() / _FIELD
    painter.scale(scale, scale)
    pen = QPen(colour, max(Stroke.LINE / scale, 1.5))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.drawPath(_DRAWN[icon]())
    painter.restore()
