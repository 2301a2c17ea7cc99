"""An outline on screen, on which marks are placed: by a touch, by the mouse, or by a crosshair and the arrow keys.

The outline and its marks are painted once and kept; a new mark is painted over what stands. Which mark lies under a
finger is looked up in a grid, so that ten thousand of them stay as quick to touch as ten.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.drawn import paint_drawing, scale_of
from desktop.controls.words import paint_ring
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Space, Stroke, Target
from forms.mark_place import spots
from forms.pictures.drawing import Drawing, Part, Table
from forms.pictures.marked import FOOT, Numbered, labels, signs_of
from forms.pictures.near import Near
from forms.pictures.outlines import BodyOutline, Spot, outline_of

__all__ = ["OutlineBoard"]

_STEP: Final = 2.0  # mm of the drawing that an arrow key moves the crosshair; with Shift a quarter of it
_FINE: Final = 0.5
_ARROWS: Final[Mapping[Qt.Key, tuple[int, int]]] = MappingProxyType({
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1),
})  # fmt: skip
_MARK: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
_TOGETHER: Final = 0.6  # of the natural size: smaller than this an outline is not drawn, the page scrolls instead


class OutlineBoard(Dressed, QWidget):
    """One outline with its marks.

    Signals: `placed(Spot)` for a touch where no mark is, or Enter at the crosshair; `picked(str, Spot)` when a mark is
    touched: its entry, and where the finger was; `aimed(Spot)` when the crosshair moves; `left()` on Esc. `told` says a
    spot in words, for the screen reader.
    """

    placed = Signal(object)
    picked = Signal(str, object)
    aimed = Signal(object)
    left = Signal()

    def __init__(
        self, code: str, side: str, name: str, told: Callable[[Spot], str], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.outline: BodyOutline = outline_of(code, side)
        self._foot = labels(self.outline, name)
        self._told = told
        self.marks: tuple[Numbered, ...] = ()
        self.near = Near(self._reach())
        self._stacked: dict[tuple[int, int], int] = {}
        self._drawn: tuple[tuple[object, ...], QPixmap, int] | None = None
        self.painted = 0
        self.shown: str | None = None
        self.aim: Spot | None = None
        self.closed = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.CrossCursor)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        whose = f"{name}’s {side} chest" if side else f"{name}, {code.replace('_', ' ')}"
        self.setAccessibleName(f"Outline: {whose}")
        self._tell()

    # --- what it shows ----------------------------------------------------------------------------------------------

    def show_marks(self, marks: tuple[Numbered, ...]) -> None:
        """Show these. Where they only begin with those that stand, what is painted stays and the rest is added."""
        if marks == self.marks:
            return
        grown = marks[: len(self.marks)] == self.marks
        begin = len(self.marks) if grown else 0
        if not grown:
            self._drawn = None
            self.near = Near(self._reach())
        self.marks = marks
        for place in range(begin, len(marks)):
            for spot in spots(marks[place].entry.answers):
                self.near.add(*self.outline.at(spot), place)
        self._tell()
        self.update()

    def pick_out(self, entity: str | None) -> None:
        """Ring the mark of this entry, or none."""
        if entity != self.shown:
            self.shown = entity
            self.update()

    def shut(self, *, shut: bool) -> None:
        """Take no more marks, or take them again. What stands stays in view and can be touched to be read."""
        self.closed = shut
        self.setCursor(Qt.CursorShape.ArrowCursor if shut else Qt.CursorShape.CrossCursor)
        self._tell()
        self.update()

    def aim_at(self, spot: Spot | None) -> None:
        """Put the crosshair somewhere, or away."""
        self.aim = spot
        self._tell()
        self.update()
        if spot is not None:
            self.aimed.emit(spot)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))

    def _tell(self) -> None:
        count = "1 mark." if len(self.marks) == 1 else f"{len(self.marks)} marks."
        keys = "" if self.closed else " Arrow keys move the crosshair, with Shift finely; Enter marks; Esc goes back."
        at = f" Crosshair: {self._told(self.aim)}." if self.aim is not None else ""
        self.setAccessibleDescription(f"{count}{at}{keys}")

    # --- size -------------------------------------------------------------------------------------------------------

    def _reach(self) -> float:
        """Half a target, in mm of the drawing at its natural size."""
        return Target.TOUCH / 2 / scale_of(look())

    def scale(self) -> float:
        """Pixels for each mm as painted now."""
        return self._scale(self.width())

    def _scale(self, width: int) -> float:
        return min(scale_of(look()), max(width, 1) / self.outline.wide)

    def _left(self) -> float:
        return (self.width() - self.outline.wide * self.scale()) / 2

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return int((self.outline.tall + FOOT) * self._scale(width)) + 1

    def sizeHint(self) -> QSize:
        wide = round(self.outline.wide * scale_of(look()))
        return QSize(wide, self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        wide = round(self.outline.wide * scale_of(look()) * _TOGETHER / (look().text / 100))
        return QSize(wide, self.heightForWidth(max(self.width(), wide)))

    def dress(self) -> None:
        self._drawn = None
        self.near = Near(self._reach())
        for place, one in enumerate(self.marks):
            for spot in spots(one.entry.answers):
                self.near.add(*self.outline.at(spot), place)
        self.updateGeometry()

    # --- touch and mouse --------------------------------------------------------------------------------------------

    def spot_at(self, at: QPointF) -> Spot | None:
        """The spot under a point of the widget; None beside the outline."""
        x, y = (at.x() - self._left()) / self.scale(), at.y() / self.scale()
        inside = 0 <= x <= self.outline.wide and 0 <= y <= self.outline.tall
        return self.outline.spot(x, y) if inside else None

    def point_of(self, spot: Spot) -> QPointF:
        """Where a spot is on the widget."""
        x, y = self.outline.at(spot)
        return QPointF(x * self.scale() + self._left(), y * self.scale())

    def mark_at(self, spot: Spot) -> Numbered | None:
        """The mark under a finger at a spot: the nearest within half a target."""
        found = self.near.nearest(*self.outline.at(spot), Target.TOUCH / 2 / self.scale())
        return None if found is None else self.marks[found]

    def mousePressEvent(self, event: QMouseEvent) -> None:
        event.accept()  # the touch is answered when the finger is lifted, so that a scroll places nothing

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        spot = self.spot_at(event.position())
        if event.button() is not Qt.MouseButton.LeftButton or spot is None:
            return
        held = self.mark_at(spot)
        if held is not None:
            self.picked.emit(held.entry.id, spot)
        elif not self.closed:
            self.placed.emit(spot)

    # --- keyboard ---------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in _ARROWS and not self.closed:
            self._step(*_ARROWS[key], fine=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        elif key in _MARK and self.aim is not None and not self.closed:
            self.placed.emit(self.aim)
        elif key is Qt.Key.Key_Escape and self.aim is not None:
            self.aim_at(None)
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _step(self, across: int, down: int, *, fine: bool) -> None:
        if self.aim is None:
            self.aim_at(self.begin())
            return
        by = _FINE if fine else _STEP
        x, y = self.outline.at(self.aim)
        self.aim_at(self.outline.spot(x + across * by, y + down * by))

    def begin(self) -> Spot:
        """Where the crosshair begins: the nipple of a chest, the middle of any other outline."""
        return self.outline.spot(*self.outline.middle)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        by_key = event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason)
        if by_key and self.aim is None and not self.closed:
            self.aim_at(self.begin())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    # --- painting ---------------------------------------------------------------------------------------------------

    def _paint_parts(self, painter: QPainter, parts: tuple[Part, ...]) -> None:
        drawing = Drawing("", "", self.outline.wide, self.outline.tall, parts, Table((), ()))
        paint_drawing(painter, drawing, self.scale(), look())

    def _picture(self) -> QPixmap:
        """The outline and its marks, painted as far as they are not."""
        key: tuple[object, ...] = (self.width(), self.height(), look(), self.devicePixelRatioF())
        if self._drawn is None or self._drawn[0] != key:
            pixmap = QPixmap(self.size() * self.devicePixelRatioF())
            pixmap.setDevicePixelRatio(self.devicePixelRatioF())
            pixmap.fill(Qt.GlobalColor.transparent)
            self._stacked = {}
            painter = QPainter(pixmap)
            painter.translate(self._left(), 0)
            self._paint_parts(painter, (*self.outline.parts, *self._foot))
            painter.end()
            self._drawn = key, pixmap, 0
        _key, pixmap, done = self._drawn
        if done < len(self.marks):
            painter = QPainter(pixmap)
            painter.translate(self._left(), 0)
            fresh = self.marks[done:]
            self._paint_parts(
                painter, tuple(part for one in fresh for part in signs_of(self.outline, one, self._stacked))
            )
            painter.end()
            self.painted += len(fresh)
            self._drawn = key, pixmap, len(self.marks)
        return pixmap

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        painter.drawPixmap(QPointF(0, 0), self._picture())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        reach = now.px(Target.MARK) + Space.FINE
        for one in self.marks if self.shown is not None else ():
            if one.entry.id == self.shown:
                painter.setPen(QPen(now.colour(Role.ELDER), Stroke.RING))
                for spot in spots(one.entry.answers):
                    painter.drawEllipse(self.point_of(spot), reach, reach)
        if self.aim is not None and self.hasFocus():
            self._cross(painter, self.point_of(self.aim), now.px(Target.TAG))
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, filled=False, radius=Radius.EASED)

    def _cross(self, painter: QPainter, at: QPointF, reach: int) -> None:
        """A crosshair that stays to be seen on lines: open in its middle, where the mark will be."""
        pen = QPen(look().colour(Role.ELDER), Stroke.LINE)
        painter.setPen(pen)
        for across, down in _ARROWS.values():
            begin = QPointF(at.x() + across * Space.GAP, at.y() + down * Space.GAP)
            painter.drawLine(begin, QPointF(at.x() + across * reach, at.y() + down * reach))
        painter.drawEllipse(QRectF(at.x() - Stroke.LINE, at.y() - Stroke.LINE, 2 * Stroke.LINE, 2 * Stroke.LINE))
