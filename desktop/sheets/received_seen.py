"""What was taken from other practices about one person, fact by fact: beside the story, and on the family's page."""

from __future__ import annotations

from functools import partial
from typing import Final

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Beside, Stack
from desktop.controls.shown import day_words, moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.sheets.listing import StrikeAsked
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space
from forms.chart import Entry
from forms.received import ReceivedFact, fact_words, source_words
from sync.handoff.reading.dates import day_told, moment_told

__all__ = ["ReceivedFacts", "ReceivedSeen", "when_words"]

_AT_ONCE: Final = 30


def when_words(told: str, zone: str) -> str:
    """A time as a file gives it, with its precision: "Tue 3 Mar 2026 10:05", or its own characters."""
    moment, day = moment_told(told, zone), day_told(told)
    if moment is not None:
        return moment_words(moment)
    return day_words(day) if day is not None else told


class ReceivedFacts(Stack):
    """The facts of one person, newest first, each with its source and the way to strike it out."""

    def __init__(self, home: OpenChart, who: str) -> None:
        super().__init__(between=Space.SNUG)
        self.home, self.who = home, who
        self._shown = _AT_ONCE
        self._said: tuple[tuple[str, ReceivedFact], ...] | None = None
        self.listed = Stack(between=Space.SNUG)
        self.more = Link("", size=Size.BASE)
        self.more.clicked.connect(self._show_more)
        self.add(self.listed, self.more)
        self.refresh()

    def entries(self) -> tuple[Entry[ReceivedFact], ...]:
        """The facts that stand."""
        return tuple(reversed(self.home.chart.all(ReceivedFact, self.who)))

    def refresh(self) -> None:
        """Write the facts anew."""
        found = self.entries()
        shown = found[: self._shown]
        self.more.setVisible(len(found) > len(shown))
        self.more.say(f"Show more, {len(found) - len(shown):,} are left")
        said = tuple((entry.id, entry.answers) for entry in shown)
        if said == self._said:
            return
        self._said = said
        self.listed.clear()
        for entity, fact in said:
            self.listed.add(self._row(entity, fact), Rule())

    def _row(self, entity: str, fact: ReceivedFact) -> QWidget:
        row, told = Stack(between=Space.FINE), Stack(between=Space.FINE)
        source = source_words(fact, partial(when_words, zone=self.home.zone))
        told.add(Words(fact_words(fact), strong=True), Words(source, size=Size.SMALL, ink=Role.SOFT_INK))
        strike = Link("Strike out")
        strike.setAccessibleName(f"Strike out: {fact_words(fact)}")
        strike.clicked.connect(partial(self._ask_why, row, strike, entity))
        across = QWidget()
        beside = Beside(across)
        beside.addWidget(told)
        beside.addWidget(strike)
        row.add(across)
        return row

    def _ask_why(self, row: Stack, strike: Link, entity: str, *_pressed: object) -> None:
        strike.setEnabled(False)
        why = StrikeAsked(self.home, entity)
        row.add(why)
        why.reason.setFocus()

    def _show_more(self) -> None:
        self._shown += _AT_ONCE
        self.refresh()


class ReceivedSeen(Stack):
    """The facts of the person charted, under a heading of their own; nothing where there are none, or while shared."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self._shared = False
        self.facts = ReceivedFacts(here.home, here.who)
        self.add(Title("Received from elsewhere", size=Size.JOT), self.facts)
        here.home.changed.connect(self.refresh)
        here.home.reloaded.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Write the facts anew."""
        self.facts.refresh()
        self.setVisible(bool(self.facts.entries()) and not self._shared)

    def set_shared(self, on: bool) -> None:
        """What others wrote is for her eyes."""
        self._shared = on
        self.refresh()
