"""The leading side of a visit: the way out to the family, and under it the thread of moments."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout
from shiboken6 import isValid

from desktop.controls.buttons import Link
from desktop.controls.surfaces import Surface
from desktop.controls.thread import Moment as Bead
from desktop.controls.thread import Thread
from desktop.open_chart import OpenChart
from desktop.pages.visit_progress import SIDED, Progress
from desktop.pages.visit_words import MOMENT_WORDS, visit_line, visit_when
from desktop.sheets.sheet import MOMENTS
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Space
from forms.people import Family

__all__ = ["Left"]


class Left(Surface):
    """`out` is the way to the family, `thread` the line of moments."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(Role.PAGE)
        self._home = home
        self._quiet = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.out = Link("")
        framed = Surface(Role.PAGE, (Qt.Edge.RightEdge,))
        inner = QVBoxLayout(framed)
        inner.setContentsMargins(Space.WIDE, Space.GAP, Space.GAP, Space.NONE)
        inner.addWidget(self.out, alignment=Qt.AlignmentFlag.AlignLeading)
        nothing = MoonState.NOT_DONE
        self.thread_ = Thread(
            [Bead(one, MOMENT_WORDS[one], nothing, nothing if one in SIDED else None) for one in MOMENTS]
        )
        column.addWidget(framed)
        column.addWidget(self.thread_, 1)
        self.thread_.back.clicked.connect(home.take_back)
        home.saved.connect(lambda _at: self._ask_back())
        home.reloaded.connect(self._ask_back)
        self._ask_back()

    def _ask_back(self) -> None:
        if not self._quiet:
            self._home.told_to_take_back(self._show_back)

    def _show_back(self, what: str) -> None:
        if isValid(self):  # the answer can come after the page has gone
            self.thread_.show_back("" if self._quiet else what)

    def hush(self, *, on: bool) -> None:
        """On a page that takes its own steps back, no other way back stands beside it."""
        if on != self._quiet:
            self._quiet = on
            self._show_back("")
            self._ask_back()

    def show_progress(self, found: tuple[Progress, ...]) -> None:
        """How far each moment is, and which visit of which family this is."""
        chart = self._home.chart
        self.thread_.show_moments([Bead(one.moment, MOMENT_WORDS[one.moment], one.left, one.right) for one in found])
        self.thread_.show_visit(visit_line(chart), visit_when(chart))
        family = chart.person(Family, chart.family).family_name
        self.out.say(f"Family {family}" if isinstance(family, str) and family.strip() else "The family")
