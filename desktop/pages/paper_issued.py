"""The papers of a visit that have left: which, to whom, what for, how and when; and passwords held here."""

from __future__ import annotations

from functools import partial

from shiboken6 import isValid

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.pages.paper_in_hand import InHand
from desktop.pages.paper_password import PasswordShown
from desktop.theme.tokens import Space
from forms.ask import Paper, ask_of
from forms.chart import Entry
from forms.phrases.english import ENGLISH
from forms.phrases.languages import language_name
from forms.referral import PaperIssued
from storage.store import Store
from sync.handoff.untold import kept_among, kept_password, untold_among, untold_password

__all__ = ["IssuedPapers"]

_LOOKED_AT_TOGETHER = (Paper.FAMILY_PLAN, Paper.CALL_NOW)
"""The papers that left which may stand on the screen while the family looks on."""


class IssuedPapers(Stack):
    """One line for each paper that left, the newest first; none while none has."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.FINE)
        self._home = home
        self._asked, self._shared = 0, False
        self._below: dict[str, Stack] = {}

    def refresh(self, *, shared: bool) -> None:
        """Show what has left by now; `shared`: only what the family may look on at."""
        self._asked, self._shared = self._asked + 1, shared
        self.clear()
        self._below = {}
        issued = self._home.chart.all(PaperIssued, visit=self._home.chart.visit)
        shown = [
            e for e in issued
            if not shared or (e.answers.paper in _LOOKED_AT_TOGETHER and e.answers.concerns is None)
        ]  # fmt: skip
        if not shown:
            return
        self.add(Rule(strong=True), Words("Papers that have left", strong=True))
        for entry in reversed(shown):
            self._below[entry.id] = Stack()
            self.add(Words(_line(entry)), self._below[entry.id])
        locked = tuple(entry.id for entry in shown if entry.answers.left_how == "password")
        if locked and not shared:
            offer = partial(self._offer, self._asked)
            self._home.lane.run(partial(_held_among, entries=locked), offer, lambda _trouble: None)

    def _offer(self, asked: int, held: dict[str, bool]) -> None:
        if not isValid(self) or asked != self._asked:
            return
        for entry, told in held.items():
            if told or not InHand.of(self._home).shows(entry):  # one that stands above already is not offered below
                link = Link("Show its password" if told else "Show its password, which is not told yet")
                link.clicked.connect(partial(self._ask, asked, entry))
                self._below[entry].add(link)

    def _ask(self, asked: int, entry: str, *_pressed: object) -> None:
        show = partial(self._show, asked, entry)
        self._home.lane.run(
            lambda store: (kept_password(store, entry), untold_password(store, entry)), show, lambda _trouble: None
        )

    def _show(self, asked: int, entry: str, found: tuple[str | None, str | None]) -> None:
        kept, untold = found
        password = kept or untold
        if not isValid(self) or asked != self._asked or password is None:
            return
        shown = PasswordShown(self._home, password, entry, once=kept is None)
        shown.told.connect(lambda: self.refresh(shared=self._shared))
        self._below[entry].clear()
        self._below[entry].add(shown)
        shown.setFocus()


def _held_among(store: Store, entries: tuple[str, ...]) -> dict[str, bool]:
    """The papers whose password is on this device; whether it is kept there, or waits to be told."""
    waiting = {entry: False for entry, _password in untold_among(store, entries)}
    return waiting | dict.fromkeys(kept_among(store, entries), True)


def _line(entry: Entry[PaperIssued]) -> str:
    kept = entry.answers
    purpose = "purpose" if kept.purpose_words is None else "purpose_words"
    said = [
        answer_words(ask_of(PaperIssued, field), getattr(kept, field))
        for field in ("paper", "for_whom", purpose, "left_how", "at")
        if getattr(kept, field) is not None
    ]
    if isinstance(kept.language, str) and kept.language != ENGLISH.tag:
        said.append(f"in {language_name(kept.language)}")
    if kept.before_finished is True:
        said.append("before the note was finished")
    return ", ".join(said)
