"""A family's weights as one small line for each baby, ending in the baby's tag; the words beside it say the figures."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.pages.caselines import Point, Trace
from desktop.theme.halfmoons import TAG_ROLES, TagShape, paint_tag
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Space, Stroke, Target

__all__ = ["WeightTrace", "trace_words"]

_DASHES = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine, Qt.PenStyle.DashDotLine)


def trace_words(traces: tuple[Trace, ...]) -> str:
    """What the lines show, in words."""
    said = []
    for trace in traces:
        if len(trace.points) > 1:
            first, last = trace.points[0], trace.points[-1]
            said.append(f"{trace.name}: {len(trace.points)} weights, {first.grams:,} g to {last.grams:,} g")
        elif trace.points:
            said.append(f"{trace.name}: one weight, {trace.points[0].grams:,} g")
        if trace.disputed:
            said.append(f"{trace.name}: {trace.disputed} unresolved")
    return "; ".join(said)


class WeightTrace(Dressed, QWidget):
    """The lines. Time runs to the right; each line has the same scale, so that twins can be compared."""

    def __init__(self, traces: tuple[Trace, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._traces = tuple(trace for trace in traces if trace.points)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(trace_words(traces) or "No weights yet")

    def sizeHint(self) -> QSize:
        return QSize(Target.THREAD if self._traces else 0, Target.PAD if self._traces else 0)

    def minimumSizeHint(self) -> QSize:
        return QSize(Target.PAD if self._traces else 0, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        points = [point for trace in self._traces for point in trace.points]
        if not points:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        now, tag = look(), float(Target.MARK)
        box = QRectF(self.rect()).adjusted(Space.FINE, tag, -tag, -tag)
        begin, span = min(p.at for p in points), max(p.at for p in points) - min(p.at for p in points)
        low, high = min(p.grams for p in points), max(p.grams for p in points)

        def at(point: Point) -> QPointF:
            along = (point.at - begin) / span if span else 1.0
            up = (point.grams - low) / (high - low) if high > low else 0.5
            return QPointF(box.left() + along * box.width(), box.bottom() - up * box.height())

        for number, trace in enumerate(self._traces):
            shape = TagShape(trace.shape)
            line = QPainterPath(at(trace.points[0]))
            for point in trace.points[1:]:
                line.lineTo(at(point))
            pen = QPen(now.colour(TAG_ROLES[shape]), Stroke.LINE, _DASHES[number % len(_DASHES)])
            painter.strokePath(line, pen)
            end = at(trace.points[-1])
            paint_tag(painter, QRectF(end.x() - tag / 2, end.y() - tag / 2, tag, tag), shape, now)
            if not trace.points[-1].seen:
                # Told, not seen: the tag is hollow.
                inner = tag / 2
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(now.colour(Role.CARD))
                painter.drawEllipse(end, inner / 2, inner / 2)
