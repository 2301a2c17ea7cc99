"""Buttons: an act with its word and key, and a link that opens or goes somewhere."""

from __future__ import annotations

from enum import Enum
from types import MappingProxyType

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QEnterEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from desktop.controls.words import Snug, longest_word, paint_ring, wrapped
from desktop.theme.halfmoons import TagShape, paint_tag
from desktop.theme.icons import Icon, paint_icon
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["Act", "ActKind", "Link"]


class ActKind(Enum):
    """How a button stands out."""

    PLAIN = "plain"  # edged, on the card
    MAIN = "main"  # filled: the one likely next thing
    URGENT = "urgent"  # filled in madder, for an urgent contact only
    BARE = "bare"  # no edge until it is pointed at


_FILLS = MappingProxyType({ActKind.MAIN: Role.ELDER, ActKind.URGENT: Role.MADDER})


class _Pressed(Snug, Dressed, QPushButton):
    """A push button that Enter presses as well as Space, and that repaints when pointed at."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.isAutoRepeat():
            self.click()
            return
        super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()


class Act(_Pressed):
    """A button with one bold word or two, maybe a small second line, a keycap, an icon, or a person's tag.

    `key` is shown as a keycap, the shortcut itself is set where the window binds its keys. A checkable Act shows that
    it is on by a wide elder edge (the baby now charted).
    """

    def __init__(
        self,
        words: str,
        *,
        key: str = "",
        small: str = "",
        kind: ActKind = ActKind.PLAIN,
        icon: Icon | None = None,
        tag: TagShape | None = None,
        target: Target = Target.BAND,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(words, parent)
        self._key, self._small, self._kind, self._icon, self._tag = key, small, kind, icon, tag
        self._target = target
        self.setAccessibleName(f"{words}, {small}" if small else words)
        if key:
            self.setAccessibleDescription(f"Key {key}")
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def say(self, words: str, small: str | None = None) -> None:
        """Show other words."""
        if small is not None:
            self._small = small
        self.setText(words)
        self.setAccessibleName(f"{words}, {self._small}" if self._small else words)
        self.updateGeometry()
        self.update()

    def _lead(self) -> int:
        """Width of what stands before the words."""
        return look().px(Target.TAG) + Space.PAD if self._tag or self._icon else 0

    def _cap(self) -> QSize:
        """The size of the keycap."""
        if not self._key:
            return QSize(0, 0)
        metrics = QFontMetrics(look().font(Size.SMALL))
        return QSize(metrics.horizontalAdvance(self._key) + 2 * Space.GAP, metrics.height() + Space.FINE)

    def _around(self) -> int:
        cap = self._cap().width()
        return self._lead() + (cap + Space.SNUG if cap else 0) + 2 * (Space.PAD + Stroke.LINE)

    def _texts(self, width: int) -> tuple[QSize, QSize]:
        now = look()
        main = wrapped(now.font(strong=True), self.text(), width)
        small = wrapped(now.font(Size.SMALL), self._small, width) if self._small else QSize(0, 0)
        return main, small

    def heightForWidth(self, width: int) -> int:
        main, small = self._texts(width - self._around())
        return max(self._target, main.height() + small.height() + 2 * Space.GAP)

    def natural_width(self) -> int:
        main, small = self._texts(1 << 20)
        return max(main.width(), small.width()) + 1 + self._around()

    def minimumSizeHint(self) -> QSize:
        now = look()
        widest = max(longest_word(now.font(strong=True), self.text()), longest_word(now.font(Size.SMALL), self._small))
        return QSize(widest + 1 + self._around(), self._target)

    def _colours(self) -> tuple[Role, Role, Role]:
        """Ground, ink and soft ink."""
        fill = _FILLS.get(self._kind)
        if fill is not None and self.isEnabled():
            return fill, Role.ON_FILL, Role.ON_FILL
        return Role.CARD, Role.INK if self.isEnabled() else Role.SOFT_INK, Role.SOFT_INK

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground, ink, soft = self._colours()
        filled = ground is not Role.CARD
        self._paint_ground(painter, ground, filled=filled)
        inner = self.rect().adjusted(Space.PAD + Stroke.LINE, 0, -(Space.PAD + Stroke.LINE), 0)
        side = now.px(Target.TAG)
        lead = QRectF(inner.left(), inner.center().y() - side / 2 + 0.5, side, side)
        if self._tag:
            paint_tag(painter, lead, self._tag, now)
        elif self._icon:
            paint_icon(painter, lead, self._icon, now.colour(ink))
        cap = self._cap()
        words = inner.adjusted(self._lead(), 0, -(cap.width() + Space.SNUG if cap.width() else 0), 0)
        main, small = self._texts(words.width())
        top = words.center().y() - (main.height() + small.height()) // 2 + 1
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignTop
        painter.setFont(now.font(strong=True))
        painter.setPen(now.colour(ink))
        painter.drawText(QRect(words.left(), top, words.width(), main.height()), flags, self.text())
        if self._small:
            painter.setFont(now.font(Size.SMALL))
            painter.setPen(now.colour(soft))
            rect = QRect(words.left(), top + main.height(), words.width(), small.height())
            painter.drawText(rect, flags, self._small)
        if cap.width():
            box = QRectF(words.right() + Space.SNUG, inner.center().y() - cap.height() / 2, cap.width(), cap.height())
            painter.setFont(now.font(Size.SMALL))
            painter.setPen(QPen(now.colour(soft), Stroke.HAIR))
            painter.drawRoundedRect(box, Radius.EASED, Radius.EASED)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._key)
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, filled=filled, radius=Radius.SOFT)

    def _paint_ground(self, painter: QPainter, ground: Role, *, filled: bool) -> None:
        now = look()
        pointed = self.isEnabled() and (self.underMouse() or self.isDown())
        if self._kind is ActKind.BARE and not pointed:
            return
        on = self.isCheckable() and self.isChecked()
        width = Stroke.RING if on else Stroke.HAIR
        half = width / 2
        box = QRectF(self.rect()).adjusted(half, half, -half, -half)
        edge = Role.ELDER if on else ground if filled else Role.EDGE
        painter.setPen(QPen(now.colour(edge), width))
        under = now.tint(Role.INK, ground, 12) if filled else now.tint(Role.WELL, Role.CARD, 60)
        painter.setBrush(under if pointed else now.colour(ground))
        painter.drawRoundedRect(box, Radius.SOFT, Radius.SOFT)


class Link(_Pressed):
    """Underlined words that open something in place or go elsewhere; as tall as any other target."""

    def __init__(
        self,
        words: str,
        *,
        size: Size = Size.SMALL,
        ink: Role = Role.WOAD,
        icon: Icon | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(words, parent)
        self._size, self._ink, self._icon = size, ink, icon
        self.setAccessibleName(words)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def say(self, words: str) -> None:
        """Show other words."""
        self.setText(words)
        self.setAccessibleName(words)
        self.updateGeometry()
        self.update()

    def _lead(self) -> int:
        return look().px(Target.KNOB) + Space.GAP if self._icon else 0

    def heightForWidth(self, width: int) -> int:
        text = wrapped(look().font(self._size), self.text(), width - Space.FINE - self._lead())
        return max(Target.TOUCH, text.height() + 2 * Space.GAP)

    def natural_width(self) -> int:
        font = look().font(self._size)
        # Letters may reach out beyond their advance, and would wrap in a width that leaves them no room.
        wide = max(QFontMetrics(font).horizontalAdvance(self.text()), wrapped(font, self.text(), 1 << 20).width())
        return max(wide + Space.FINE + 1 + self._lead(), Target.TOUCH)

    def minimumSizeHint(self) -> QSize:
        widest = longest_word(look().font(self._size), self.text()) + Space.FINE + 1 + self._lead()
        return QSize(max(widest, Target.TOUCH), Target.TOUCH)

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        font = now.font(self._size)
        painter.setFont(font)
        colour = now.colour(self._ink if self.isEnabled() else Role.SOFT_INK)
        if self.hasFocus():
            painter.fillRect(self.rect(), now.colour(Role.WELL))
        inner = self.rect().adjusted(self._lead(), 0, -Space.FINE, 0)
        if self._icon:
            side = now.px(Target.KNOB)
            paint_icon(painter, QRectF(0, self.rect().center().y() - side / 2, side, side), self._icon, colour)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        painter.setPen(colour)
        painter.drawText(inner, flags, self.text())
        if self.isEnabled():
            size = wrapped(font, self.text(), inner.width())
            solid = self.underMouse()
            painter.setPen(QPen(colour, Stroke.HAIR, Qt.PenStyle.SolidLine if solid else Qt.PenStyle.DotLine))
            foot = inner.center().y() + size.height() // 2 + Stroke.LINE
            left = inner.right() - size.width() if self.isRightToLeft() else inner.left()
            painter.drawLine(left, foot, left + size.width(), foot)
        if self.hasFocus():
            # Words that start at the column's edge leave no room for a ring beside them: a ground and a thick foot.
            foot_line = self.rect().adjusted(0, self.height() - Stroke.RING, 0, 0)
            painter.fillRect(foot_line, now.colour(Role.ELDER))
