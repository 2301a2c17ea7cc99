"""The strip at the right: what it all adds up to, in figures that say where they come from."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Reach, Stack, spaced
from desktop.controls.surfaces import Surface
from desktop.controls.words import Rule, Words
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target

__all__ = ["Figure", "Strip"]


class Figure(QWidget):
    """One figure: what it is, the number large, small words, and how it is worked out, which unfolds in place.

    `large` False sets the number at the size of a title; `ink` is WELD for a figure to watch, with `watch` words before
    it, for no colour speaks alone.
    """

    def __init__(
        self,
        label: str,
        number: str = "",
        *,
        small: str = "",
        worked_out: str = "",
        large: bool = True,
        ink: Role = Role.INK,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        spaced(column, Space.NONE)
        self.label = Words(label, ink=Role.SOFT_INK)
        self.number = Words("", size=Size.WEIGHT if large else Size.FIGURE, strong=True, ink=ink)
        self.small = Words("", size=Size.BASE, ink=Role.SOFT_INK)
        self.link = Link("how it is worked out")
        self.link.setAccessibleName(f"How it is worked out: {label}")
        self.link.setCheckable(True)
        self.how = Words("", size=Size.SMALL)
        self.link.toggled.connect(self.how.setVisible)
        for widget in (self.label, self.number, self.small):
            column.addWidget(widget)
        column.addWidget(self.link, alignment=Qt.AlignmentFlag.AlignLeading)
        column.addWidget(self.how)
        self.how.hide()
        self.show_figure(number, small=small, worked_out=worked_out)

    def show_figure(self, number: str, *, small: str = "", worked_out: str = "") -> None:
        """Show another value of the same figure."""
        self.number.say(number)
        self.number.setVisible(bool(number))
        self.small.say(small)
        self.small.setVisible(bool(small))
        self.how.say(worked_out)
        self.link.setVisible(bool(worked_out))
        self.how.setVisible(bool(worked_out) and self.link.isChecked())
        self.setAccessibleName(f"{self.label.said()}: {number}".removesuffix(": "))


class Strip(Surface):
    """The right side of a visit or a page: figures, jots and what waits, each under a thin line."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Role.PAGE, (Qt.Edge.LeftEdge,), parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        outer = QVBoxLayout(self)
        spaced(outer)
        self._stack = Stack(between=Space.SNUG)
        self._stack.setContentsMargins(Space.WIDE, Space.WIDE, Space.WIDE, Space.WIDE)
        outer.addWidget(Reach(self._stack))

    def show_parts(self, parts: Sequence[QWidget]) -> None:
        """Show these, one below the other, in place of what was there."""
        self._stack.clear()
        for at, part in enumerate(parts):
            if at:
                self._stack.add(Rule(strong=True))
            self._stack.add(part)
        self._stack.finish()

    def sizeHint(self) -> QSize:
        # It grows less than the text does, so that the middle keeps its room; its words wrap.
        return QSize(Target.SIDE_PANEL + (look().px(Target.SIDE_PANEL) - Target.SIDE_PANEL) // 3, Target.TOUCH)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()
