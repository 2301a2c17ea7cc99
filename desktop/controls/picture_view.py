"""A picture with all that belongs to it: its title, what it shows in a sentence, its sources, and its table twin."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.drawn import Drawn
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space
from forms.pictures.maker import WIDEST, Maker

__all__ = ["PictureView"]

AS_TABLE, AS_PICTURE, ON_PAPER = "as a table", "as a picture", "on paper"


class PictureView(Stack):
    """One picture. Its link swaps drawing and table; without anything to draw there is the sentence alone.

    Signals: `swapped(on)` when the table comes, or goes again; `printed()` when it is asked for on paper.
    `set_shared`: while others look on it cannot be.
    """

    swapped = Signal(bool)
    printed = Signal()

    def __init__(self, maker: Maker, *, table: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.SNUG)
        self.title = Words("", size=Size.JOT, title=True)
        self.swap = Link(AS_TABLE, size=Size.BASE)
        self.swap.setCheckable(True)
        self.swap.setChecked(table)
        self.swap.toggled.connect(self._swap)
        self.print_link = Link(ON_PAPER, size=Size.BASE)
        self.print_link.clicked.connect(self.printed)
        self._shared = False
        head = QWidget()
        beside = Beside(head, middle=True)
        beside.addWidget(self.title)
        ways = QWidget()
        flow = Flow(ways)
        flow.addWidget(self.swap)
        flow.addWidget(self.print_link)
        beside.addWidget(ways)
        self.sentence = Words("")
        self.drawn = Drawn(maker.draw)
        self.tables = Stack()
        self.sources = Stack(between=Space.FINE)
        self.add(head, self.sentence, self.drawn, self.tables, self.sources)
        self._told = maker.draw(WIDEST)
        self._tell()

    def show_maker(self, maker: Maker) -> None:
        """Show another picture; one that says and draws the same is left as it is."""
        told = maker.draw(WIDEST)
        if told != self._told:
            self._told = told
            self.drawn.show_drawing(maker.draw)
            self._tell()

    def set_shared(self, on: bool) -> None:
        """Whether others look on."""
        self._shared = on
        self._arrange()

    def table(self) -> FigureTable | None:
        """The table twin; None where there is nothing to draw."""
        return self.tables.findChild(FigureTable)

    def _tell(self) -> None:
        told = self._told
        self.title.say(told.title)
        self.sentence.say(told.sentence)
        self.tables.clear()
        if told.parts:
            self.tables.add(FigureTable(told.title, told.table.columns, told.table.rows, strong=0))
        self.sources.clear()
        self.sources.add(*(Words(words, size=Size.SMALL, ink=Role.SOFT_INK) for words in told.sources))
        self._arrange()

    def _swap(self, on: bool) -> None:
        self._arrange()
        self.swapped.emit(on)

    def _arrange(self) -> None:
        held, table = bool(self._told.parts), self.swap.isChecked()
        self.swap.say(AS_PICTURE if table else AS_TABLE)
        self.swap.setAccessibleName(f"{self._told.title}, {self.swap.text()}")
        self.swap.setVisible(held)
        self.print_link.setAccessibleName(f"{self._told.title}, {ON_PAPER}")
        self.print_link.setVisible(held and not self._shared)
        self.drawn.setVisible(held and not table)
        self.tables.setVisible(held and table)
        self.sources.setVisible(bool(self._told.sources))
