"""A photo on screen: small in a list, or large on a warm grey mat with its marks on a layer of their own.

Painted straight from an image in memory; no pixmap of it is made, so that no cache of the library ever holds one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QImage, QImageReader, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.words import paint_ring
from desktop.theme.icons import Icon, paint_icon
from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["PhotoView", "Pin", "Thumb", "ThumbState", "decoded"]

_ALL: Final = 1_000  # a place is told in thousandths of the picture
_STEP, _FINE = 20, 2
_CLOSEST: Final = 4
_ARROWS: Final[Mapping[Qt.Key, tuple[int, int]]] = MappingProxyType({
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1),
})  # fmt: skip


def decoded(data: bytes, longest: int) -> QImage:
    """The picture of a JPEG or PNG in memory, its longer side at most `longest` pixels; a null image for any other."""
    buffer = QBuffer()
    buffer.setData(QByteArray(data))
    reader = QImageReader(buffer)
    size = reader.size()
    if max(size.width(), size.height()) > longest:
        reader.setScaledSize(size.scaled(longest, longest, Qt.AspectRatioMode.KeepAspectRatio).expandedTo(QSize(1, 1)))
    return reader.read()


def mat(now: Look) -> QColor:
    """The ground round a picture: a middling warm grey, neither lighter nor more coloured than skin beside it."""
    return now.tint(Role.EDGE, Role.WELL, 40)


class ThumbState(Enum):
    """Why a small picture is not shown."""

    READING = "reading"
    SHOWN = "shown"
    VEILED = "veiled"
    DAMAGED = "damaged"


class Thumb(Dressed, QWidget):
    """A photo small in a list; a curtain in its place while it may not be shown, a cross where it is damaged."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.state, self.image = ThumbState.READING, QImage()
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_image(self, image: QImage) -> None:
        """Show the picture."""
        self.state, self.image = ThumbState.SHOWN, image
        self.update()

    def show_state(self, state: ThumbState) -> None:
        """Show that there is none to see, and let go of the picture."""
        self.state, self.image = state, QImage()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(Target.THUMB, Target.THUMB)

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(self.rect(), mat(now))
        inner = QRectF(self.rect()).adjusted(Space.FINE, Space.FINE, -Space.FINE, -Space.FINE)
        if self.state is ThumbState.SHOWN:
            painter.drawImage(_fitted(self.image.size(), inner), self.image)
            return
        icon = {ThumbState.VEILED: Icon.VEIL, ThumbState.DAMAGED: Icon.CLOSE, ThumbState.READING: Icon.CLOCK}
        square = QRectF(0, 0, Target.ICON, Target.ICON)
        square.moveCenter(inner.center())
        paint_icon(painter, square, icon[self.state], now.colour(Role.INK))


def _fitted(size: QSize, room: QRectF) -> QRectF:
    """Where a picture of that size stands as large as it can in the middle of the room."""
    box = QRectF(QPointF(), size.scaled(room.size().toSize(), Qt.AspectRatioMode.KeepAspectRatio).toSizeF())
    box.moveCenter(room.center())
    return box


@dataclass(frozen=True, slots=True)
class Pin:
    """A mark on the picture: its number, and its place in thousandths of width and height."""

    number: int
    x: int
    y: int


class PhotoView(Dressed, QWidget):
    """A photo large. With `point` on, a cross is moved by tap or by arrows (Ctrl: finely) and set down with Enter.

    Signals: `pointed(int, int)` when the cross stands elsewhere; `set_down()` for Enter. Zoomed, what the cross points
    at is in the middle; without a cross the arrows move the picture.
    """

    pointed = Signal(int, int)
    set_down = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.image, self.words = QImage(), ""
        self.pins: tuple[Pin, ...] = ()
        self.times, self.pointing, self.pins_shown = 1, False, True
        self.at = (_ALL // 2, _ALL // 2)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def show_image(self, image: QImage, name: str) -> None:
        """Show a picture; `name` says what can be seen, for whoever hears it."""
        self.image, self.words = image, ""
        self.setAccessibleName(name)
        self.updateGeometry()
        self.update()

    def show_words(self, words: str) -> None:
        """Show a sentence where the picture would be, and let go of the picture."""
        self.image, self.words, self.pointing, self.times = QImage(), words, False, 1
        self.setAccessibleName(words)
        self.updateGeometry()
        self.update()

    def show_pins(self, pins: Sequence[Pin], *, shown: bool) -> None:
        """Lay these marks over the picture, or none of them."""
        self.pins, self.pins_shown = tuple(pins), shown
        self.update()

    def point(self, on: bool) -> None:
        """Begin or end pointing; the cross begins in the middle."""
        if on and not self.pointing:
            self.move_to(_ALL // 2, _ALL // 2)
        self.pointing = on
        self.update()

    def zoom(self, times: int) -> None:
        """Show it so many times as large as it fits: 1, 2 or 4."""
        self.times = max(1, min(times, _CLOSEST))
        self.update()

    def move_to(self, x: int, y: int) -> None:
        """Move the cross, and with it what is in the middle of a picture zoomed."""
        self.at = (max(0, min(x, _ALL)), max(0, min(y, _ALL)))
        self.pointed.emit(*self.at)
        self.update()

    # --- where it stands --------------------------------------------------------------------------------------------

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        if self.image.isNull():
            return Target.THUMB
        tall = width * self.image.height() // max(self.image.width(), 1)
        return max(Target.TOUCH, min(tall, Target.PHOTO)) + 2 * Space.PAD

    def sizeHint(self) -> QSize:
        return QSize(Target.PHOTO, self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        return QSize(Target.THUMB, Target.THUMB)

    def box(self) -> QRectF:
        """Where the whole picture lies, part of it perhaps out of sight."""
        room = QRectF(self.rect()).adjusted(Space.PAD, Space.PAD, -Space.PAD, -Space.PAD)
        fitted = _fitted(self.image.size(), room)
        if self.times == 1:
            return fitted
        wide, tall = fitted.width() * self.times, fitted.height() * self.times
        left = room.center().x() - wide * self.at[0] / _ALL
        top = room.center().y() - tall * self.at[1] / _ALL
        left = min(max(left, room.right() - wide), room.left()) if wide > room.width() else room.center().x() - wide / 2
        top = min(max(top, room.bottom() - tall), room.top()) if tall > room.height() else room.center().y() - tall / 2
        return QRectF(left, top, wide, tall)

    def place(self, x: int, y: int) -> QPointF:
        """Where a place of the picture is on screen."""
        box = self.box()
        return QPointF(box.left() + box.width() * x / _ALL, box.top() + box.height() * y / _ALL)

    # --- hands ------------------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        box = self.box()
        if self.image.isNull() or not box.contains(event.position()) or not (self.pointing or self.times > 1):
            super().mousePressEvent(event)
            return
        spot = event.position() - box.topLeft()
        self.move_to(round(spot.x() * _ALL / box.width()), round(spot.y() * _ALL / box.height()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        arrow = _ARROWS.get(Qt.Key(event.key()))
        moves = not self.image.isNull() and (self.pointing or self.times > 1)
        if arrow is not None and moves:
            step = _FINE if event.modifiers() & Qt.KeyboardModifier.ControlModifier else _STEP
            self.move_to(self.at[0] + arrow[0] * step, self.at[1] + arrow[1] * step)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.pointing:
            self.set_down.emit()
        elif event.key() == Qt.Key.Key_Escape and self.pointing:
            self.point(False)
            self.pointed.emit(*self.at)
        else:
            super().keyPressEvent(event)

    # --- paint ------------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(self.rect(), mat(now))
        if self.image.isNull():
            self._paint_words(painter, now)
        else:
            room = QRectF(self.rect()).adjusted(Space.PAD, Space.PAD, -Space.PAD, -Space.PAD)
            painter.save()
            painter.setClipRect(room)
            painter.drawImage(self.box(), self.image)
            painter.restore()
            for pin in self.pins if self.pins_shown else ():
                spot = self.place(pin.x, pin.y)
                if room.contains(spot):
                    _paint_pin(painter, spot, pin.number, now)
            if self.pointing:
                _paint_cross(painter, self.place(*self.at), now)
        if self.hasFocus():
            paint_ring(painter, self.rect(), now)

    def _paint_words(self, painter: QPainter, now: Look) -> None:
        square = QRectF(0, 0, Target.ICON, Target.ICON)
        square.moveCenter(QPointF(Space.WIDE + Target.ICON / 2, self.rect().center().y()))
        paint_icon(painter, square, Icon.VEIL, now.colour(Role.INK))
        painter.setFont(now.font())
        painter.setPen(now.colour(Role.INK))
        room = self.rect().adjusted(2 * Space.WIDE + Target.ICON, Space.GAP, -Space.WIDE, -Space.GAP)
        painter.drawText(room, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignVCenter, self.words)


def _paint_pin(painter: QPainter, spot: QPointF, number: int, now: Look) -> None:
    """A ring round the place, open in the middle so that nothing is covered, and its number beside it on a disc."""
    ring = Target.MARK
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for role, width in ((Role.CARD, Stroke.RING + Stroke.LINE), (Role.INK, Stroke.LINE)):
        painter.setPen(QPen(now.colour(role), width))
        painter.drawEllipse(spot, ring, ring)
    font: QFont = now.font(Size.SMALL, strong=True)
    side = painter.fontMetrics().height() if painter.font() == font else font.pixelSize() + Space.GAP
    disc = QRectF(spot.x() + ring * 0.7, spot.y() - ring * 0.7 - side, side, side)
    painter.setFont(font)
    painter.setPen(QPen(now.colour(Role.INK), Stroke.HAIR))
    painter.setBrush(now.colour(Role.CARD))
    painter.drawRoundedRect(disc, Radius.EASED, Radius.EASED)
    painter.drawText(disc, Qt.AlignmentFlag.AlignCenter, str(number))


def _paint_cross(painter: QPainter, spot: QPointF, now: Look) -> None:
    """A cross with an open middle, dark on light so that it is found on any skin."""
    inner, outer = Space.GAP, Target.KNOB
    arms = ((-1, 0), (1, 0), (0, -1), (0, 1))
    for role, width in ((Role.CARD, Stroke.RING + Stroke.LINE), (Role.ELDER, Stroke.RING)):
        painter.setPen(QPen(now.colour(role), width))
        for x, y in arms:
            painter.drawLine(spot + QPointF(x * inner, y * inner), spot + QPointF(x * outer, y * outer))
