"""One lane of a feed: from latch to release a band, sucking darker, pauses hatched, swallows as ticks; itself tapped.

What has settled is painted once and kept; a tap adds one mark to it, however long the feed has been going on.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from desktop.controls.words import paint_ring
from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["NOTHING", "Lane", "LaneShape", "Mark", "MarkKind", "Part", "PartKind"]


class PartKind(StrEnum):
    """A stretch of a lane."""

    SPELL = "spell"  # from latch to release
    BURST = "burst"  # active sucking
    REST = "rest"  # a pause, or asleep


class MarkKind(StrEnum):
    """How one event is drawn."""

    TICK = "tick"  # a swallow: an upright through the band
    STEP = "step"  # a suck: a short upright at its foot
    EDGE = "edge"  # a word over the band where baby comes on or off
    OVER = "over"  # any other word over it
    UNDER = "under"  # a word under it
    WATCH = "watch"  # a word under it, to be looked at
    PAIN = "pain"  # its number in a circle


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch in seconds since the beginning; `until` is None while it runs."""

    kind: PartKind
    at: float
    until: float | None


@dataclass(frozen=True, slots=True)
class Mark:
    """One event at its second, with its word."""

    kind: MarkKind
    at: float
    words: str = ""


@dataclass(frozen=True, slots=True)
class LaneShape:
    """All of a lane: its stretches, those that run last, and its marks, each by time."""

    parts: tuple[Part, ...] = ()
    marks: tuple[Mark, ...] = ()

    def running(self, kind: PartKind) -> Part | None:
        """The stretch of a kind that runs, if one does."""
        return next((part for part in reversed(self.parts) if part.kind is kind and part.until is None), None)


NOTHING = LaneShape()


@dataclass
class _Kept:
    """What is painted for good: for which shape and size, the picture, and where its words end."""

    key: tuple[object, ...] = ()
    picture: QPixmap = field(default_factory=QPixmap)
    words: dict[bool, list[tuple[float, float]]] = field(default_factory=dict)


class Lane(Dressed, QAbstractButton):
    """A lane as a large target. `clicked` when it is tapped; what that means is the page's to say.

    It is laid out by `Lanes`, which gives it the seconds it spans.
    """

    def __init__(self, code: str, *, small: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.code, self.small = code, small
        self.shape, self._fresh = NOTHING, NOTHING
        self.now, self.span = 0.0, 300.0
        self.hint = ""
        self._version = 0
        self._kept = _Kept()
        self._bursts_of: LaneShape | None = None
        self._bursts: list[Part] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    # --- what it shows ----------------------------------------------------------------------------------------------

    def show_shape(self, shape: LaneShape) -> None:
        """Show all of it anew; what was added meanwhile is in it."""
        self.shape, self._fresh = shape, NOTHING
        self._version += 1
        self.update()

    def add(self, mark: Mark | None, parts: Iterable[Part] = ()) -> None:
        """Show one more event, painted beside what stands; `parts` begin with it."""
        marks = (*self._fresh.marks, mark) if mark is not None else self._fresh.marks
        self._fresh = LaneShape((*self._fresh.parts, *parts), marks)
        self.update()

    def end(self, kinds: Sequence[PartKind], at: float) -> None:
        """The running stretches of these kinds end here."""

        def ended(parts: Iterable[Part]) -> tuple[Part, ...]:
            return tuple(
                replace(part, until=max(at, part.at)) if part.until is None and part.kind in kinds else part
                for part in parts
            )

        runs = [part for part in self.shape.parts[-len(PartKind) :] if part.until is None and part.kind in kinds]
        if runs:
            first = len(self.shape.parts) - len(PartKind)
            head, tail = self.shape.parts[: max(first, 0)], self.shape.parts[max(first, 0) :]
            over = ended(runs)
            self.shape = replace(self.shape, parts=(*head, *(part for part in tail if part not in runs)))
            self._fresh = replace(self._fresh, parts=(*over, *self._fresh.parts))
        self._fresh = replace(self._fresh, parts=ended(self._fresh.parts))
        self.update()

    def running(self, kind: PartKind) -> bool:
        """Whether a stretch of this kind runs now."""
        return (self._fresh.running(kind) or self.shape.running(kind)) is not None

    def since(self, kind: PartKind, else_: float) -> float:
        """Since when a stretch of this kind runs; `else_` where none does."""
        part = self._fresh.running(kind) or self.shape.running(kind)
        return part.at if part is not None else else_

    def show_now(self, now: float, span: float) -> None:
        """How many seconds have gone by, and how many the lane spans."""
        if (now, span) != (self.now, self.span):
            self.now, self.span = now, span
            self.update()

    # --- being used -------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.isAutoRepeat():
            self.click()
            return
        super().keyPressEvent(event)

    # --- size -------------------------------------------------------------------------------------------------------

    def _line(self) -> int:
        return round(QFontMetricsF(look().font(Size.SMALL)).height())

    def _tall(self) -> int:
        return Target.TOUCH if self.small else look().px(Target.BAND)

    def band(self) -> QRectF:
        """The band between the words over it and those under it."""
        return QRectF(0, self._line() + Stroke.LINE, self.width(), self._tall())

    def hitButton(self, pos: QPoint) -> bool:
        """The band is what is tapped; words over and under it are not."""
        return self.band().toRect().contains(pos)

    def sizeHint(self) -> QSize:
        return QSize(Target.SIDE_PANEL, 2 * (self._line() + Stroke.LINE) + self._tall())

    def minimumSizeHint(self) -> QSize:
        return QSize(Target.TOUCH, self.sizeHint().height())

    def across(self, at: float) -> float:
        """Where a second stands."""
        return at / self.span * self.width()

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        band = self.band()
        if self.underMouse() and self.isEnabled():
            painter.fillRect(band, now.tint(Role.WELL, Role.CARD, 50))
        kept = self._settled(now)
        for part in (*self.shape.parts[-len(PartKind) :], *self._fresh.parts):
            if part.until is None or part in self._fresh.parts:
                self._paint_part(painter, part, now)
        painter.drawPixmap(0, 0, kept.picture)
        words = {over: list(ends) for over, ends in kept.words.items()}
        self._paint_marks(painter, self._fresh.marks, now, words)
        if self.hint:
            self._paint_hint(painter, now)
        if self.hasFocus():
            paint_ring(painter, band.toRect().adjusted(0, -Stroke.RING, 0, Stroke.RING), now, radius=Radius.EASED)

    def _key(self) -> tuple[object, ...]:
        return (self._version, self.size(), self.span, look(), self.devicePixelRatioF())

    def _settled(self, now: Look) -> _Kept:
        """All that has ended, painted once for as long as neither shape, size, span nor look is another."""
        key = self._key()
        if self._kept.key == key:
            return self._kept
        ratio = self.devicePixelRatioF()
        picture = QPixmap(self.size() * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        words: dict[bool, list[tuple[float, float]]] = {}
        for part in self.shape.parts:
            if part.until is not None:
                self._paint_part(painter, part, now)
        self._paint_marks(painter, self.shape.marks, now, words)
        painter.end()
        self._kept = _Kept(key, picture, words)
        return self._kept

    def _paint_part(self, painter: QPainter, part: Part, now: Look) -> None:
        band = self.band()
        until = self.now if part.until is None else part.until
        left, right = self.across(part.at), self.across(max(until, part.at))
        box = QRectF(left, band.top(), max(right - left, Stroke.LINE), band.height())
        if part.kind is PartKind.SPELL:
            painter.fillRect(box, now.tint(Role.ELDER, Role.CARD, 16))
            painter.fillRect(QRectF(left, band.bottom(), box.width(), Stroke.LINE), now.colour(Role.ELDER))
        elif part.kind is PartKind.BURST:
            painter.fillRect(box, now.colour(Role.ELDER))
        else:
            painter.fillRect(box, QBrush(now.tint(Role.ELDER, Role.CARD, 70), Qt.BrushStyle.BDiagPattern))

    def _paint_marks(
        self, painter: QPainter, marks: Sequence[Mark], now: Look, words: dict[bool, list[tuple[float, float]]]
    ) -> None:
        """Ticks first, then words, what is to be watched before the rest of them, then pains over all."""
        upright: set[tuple[MarkKind, int]] = set()
        for mark in marks:
            column = (mark.kind, round(self.across(mark.at)))
            if mark.kind in (MarkKind.TICK, MarkKind.STEP) and column not in upright:
                upright.add(column)
                self._paint_tick(painter, mark, now)
        worded = [mark for mark in marks if mark.words and mark.kind is not MarkKind.PAIN]
        for mark in sorted(worded, key=lambda one: one.kind not in (MarkKind.WATCH, MarkKind.EDGE)):
            self._paint_words(painter, mark, now, words)
        before, down = -1e9, False
        for mark in marks:
            if mark.kind is MarkKind.PAIN:
                round_it = now.px(Target.TAG) / 2 + Stroke.LINE
                near = self.across(mark.at) - before < 2 * round_it
                down = near and not down
                self._paint_pain(painter, mark, now, round_it, near=near, down=down)
                before = self.across(mark.at)

    def _in_burst(self, at: float) -> bool:
        if self._bursts_of is not self.shape:  # bursts follow one another, so the last begun before it is enough
            self._bursts_of = self.shape
            self._bursts = [part for part in self.shape.parts if part.kind is PartKind.BURST]
        place = bisect_right(self._bursts, at, key=lambda part: part.at)
        before = self._bursts[max(place - 1, 0) : place]
        fresh = [part for part in self._fresh.parts if part.kind is PartKind.BURST]
        return any(part.at <= at and (part.until is None or at <= part.until) for part in (*before, *fresh))

    def _paint_tick(self, painter: QPainter, mark: Mark, now: Look) -> None:
        band, x = self.band(), self.across(mark.at)
        ink = Role.ON_FILL if self._in_burst(mark.at) else Role.ELDER
        painter.setPen(QPen(now.colour(ink), Stroke.LINE if mark.kind is MarkKind.TICK else Stroke.HAIR))
        inset = Space.GAP if mark.kind is MarkKind.TICK else band.height() * 3 / 4
        painter.drawLine(QPointF(x, band.top() + inset), QPointF(x, band.bottom() - Space.GAP / 2))

    def _paint_pain(self, painter: QPainter, mark: Mark, now: Look, round_it: float, *, near: bool, down: bool) -> None:
        """The number in its circle; one close to another stands lower or higher, so that both can be read."""
        band = self.band()
        shift = (band.height() / 2 - round_it) * (1 if down else -1) if near else 0
        x = min(max(self.across(mark.at), round_it + Stroke.HAIR), self.width() - round_it - Stroke.HAIR)
        at = QPointF(x, band.center().y() + shift)
        painter.setPen(QPen(now.colour(Role.INK), Stroke.LINE))
        painter.setBrush(now.colour(Role.CARD))
        painter.drawEllipse(at, round_it, round_it)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setFont(now.font(Size.SMALL, strong=True))
        box = QRectF(at.x() - round_it, at.y() - round_it, 2 * round_it, 2 * round_it)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, mark.words)

    def _paint_words(
        self, painter: QPainter, mark: Mark, now: Look, words: dict[bool, list[tuple[float, float]]]
    ) -> None:
        """A stem at its second, always; its word where no other stands, else the stem alone says that it is there."""
        band, x = self.band(), self.across(mark.at)
        over, watch = mark.kind in (MarkKind.OVER, MarkKind.EDGE), mark.kind is MarkKind.WATCH
        colour = now.colour(Role.WELD if watch else Role.INK if over else Role.SOFT_INK)
        painter.setPen(QPen(colour, Stroke.LINE))
        edge, out = (band.top(), -Space.FINE) if over else (band.bottom() + Stroke.LINE, Space.FINE)
        painter.drawLine(QPointF(x, edge), QPointF(x, edge + out))
        font = now.font(Size.SMALL, strong=watch)
        metrics = QFontMetricsF(font)
        wide = metrics.horizontalAdvance(mark.words)
        taken = words.setdefault(over, [])
        places = [min(max(x + shift, 0), self.width() - wide) for shift in (-Space.GAP, Space.GAP - wide)]
        free = [
            at
            for at in places
            if not any(at < end + Space.GAP and begin < at + wide + Space.GAP for begin, end in taken)
        ]
        left = next(iter(free), -1.0)
        if left < 0:
            return
        taken.append((left, left + wide))
        base = band.top() - Stroke.LINE - metrics.descent() if over else band.bottom() + Space.FINE + metrics.ascent()
        painter.setFont(font)
        painter.drawText(QPointF(left, base), mark.words)

    def _paint_hint(self, painter: QPainter, now: Look) -> None:
        """What a tap does, after the line of now, where there is room for it."""
        font = now.font(Size.SMALL)
        left = self.across(self.now) + Space.SNUG
        box = QRectF(left, self.band().top(), self.width() - left, self.band().height())
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap
        needs = QFontMetricsF(font).boundingRect(box, flags, self.hint)
        if box.width() > 0 and needs.width() <= box.width() and needs.height() <= box.height():
            painter.setFont(font)
            painter.setPen(now.colour(Role.SOFT_INK))
            painter.drawText(box, flags, self.hint)
