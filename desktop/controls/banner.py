"""What the window has to say by itself: a line of news, and the urgent panel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Beside, Flow, Stack, spaced
from desktop.controls.surfaces import Surface
from desktop.controls.words import Title, Words
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Stroke

__all__ = ["Banner", "Urgent", "UrgentPanel"]


class Banner(Surface):
    """A bar of news with its acts. `watch` news is in weld and starts with a word, for colour never speaks alone."""

    def __init__(
        self, words: str, acts: Sequence[QWidget] = (), *, watch: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(Role.WELL, (Qt.Edge.BottomEdge,), parent)
        self.setContentsMargins(Space.WIDE, Space.GAP, Space.WIDE, Space.GAP)
        across = Beside(self, gap=Space.WIDE, middle=True)
        self.words = Words(words, strong=True, ink=Role.WELD if watch else Role.INK)
        across.addWidget(self.words)
        if acts:
            row = QWidget()
            flow = Flow(row)
            for act in acts:
                flow.addWidget(act)
            across.addWidget(row)

    def say(self, words: str) -> None:
        """Say something else, aloud too where a screen reader runs."""
        self.words.say(words)
        QAccessible.updateAccessibility(QAccessibleEvent(self.words, QAccessible.Event.Alert))


@dataclass(frozen=True, slots=True)
class Urgent:
    """An urgent prompt: how urgent in words, what was seen, why it matters, whom to contact now, and the source."""

    level: str
    about: str
    seen: tuple[str, ...]
    why: str
    contact: str
    source: str


class UrgentPanel(Dressed, QWidget):
    """An urgent prompt in madder. It informs; the consultant decides, and it says so."""

    def __init__(self, urgent: Urgent, acts: Sequence[Act] = (), parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(f"{urgent.level}: {urgent.about}")
        column = QVBoxLayout(self)
        spaced(column, Space.SNUG)
        column.setContentsMargins(Space.WIDE, Space.PAD, Space.WIDE, Space.PAD)
        heading = Title(f"{urgent.level}: {urgent.about}", size=Size.FIGURE)
        heading.take_ink(Role.MADDER)
        column.addWidget(heading)
        for label, lines, strong in (
            ("Seen", urgent.seen, False),
            ("Why it matters", (urgent.why,), False),
            ("Contact now", (urgent.contact,), True),
        ):
            group = Stack(between=Space.NONE)
            group.add(Words(label, size=Size.SMALL, ink=Role.SOFT_INK))
            group.add(*(Words(words, strong=strong) for words in lines))
            column.addWidget(group)
        column.addWidget(Words(f"You decide. Source: {urgent.source}", size=Size.SMALL, ink=Role.SOFT_INK))
        if acts:
            row = QWidget()
            flow = Flow(row)
            for act in acts:
                flow.addWidget(act)
            column.addWidget(row)

    def announce(self) -> None:
        """Have a screen reader say it."""
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        half = Stroke.LINE / 2
        painter.setPen(
            QPen(
                now.colour(Role.MADDER),
                Stroke.LINE,
                Qt.PenStyle.SolidLine,
                Qt.PenCapStyle.SquareCap,
                Qt.PenJoinStyle.MiterJoin,
            )
        )
        painter.setBrush(now.colour(Role.CARD))
        painter.drawRect(QRectF(self.rect()).adjusted(half, half, -half, -half))
