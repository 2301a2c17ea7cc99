"""The weights of a family's babies in figures: when, how much, from where, and the line they make."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QWidget

from desktop.controls.layouts import Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Words
from desktop.pages.caselines import Trace
from desktop.pages.trace import WeightTrace
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment

__all__ = ["WeightsSoFar"]


class WeightsSoFar(Stack):
    """For each baby its name, its line, and its weights, newest first."""

    def __init__(self, zone: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._zone = zone
        self._shown: tuple[Trace, ...] | None = None

    def show_traces(self, traces: tuple[Trace, ...]) -> None:
        """Show these weights."""
        if traces == self._shown:
            return
        self._shown = traces
        self.clear()
        if not any(trace.points for trace in traces):
            self.add(Words("None yet. They are weighed at a visit.", ink=Role.SOFT_INK))
        for trace in traces:
            if trace.points:
                self._baby(trace)

    def _baby(self, trace: Trace) -> None:
        self.add(Words(trace.name, strong=True), WeightTrace((trace,)))
        if trace.disputed:
            many = "One weight is" if trace.disputed == 1 else f"{trace.disputed} weights are"
            self.add(Words(f"{many} not shown: two values stand.", ink=Role.WELD))
        table = QWidget()
        grid = QGridLayout(table)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(Space.WIDE)
        grid.setColumnStretch(2, 1)
        for row, point in enumerate(reversed(trace.points)):
            grid.addWidget(Words(moment_words(Moment(point.at, self._zone)), ink=Role.SOFT_INK), row, 0)
            grid.addWidget(Words(f"{point.grams:,} g", size=Size.BASE, strong=True), row, 1)
            grid.addWidget(Words("seen on the scale" if point.seen else "told or read", ink=Role.SOFT_INK), row, 2)
        self.add(table)
