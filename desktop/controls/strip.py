"""The strip at the right: what it all adds up to, in figures that say where they come from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Reach, Stack, spaced
from desktop.controls.surfaces import Surface
from desktop.controls.words import Rule, Words
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target

__all__ = ["Figure", "Strip", "Worked", "WorkedOut"]

WorkedOut: TypeAlias = tuple[tuple[str, tuple[str, ...]], ...]
"""Labels with their lines: ("Formula", ("...",)), ("From", ("...", "...")), ("Source", ("...",))."""


class Worked(Stack):
    """How a figure is worked out: short labelled lines, each label over its words. Made when first unfolded."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.SNUG)
        self._rows: WorkedOut = ()
        self._words: list[list[Words]] = []

    def show_rows(self, rows: WorkedOut) -> None:
        """Explain by these (label, lines); what is folded away is not drawn."""
        self._rows = rows
        if not self.isHidden():
            self._build()

    def setVisible(self, visible: bool) -> None:
        if visible:
            self._build()
        super().setVisible(visible)

    def _build(self) -> None:
        if [len(lines) for _, lines in self._rows] != [len(words) - 1 for words in self._words]:
            self.clear()
            self._words = [self._row(len(lines)) for _, lines in self._rows]
        for (label, lines), words in zip(self._rows, self._words, strict=True):
            for said, text in zip(words, (label, *lines), strict=True):
                said.say(text)

    def _row(self, lines: int) -> list[Words]:
        row, under = Stack(between=Space.FINE), Stack(between=Space.GAP)
        words = [
            Words(size=Size.SMALL, strong=True, ink=Role.SOFT_INK), *(Words(size=Size.SMALL) for _ in range(lines))
        ]  # fmt: skip
        under.add(*words[1:])
        row.add(words[0], under)
        self.add(row)
        return words


class Figure(QWidget):
    """One figure: what it is, the number large, small words, and how it is worked out, which unfolds in place.

    `large` False sets the number at the size of a title. `watch` are words of attention under the number, in weld.
    `worked_out` are (label, lines) to be shown on request; without any there is nothing to unfold.
    """

    def __init__(
        self,
        label: str,
        number: str = "",
        *,
        small: str = "",
        worked_out: WorkedOut = (),
        watch: str = "",
        large: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        spaced(column, Space.NONE)
        self.label = Words(label, ink=Role.SOFT_INK)
        self.number = Words("", size=Size.WEIGHT if large else Size.FIGURE, strong=True)
        self.watch = Words("", size=Size.BASE, strong=True, ink=Role.WELD)
        self.small = Words("", size=Size.BASE, ink=Role.SOFT_INK)
        self.link = Link("how it is worked out")
        self.link.setAccessibleName(f"How it is worked out: {label}")
        self.link.setCheckable(True)
        self.how = Worked()
        self.link.toggled.connect(self._unfold)
        for widget in (self.label, self.number, self.watch, self.small):
            column.addWidget(widget)
        column.addWidget(self.link, alignment=Qt.AlignmentFlag.AlignLeading)
        column.addWidget(self.how)
        self.how.hide()
        self.show_figure(number, small=small, worked_out=worked_out, watch=watch)

    def _unfold(self, on: bool) -> None:
        self.how.setVisible(on)
        self.link.setText("fold it away" if on else "how it is worked out")  # its name for a reader stays
        self.link.updateGeometry()

    def show_figure(self, number: str, *, small: str = "", worked_out: WorkedOut = (), watch: str = "") -> None:
        """Show another value of the same figure."""
        self.number.say(number)
        self.number.setVisible(bool(number))
        self.watch.say(watch)
        self.watch.setVisible(bool(watch))
        self.small.say(small)
        self.small.setVisible(bool(small))
        self.how.show_rows(worked_out)
        self.link.setVisible(bool(worked_out))
        self.how.setVisible(bool(worked_out) and self.link.isChecked())
        self.setAccessibleName(
            ", ".join(part for part in (f"{self.label.said()}: {number}", watch) if part).removesuffix(": ")
        )


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
