"""How a baby grows, as three plots with their table twins: on the WHO curves, in the first days, and gain per day."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Stack, spaced
from desktop.controls.moons import Tag
from desktop.controls.plotted import Plotted
from desktop.controls.words import Rule, Words
from desktop.sheets.persons import age_words, full_name, tag_of
from desktop.sheets.sheet import Compose, Here, Section
from desktop.theme.tokens import Role, Size, Space
from forms.growth_lines import GrowthLines, growth_lines
from forms.people import InfantIdentity
from forms.pictures.early_percent import early_view
from forms.pictures.gain_bars import gain_view
from forms.pictures.weight_lines import weight_view
from forms.pictures.weights import View
from forms.pictures.whose import whose

__all__ = ["GROWTH", "Growth"]

EMPTY = "No weight is written down yet. The first one, on the scale or told, begins the line."


class _Whose(QWidget):
    """Whose growth this is: tag, whole name and age."""

    def __init__(self, here: Here) -> None:
        super().__init__()
        across = QHBoxLayout(self)
        spaced(across, Space.SNUG)
        name = full_name(here.home, here.who)
        across.addWidget(Tag(tag_of(here.home, here.who), name))
        across.addWidget(Words(f"{name}, {age_words(here.home, here.who)}", size=Size.BASE, strong=True), 1)


class Growth(Stack):
    """The three plots of one baby; the first days come first while they last."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.WIDE)
        self._here = here
        self._shown: GrowthLines | None = None
        self.empty = Words(EMPTY, ink=Role.SOFT_INK)
        self.left_out = Stack(between=Space.FINE)
        self.plots: dict[str, Plotted] = {}
        head = Stack(between=Space.GAP)
        head.add(_Whose(here), self.empty, self.left_out)
        self.add(head)
        self.held = Stack(between=Space.WIDE)
        for view in self._views(self._lines()):
            if self.plots:
                self.held.add(Rule())
            made = self.plots[view.key] = Plotted(view.title, view.picture)
            self.held.add(made)
        self.add(self.held)
        here.home.changed.connect(self._show)
        self._show()

    def _lines(self) -> GrowthLines:
        return growth_lines(self._here.home.chart, self._here.who, self._here.home.clock())

    def _views(self, lines: GrowthLines) -> tuple[View, ...]:
        named = whose(self._here.home.chart, self._here.who)
        early, weight = early_view(lines, named), weight_view(lines, named)
        young = lines.early.points and not lines.early.later
        first = (early, weight) if young else (weight, early)
        return (*first, gain_view(lines, named))

    def _show(self) -> None:
        lines = self._lines()
        if lines == self._shown:
            return
        self._shown = lines
        self.empty.setVisible(not lines.weight.points)
        self.held.setVisible(bool(lines.weight.points))
        for view in self._views(lines):
            plotted = self.plots[view.key]
            plotted.show_picture(view.title, view.picture, view.keys, view.notes)
            plotted.show_tables([FigureTable(t.name, t.heads, t.rows, strong=t.strong) for t in view.tables])
        left_out = lines.left_out.words(lines.unit)
        self.left_out.clear()
        self.left_out.add(*(Words(words, ink=Role.SOFT_INK) for words in left_out))
        self.left_out.setVisible(bool(left_out))


def _growth(c: Compose) -> None:
    c.widget(Growth)


# About the baby's identity, so that it stands among the baby's sheets on the family's page too.
GROWTH = Section("weigh.growth", "Growth", InfantIdentity, _growth, "{own} growth")
