"""The packages that left, a line for each, with kept passwords; and the password of one that is to be told yet."""

from __future__ import annotations

from functools import partial
from typing import Final, TypeAlias, cast

from PySide6.QtCore import Signal
from shiboken6 import isValid

from desktop.controls.buttons import Link
from desktop.controls.layouts import Reach, Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.pages.giving_how import LOCKED
from desktop.pages.paper_in_hand import InHand
from desktop.pages.paper_leaves import Left
from desktop.pages.paper_password import PasswordShown
from desktop.theme.tokens import Role, Space
from forms.answers import every
from forms.ask import Paper, ask_of
from forms.chart import Entry
from forms.referral import PaperIssued
from storage.store import Store
from sync.handoff.untold import kept_among, kept_password, untold_among
from sync.handoff.way import Way

__all__ = ["WAITS", "PackagesLeft"]

_Held: TypeAlias = tuple[frozenset[str], tuple[tuple[str, str], ...]]
"""Entries whose passwords are kept, and those that wait to be told with their passwords."""

WAITS: Final = "package"
"""Under which the password of a package waits with the open chart until it is told."""


class PackagesLeft(Stack):
    """What left, the newest first. Signals: `told()`: a password need not be seen any more.

    `waiting()`: one that was not told before this page was laid is shown again.
    """

    told = Signal()
    waiting = Signal()

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._hand = home, InHand.of(home)
        self._below: dict[str, Stack] = {}
        self._password, self._left = Stack(between=Space.SNUG), Stack(between=Space.FINE)
        self.add(self._password, self._left)
        self._hand.waits.connect(self.show_waiting)
        self._take_up()

    def refresh(self) -> None:
        """Show what left by now; where a password was kept on this device, the way to it."""
        self._left.clear()
        left = [one for one in self._home.chart.all(PaperIssued) if one.answers.paper == Paper.PACKAGE]
        below = self._below = {one.id: Stack() for one in left}
        for one in reversed(left):
            self._left.add(Words(self._line(one)), below[one.id])
        if not left:
            self._left.add(Words("No package of this record has left.", ink=Role.SOFT_INK))
        locked = tuple(one.id for one in left if one.answers.left_how == LOCKED)
        if locked:

            def held(store: Store) -> _Held:
                return kept_among(store, locked), untold_among(store, locked)

            self._home.lane.run(held, partial(self._offer_passwords, below), lambda _trouble: None)
        if self._hand.waiting(WAITS) is not None:
            Reach.again(self)  # the password is read out without scrolling, however the lines below it change

    def _offer_passwords(self, below: dict[str, Stack], held: _Held) -> None:
        kept, untold = held
        if not isValid(self) or below is not self._below:
            return
        for entry in kept:
            link = Link("Show its password")
            link.clicked.connect(partial(self._ask_password, below, entry))
            below[entry].add(link)
        if untold and self._hand.waiting(WAITS) is None:
            entry, password = untold[0]
            self._hand.take_up(Left(Paper.PACKAGE, b"", Way(LOCKED, password=password), entry), WAITS)
            self._take_up()
            self.waiting.emit()

    def _ask_password(self, below: dict[str, Stack], entry: str, *_pressed: object) -> None:
        def show(password: str | None) -> None:
            if isValid(self) and below is self._below and password is not None:
                shown = PasswordShown(self._home, password, entry, once=False)
                shown.told.connect(self.refresh)
                below[entry].clear()
                below[entry].add(shown)
                shown.setFocus()

        self._home.lane.run(lambda store: kept_password(store, entry), show, lambda _trouble: None)

    # --- a password that waits --------------------------------------------------------------------------------------

    def _take_up(self) -> None:
        """Show the password that waits to be told, also on a page that was laid anew meanwhile."""
        self._password.clear()
        left = self._hand.waiting(WAITS)
        if left is not None and left.way.password is not None:
            shown = PasswordShown(self._home, left.way.password, left.entry, once=not self._hand.kept)
            shown.told.connect(self._password_told)
            shown.kept.connect(self._password_kept)
            self._password.add(Words(self._told_of(left)), shown)

    def _told_of(self, left: Left) -> str:
        """Which package it is whose password waits; where it was saved is known only right after."""
        if left.place:
            return f"The package is saved as {left.place}. {left.unstamped}".rstrip()
        found = self._home.chart.by_id(left.entry)
        known = found is not None and isinstance(found.answers, PaperIssued)
        line = f" {self._line(cast('Entry[PaperIssued]', found))}." if known else ""
        return f"The password of a package that left is not told yet.{line}"

    def show_waiting(self) -> None:
        """A locked package left: its password is in view, with the focus."""
        if self._hand.waiting(WAITS) is not None:
            self._take_up()
            for shown in self._password.findChildren(PasswordShown):
                shown.setFocus()

    def _password_told(self) -> None:
        self._hand.put_away()
        self._password.clear()
        self.refresh()  # an answer that still names it as one that waits is of before
        self.told.emit()

    def _password_kept(self) -> None:
        self._hand.kept = True
        self.refresh()

    def _line(self, entry: Entry[PaperIssued]) -> str:
        kept = entry.answers
        about = " or ".join(self._home.names(one) for one in every(kept.concerns))
        purpose = "purpose" if kept.purpose_words is None else "purpose_words"
        to, what_for, how, at = (
            answer_words(ask_of(PaperIssued, field), getattr(kept, field))
            for field in ("for_whom", purpose, "left_how", "at")
        )
        return f"About {about}, to {to}, {at}, {how[:1].lower()}{how[1:]}: {what_for[:1].lower()}{what_for[1:]}"
