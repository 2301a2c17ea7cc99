"""What came from elsewhere, on a family's page: what was taken about each person, and the way to take more."""

from __future__ import annotations

from collections.abc import Mapping

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.plain import key_row
from desktop.session import Routes, Session
from desktop.sheets.received_seen import ReceivedFacts, when_words
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.ask import Path, ask_of
from forms.form import value_at
from forms.received import ReceivedFact, ReceivedFile
from sync.handoff.taking import TakenAnswer, answers_of_files, taken_answers

__all__ = ["ReceivedSoFar"]

Standing = Mapping[tuple[str, Path], tuple[str, ...]]


class ReceivedSoFar(Stack):
    """One line and one key; below, for each person, the answers taken and the facts kept in senders’ words."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._session = home, session
        title = Title("Received from elsewhere", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.line = Words("", ink=Role.SOFT_INK)
        self.key = Act("Open a letter or a filled sheet", icon=Icon.PAPER)
        self.key.clicked.connect(lambda: routes.received(home.chart.family))
        self.listed = Stack(between=Space.GAP)
        self._asked: Standing = {}
        self._taken: tuple[TakenAnswer, ...] = ()
        self._said: object = None
        self._facts: list[ReceivedFacts] = []
        self.add(title, self.line, self.listed, key_row(self.key))
        self.refresh()

    def refresh(self) -> None:
        """Say how it stands; what the log says of the answers is read again when any of them is another."""
        chart = self._home.chart
        files, standing = len(chart.all(ReceivedFile)), answers_of_files(chart)
        self.line.say("No file is kept yet." if not files else f"{files} file{'s are' if files > 1 else ' is'} kept.")
        if standing != self._asked:
            self._asked = standing
            self._session.lane.run(lambda store: taken_answers(store, standing), self._take)
        self._list()

    def _take(self, taken: tuple[TakenAnswer, ...]) -> None:
        self._taken = taken
        self._list()

    def _list(self) -> None:
        home = self._home
        lines = {who: self._answers(who) for who in (*home.infants(), *home.parents(), home.chart.family)}
        people = {who: said for who, said in lines.items() if said or home.chart.all(ReceivedFact, who)}
        if people != self._said:
            self._said = people
            self.listed.clear()
            self._facts = []
            for who, said in people.items():
                self.listed.add(Words("The family" if who == home.chart.family else home.names(who), strong=True))
                for words, source in said:
                    self.listed.add(_line(words, source), Rule())
                shown = ReceivedFacts(home, who)
                self._facts.append(shown)
                self.listed.add(shown)
        for shown in self._facts:
            shown.refresh()

    def _answers(self, who: str) -> tuple[tuple[str, str], ...]:
        """The answers about a person that were taken, each with its source in words; a weight's parts as one."""
        found: dict[tuple[str, str], tuple[str, str]] = {}
        for one in self._taken:
            entry = self._home.chart.by_id(one.entity)
            if entry is None or who not in (entry.id, *entry.place.subjects):
                continue
            if entry.place.form == "weight" and one.path.field != "weight":
                continue
            ask = ask_of(type(entry.answers), one.path.field)
            words = f"{ask.label}: {answer_words(ask, value_at(entry.answers, one.path))}"
            at = when_words(one.source.at, self._session.zone)
            found[one.entity, str(one.path)] = (words, ", ".join(filter(None, (at, f"from {one.source.author}"))))
        return tuple(found.values())


def _line(words: str, source: str) -> Stack:
    line = Stack(between=Space.FINE)
    line.add(Words(words, strong=True), Words(f"{source}; stands as the answer", size=Size.SMALL, ink=Role.SOFT_INK))
    return line
