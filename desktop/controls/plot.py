"""A plot: few lines with their names on them, points by shape, stepped through by key, by tap, and told in words.

Time runs to the right in every language. What a plot shows stands in a `Picture`; here it is only painted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.dots import paint_dot
from desktop.controls.picture import Dot, Level, Line, Mark, Picture, Weave
from desktop.controls.words import paint_ring
from desktop.theme.halfmoons import TAG_ROLES, paint_tag
from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["Plot"]


@dataclass(frozen=True, slots=True)
class _Field:
    """Where the figures of a picture stand in the widget."""

    picture: Picture
    box: QRectF

    def x(self, at: float) -> float:
        low, high = self.picture.x
        return self.box.left() + (at - low) / (high - low) * self.box.width()

    def y(self, at: float) -> float:
        low, high = self.picture.y
        return self.box.bottom() - (at - low) / (high - low) * self.box.height()

    def of(self, mark: Mark) -> QPointF:
        """A mark's middle; one without a figure stands just over the foot."""
        return QPointF(self.x(mark.x), self.box.bottom() - Space.SNUG if mark.y is None else self.y(mark.y))


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
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.current = -1
        self.show_picture(picture)

    def show_picture(self, picture: Picture) -> None:
        """Show another picture, at its last point."""
        self.picture = picture
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
        field = self.field()

        def away(place: int) -> float:
            lies = field.of(self.picture.marks[place])
            return (lies.x() - to.x()) ** 2 + (lies.y() - to.y()) ** 2

        return min(range(len(self.picture.marks)), key=away)

    # --- size -------------------------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        return QSize(look().px(self._tall) * 2, look().px(self._tall))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._tall, look().px(self._tall))

    def field(self) -> _Field:
        """Where figures stand: inside the words of both axes and the names of the lines."""
        small = QFontMetricsF(look().font(Size.SMALL))
        left = max((small.horizontalAdvance(tick.words) for tick in self.picture.y_ticks), default=0) + Space.GAP
        named = [small.horizontalAdvance(line.words) for line in self.picture.lines]
        right = max([*named, look().px(Target.MARK) / 2], default=0) + Space.GAP
        above = small.height() + Space.GAP
        below = 2.5 * small.height() + Space.GAP
        return _Field(self.picture, QRectF(self.rect()).adjusted(left + Space.FINE, above, -right, -below))

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter, field = look(), QPainter(self), self.field()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(now.font(Size.SMALL))
        self._paint_ground(painter, field, now)
        self._paint_lines(painter, field, now)
        self._paint_thread(painter, field, now)
        self._paint_levels(painter, field, now)
        self._paint_current(painter, field, now)
        self._paint_traces(painter, field, now)
        for mark in self.picture.marks:
            self._paint_mark(painter, field, mark, now)
        self._paint_labels(painter, field, now)
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, radius=Radius.EASED)

    def _paint_ground(self, painter: QPainter, field: _Field, now: Look) -> None:
        """Ticks of both axes: uprights thin as thread, words under and beside them, and the foot."""
        box, small = field.box, QFontMetricsF(now.font(Size.SMALL))
        painter.setPen(QPen(now.tint(Role.EDGE, Role.CARD, 45), Stroke.HAIR))
        for tick in self.picture.x_ticks:
            painter.drawLine(QPointF(field.x(tick.at), box.top()), QPointF(field.x(tick.at), box.bottom()))
        painter.setPen(QPen(now.colour(Role.EDGE), Stroke.HAIR))
        foot = field.y(0) if self.picture.zero else box.bottom()
        painter.drawLine(QPointF(box.left(), foot), QPointF(box.right(), foot))
        painter.setPen(now.colour(Role.SOFT_INK))
        for at, words in self._foot_words(field, small):
            painter.drawText(at, words)
        for tick in self.picture.y_ticks:
            wide = small.horizontalAdvance(tick.words)
            line = field.y(tick.at) + (small.ascent() - small.descent()) / 2
            painter.drawText(QPointF(box.left() - Space.GAP - wide, line), tick.words)
        under = box.bottom() + Space.FINE + 2.5 * small.height() - small.descent()
        painter.drawText(QPointF(box.left(), under), self.picture.foot)

    def _foot_words(self, field: _Field, small: QFontMetricsF) -> Iterator[tuple[QPointF, str]]:
        """The words of the ticks along the foot, those left out that would run into the one before."""
        free = 0.0
        for tick in self.picture.x_ticks:
            wide = small.horizontalAdvance(tick.words)
            left = min(max(field.x(tick.at) - wide / 2, 0), self.width() - wide)
            if left >= free:
                yield QPointF(left, field.box.bottom() + small.height() / 2 + small.ascent()), tick.words
                free = left + wide + Space.GAP

    def _paint_lines(self, painter: QPainter, field: _Field, now: Look) -> None:
        small = QFontMetricsF(now.font(Size.SMALL))
        painter.save()
        painter.setClipRect(field.box)
        for line in self.picture.lines:
            path = QPainterPath()
            for place, (x, y) in enumerate(line.at):
                at = QPointF(field.x(x), field.y(y))
                path.moveTo(at) if place == 0 else path.lineTo(at)
            strong = line.weave is Weave.STRONG
            pen = QPen(now.colour(Role.SOFT_INK if strong else Role.EDGE), Stroke.LINE if strong else Stroke.HAIR)
            if line.weave is Weave.DASHED:
                pen.setDashPattern((Space.FINE, Space.FINE))
            painter.strokePath(path, pen)
        painter.restore()
        painter.setPen(now.colour(Role.SOFT_INK))
        for line, middle in self._named(field, small.height()):
            at = QPointF(field.box.right() + Space.FINE, middle + (small.ascent() - small.descent()) / 2)
            painter.setFont(now.font(Size.SMALL, strong=line.weave is Weave.STRONG))
            painter.drawText(at, line.words)
        painter.setFont(now.font(Size.SMALL))
        if self.picture.head:
            painter.drawText(QPointF(field.box.right() + Space.FINE, small.ascent()), self.picture.head)

    def _named(self, field: _Field, tall: float) -> list[tuple[Line, float]]:
        """Each line with the height of its name: at its right end, or as far from it as the names need."""
        found = sorted(
            ((line, field.y(line.at[-1][1])) for line in self.picture.lines if line.at), key=lambda each: each[1]
        )
        heights = [height for _, height in found]
        for place in range(1, len(heights)):
            heights[place] = max(heights[place], heights[place - 1] + tall)
        over = max(0.0, heights[-1] - field.box.bottom()) if heights else 0.0
        for place in range(len(heights) - 1, -1, -1):
            limit = field.box.bottom() if place == len(heights) - 1 else heights[place + 1] - tall
            heights[place] = min(heights[place], limit) if over else heights[place]
        return [(line, height) for (line, _), height in zip(found, heights, strict=True)]

    def _paint_levels(self, painter: QPainter, field: _Field, now: Look) -> None:
        small = QFontMetricsF(now.font(Size.SMALL))
        for level in self.picture.levels:
            y = field.y(level.y)
            painter.setPen(QPen(now.colour(Role.WELD), Stroke.HAIR))
            painter.drawLine(QPointF(field.box.left(), y), QPointF(field.box.right(), y))
            slip = self._level_slip(field, level, small)
            painter.fillRect(slip, now.colour(Role.CARD))
            painter.setPen(now.colour(Role.INK))
            painter.drawText(QPointF(slip.left(), slip.top() + small.ascent()), level.words)
        upright = self.picture.upright
        if upright is not None:
            x = field.x(upright)
            painter.setPen(QPen(now.colour(Role.EDGE), Stroke.LINE, Qt.PenStyle.DotLine))
            painter.drawLine(QPointF(x, field.box.top()), QPointF(x, field.box.bottom()))

    def _level_slip(self, field: _Field, level: Level, small: QFontMetricsF) -> QRectF:
        """Where the words of a level stand: on it, at its right end, or where fewer points are in their way."""
        wide, top = small.horizontalAdvance(level.words), field.y(level.y) - small.height() - Stroke.LINE
        room = field.box.width() - wide
        places = [QRectF(field.box.left() + room * part, top, wide, small.height()) for part in (1, 0, 0.5)]
        return min(places, key=lambda slip: self._covered(field, slip, None))

    def _paint_thread(self, painter: QPainter, field: _Field, now: Look) -> None:
        """From the point now told in words a thread down to the foot."""
        if self.picture.marks:
            at = field.of(self.picture.marks[self.current])
            painter.setPen(QPen(now.colour(Role.ELDER), Stroke.HAIR, Qt.PenStyle.DashLine))
            painter.drawLine(at, QPointF(at.x(), field.box.bottom()))

    def _paint_current(self, painter: QPainter, field: _Field, now: Look) -> None:
        """A ring round the point now told in words."""
        if not self.picture.marks:
            return
        mark = self.picture.marks[self.current]
        at, round_it = field.of(mark), now.px(Target.MARK)
        painter.setPen(QPen(now.colour(Role.ELDER), Stroke.LINE))
        painter.setBrush(now.colour(Role.CARD))
        if mark.span is None:
            painter.drawEllipse(at, round_it, round_it)
        else:
            left, right = (field.x(end) for end in mark.span)
            box = QRectF(left, at.y(), right - left, 0).adjusted(-Space.FINE, -Space.GAP, Space.FINE, Space.GAP)
            painter.drawRoundedRect(box, Radius.EASED, Radius.EASED)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_traces(self, painter: QPainter, field: _Field, now: Look) -> None:
        """The lines from point to point, and the dashes that tie values of which only one can hold."""
        marks = self.picture.marks
        painter.setPen(QPen(now.colour(TAG_ROLES[self.picture.tag]), Stroke.LINE))
        for trace in self.picture.traces:
            for first, second in pairwise(trace):
                painter.drawLine(field.of(marks[first]), field.of(marks[second]))
        painter.setPen(QPen(now.colour(Role.WELD), Stroke.LINE, Qt.PenStyle.DashLine))
        for one, other in pairwise(marks):
            if one.group and one.group == other.group:
                painter.drawLine(field.of(one), field.of(other))

    def _paint_mark(self, painter: QPainter, field: _Field, mark: Mark, now: Look) -> None:
        at, colour = field.of(mark), now.colour(TAG_ROLES[self.picture.tag])
        if mark.dot is not Dot.BAR or mark.span is None:
            paint_dot(painter, at, mark.dot, now, colour, now.colour(Role.CARD))
            return
        left, right = (field.x(end) for end in mark.span)
        none = mark.y is None
        pen = QPen(now.colour(Role.WELD) if none else colour, Stroke.LINE if none or mark.thin else Space.GAP)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if none:
            pen.setStyle(Qt.PenStyle.DotLine)
        painter.setPen(pen)
        painter.drawLine(QPointF(left, at.y()), QPointF(max(right, left + Stroke.RING), at.y()))

    def _paint_labels(self, painter: QPainter, field: _Field, now: Look) -> None:
        """A few words beside the points that have some, each on a slip of card where it covers least.

        The newest comes first and carries the tag; one for which no place is free is left to the words below.
        """
        font = now.font(Size.SMALL, strong=True)
        small, side = QFontMetricsF(font), now.px(Target.MARK)
        painter.setFont(font)
        labelled = [mark for mark in reversed(self.picture.marks) if mark.label]
        labelled.sort(key=lambda mark: mark.y is None)
        taken = [self._level_slip(field, level, QFontMetricsF(now.font(Size.SMALL))) for level in self.picture.levels]
        for place, mark in enumerate(labelled):
            lead = side + Space.FINE if place == 0 and mark.dot not in (Dot.BAR, Dot.NOTCHED) else 0
            wide = small.horizontalAdvance(mark.label) + lead + 2 * Space.FINE
            slip = self._free(field, mark, QSizeF(wide, small.height()), side, taken)
            if slip is None:
                continue
            taken.append(slip)
            painter.fillRect(slip, now.colour(Role.CARD))
            if lead:
                tag = QRectF(slip.left() + Space.FINE, slip.center().y() - side / 2, side, side)
                paint_tag(painter, tag, self.picture.tag, now)
            painter.setPen(now.colour(Role.INK))
            painter.drawText(QPointF(slip.left() + lead + Space.FINE, slip.top() + small.ascent()), mark.label)

    def _free(self, field: _Field, mark: Mark, size: QSizeF, side: float, taken: Sequence[QRectF]) -> QRectF | None:
        """Where a label of this size covers no other label and the least of points and lines; None for nowhere."""
        at = field.of(mark)
        off = Space.SNUG if mark.dot is Dot.BAR else side + Space.FINE
        tall, wide = size.height(), size.width()
        best: tuple[int, QRectF] | None = None
        for x, y in ((0, -1), (0, 1), (1, -1), (1, 1), (-1, 1), (-1, -1)):
            slip = QRectF(QPointF(at.x() - wide / 2 + x * wide / 2, at.y() + y * (off + tall / 2) - tall / 2), size)
            slip.moveLeft(min(max(slip.left(), field.box.left()), self.width() - wide))
            if slip.top() < 0 or slip.bottom() > field.box.bottom() or any(slip.intersects(one) for one in taken):
                continue
            covered = self._covered(field, slip, mark)
            if best is None or covered < best[0]:
                best = (covered, slip)
        return best[1] if best is not None else None

    def _covered(self, field: _Field, slip: QRectF, mark: Mark | None) -> int:
        """How many points, counted threefold, and stretches of the joining lines a slip would cover."""
        marks, corners, half = self.picture.marks, QPolygonF(slip), look().px(Target.MARK) / 2
        near = slip.adjusted(-half, -half, half, half)
        points = sum(near.contains(field.of(other)) for other in marks if other is not mark)
        stretches = [
            QPolygonF([field.of(marks[one]), field.of(marks[other]), field.of(marks[one])])
            for trace in self.picture.traces
            for one, other in pairwise(trace)
        ]
        bars = [
            QRectF(field.x(other.span[0]), field.of(other).y() - half, 0, 2 * half).adjusted(
                0, 0, field.x(other.span[1]) - field.x(other.span[0]), 0
            )
            for other in marks
            if other.span is not None and other is not mark
        ]
        points += sum(slip.intersects(bar) for bar in bars)
        return 3 * points + sum(corners.intersects(stretch) for stretch in stretches)
