"""What is tapped while a feed goes on: each event with its word and its key, in rows of their own over a line.

The likely next event is one large filled target; the others stand in ruled rows, words and hairlines and no boxes.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import (
    QEnterEvent,
    QFont,
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QTextLayout,
    QTextOption,
)
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from desktop.controls.layouts import Flow
from desktop.controls.words import Snug, longest_word, paint_ring, wrapped
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["LikelyTap", "Tap", "TapBoard", "TapRow"]

_STEPS = MappingProxyType({Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1})


class _Tapped(Snug, Dressed, QAbstractButton):
    """A target that Enter presses as well as Space, named by its event and its key."""

    def __init__(self, code: str, words: str, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.code, self.key = code, key
        self.setObjectName(f"tap-{code}")
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.say(words)

    def say(self, words: str) -> None:
        """Show other words."""
        self.setText(words)
        self.setAccessibleName(f"{words}, key {self.key}" if self.key else words)
        self.updateGeometry()
        self.update()

    def hitButton(self, pos: object) -> bool:
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.parent()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if not event.isAutoRepeat():
                self.click()
            return
        if isinstance(row, TapRow) and row.key_pressed(self, Qt.Key(event.key())):
            return
        super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()

    def cap(self) -> QSize:
        """The size of the keycap."""
        if not self.key:
            return QSize(0, 0)
        metrics = QFontMetrics(look().font(Size.SMALL))
        return QSize(metrics.horizontalAdvance(self.key) + 2 * Space.FINE + Stroke.LINE, metrics.height())

    def paint_cap(self, painter: QPainter, left: float, middle: float, ink: Role) -> None:
        """The keycap, its left edge and its middle here."""
        cap = self.cap()
        box = QRectF(left, middle - cap.height() / 2, cap.width(), cap.height())
        painter.setFont(look().font(Size.SMALL))
        painter.setPen(QPen(look().colour(ink), Stroke.HAIR))
        painter.drawRoundedRect(box, Radius.EASED, Radius.EASED)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self.key)


class Tap(_Tapped):
    """One event in a row, the letter of its key underlined in its word, or in a keycap where it is none of them.

    `strong` in ink and bold; `lit` while it is the one that stands (the pain last told).
    """

    def __init__(
        self, code: str, words: str, key: str = "", *, strong: bool = False, figure: bool = False,
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        self._strong, self._figure, self.lit = strong, figure, False
        super().__init__(code, words, key, parent)

    def light(self, *, lit: bool) -> None:
        """Show it as the one that stands, or not."""
        if lit != self.lit:
            self.lit = lit
            self.update()

    def _inside(self) -> int:
        """The place of the key's letter in the word, the first of them; -1 where it needs a keycap."""
        return self.text().lower().find(self.key.lower()) if len(self.key) == 1 else -1

    def _lead(self) -> int:
        return self.cap().width() + Space.GAP if self.key and not self._figure and self._inside() < 0 else 0

    def _font(self) -> QFont:
        return look().font(strong=self._strong or self.lit)

    def natural_width(self) -> int:
        wide = QFontMetrics(look().font(strong=self._strong)).horizontalAdvance(self.text())
        return max(wide + Space.FINE + 2 * Space.GAP + self._lead(), Target.TOUCH)

    def heightForWidth(self, width: int) -> int:
        words = wrapped(look().font(strong=self._strong), self.text(), width - 2 * Space.GAP - self._lead())
        return max(Target.TOUCH, words.height() + 2 * Space.GAP)

    def minimumSizeHint(self) -> QSize:
        widest = longest_word(look().font(strong=self._strong), self.text())
        return QSize(max(widest + Space.FINE + 2 * Space.GAP + self._lead(), Target.TOUCH), Target.TOUCH)

    def _ink(self) -> Role:
        if self.lit:
            return Role.ON_FILL
        return Role.SOFT_INK if not self.isEnabled() or not (self._strong or self._figure) else Role.INK

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.lit:
            painter.fillRect(self.rect(), now.colour(Role.ELDER))
        elif self.isEnabled() and (self.underMouse() or self.isDown()):
            painter.fillRect(self.rect(), now.tint(Role.WELL, Role.CARD, 80))
        text = self._laid()
        size = text.boundingRect()
        left = float(Space.GAP)
        top = (self.height() - size.height()) / 2
        painter.setPen(now.colour(self._ink()))
        text.draw(painter, QPointF(left, top))
        if self._lead():
            self.paint_cap(painter, left + size.width() + Space.GAP, self.height() / 2, Role.SOFT_INK)
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, filled=self.lit)

    def _laid(self) -> QTextLayout:
        """The words, wrapped, with the key's letter underlined."""
        text = QTextLayout(self.text(), self._font())
        option = QTextOption(Qt.AlignmentFlag.AlignHCenter if self._figure else Qt.AlignmentFlag.AlignLeading)
        option.setWrapMode(QTextOption.WrapMode.WordWrap)
        text.setTextOption(option)
        if self._inside() >= 0 and not self._figure and self.isEnabled():
            marked = QTextLayout.FormatRange()
            marked.start, marked.length = self._inside(), 1
            marked.format.setFontUnderline(True)
            text.setFormats([marked])
        wide, down = self.width() - 2 * Space.GAP - self._lead(), 0.0
        text.beginLayout()
        while (line := text.createLine()).isValid():
            line.setLineWidth(max(wide, 1))
            line.setPosition(QPointF(0, down))
            down += line.height()
        text.endLayout()
        return text


class LikelyTap(_Tapped):
    """The likely next event: its word large, under it how often it has been tapped, and its key."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self.small = ""
        super().__init__("likely", "", "", parent)
        self.setObjectName("tap-likely")

    def show_event(self, code: str, words: str, small: str, key: str) -> None:
        """Offer this event."""
        self.code, self.key, self.small = code, key, small
        self.say(words)
        self.setAccessibleName(f"{words}, {small}, key {key}" if key else f"{words}, {small}")

    def _texts(self, width: int) -> tuple[QSize, QSize]:
        room = width - 2 * Space.PAD
        cap = self.cap().width() + Space.GAP
        return (
            wrapped(look().font(Size.FIGURE, strong=True), self.text(), room),
            wrapped(look().font(), self.small, room - cap),
        )

    def natural_width(self) -> int:
        main, small = self._texts(1 << 20)
        return max(main.width(), small.width() + self.cap().width() + Space.GAP) + 1 + 2 * Space.PAD

    def heightForWidth(self, width: int) -> int:
        main, small = self._texts(width)
        return max(2 * Target.TOUCH + Space.GAP, main.height() + small.height() + 2 * Space.PAD)

    def minimumSizeHint(self) -> QSize:
        main = longest_word(look().font(Size.FIGURE, strong=True), self.text())
        small = longest_word(look().font(), self.small) + self.cap().width() + Space.GAP
        return QSize(max(main, small) + 1 + 2 * Space.PAD, 2 * Target.TOUCH + Space.GAP)

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        filled = self.isEnabled()
        pointed = filled and (self.underMouse() or self.isDown())
        ground = now.tint(Role.INK, Role.ELDER, 12) if pointed else now.colour(Role.ELDER if filled else Role.WELL)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ground)
        painter.drawRoundedRect(self.rect(), Radius.EASED, Radius.EASED)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        main, small = self._texts(self.width())
        ink = Role.ON_FILL if filled else Role.SOFT_INK
        top = (self.height() - main.height() - small.height() - Space.FINE) // 2
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignTop
        painter.setPen(now.colour(ink))
        painter.setFont(now.font(Size.FIGURE, strong=True))
        inside = self.width() - 2 * Space.PAD
        painter.drawText(QRect(Space.PAD, top, inside, main.height()), flags, self.text())
        painter.setFont(now.font())
        under = QRect(
            Space.PAD, top + main.height() + Space.FINE, inside - self.cap().width() - Space.GAP, small.height()
        )
        painter.drawText(under, flags, self.small)
        if self.key:
            self.paint_cap(painter, under.left() + small.width() + Space.GAP, under.center().y() + 0.5, ink)
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, filled=filled, radius=Radius.EASED)


class TapRow(Dressed, QWidget):
    """Taps side by side, hairlines between them, a line under each row; one stop of the Tab key, arrows go on."""

    def __init__(
        self, taps: Sequence[Tap], *, even: bool = False, ruled: bool = True, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._flow = Flow(self, gap=Space.GAP, row_gap=Space.GAP, even=even)
        self._ruled = ruled
        self.taps = tuple(taps)
        for tap in self.taps:
            tap.setParent(self)
            self._flow.addWidget(tap)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._rove(self.taps[0])

    def _rove(self, to: QWidget) -> None:
        for tap in self.taps:
            tap.setFocusPolicy(Qt.FocusPolicy.StrongFocus if tap is to else Qt.FocusPolicy.ClickFocus)

    def key_pressed(self, tap: QWidget, key: Qt.Key) -> bool:
        """What an arrow, Home or End does on a target; False for any other key."""
        shown = [one for one in self.taps if not one.isHidden() and one.isEnabled()]
        at = shown.index(tap) if tap in shown else 0
        step = _STEPS.get(key, 0) * (-1 if self.isRightToLeft() and key in (Qt.Key.Key_Left, Qt.Key.Key_Right) else 1)
        ends = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: len(shown) - 1}
        if not shown or (not step and key not in ends):
            return False
        to = shown[ends.get(key, (at + step) % len(shown))]
        self._rove(to)
        to.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._flow.heightForWidth(width)

    def sizeHint(self) -> QSize:
        return self._flow.sizeHint()

    def minimumSizeHint(self) -> QSize:
        return self._flow.minimumSize()

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        shown = [tap for tap in self.taps if not tap.isHidden()]
        painter.setPen(QPen(now.tint(Role.EDGE, Role.CARD, 60), Stroke.HAIR))
        for tap in shown:
            box = tap.geometry()
            x = box.left() - Space.GAP // 2 if self.isRightToLeft() else box.right() + Space.GAP // 2
            last = not any(one.geometry().top() == box.top() and one.geometry().left() > box.left() for one in shown)
            if 0 < x < self.width() and not last:
                painter.drawLine(x, box.top(), x, box.bottom())
        if self._ruled:
            for foot in sorted({tap.geometry().bottom() for tap in shown})[:-1]:
                painter.drawLine(0, foot + Space.FINE, self.width(), foot + Space.FINE)


class TapBoard(Dressed, QWidget):
    """The likely next event with rows beside it, further rows over the whole width; all below where it is narrow."""

    def __init__(
        self, likely: LikelyTap, beside: Sequence[TapRow], below: Sequence[TapRow], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._likely, self._beside, self._below = likely, tuple(beside), tuple(below)
        for part in (likely, *beside, *below):
            part.setParent(self)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._place(width, move=False)

    def sizeHint(self) -> QSize:
        wide = self.width() if self.testAttribute(Qt.WidgetAttribute.WA_Resized) else 2 * Target.SIDE_PANEL
        return QSize(2 * Target.SIDE_PANEL, self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        rows = (*self._beside, *self._below, self._likely)
        return QSize(max(row.minimumSizeHint().width() for row in rows), 0)

    def refresh(self) -> None:
        """Lay it out again: another event may need another width."""
        self._place(self.width(), move=True)
        self.updateGeometry()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place(self.width(), move=True)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()

    def _place(self, width: int, *, move: bool) -> int:
        lead = look().px(Target.SIDE_PANEL) * 4 // 5
        rest = width - lead - Space.PAD
        beside = rest >= max(row.sizeHint().width() for row in self._beside)
        top = 0
        if beside:
            tall = sum(row.heightForWidth(rest) + Space.GAP for row in self._beside) - Space.GAP
            tall = max(tall, self._likely.heightForWidth(lead))
            self._put(self._likely, QRect(0, 0, lead, tall), move=move)
            for row in self._beside:
                high = row.heightForWidth(rest)
                self._put(row, QRect(lead + Space.PAD, top, rest, high), move=move)
                top += high + Space.GAP
            top = tall + Space.GAP
        else:
            high = self._likely.heightForWidth(width)
            self._put(self._likely, QRect(0, 0, width, high), move=move)
            top = high + Space.GAP
        for row in self._below if beside else (*self._beside, *self._below):
            high = row.heightForWidth(width)
            self._put(row, QRect(0, top, width, high), move=move)
            top += high + Space.GAP
        return top - Space.GAP

    def paintEvent(self, event: QPaintEvent) -> None:
        """A line under what happens most often, apart from the rest."""
        first, second = self._beside[0].geometry(), self._beside[1].geometry()
        middle = (first.bottom() + second.top()) // 2
        painter = QPainter(self)
        painter.fillRect(first.left(), middle, first.width(), Stroke.LINE, look().colour(Role.EDGE))

    def _put(self, part: QWidget, box: QRect, *, move: bool) -> None:
        if move:
            if self.isRightToLeft():
                box.moveLeft(self.width() - box.right() - 1)
            part.setGeometry(box)
