"""The pictures of the person charted, to look at together: each with its sentence, its sources and its table."""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QShowEvent

from desktop.controls.layouts import Stack
from desktop.controls.picture_view import PictureView
from desktop.controls.words import Rule, Words
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import Compose, Here, Section
from desktop.theme.tokens import Role, Space
from forms.pictures.all import pictures
from forms.pictures.maker import Maker
from forms.visit import Visit

__all__ = ["PICTURES", "Pictures"]

EMPTY = "There is no picture of {name} yet. Feeds, weights and the log each bring theirs as they are written down."


class Pictures(Stack):
    """Every picture that has something to show, one under another; it follows what is written."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.WIDE)
        self._here, self._view = here, InView.of(here.home)
        self.views: dict[str, PictureView] = {}
        self.empty = Words(EMPTY.format(name=here.home.names(here.who)), ink=Role.SOFT_INK)
        self.held = Stack(between=Space.WIDE)
        self.add(self.empty, self.held)
        here.home.changed.connect(self._follow)
        self._show()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show()

    def _follow(self) -> None:
        """Pictures nobody sees wait until somebody does."""
        if self.isVisible():
            self._show()

    def _show(self) -> None:
        home, who = self._here.home, self._here.who
        found = {maker.key: maker for maker in pictures(home.chart, who, home.clock())}
        if list(found) == list(self.views):
            for key, maker in found.items():
                self.views[key].show_maker(maker)
        else:
            self._lay(found)
        self.empty.setVisible(not found)

    def _lay(self, found: dict[str, Maker]) -> None:
        self.held.clear()
        self.views = {}
        for key, maker in found.items():
            if self.views:
                self.held.add(Rule())
            what = ("picture", "table", key, self._here.who)
            view = self.views[key] = PictureView(maker, table=self._view.opened(*what))
            view.swapped.connect(partial(self._swapped, what))
            self.held.add(view)

    def _swapped(self, what: tuple[str, ...], _on: object = None) -> None:
        self._view.turn_over(*what)


def _pictures(c: Compose) -> None:
    c.widget(Pictures)


PICTURES = Section("plan.pictures", "Pictures", Visit, _pictures, "{own} pictures")
