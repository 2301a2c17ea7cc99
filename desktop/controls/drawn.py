"""A picture on screen: the list of lines, areas and words of `forms.pictures`, painted in the look in force.

Roles become the theme's colours, fillings become strokes and dots that stay to be told apart in all three themes, and
words are set in the window's own type. Painted once for each width and look and kept, so that showing it is cheap.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.words import Snug
from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Role, Stroke
from forms.pictures.drawing import Anchor, Area, Drawing, Filling, Ink, Line, Step, Weave, Word
from forms.pictures.maker import NARROWEST, WIDEST
from forms.pictures.measure import DASHES, DOT, dotted, hatched

__all__ = ["Drawn", "paint_drawing", "scale_of"]

_MM_PER_INCH: Final = 25.4
_PX_PER_INCH: Final = 96
_TINT: Final = 30  # percent of its ink in a light area


def scale_of(now: Look) -> float:
    """Pixels for each mm of a picture: true at 100 % text, and growing with it so that words do."""
    return _PX_PER_INCH / _MM_PER_INCH * now.text / 100


def _path(steps: Sequence[Step], scale: float) -> QPainterPath:
    path, begun = QPainterPath(), False
    for step in steps:
        if not step:
            path.closeSubpath()
            begun = False
            continue
        to = [QPointF(step[at] * scale, step[at + 1] * scale) for at in range(0, len(step), 2)]
        if not begun:
            path.moveTo(to[-1])
            begun = True
        elif len(to) == 3:
            path.cubicTo(*to)
        else:
            path.lineTo(to[0])
    return path


def _pen(ink: Ink, wide: float, scale: float, now: Look) -> QPen:
    pen = QPen(now.colour(Role(ink.value)), max(wide * scale, Stroke.HAIR))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def _line(painter: QPainter, line: Line, scale: float, now: Look) -> None:
    pen = _pen(line.ink, line.wide, scale, now)
    if line.weave in DASHES:
        if line.weave is Weave.DASHED:
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([part * scale / pen.widthF() for part in DASHES[line.weave]])  # Qt counts in widths
    painter.strokePath(_path(line.steps, scale), pen)


def _area(painter: QPainter, area: Area, scale: float, now: Look) -> None:
    path = _path(area.steps, scale)
    path.setFillRule(Qt.FillRule.OddEvenFill)
    if area.filling is Filling.SOLID:
        painter.fillPath(path, now.colour(Role(area.ink.value)))
    elif area.filling is Filling.LIGHT:
        painter.fillPath(path, now.tint(Role(area.ink.value), Role.CARD, _TINT))
    elif area.filling is not Filling.NONE:
        _fill(painter, path, area, scale, now)
    if area.edge:
        painter.strokePath(path, _pen(area.ink, area.edge, scale, now))


def _fill(painter: QPainter, path: QPainterPath, area: Area, scale: float, now: Look) -> None:
    box = path.boundingRect()
    edges = (box.left() / scale, box.top() / scale, box.right() / scale, box.bottom() / scale)
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    painter.setPen(_pen(area.ink, 0.3, scale, now))
    for left, top, right, foot in hatched(area.filling, *edges):
        painter.drawLine(QPointF(left * scale, top * scale), QPointF(right * scale, foot * scale))
    if area.filling is Filling.DOTS:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(now.colour(Role(area.ink.value)))
        for x, y in dotted(*edges):
            painter.drawEllipse(QPointF(x * scale, y * scale), DOT * scale, DOT * scale)
    painter.restore()


def font_of(word: Word, scale: float, now: Look) -> QFont:
    """The window's type as high as the word asks."""
    font = now.font(strong=word.strong)
    font.setPixelSize(max(round(word.tall * scale), 1))
    return font


def _word(painter: QPainter, word: Word, scale: float, now: Look) -> None:
    font = font_of(word, scale, now)
    wide = QFontMetricsF(font).horizontalAdvance(word.text)
    back = {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[word.anchor]
    painter.setFont(font)
    painter.setPen(now.colour(Role(word.ink.value)))
    painter.drawText(QPointF(word.x * scale - back, word.y * scale), word.text)


def paint_drawing(painter: QPainter, drawing: Drawing, scale: float, now: Look) -> None:
    """Paint a picture from the painter's origin, `scale` pixels for each mm, in the colours and type of a look."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for part in drawing.parts:
        match part:
            case Line():
                _line(painter, part, scale, now)
            case Area():
                _area(painter, part, scale, now)
            case Word():
                _word(painter, part, scale, now)
    painter.restore()


class Drawn(Dressed, Snug, QWidget):
    """One picture, asked of its maker for the width there is, in mm; its height follows.

    The picture is told by its name and description; the sentence and the table beside it say the same.
    """

    def __init__(self, draw: Callable[[float], Drawing], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._draw = draw
        self._made: tuple[int, int, Drawing] | None = None
        self._kept: tuple[tuple[object, ...], QPixmap] | None = None
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._tell()

    def show_drawing(self, draw: Callable[[float], Drawing]) -> None:
        """Show another picture."""
        self._draw, self._made, self._kept = draw, None, None
        self._tell()
        self.updateGeometry()
        self.update()

    def _tell(self) -> None:
        drawing = self.drawing()
        self.setAccessibleName(drawing.title)
        self.setAccessibleDescription(drawing.sentence)

    def drawing(self) -> Drawing:
        """The picture at the width the widget has now."""
        return self._at(self.width())

    def scale(self) -> float:
        """Pixels for each mm of the picture as it is painted now."""
        return self._scale(self.width())

    def _scale(self, width: int) -> float:
        """As `scale_of`, but smaller where even the narrowest picture would not fit."""
        return min(scale_of(look()), max(width, 1) / NARROWEST)

    def _at(self, width: int) -> Drawing:
        text = look().text
        if self._made is None or self._made[:2] != (width, text):
            self._made = width, text, self._draw(min(max(width / self._scale(width), NARROWEST), WIDEST))
        return self._made[2]

    # --- size -------------------------------------------------------------------------------------------------------

    def natural_width(self) -> int:
        """As wide as a page of paper."""
        return round(WIDEST * scale_of(look()))

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return int(self._at(width).tall * self._scale(width)) + 1

    def minimumSizeHint(self) -> QSize:
        least = round(NARROWEST * _PX_PER_INCH / _MM_PER_INCH)  # at 200 % text the picture shrinks before it is cut
        return QSize(least, self.heightForWidth(max(self.width(), least)))

    def dress(self) -> None:
        self._kept = None
        self.updateGeometry()

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        now, ratio = look(), self.devicePixelRatioF()
        key: tuple[object, ...] = (self.width(), self.height(), now, ratio, self.drawing())
        if self._kept is None or self._kept[0] != key:
            pixmap = QPixmap(self.size() * ratio)
            pixmap.setDevicePixelRatio(ratio)
            pixmap.fill(Qt.GlobalColor.transparent)
            painter = QPainter(pixmap)
            paint_drawing(painter, self.drawing(), self.scale(), now)
            painter.end()
            self._kept = key, pixmap
        QPainter(self).drawPixmap(QRectF(self.rect()).topLeft(), self._kept[1])
