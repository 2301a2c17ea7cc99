"""A plot with all that belongs to it: what it says, the words of the point in view, and its table twin, a tap away."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.dots import DotSign
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Beside, Flow, Stack, spaced
from desktop.controls.plot import Plot
from desktop.controls.words import Words
from desktop.theme.halfmoons import TAG_ROLES
from desktop.theme.tokens import Role, Size, Space
from forms.pictures.plot import Dot, Picture

__all__ = ["Plotted"]

AS_TABLE, AS_PLOT = "as a table", "as a plot"
HOW = "how to read it, and its sources"


class Plotted(Stack):
    """Title, summary, plot and table. The link swaps plot and table; Earlier and Later step from point to point."""

    def __init__(self, title: str, picture: Picture, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self.title = Words(title, size=Size.JOT, title=True)
        self.summary = Words("")
        self.swap = Link(AS_TABLE, size=Size.BASE)
        self.swap.setCheckable(True)
        self.swap.toggled.connect(self._swap)
        head = QWidget()
        beside = Beside(head, middle=True)
        beside.addWidget(self.title)
        beside.addWidget(self.swap)
        self.plot = Plot(picture)
        self.tables = Stack(between=Space.PAD)
        self.tables.hide()
        self.point = Words("")
        self.earlier, self.later = Link("Earlier", size=Size.BASE), Link("Later", size=Size.BASE)
        self.earlier.clicked.connect(lambda: self.plot.go(self.plot.current - 1))
        self.later.clicked.connect(lambda: self.plot.go(self.plot.current + 1))
        keys = QWidget()
        flow = Flow(keys, gap=Space.PAD)
        flow.addWidget(self.earlier)
        flow.addWidget(self.later)
        self.steps = QWidget()
        row = Beside(self.steps, middle=True)
        row.addWidget(self.point)
        row.addWidget(keys)
        self.keys = QWidget()
        self._keys = Flow(self.keys, gap=Space.WIDE, row_gap=Space.FINE)
        self.more = Link(HOW)
        self.more.setCheckable(True)
        self.notes = Stack(between=Space.FINE)
        self.notes.hide()
        self.more.toggled.connect(self.notes.setVisible)
        self.add(head, self.summary, self.plot, self.steps, self.tables, self.keys, self.more, self.notes)
        self.plot.stepped.connect(self._stepped)
        self.show_picture(title, picture, (), ())

    def show_picture(self, title: str, picture: Picture, keys: Sequence[tuple[Dot, str]], notes: Sequence[str]) -> None:
        """Show another picture, with what its shapes mean and its notes."""
        self.title.say(title)
        self.summary.say(picture.summary)
        self.plot.show_picture(picture)
        while (item := self._keys.takeAt(0)) is not None:
            if (gone := item.widget()) is not None:
                gone.hide()
                gone.deleteLater()
        for dot, words in keys:
            pair = QWidget()
            across = QHBoxLayout(pair)
            spaced(across, Space.GAP)
            across.addWidget(DotSign(dot, words, TAG_ROLES[picture.tag]))
            across.addWidget(Words(words, size=Size.SMALL, ink=Role.SOFT_INK, wrap=False))
            self._keys.addWidget(pair)
        self.notes.clear()
        self.more.setVisible(bool(notes))
        self.notes.add(*(Words(words, size=Size.SMALL, ink=Role.SOFT_INK) for words in notes))
        self.swap.setAccessibleName(f"{title}, {self.swap.text()}")
        self.more.setAccessibleName(f"{title}, {HOW}")
        self.earlier.setAccessibleName(f"Earlier point: {title}")
        self.later.setAccessibleName(f"Later point: {title}")
        self._arrange()

    def show_tables(self, tables: Sequence[FigureTable]) -> None:
        """The twins; the name of each stands over it, but for the first, which the title names."""
        self.tables.clear()
        for place, table in enumerate(tables):
            if place:
                self.tables.add(Words(table.accessibleName(), strong=True))
            self.tables.add(table)

    def _swap(self, _on: bool) -> None:
        self.swap.setText(AS_PLOT if self.swap.isChecked() else AS_TABLE)
        self.swap.setAccessibleName(f"{self.title.said()}, {self.swap.text()}")
        self.swap.updateGeometry()
        self._arrange()

    def _arrange(self) -> None:
        """What of it shows: without a point there is neither plot nor table, only the words that say so."""
        held, table = bool(self.plot.picture.marks), self.swap.isChecked()
        self.swap.setVisible(held)
        self.tables.setVisible(held and table)
        for widget in (self.plot, self.steps):
            widget.setVisible(held and not table)
        self.keys.setVisible(held and not table and self._keys.count() > 0)
        self._stepped(self.plot.current)

    def _stepped(self, place: int) -> None:
        self.point.say(self.plot.words())
        last = len(self.plot.picture.marks) - 1
        if (self.earlier.hasFocus() and place <= 0) or (self.later.hasFocus() and place >= last):
            self.plot.setFocus()  # a key that is done with would hand the focus to whatever comes next
        self.earlier.setEnabled(place > 0)
        self.later.setEnabled(place < last)
        if self.plot.hasFocus():
            QAccessible.updateAccessibility(QAccessibleEvent(self.point, QAccessible.Event.Alert))
