"""A day drawn as a ring: midnight at the top, lanes of arcs, the nights shaded, one stretch marked on the outside.

The ring takes the focus: the arrow keys step from line to line, Enter opens the one in view. What it shows is said in
words beside it and again in a table; no colour speaks alone, for each kind has a lane of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import atan2, cos, hypot, pi, sin

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.words import paint_ring
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Stroke
from forms.clinical.day_ring import LANES, Arc, DayRing

__all__ = ["Ring", "angles"]

_ACROSS = 340  # px at 100 % text, labels of the hours included
_LANE, _BETWEEN = 14, 3  # px at 100 %: a lane and the room between two
_MARK = 5  # px at 100 %: half of a diaper's sign
_NOTHING, _WHOLE = Fraction(0), Fraction(1)
_SIXTEENTHS = 16 * 360  # Qt counts angles in sixteenths of a degree, against the clock from three o'clock


def angles(arc: Arc) -> tuple[int, int]:
    """Where an arc begins and how far it goes, as the painter counts: the same share of a turn that the arc has."""
    return round((Fraction(1, 4) - arc.start) * _SIXTEENTHS), -round(arc.share * _SIXTEENTHS)


class Ring(Dressed, QWidget):
    """Signals: `stepped(entry)` when another line is in view; `opened(entry)` when one is asked for."""

    stepped = Signal(str)
    opened = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ring: DayRing | None = None
        self._order: tuple[str, ...] = ()
        self._middle: tuple[str, str] = ("", "")
        self.current = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_ring(self, ring: DayRing, order: Sequence[str], middle: tuple[str, str], name: str) -> None:
        """Show a ring. `order`: the entries to step through; `middle`: a number and the word under it."""
        self._ring, self._order, self._middle = ring, tuple(order), middle
        if self.current not in self._order:
            self.current = self._order[0] if self._order else ""
        self.setAccessibleName(name)
        self.setAccessibleDescription("Arrow keys step from line to line, Enter opens the line in view.")
        self.update()

    def go(self, steps: int) -> None:
        """Step so many lines on, or back; the ends hold."""
        if not self._order:
            return
        at = self._order.index(self.current) + steps
        self.current = self._order[max(0, min(at, len(self._order) - 1))]
        self.stepped.emit(self.current)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1,
                 Qt.Key.Key_Home: -len(self._order), Qt.Key.Key_End: len(self._order)}  # fmt: skip
        key = Qt.Key(event.key())
        if key in steps:
            self.go(steps[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current:
            self.opened.emit(self.current)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Bring the nearest line of what was touched into view: by its place on the ring, a finger's width wide."""
        nearest = self._nearest(event.position())
        if nearest:
            self.current = nearest
            self.stepped.emit(nearest)
            self.update()
        super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        nearest = self._nearest(event.position())
        if nearest:
            self.opened.emit(nearest)

    def _nearest(self, at: QPointF) -> str:
        if self._ring is None:
            return ""
        centre = QRectF(self.rect()).center()
        across, down = at.x() - centre.x(), at.y() - centre.y()
        far = hypot(across, down)
        if not self._inner() <= far <= self.width() / 2:
            return ""
        turn = atan2(across, -down) / (2 * pi) % 1

        def off(arc: Arc) -> float:
            behind = (turn - float(arc.start)) % 1
            return 0.0 if behind <= arc.share else min(behind - float(arc.share), 1 - behind)

        found = min((*self._ring.arcs, *self._ring.wets, *self._ring.stools), key=off, default=None)
        return found.entry if found is not None else ""

    # --- size -------------------------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        side = look().px(_ACROSS)
        return QSize(side, side)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def dress(self) -> None:
        self.updateGeometry()

    def _outer(self) -> float:
        """The radius of the outermost lane's outer edge: inside the hours and the marked stretch."""
        hour = QFontMetrics(look().font(Size.SMALL)).boundingRect("00")
        return self.width() / 2 - max(hour.width(), hour.height()) - look().px(Space.GAP) * 2

    def _lane(self, place: int) -> float:
        """The radius of the middle of a lane."""
        return self._outer() - look().px(_LANE) / 2 - place * look().px(_LANE + _BETWEEN)

    def _inner(self) -> float:
        """The radius inside which nothing of the ring stands: within the lane of diapers."""
        return self._lane(len(LANES)) - look().px(_LANE)

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._ring is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_ground(painter, self._ring)
        self._paint_lanes(painter, self._ring)
        self._paint_diapers(painter, self._ring)
        if self._ring.gap is not None:
            self._paint_gap(painter, self._ring.gap)
        self._paint_hours(painter, self._ring)
        self._paint_middle(painter)
        if self.hasFocus():
            paint_ring(painter, self.rect(), look())

    def _paint_ground(self, painter: QPainter, ring: DayRing) -> None:
        """The lanes' ground, the nights darker."""
        now, thick = look(), look().px(_LANE)
        for place in range(len(LANES)):
            self._stretch(painter, Arc(_NOTHING, _WHOLE), self._lane(place), thick, now.tint(Role.WELL, Role.CARD, 55))
            for night in ring.nights:
                self._stretch(painter, night, self._lane(place), thick, now.tint(Role.EDGE, Role.CARD, 38))

    def _paint_lanes(self, painter: QPainter, ring: DayRing) -> None:
        now, thick = look(), look().px(_LANE)
        for arc in ring.arcs:
            radius = self._lane(LANES.index(arc.lane))
            ink = now.colour(Role.ELDER if arc.lane in ("left", "right") else Role.WOAD)
            if arc.share:
                self._stretch(painter, arc, radius, thick, ink)
            else:
                self._tick(painter, arc, radius - thick / 2, radius + thick / 2, ink, Stroke.RING + 1)
            if arc.entry == self.current:
                edge = Stroke.LINE + thick / 2
                self._tick(painter, arc, radius - edge, radius + edge + thick / 2, now.colour(Role.INK), Stroke.RING)

    def _paint_diapers(self, painter: QPainter, ring: DayRing) -> None:
        """A ring for a wet diaper, a filled disc for a stool; both: one within the other."""
        now, radius, half = look(), self._lane(len(LANES)), look().px(_MARK)
        for marks, filled in ((ring.wets, False), (ring.stools, True)):
            for arc in marks:
                at = self._point(arc.start, radius)
                size = half * 0.55 if filled else half
                painter.setPen(QPen(now.colour(Role.INK), Stroke.LINE))
                painter.setBrush(now.colour(Role.INK) if filled else Qt.BrushStyle.NoBrush)
                painter.drawEllipse(at, size, size)

    def _paint_gap(self, painter: QPainter, gap: Arc) -> None:
        """A line outside the lanes from end to end of the stretch, with a bar at each end."""
        now, radius = look(), self._outer() + look().px(Space.GAP)
        ink = now.colour(Role.INK)
        self._stretch(painter, gap, radius, Stroke.LINE, ink)
        for at in (gap.start, gap.start + gap.share):
            reach = look().px(Space.FINE)
            self._tick(painter, Arc(at, _NOTHING), radius - reach, radius + reach, ink, Stroke.LINE)

    def _paint_hours(self, painter: QPainter, ring: DayRing) -> None:
        now = look()
        font = now.font(Size.SMALL)
        painter.setFont(font)
        metrics = QFontMetrics(font)
        for hour in ring.hours:
            self._tick(painter, Arc(hour.turn, _NOTHING), self._outer(), self._outer() + Space.FINE,
                       now.colour(Role.EDGE), Stroke.HAIR)  # fmt: skip
            words = str(hour.hour)
            tall, wide = metrics.height(), metrics.horizontalAdvance(words)
            at = self._point(hour.turn, self.width() / 2 - max(tall, metrics.horizontalAdvance("00")) / 2)
            painter.setPen(now.colour(Role.INK if hour.hour % 6 == 0 else Role.SOFT_INK))
            painter.drawText(QRectF(at.x() - wide, at.y() - tall / 2, 2 * wide, tall),
                             Qt.AlignmentFlag.AlignCenter, words)  # fmt: skip

    def _paint_middle(self, painter: QPainter) -> None:
        now, centre = look(), QRectF(self.rect()).center()
        number, word = self._middle
        big, small = now.font(Size.TITLE, strong=True), now.font(Size.SMALL)
        high, low = QFontMetrics(big).height(), QFontMetrics(small).height()
        wide, top = 2 * self._inner(), centre.y() - (high + low) / 2
        painter.setPen(now.colour(Role.INK))
        painter.setFont(big)
        painter.drawText(QRectF(centre.x() - wide / 2, top, wide, high), Qt.AlignmentFlag.AlignCenter, number)
        painter.setPen(now.colour(Role.SOFT_INK))
        painter.setFont(small)
        painter.drawText(QRectF(centre.x() - wide / 2, top + high, wide, low), Qt.AlignmentFlag.AlignCenter, word)

    def _stretch(self, painter: QPainter, arc: Arc, radius: float, thick: float, ink: QColor) -> None:
        centre = QRectF(self.rect()).center()
        box = QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius)
        pen = QPen(ink, thick)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        start, span = angles(arc)
        painter.drawArc(box, start, span)

    def _tick(self, painter: QPainter, arc: Arc, inner: float, outer: float, ink: QColor, thick: float) -> None:
        painter.setPen(QPen(ink, thick))
        painter.drawLine(self._point(arc.start, inner), self._point(arc.start, outer))

    def _point(self, turn: Fraction, radius: float) -> QPointF:
        centre, angle = QRectF(self.rect()).center(), 2 * pi * float(turn)
        return QPointF(centre.x() + radius * sin(angle), centre.y() - radius * cos(angle))
