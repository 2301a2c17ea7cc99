"""A day drawn as a ring: midnight at the top, lanes of arcs, the nights shaded, one stretch marked on the outside.

The ring takes the focus: the arrow keys step from line to line, Enter opens the one in view. What is painted is the
drawing that papers carry; what it shows is said in words beside it and again in a table.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, hypot, pi

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.drawn import paint_drawing, scale_of
from desktop.controls.words import paint_ring
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Stroke
from forms.clinical.day_ring import Arc, DayRing
from forms.pictures.dial import Dial, dial_of, dial_parts
from forms.pictures.drawing import Drawing, Table
from forms.pictures.maker import NARROWEST

__all__ = ["Ring"]


class Ring(Dressed, QWidget):
    """Signals: `stepped(entry)` when another line is in view; `opened(entry)` when one is asked for."""

    stepped = Signal(str)
    opened = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ring: DayRing | None = None
        self._order: tuple[str, ...] = ()
        self._drawing: Drawing | None = None
        self.current = ""
        self._pressed = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_ring(self, ring: DayRing, order: Sequence[str], middle: tuple[str, str], name: str) -> None:
        """Show a ring. `order`: the entries to step through; `middle`: a number and the word under it."""
        self._ring, self._order = ring, tuple(order)
        parts = tuple(dial_parts(self.dial(), ring, lambda _entry: None, None, middle))
        self._drawing = Drawing(name, "", NARROWEST, NARROWEST, parts, Table((), ()))
        if self.current not in self._order:
            self.current = self._order[0] if self._order else ""
        self.setAccessibleName(name)
        self.setAccessibleDescription("Arrow keys step from line to line, Enter opens the line in view.")
        self.update()

    def dial(self) -> Dial:
        """The face in mm: as large as the narrowest picture holds."""
        return dial_of(NARROWEST / 2, NARROWEST / 2, NARROWEST / 2)

    def go(self, steps: int) -> None:
        """Step so many lines on, or back; the ends hold."""
        if not self._order:
            return
        at = self._order.index(self.current) + steps
        self.current, self._pressed = self._order[max(0, min(at, len(self._order) - 1))], ""
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
        """Bring the nearest line of what was touched into view, a finger's width wide; pressed again, it opens."""
        nearest = self._nearest(event.position())
        if nearest and nearest == self._pressed:
            self.opened.emit(nearest)
        elif nearest:
            self.current = self._pressed = nearest
            self.stepped.emit(nearest)
            self.update()
        super().mousePressEvent(event)

    def _nearest(self, at: QPointF) -> str:
        if self._ring is None:
            return ""
        dial, scale = self.dial(), scale_of(look())
        across, down = at.x() / scale - dial.x, at.y() / scale - dial.y
        if not dial.inner <= hypot(across, down) <= dial.reach:
            return ""
        turn = atan2(across, -down) / (2 * pi) % 1

        def off(arc: Arc) -> float:
            behind = (turn - float(arc.start)) % 1
            return 0.0 if behind <= arc.share else min(behind - float(arc.share), 1 - behind)

        found = min((*self._ring.arcs, *self._ring.wets, *self._ring.stools), key=off, default=None)
        return found.entry if found is not None else ""

    # --- size -------------------------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        side = round(NARROWEST * scale_of(look()))
        return QSize(side, side)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def dress(self) -> None:
        self.updateGeometry()

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._drawing is None:
            return
        painter, scale = QPainter(self), scale_of(look())
        paint_drawing(painter, self._drawing, scale, look())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_current(painter, scale)
        if self.hasFocus():
            paint_ring(painter, self.rect(), look())

    def _paint_current(self, painter: QPainter, scale: float) -> None:
        """A line outward through the beginning of the line in view."""
        assert self._ring is not None
        dial = self.dial()
        painter.setPen(QPen(look().colour(Role.INK), Stroke.RING))
        for arc in self._ring.arcs:
            if arc.entry == self.current:
                radius = dial.radius(arc.lane)
                near, far = radius - dial.thick / 2 - 0.6, radius + dial.thick / 2 + 2.2
                begin, end = dial.at(arc.start, near), dial.at(arc.start, far)
                painter.drawLine(QPointF(*begin) * scale, QPointF(*end) * scale)
