"""The sheet for before the visit, on a family's page: made without a visit, in the paper size of either side."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.files import pick_place
from desktop.open_chart import OpenChart
from desktop.pages.plain import key_row
from desktop.session import Session
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.chart import Chart
from forms.trouble import Trouble

__all__ = ["IntakeSheet"]

_WHAT = (
    "The questions a family can answer at home, as a PDF to type into or to print. It holds no name and no answer. One "
    "that comes back typed into is opened under “Received from elsewhere”; one filled in by hand is read as paper."
)
_NAME = "before-the-visit.pdf"


def _made(chart: Chart, author: str, now: datetime, page: str, place: Path) -> None:
    from forms.papers.intake import intake
    from sync.handoff.intake_sheet import write_intake  # its libraries are not needed to open the page
    from sync.handoff.saved import save_sheet

    save_sheet(place, write_intake(intake(chart, author), at=now, page=page))


class IntakeSheet(Stack):
    """One line and a key for each paper size. `pick` asks for a place; `keys` are the keys by size."""

    def __init__(
        self, session: Session, home: OpenChart, *, pick: Callable[..., Path | None] = pick_place
    ) -> None:  # fmt: skip
        super().__init__(between=Space.SNUG)
        self._session, self._home, self.pick = session, home, pick
        title = Title("Before the visit", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.keys = {
            "letter": Act("Save the sheet, US Letter", icon=Icon.PAPER),
            "a4": Act("Save the sheet, A4", icon=Icon.PAPER),
        }
        for page, key in self.keys.items():
            key.clicked.connect(partial(self._choose, page))
        self.told = Words("", strong=True)
        self.told.hide()
        self.add(title, Words(_WHAT, ink=Role.SOFT_INK), key_row(*self.keys.values()), self.told)

    def _choose(self, page: str, *_pressed: object) -> None:
        place = self.pick(self, "Where to save the sheet", Path.home(), _NAME)
        if place is None:
            return
        self._wait(waiting=True)
        chart, author, now = self._home.chart, self._session.author, self._session.clock()
        self._say("Making the sheet …", Role.SOFT_INK)
        self._home.lane.beside(
            lambda: _made(chart, author, now, page, place), lambda _none: self._saved(place), self._not_saved
        )

    def _saved(self, place: Path) -> None:
        self._wait(waiting=False)
        self._say(f"Saved to {place}.", Role.ALDER)

    def _not_saved(self, trouble: Trouble) -> None:
        self._wait(waiting=False)
        self._say(trouble.sentence, Role.WELD)

    def _wait(self, *, waiting: bool) -> None:
        for key in self.keys.values():
            key.setEnabled(not waiting)

    def _say(self, words: str, ink: Role) -> None:
        self.told.say(words)
        self.told.take_ink(ink)
        self.told.show()
