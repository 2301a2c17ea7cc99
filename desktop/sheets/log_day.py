"""The 24 hours of a baby's log: the ring, its table twin, and what the log comes to."""

from __future__ import annotations

from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.clock import clock
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.ring import Ring
from desktop.controls.words import Words
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.clinical.day_ring import day_ring
from forms.clinical.feeding_log import DayLog, gap_words
from forms.clinical.result import NoFigure
from forms.feeding_log import LogLine
from forms.figures_log import log_figures, log_of, window_words
from forms.log_words import besides, what_was
from forms.pictures.day_round import COLUMNS, gap_row, line_row

__all__ = ["LogDay"]

_LANES = (
    "From the outside in: the feeder’s left, filled; the feeder’s right, hatched; milk given another way, crossed; "
    "milk expressed, dotted. A tick has no end written. Inside them a ring is a wet diaper, a disc a stool. The line "
    "outside is the longest time between feeds; the shaded part is night; the dotted line is where the 24 hours begin."
)
_AMOUNTS = ("What", "In these hours", "How")


class LogDay(Stack):
    """The ring with the line in view beside it, one tap from its table; under it every figure of the log."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.PAD)
        self._here = here
        self.window_said = Words("", size=Size.JOT, title=True)
        self.warning = Words("", ink=Role.WELD, strong=True)
        self._view, self._as_table = InView.of(here.home), ("log_day", "table", here.who)
        self.swap = Link("as a table", size=Size.BASE)
        self.swap.setCheckable(True)
        self.swap.setChecked(self._view.opened(*self._as_table))
        self.swap.toggled.connect(self._swap)
        head = QWidget()
        across = Beside(head, middle=True)
        across.addWidget(self.window_said)
        across.addWidget(self.swap)
        self.ring = Ring()
        self.ring.stepped.connect(self._step)
        self.ring.opened.connect(self._open)
        self.table = FigureTable("The lines of these 24 hours", COLUMNS)
        self.amounts = FigureTable("What the log comes to", _AMOUNTS)
        self.drawn = self._drawn()
        self.add(self.warning, head, self.drawn, self.table, self.amounts)
        here.home.changed.connect(self._show)
        self._show()

    def _drawn(self) -> QWidget:
        """The ring, and beside it the line in view with its keys, and what the lanes are."""
        self.line = Words("", size=Size.JOT)
        self.small = Words("", ink=Role.SOFT_INK)
        self.earlier, self.later, self.go = Link("Earlier"), Link("Later"), Link("Open it in the log")
        self.earlier.setAccessibleName("Earlier line of the log")
        self.later.setAccessibleName("Later line of the log")
        self.earlier.clicked.connect(lambda: self.ring.go(-1))
        self.later.clicked.connect(lambda: self.ring.go(1))
        self.go.clicked.connect(lambda: self._open(self.ring.current))
        keys = QWidget()
        flow = Flow(keys, gap=Space.PAD)
        for link in (self.earlier, self.later, self.go):
            flow.addWidget(link)
        said = Stack(between=Space.GAP)
        said.add(self.line, self.small, keys, Words(_LANES, size=Size.SMALL, ink=Role.SOFT_INK))
        said.finish()
        drawn = QWidget()
        row = Flow(drawn, gap=Space.WIDE, row_gap=Space.PAD)
        row.addWidget(self.ring)
        row.addWidget(said)
        return drawn

    def _show(self) -> None:
        home, who = self._here.home, self._here.who
        found = log_of(home.chart, who)
        drawn = isinstance(found, DayLog) and bool(found.lines)
        figures = tuple(log_figures(home.chart, who))
        above = window_words(found) if isinstance(found, DayLog) else ""
        self.amounts.show_rows(
            [(one.label, one.big, "; ".join(words for words in one.small if words != above)) for one in figures]
        )
        self.amounts.setVisible(bool(figures))
        self.swap.say("as a ring" if self.swap.isChecked() else "as a table")
        self.swap.setAccessibleName(f"The 24 hours {self.swap.text()}")
        self.swap.setVisible(drawn)
        self.drawn.setVisible(drawn and not self.swap.isChecked())
        self.table.setVisible(drawn and self.swap.isChecked())
        if isinstance(found, NoFigure):
            self.warning.say(f"No ring: {found.why}." if found.unresolved else "")
            self.window_said.say("" if found.unresolved else f"Nothing to draw yet: {found.why}.")
            self.warning.setVisible(found.unresolved)
            return
        self.window_said.say(f"{window_words(found)}"[:1].upper() + window_words(found)[1:])
        covers = f"covers {gap_words(found.covered)}" if found.covered else "has one time only"
        short = f"This log {covers} and is no log of a day."
        self.warning.say("" if found.is_a_day else short)
        self.warning.setVisible(not found.is_a_day)
        if drawn:
            self._draw(found)

    def _draw(self, log: DayLog) -> None:
        feeds = len(log.feeds)
        gap = f", longest time between feeds {gap_words(log.longest_gap)}" if log.longest_gap is not None else ""
        name = f"Ring of 24 hours {window_words(log)}: {feeds} {'feed' if feeds == 1 else 'feeds'}{gap}"
        middle = (str(feeds), "feed" if feeds == 1 else "feeds")
        self.ring.show_ring(day_ring(log), [line.entry for line in log.lines], middle, name)
        chart = self._here.home.chart
        self.table.show_rows([*(line_row(chart, log, place) for place in range(len(log.lines))), *gap_row(log)])
        self._step(self.ring.current)

    def _step(self, entry: str) -> None:
        kept = self._here.home.chart.by_id(entry)
        line = kept.answers if kept is not None else None
        if not isinstance(line, LogLine) or not isinstance(line.starts, Moment):
            return
        self.line.say(f"{clock(line.starts.local())}  {what_was(line, self._here.home.names)}")
        self.small.say(besides(line))
        self.small.setVisible(bool(self.small.said()))
        if self.ring.hasFocus():
            QAccessible.updateAccessibility(QAccessibleEvent(self.line, QAccessible.Event.Alert))

    def _open(self, entry: str) -> None:
        jump = Jump("story", self._here.who, "story.log", LogLine.name, entry)
        InView.of(self._here.home).jumped.emit(jump)

    def _swap(self) -> None:
        self._view.turn_over(*self._as_table)
        self._show()
