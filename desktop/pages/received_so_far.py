"""What came from elsewhere, on a family's page: the facts taken of each person, and the way to take more."""

from __future__ import annotations

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.plain import key_row
from desktop.session import Routes, Session
from desktop.sheets.received_seen import ReceivedFacts
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.received import ReceivedFact, ReceivedFile

__all__ = ["ReceivedSoFar"]


class ReceivedSoFar(Stack):
    """One line and one key, and below them the facts kept in the senders' words."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._session = home, session
        title = Title("Received from elsewhere", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.line = Words("", ink=Role.SOFT_INK)
        self.key = Act("Open what was sent", icon=Icon.PAPER)
        self.key.clicked.connect(lambda: routes.received(home.chart.family))
        self._people: tuple[str, ...] | None = None
        self.listed = Stack(between=Space.GAP)
        self._facts: list[ReceivedFacts] = []
        self.add(title, self.line, self.listed, key_row(self.key))
        self.refresh()

    def refresh(self) -> None:
        """Say how it stands."""
        home = self._home
        files, facts = len(home.chart.all(ReceivedFile)), len(home.chart.all(ReceivedFact))
        kept = "No file is kept yet." if not files else "1 file is kept." if files == 1 else f"{files} files are kept."
        self.line.say(kept if not facts else f"{kept} Taken in the senders’ words:")
        people = tuple(
            who for who in (*home.infants(), *home.parents()) if home.chart.all(ReceivedFact, who)
        )  # fmt: skip
        if people != self._people:
            self._people = people
            self.listed.clear()
            self._facts = []
            for who in people:
                shown = ReceivedFacts(home, who)
                self._facts.append(shown)
                self.listed.add(Words(home.names(who), strong=True), shown)
        for shown in self._facts:
            shown.refresh()
