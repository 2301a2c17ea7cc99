"""A strip of joined segments over a base line: the shape of every choice from a few."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QCheckBox, QGroupBox, QRadioButton, QSizePolicy, QWidget

from desktop.controls.layouts import Flow
from desktop.controls.words import longest_word, paint_ring, wrapped
from desktop.theme.icons import Icon, paint_icon
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Stroke, Target

__all__ = ["Segments", "Tabs"]

_STEPS = MappingProxyType(
    {
        Qt.Key.Key_Right: 1,
        Qt.Key.Key_Down: 1,
        Qt.Key.Key_Left: -1,
        Qt.Key.Key_Up: -1,
    }
)


if TYPE_CHECKING:
    _Button = QAbstractButton
else:
    _Button = object  # the button of the right role comes second in the class list


class _Segment(_Button):
    """What a one-of-several and a any-of-several segment share; mixed into the button of the right role."""

    code: str
    letters: Size
    several: bool
    tab: bool
    tight = False  # figures of a scale: eleven of them stand in one row

    def _lead(self) -> int:
        return look().px(Target.MARK) + Space.GAP if self.several else 0

    def _pad(self) -> int:
        if self.tight:
            return Space.GAP + Stroke.LINE
        return Space.SNUG + Stroke.LINE

    def minimumSizeHint(self) -> QSize:
        widest = longest_word(look().font(self.letters, strong=True), self.text())
        return QSize(max(widest + 1 + 2 * self._pad() + self._lead(), Target.TOUCH), Target.TOUCH)

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(look().font(self.letters, strong=True))
        width = max(metrics.horizontalAdvance(self.text()) + 1 + 2 * self._pad() + self._lead(), Target.TOUCH)
        return QSize(width, self.heightForWidth(width))

    def heightForWidth(self, width: int) -> int:
        text = wrapped(look().font(self.letters, strong=True), self.text(), width - 2 * self._pad() - self._lead())
        return max(Target.TOUCH, text.height() + 2 * Space.SNUG)

    def hasHeightForWidth(self) -> bool:
        return True

    def hitButton(self, pos: object) -> bool:
        return True

    def _repaint_strip(self) -> None:
        """Grounds and lines are the strip's to paint."""
        strip = self.parentWidget()
        if strip is not None:
            strip.update()

    def nextCheckState(self) -> None:
        """The strip decides what is checked."""

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self._repaint_strip()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._repaint_strip()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self.updateGeometry()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        strip = self.parent()
        if isinstance(strip, Segments) and strip.key_pressed(self, Qt.Key(event.key())):
            return
        QWidget.keyPressEvent(self, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        on = self.isChecked()
        strip = self.parent()
        grey = on and isinstance(strip, Segments) and strip.grey
        filled = on and not self.tab and not grey
        soft = grey or not self.isEnabled() or (self.tab and not on)
        ink = now.colour(Role.ON_FILL if filled else Role.SOFT_INK if soft else Role.INK)
        inner = self.rect().adjusted(self._pad(), 0, -self._pad(), 0)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignVCenter
        if self.several:
            side = now.px(Target.MARK)
            left = inner.right() - side if self.isRightToLeft() else inner.left()
            mark = QRectF(left, inner.center().y() - side / 2 + 0.5, side, side)
            if on:
                paint_icon(painter, mark.adjusted(-2, -2, 2, 2), Icon.TICK, ink)
            else:
                painter.setPen(QPen(now.colour(Role.EDGE), Stroke.HAIR))
                painter.drawRect(mark)
            inner.adjust(
                0 if self.isRightToLeft() else self._lead(), 0, -self._lead() if self.isRightToLeft() else 0, 0
            )
            flags |= Qt.AlignmentFlag.AlignLeading
        else:
            flags |= Qt.AlignmentFlag.AlignHCenter
        painter.setFont(now.font(self.letters, strong=on))
        painter.setPen(ink)
        painter.drawText(inner, flags, self.text())
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, filled=filled)


class _OneSegment(_Segment, QRadioButton):
    """A segment of which one at most is picked."""


class _AnySegment(_Segment, QCheckBox):
    """A segment of which several may be picked."""


class Segments(Dressed, QGroupBox):
    """The strip: segments by code, in rows that wrap, each row on its line.

    Arrow keys, Home and End move between segments without picking; Space or Enter picks; Tab goes on to the next
    control. Picking what is picked takes it back. Signal `picked(code)`: the user picked or took back a segment; the
    strip itself shows only what `show_codes` tells it.
    """

    picked = Signal(str)
    tabs = False  # a tab is not filled but underlined, and always one is on

    def __init__(
        self,
        name: str,
        options: Mapping[str, str],
        *,
        several: bool = False,
        even: bool = False,
        size: Size = Size.BASE,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._several, self._size, self._even = several, size, even
        self.grey = False
        self._flow = Flow(self, gap=Space.GAP, row_gap=Space.GAP, even=even)
        self._segments: list[_OneSegment | _AnySegment] = []
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_options(options)

    def set_options(self, options: Mapping[str, str]) -> None:
        """Offer these, in this order."""
        if options == {segment.code: segment.text() for segment in self._segments}:
            return
        shown = self.codes()
        for gone in self._segments:
            self._flow.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        self._segments = []
        for code, words in options.items():
            made = _AnySegment(words, self) if self._several else _OneSegment(words, self)
            made.code, made.letters, made.several, made.tab = code, self._size, self._several, self.tabs
            made.tight = self._even
            made.setAutoExclusive(not self._several)
            made.setAccessibleName(words)
            made.setAccessibleDescription(self.accessibleName())
            made.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
            made.clicked.connect(lambda _on=False, code=code: self._pick(code))
            self._segments.append(made)
            self._flow.addWidget(made)
            made.setVisible(True)
        self.show_codes(shown)

    def options(self) -> tuple[str, ...]:
        """The codes on offer."""
        return tuple(segment.code for segment in self._segments)

    def codes(self) -> tuple[str, ...]:
        """The codes shown as picked."""
        return tuple(segment.code for segment in self._segments if segment.isChecked())

    def show_codes(self, codes: Sequence[str]) -> None:
        """Show these as picked."""
        for segment in self._segments:
            segment.setAutoExclusive(False)  # Qt lets none of an exclusive group be unchecked
            segment.setChecked(segment.code in codes)
        for segment in self._segments:
            segment.setAutoExclusive(not self._several)  # and calls only these radio buttons
        self.update()
        self._rove(next((s for s in self._segments if s.isChecked()), self._segments[0] if self._segments else None))

    def show_grey(self, *, grey: bool) -> None:
        """Show what is picked in soft ink on a pale ground, or as usual."""
        if grey != self.grey:
            self.grey = grey
            self.update()

    def button(self, code: str) -> QAbstractButton:
        """The segment of a code; raises KeyError for a code not on offer."""
        return {segment.code: segment for segment in self._segments}[code]

    def _pick(self, code: str) -> None:
        self._rove(next(segment for segment in self._segments if segment.code == code))
        self.picked.emit(code)

    def _rove(self, to: QAbstractButton | None) -> None:
        """Only one segment is a stop of the Tab key."""
        for segment in self._segments:
            segment.setFocusPolicy(Qt.FocusPolicy.StrongFocus if segment is to else Qt.FocusPolicy.ClickFocus)

    def key_pressed(self, segment: QAbstractButton, key: Qt.Key) -> bool:
        """What a key does on a segment; False if it means nothing here."""
        at = next(place for place, each in enumerate(self._segments) if each is segment)
        if key in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            segment.click()
            return True
        step = _STEPS.get(key, 0)
        if self.isRightToLeft() and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = -step
        ends = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: len(self._segments) - 1}
        if not step and key not in ends:
            return False
        to = self._segments[ends.get(key, (at + step) % len(self._segments))]
        self._rove(to)
        to.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def sizeHint(self) -> QSize:
        return self._flow.sizeHint()

    def minimumSizeHint(self) -> QSize:
        return self._flow.minimumSize()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The lines: one after each segment, one under each row, the last of them strong."""
        now = look()
        painter = QPainter(self)
        shown = [segment for segment in self._segments if not segment.isHidden()]
        feet = sorted({segment.geometry().bottom() for segment in shown})
        self._paint_grounds(painter, shown)
        picked = [segment.geometry() for segment in shown if segment.isChecked()]
        for segment in shown:
            box = segment.geometry()
            abreast = any(box.top() == one.top() and 0 < one.left() - box.right() <= Space.PAD for one in picked)
            between = abreast and segment.isChecked() and not self.tabs
            painter.setPen(QPen(now.colour(Role.CARD if between else Role.EDGE), Stroke.HAIR))
            x = box.left() - Space.GAP // 2 if self.isRightToLeft() else box.right() + Space.GAP // 2
            if 0 < x < self.width():
                painter.drawLine(x, box.top(), x, box.bottom())
        if self.tabs:
            return
        painter.setPen(QPen(now.colour(Role.EDGE), Stroke.HAIR))
        for foot in feet[:-1]:
            painter.drawLine(0, foot + Stroke.HAIR, self.width(), foot + Stroke.HAIR)
        if feet:
            painter.fillRect(0, self.height() - Stroke.LINE, self.width(), Stroke.LINE, now.colour(Role.EDGE))

    def _paint_grounds(self, painter: QPainter, shown: Sequence[QAbstractButton]) -> None:
        """The fill of what is picked and the tint of what is pointed at, out to the lines on both sides."""
        now = look()
        half = Space.GAP // 2
        for segment in shown:
            box = segment.geometry().adjusted(-half, 0, half, 0).intersected(self.rect())
            if segment.isChecked():
                picked = Role.ELDER if self.isEnabled() else Role.SOFT_INK
                fill = now.colour(Role.WELL if self.grey else picked)
                if self.tabs:
                    box.setTop(box.bottom() + 1 - Stroke.RING)
                painter.fillRect(box, fill)
            elif segment.isEnabled() and (segment.underMouse() or segment.isDown()):
                painter.fillRect(box, now.tint(Role.WELL, Role.CARD, 80))


class Tabs(Segments):
    """The parts of one page, by name; the one shown is underlined. Signal `chosen(code)` when another was picked.

    Where they take two rows, `turn` is the code that begins the second, so that each row holds what belongs together.
    """

    chosen = Signal(str)
    tabs = True

    def __init__(self, name: str, options: Mapping[str, str], parent: QWidget | None = None, *, turn: str = "") -> None:
        super().__init__(name, options, parent=parent)
        if turn:
            self._flow.turn_at(self.options().index(turn))
        self.show_codes(self.options()[:1])
        self.picked.connect(self.go)

    def go(self, code: str) -> None:
        """Show another part."""
        if code not in self.codes():
            self.show_codes((code,))
            self.chosen.emit(code)
