"""Letters and answers on a family's page: how many are open, how each stands, and the way to them."""

from __future__ import annotations

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.letter_card import due_words, ink_of
from desktop.pages.letters_family import counted
from desktop.pages.plain import key_row
from desktop.session import Routes, Session
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.letters import letters

__all__ = ["LettersSoFar"]


class LettersSoFar(Stack):
    """A line for each open letter, and one key."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._session = home, session
        title = Title("Letters and answers", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.line, self.listed = Words("", ink=Role.SOFT_INK), Stack(between=Space.FINE)
        self.key = Act("Open letters and answers", icon=Icon.PAPER)
        self.key.clicked.connect(lambda: routes.letters(home.chart.family))
        self._said: object = None
        self.add(title, self.line, self.listed, key_row(self.key))
        self.refresh()

    def refresh(self) -> None:
        """Say how the letters stand."""
        today = Moment(self._session.clock(), self._session.zone).local().date()
        found = letters(self._home.chart, today)
        self.line.say(counted(found) if found else "No letter was begun yet; one is begun in a visit, under Leave.")
        said = tuple(
            (". ".join(filter(None, (f"To {one.to}, about {one.who}: {one.says.lower()}", due))), ink_of(one))
            for one in found
            if not one.finished
            for due in (due_words(one.due, one.standing, today),)
        )
        if said != self._said:
            self._said = said
            self.listed.clear()
            for words, ink in said:
                self.listed.add(Words(words, ink=ink))
