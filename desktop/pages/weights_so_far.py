"""The weights of a family's babies in figures: when, how much, from where, and the line they make.

Readings around feeds and those struck out stand apart from them, said for what they are.
"""

from __future__ import annotations

from datetime import datetime

from PySide6.QtWidgets import QGridLayout, QWidget

from desktop.controls.layouts import Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Words
from desktop.pages.caselines import Point, Trace
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
        if not any(_holds(trace) for trace in traces):
            self.add(Words("None yet. They are weighed at a visit.", ink=Role.SOFT_INK))
        for trace in traces:
            if _holds(trace):
                self._baby(trace)

    def _baby(self, trace: Trace) -> None:
        self.add(Words(trace.name, strong=True), WeightTrace((trace,)))
        if trace.disputed:
            many = "One weight is" if trace.disputed == 1 else f"{trace.disputed} weights are"
            self.add(Words(f"{many} not shown: two values stand.", ink=Role.WELD))
        if trace.untimed:
            many = "One weight is" if trace.untimed == 1 else f"{trace.untimed} weights are"
            self.add(Words(f"{many} not shown: the time is not written yet.", ink=Role.WELD))
        self._table([(point.at, point.grams, _known(point)) for point in reversed(trace.points)], strong=True)
        if trace.beside:
            self.add(Words("Not in the line", size=Size.SMALL, ink=Role.SOFT_INK))
            self._table([(one.at, one.grams, one.words) for one in reversed(trace.beside)], strong=False)

    def _table(self, rows: list[tuple[datetime, int, str]], *, strong: bool) -> None:
        table = QWidget()
        grid = QGridLayout(table)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(Space.WIDE)
        grid.setColumnStretch(2, 1)
        for row, (at, grams, words) in enumerate(rows):
            grid.addWidget(Words(moment_words(Moment(at, self._zone)), ink=Role.SOFT_INK), row, 0)
            grid.addWidget(Words(f"{grams:,} g", size=Size.BASE, strong=strong), row, 1)
            grid.addWidget(Words(words, ink=Role.SOFT_INK), row, 2)
        self.add(table)


def _holds(trace: Trace) -> bool:
    return bool(trace.points or trace.beside or trace.disputed or trace.untimed)


def _known(point: Point) -> str:
    return ", ".join(part for part in ("seen on the scale" if point.seen else "told or read", point.dressed) if part)
