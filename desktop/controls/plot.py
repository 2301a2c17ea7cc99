"""A plot: few lines with their names on them, points by shape, stepped through by key, by tap, and told in words.

Time runs to the right in every language. What a plot shows stands in a `Picture`, and what is painted is the drawing
that papers carry; here the point in view is marked on it.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.drawn import paint_drawing, scale_of
from desktop.controls.words import paint_ring
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Space, Stroke, Target
from forms.pictures.dots import SIDE
from forms.pictures.drawing import Drawing, Table
from forms.pictures.maker import NARROWEST
from forms.pictures.plot import Mark, Picture
from forms.pictures.plot_drawn import plot_parts
from forms.pictures.plot_labels import Field, field_of

__all__ = ["Plot"]


class Plot(Dressed, QWidget):
    """One picture. Left, Right, Home and End step from point to point, a tap goes to the nearest.

    Signal `stepped(place)` when another point is shown; the words of it stand beside the plot.
    """

    stepped = Signal(int)

    def __init__(
        self, picture: Picture, tall: int = Target.SIDE_PANEL + Space.FAR, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._tall = tall
        self._made: tuple[float, float, Field, Drawing] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.current = -1
        self.show_picture(picture)

    def show_picture(self, picture: Picture) -> None:
        """Show another picture, at its last point."""
        self.picture, self._made = picture, None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if picture.marks else Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(picture.name)
        self.go(len(picture.marks) - 1)
        self.update()

    def go(self, place: int) -> None:
        """Step to a point; a place past either end stays at that end."""
        marks = self.picture.marks
        self.current = min(max(place, 0), len(marks) - 1)
        words = f"Point {self.current + 1} of {len(marks)}: {marks[self.current].words}" if marks else ""
        self.setAccessibleDescription(" ".join(part for part in (self.picture.summary, words) if part))
        self.stepped.emit(self.current)
        self.update()

    def words(self) -> str:
        """The words of the point now shown; "" without points."""
        return self.picture.marks[self.current].words if self.picture.marks else ""

    # --- being used -------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        last = len(self.picture.marks) - 1
        to = {
            Qt.Key.Key_Left: self.current - 1,
            Qt.Key.Key_Right: self.current + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }.get(Qt.Key(event.key()))
        if to is None or last < 0:
            super().keyPressEvent(event)
            return
        self.go(to)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self.picture.marks:
            self.go(self.nearest(event.position()))

    def nearest(self, to: QPointF) -> int:
        """The place of the point nearest to where the plot was touched."""

        def away(place: int) -> float:
            lies = self.at(self.picture.marks[place])
            return (lies.x() - to.x()) ** 2 + (lies.y() - to.y()) ** 2

        return min(range(len(self.picture.marks)), key=away)

    # --- size -------------------------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        return QSize(look().px(self._tall) * 2, look().px(self._tall))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._tall, look().px(self._tall))

    def scale(self) -> float:
        """Pixels for each mm; smaller where even the narrowest picture would not fit."""
        return min(scale_of(look()), max(self.width(), 1) / NARROWEST)

    def field(self) -> Field:
        """Where figures stand, in mm."""
        return self.drawn()[0]

    def at(self, mark: Mark) -> QPointF:
        """A mark's middle in the widget."""
        x, y = self.field().of(mark)
        return QPointF(x, y) * self.scale()

    def drawn(self) -> tuple[Field, Drawing]:
        """The plot at the size it has now, and where its figures stand."""
        wide, tall = self.width() / self.scale(), self.height() / self.scale()
        if self._made is None or self._made[:2] != (wide, tall):
            field = field_of(self.picture, wide, tall)
            parts = tuple(plot_parts(field))
            drawing = Drawing(self.picture.name, self.picture.summary, wide, tall, parts, Table((), ()))
            self._made = wide, tall, field, drawing
        return self._made[2:]

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_current(painter)
        paint_drawing(painter, self.drawn()[1], self.scale(), now)
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, radius=Radius.EASED)

    def _paint_current(self, painter: QPainter) -> None:
        """A ring round the point now told in words, and a thread from it down to the foot."""
        if not self.picture.marks:
            return
        mark, field, scale = self.picture.marks[self.current], self.field(), self.scale()
        at, bar, ink = self.at(mark), field.bar(mark), look().colour(Role.ELDER)
        painter.setPen(QPen(ink, Stroke.HAIR, Qt.PenStyle.DashLine))
        painter.drawLine(at, QPointF(at.x(), field.box.foot * scale))
        painter.setPen(QPen(ink, Stroke.LINE))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if bar is None:
            painter.drawEllipse(at, SIDE * scale, SIDE * scale)
            return
        box = QRectF(bar.left * scale, at.y(), bar.wide * scale, 0)
        box = box.adjusted(-Space.FINE, -Space.GAP, Space.FINE, Space.GAP)
        painter.drawRoundedRect(box, Radius.EASED, Radius.EASED)
