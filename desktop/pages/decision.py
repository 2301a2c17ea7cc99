"""A question that stands in the way until it is answered: our own sheet over the page, never a system dialog."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Flow
from desktop.controls.words import Title, Words
from desktop.pages.page import Ground
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target

__all__ = ["Decision"]


class Decision(QWidget):
    """Covers its window with one question and its answers. Esc takes the last answer, which changes nothing."""

    def __init__(
        self, over: QWidget, title: str, sentence: str, answers: tuple[tuple[str, Callable[[], None]], ...]
    ) -> None:
        """`answers`: the words on each key and what it does, the likeliest first, the one that changes nothing last."""
        super().__init__(over)
        self._answers = answers
        outer = QVBoxLayout(self)
        outer.setContentsMargins(Space.FAR, Space.FAR, Space.FAR, Space.FAR)
        row = QHBoxLayout()
        outer.addStretch(1)
        outer.addLayout(row)
        outer.addStretch(2)
        card = Ground(Role.CARD)
        card.setMaximumWidth(look().px(Target.READING * Space.BROAD))
        row.addStretch(1)
        row.addWidget(card, 8)
        row.addStretch(1)
        inner = QVBoxLayout(card)
        inner.setContentsMargins(Space.FAR, Space.BROAD, Space.FAR, Space.BROAD)
        inner.setSpacing(Space.PAD)
        inner.addWidget(Title(title, size=Size.FIGURE))
        inner.addWidget(Words(sentence))
        keys = QWidget()
        flow = Flow(keys, gap=Space.PAD)
        self.keys: list[Act] = []
        for at, (words, act) in enumerate(answers):
            key = Act(words, kind=ActKind.MAIN if at == 0 else ActKind.PLAIN)
            key.clicked.connect(lambda _on=False, act=act: self._take(act))
            flow.addWidget(key)
            self.keys.append(key)
        inner.addWidget(keys)
        over.installEventFilter(self)
        self.setGeometry(over.rect())
        self.setAccessibleName(f"{title} {sentence}")
        self._before = over.window().focusWidget()
        self.show()
        self.raise_()
        self.keys[0].setFocus()

    def withdraw(self) -> None:
        """Take the question away unanswered: what it was asked about is no longer there."""
        self.hide()
        self.deleteLater()

    def _take(self, act: Callable[[], None]) -> None:
        self.withdraw()
        if self._before is not None and isValid(self._before):
            self._before.setFocus()
        act()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._take(self._answers[-1][1])
            return
        super().keyPressEvent(event)

    def focusNextPrevChild(self, onward: bool) -> bool:
        """Tab goes round among the answers only."""
        at = next((place for place, key in enumerate(self.keys) if key.hasFocus()), 0)
        self.keys[(at + (1 if onward else -1)) % len(self.keys)].setFocus()
        return True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.parent() and event.type() == QEvent.Type.Resize:
            self.setGeometry(watched.rect())  # type: ignore[attr-defined]
        return False

    def paintEvent(self, event: QPaintEvent) -> None:
        """A veil of the page's own colour, so that nothing is brighter than a card."""
        painter = QPainter(self)
        veil = look().colour(Role.PAGE)
        veil.setAlphaF(0.85)
        painter.fillRect(self.rect(), veil)
