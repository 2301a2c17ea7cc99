"""The pictures of the person charted, to look at together: each with its sentence, its sources and its table."""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QShowEvent

from desktop.controls.layouts import Stack
from desktop.controls.picture_view import PictureView
from desktop.controls.words import Rule, Words
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Compose, Here, Section
from desktop.theme.tokens import Role, Space
from forms.pictures.all import pictures
from forms.pictures.maker import Maker
from forms.referral import PaperIssued
from forms.visit import Visit

__all__ = ["PICTURE", "PICTURES", "Pictures", "picture_key"]

PICTURE = "picture:"
"""How the key of a paper begins that is one picture."""

EMPTY = "There is no picture of {name} yet. Feeds, weights and the log each bring theirs as they are written down."


def picture_key(key: str) -> str:
    """The key of the paper of a picture."""
    return f"{PICTURE}{key}"


class Pictures(Stack):
    """Every picture that has something to show, one under another; it follows what is written."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.WIDE)
        self._here, self._view = here, InView.of(here.home)
        self.views: dict[str, PictureView] = {}
        self._shared = False
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
            view.printed.connect(partial(self._to_paper, key))
            view.set_shared(self._shared)
            self.held.add(view)

    def set_shared(self, on: bool) -> None:
        """Shared view: what goes to the record cannot be asked for."""
        self._shared = on
        for view in self.views.values():
            view.set_shared(on)

    def _to_paper(self, key: str) -> None:
        """The papers, with this picture as the one in view."""
        self._view.keep(PaperIssued, "", picture_key(key))
        self._view.jumped.emit(Jump("leave", self._here.who, "leave.papers"))

    def _swapped(self, what: tuple[str, ...], _on: object = None) -> None:
        self._view.turn_over(*what)


def _pictures(c: Compose) -> None:
    c.widget(Pictures)


PICTURES = Section("plan.pictures", "Pictures", Visit, _pictures, "{own} pictures")
