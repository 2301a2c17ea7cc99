"""Codes and figures in groups of four: shown large to be read out or copied, and typed group by group."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.pages.plain import ReadOut
from desktop.theme.tokens import Size, Space
from storage.keys import LETTERS

__all__ = ["GroupsShown", "GroupsTyped"]

_FOUR = 4


class GroupsShown(ReadOut):
    """Groups in rows, large, on a card; each is read out letter by letter, and so is the card when it has the focus."""

    def __init__(self, groups: str, *, across: int, size: Size = Size.TITLE) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(Space.WIDE, Space.WIDE, Space.WIDE, Space.WIDE)
        grid.setHorizontalSpacing(Space.FAR)
        grid.setVerticalSpacing(Space.PAD)
        for at, group in enumerate(groups.split()):
            figure = Words(group, size=size, strong=True, wrap=False)
            figure.setAccessibleName(" ".join(group))
            grid.addWidget(figure, at // across, at % across)
        for column in range(across):
            grid.setColumnStretch(column, 1)
        self.setAccessibleName(", ".join(" ".join(group) for group in groups.split()))

    def take_focus(self) -> GroupsShown:
        """May have the focus, so that it is read out first and no key is pressed by an Enter too many."""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        return self


class GroupsTyped(QWidget):
    """Boxes for groups of four, filled one after the other; what is pasted into one fills those after it.

    Signal `typed()`: something else stands there. Enter in any box is `entered()`.
    """

    typed = Signal()
    entered = Signal()

    def __init__(self, name: str, count: int, *, across: int) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(Space.PAD)
        grid.setVerticalSpacing(Space.SNUG)
        self.boxes: list[Box] = []
        for at in range(count):
            box = Box(size=Size.JOT, ems=_FOUR + 2)
            box.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            box.setAccessibleName(f"{name}, group {at + 1} of {count}")
            box.setInputMethodHints(
                Qt.InputMethodHint.ImhNoPredictiveText | Qt.InputMethodHint.ImhUppercaseOnly
                | Qt.InputMethodHint.ImhSensitiveData
            )  # fmt: skip
            box.textEdited.connect(lambda text, at=at: self._edited(at, text))
            box.returnPressed.connect(self.entered)
            box.installEventFilter(self)
            grid.addWidget(box, at // across, at % across)
            self.boxes.append(box)
        grid.setColumnStretch(across, 1)
        self.setAccessibleName(name)
        self.setFocusProxy(self.boxes[0])

    def text(self) -> str:
        """All groups, with a space between."""
        return " ".join(box.text() for box in self.boxes)

    def whole(self) -> bool:
        """Whether every group has its four letters."""
        return all(len(box.text()) == _FOUR for box in self.boxes)

    def odd(self) -> str:
        """One sentence about the first letter that no code has; "" when there is none."""
        for at, box in enumerate(self.boxes):
            for letter in box.text():
                if letter not in LETTERS:
                    return f"No code has “{letter}” in it. Compare group {at + 1} with the other screen."
        return ""

    def type(self, text: str) -> None:
        """Fill the groups as if the text had been pasted into the first."""
        self._edited(0, text)

    def clear(self) -> None:
        """Empty every group."""
        for box in self.boxes:
            box.clear()
        self.typed.emit()

    def _edited(self, at: int, text: str) -> None:
        letters = "".join(letter for letter in text.upper() if not letter.isspace() and letter not in "-–")
        end = at
        while True:
            here, letters = letters[:_FOUR], letters[_FOUR:]
            box = self.boxes[end]
            if box.text() != here:
                place = box.cursorPosition()
                box.setText(here)
                box.setCursorPosition(min(place, len(here)))
            if not letters or end + 1 == len(self.boxes):
                break
            end += 1
        filled = self.boxes[end]
        if len(filled.text()) == _FOUR and filled.cursorPosition() == _FOUR and end + 1 < len(self.boxes):
            end += 1
        if end != at:
            self.boxes[end].setFocus()
        self.typed.emit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Erasing goes on into the group before."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Backspace
        ):
            at = next((place for place, box in enumerate(self.boxes) if box is watched), 0)
            if at and not self.boxes[at].text():
                self.boxes[at - 1].setFocus()
                self.boxes[at - 1].end(False)
        return False
