"""A short list that is narrowed by typing: words to find by, and under them what fits, each a target of its own."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Stack
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space, Target

__all__ = ["Finder", "Found"]


@dataclass(frozen=True, slots=True)
class Found:
    """One line to pick: its key, its words, a second line in small, and further words it is found by."""

    key: str
    words: str
    small: str = ""
    sought: str = ""


def _folded(words: str) -> str:
    """Words without case and accents, as they are compared."""
    return "".join(c for c in unicodedata.normalize("NFKD", words.casefold()) if not unicodedata.combining(c))


class Finder(Stack):
    """What can be picked, narrowed by typing. Enter takes the first line once something was typed, Esc closes.

    Shows `most` lines at a time and says how many more there are. Signals: `picked(key)`, `closed()`.
    """

    picked = Signal(str)
    closed = Signal()

    def __init__(self, name: str, *, most: int = 6, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._most = most
        self._offered: tuple[Found, ...] = ()
        self.rows: list[Act] = []
        self.box = Box(ems=10)
        self.box.setPlaceholderText(name)
        self.box.setAccessibleName(name)
        self.box.setMinimumHeight(Target.TOUCH)
        self.box.textChanged.connect(lambda _text: self._show())
        self.box.returnPressed.connect(self._enter)
        self.box.installEventFilter(self)
        self._lines = Stack(between=Space.GAP)
        self._more = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(self.box, self._lines, self._more)
        self.setFocusProxy(self.box)

    def offer(self, found: Sequence[Found]) -> None:
        """What may be picked, in this order."""
        if tuple(found) != self._offered:
            self._offered = tuple(found)
            self._show()

    def begin(self) -> None:
        """Start anew: nothing typed, the focus in the box."""
        self.box.clear()
        self.box.setFocus(Qt.FocusReason.OtherFocusReason)
        QTimer.singleShot(0, self._come_into_view)  # once it has its place, for it may have opened just now

    def _come_into_view(self) -> None:
        above = self.parentWidget()
        while above is not None and not isinstance(above, QScrollArea):
            above = above.parentWidget()
        if above is not None:
            above.ensureWidgetVisible(self._lines, Space.WIDE, Space.WIDE)
            above.ensureWidgetVisible(self.box, Space.WIDE, Space.FAR)

    def shown(self) -> tuple[str, ...]:
        """The keys of the lines on screen, from the top."""
        return tuple(found.key for found in self._fitting()[: self._most])

    def _fitting(self) -> list[Found]:
        wanted = _folded(self.box.text()).split()
        return [
            found
            for found in self._offered
            if all(word in _folded(f"{found.words} {found.small} {found.sought}") for word in wanted)
        ]

    def _show(self) -> None:
        fitting = self._fitting()
        self._lines.clear()
        self.rows = []
        for found in fitting[: self._most]:
            row = Act(found.words, small=found.small, target=Target.TOUCH, kind=ActKind.BARE)
            row.clicked.connect(partial(self._pick, found.key))
            self.rows.append(row)
            self._lines.add(row)
        over = len(fitting) - self._most
        said = f"{over} more; type to find them." if over > 0 else "" if fitting else "Nothing here has these words."
        self._more.say(said)
        self._more.setVisible(bool(said))

    def _pick(self, key: str, *_pressed: object) -> None:
        self.picked.emit(key)

    def _enter(self) -> None:
        found = self.shown()
        if found and self.box.text().strip():
            self.picked.emit(found[0])
        elif self.rows:
            self.rows[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.box and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() == Qt.Key.Key_Down and self.rows:
                self.rows[0].setFocus(Qt.FocusReason.TabFocusReason)
                return True
            if event.key() == Qt.Key.Key_Escape:
                self.closed.emit()
                return True
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
            return
        super().keyPressEvent(event)
