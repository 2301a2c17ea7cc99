"""Words on screen: labels in the sizes and inks of the look, wrapped and never cut; and the measuring of words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QPalette, QPen, QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QWidget

from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Role, Size, Space, Stroke

__all__ = ["Rule", "Snug", "Title", "Words", "breakable", "longest_word", "paint_ring", "wrapped"]

_LONG_RUN = re.compile(r"\S{24,}")
_BREAK = "\u200b"  # where a very long run without spaces may go on in the next line


def breakable(text: str) -> str:
    """The text with places to break inside very long runs, so that no name or address is cut."""
    return _LONG_RUN.sub(lambda run: _BREAK.join(run[0][i : i + 12] for i in range(0, len(run[0]), 12)), text)


def longest_word(font: QFont, text: str) -> int:
    """The width of the longest word: less than this cannot be offered."""
    metrics = QFontMetrics(font)
    return max((metrics.horizontalAdvance(word) for word in re.split(r"[\s\u200b]+", text)), default=0)


def wrapped(font: QFont, text: str, width: int) -> QSize:
    """The size of the text when wrapped to `width`."""
    flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
    return QFontMetrics(font).boundingRect(QRect(0, 0, max(width, 1), 1 << 20), flags, text).size()


def paint_ring(painter: QPainter, rect: QRect, look: Look, *, filled: bool = False, radius: float = 0) -> None:
    """The focus ring: wide enough and dark enough to be found at once, inside the edge so that nothing covers it."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = Stroke.RING / 2
    inset = half + (Stroke.LINE if filled else 0)
    painter.setPen(QPen(look.colour(Role.ON_FILL if filled else Role.ELDER), Stroke.RING))
    box = QRectF(rect).adjusted(inset, inset, -inset, -inset)
    painter.drawRoundedRect(box, max(radius - inset, 0), max(radius - inset, 0))
    painter.restore()


if TYPE_CHECKING:
    _Base = QWidget
else:
    _Base = object


class Snug(_Base):
    """Mixed in before a widget that wraps its words: never taller than they need at the width it has."""

    def natural_width(self) -> int:
        """The width at which nothing wraps."""
        raise NotImplementedError

    def sizeHint(self) -> QSize:
        natural = self.natural_width()
        wide = min(natural, self.width()) if self.testAttribute(Qt.WidgetAttribute.WA_Resized) else natural
        return QSize(natural, self.heightForWidth(wide))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()


class Words(Dressed, QLabel):
    """A label. Wraps unless told not to; selectable text is for figures and names that get copied."""

    def __init__(
        self,
        text: str = "",
        *,
        size: Size = Size.BASE,
        ink: Role = Role.INK,
        strong: bool = False,
        title: bool = False,
        wrap: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._size, self._ink, self._strong, self._title = size, ink, strong, title
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(wrap)
        self.setAlignment(Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter)
        policy = self.sizePolicy()
        policy.setHorizontalPolicy(QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(wrap)
        self.setSizePolicy(policy)
        self.say(text)
        self.dress()

    def say(self, text: str) -> None:
        """Show other words."""
        if text != self.said():
            self.setAccessibleName(text)
            self.setText(breakable(text))

    def said(self) -> str:
        """The words shown, as given."""
        return self.text().replace(_BREAK, "")

    def take_ink(self, ink: Role) -> None:
        """Show the words in another ink."""
        self._ink = ink
        self.dress()

    def dress(self) -> None:
        now = look()
        self.setFont(now.font(self._size, strong=self._strong, title=self._title))
        palette = self.palette()
        for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive, QPalette.ColorGroup.Disabled):
            palette.setColor(group, QPalette.ColorRole.WindowText, now.colour(self._ink))
        self.setPalette(palette)

    def minimumSizeHint(self) -> QSize:
        hint = super().minimumSizeHint()
        if self.wordWrap():
            hint.setWidth(longest_word(self.font(), self.text()))
        return hint


class Title(Words):
    """A title, a family's name or a big heading, in the title face."""

    def __init__(self, text: str = "", *, size: Size = Size.TITLE, parent: QWidget | None = None) -> None:
        super().__init__(text, size=size, title=True, parent=parent)


class Rule(Dressed, QFrame):
    """A thin line between things; `strong` under a figure's heading."""

    def __init__(self, parent: QWidget | None = None, *, strong: bool = False) -> None:
        super().__init__(parent)
        self._strong = strong
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(Space.FAR, Stroke.HAIR)

    def minimumSizeHint(self) -> QSize:
        return QSize(0, Stroke.HAIR)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colour = look().colour(Role.EDGE) if self._strong else look().tint(Role.EDGE, Role.CARD, 60)
        painter.fillRect(self.rect(), colour)
