"""The end of joining and of coming back: the record arrives, and somebody says who charts on this device."""

from __future__ import annotations

from PySide6.QtCore import Signal

from desktop.beginning import practitioners, somebody_new
from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Title, Words
from desktop.pages.plain import focus_soon, key_row, main_key
from desktop.pages.secret import Emblem, Told
from desktop.session import Session
from desktop.sharing import Stage
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size, Space
from forms.chart import Entry
from forms.form import Form
from storage.changes import ChangeSet

__all__ = ["FirstRound", "WhoCharts"]


class FirstRound(Stack):
    """The first round of a device that belongs since a moment ago, in words. Signal `arrived()`: the record is here."""

    arrived = Signal()

    def __init__(self, session: Session, title: str) -> None:
        super().__init__(between=Space.PAD)
        self.sharing = session.sharing
        self.line = Words("", size=Size.JOT)
        self.told = Told()
        self.again = main_key("Try again")
        self.again.clicked.connect(self._again)
        self.add(
            Emblem(MoonState.DONE, MoonState.NOT_DONE), Title(title, size=Size.GREETING), self.line, self.told,
            key_row(self.again),
            Words("What has arrived stays, also when the network goes. Nothing has to be done meanwhile.",
                  ink=Role.SOFT_INK),
        )  # fmt: skip
        self._over = False
        self.sharing.changed.connect(self.refresh)
        self.refresh()

    def _again(self, *_pressed: object) -> None:
        self.sharing.round()

    def refresh(self) -> None:
        """How far it is."""
        sharing = self.sharing
        if self._over:
            return
        if sharing.stage is Stage.DONE:
            self._over = True
            self.arrived.emit()
            return
        stuck = sharing.trouble is not None and not sharing.going
        self.line.say(f"{sharing.words or 'The record is coming'}." if not stuck else "The record is not all here yet.")
        self.told.trouble(sharing.trouble.sentence if stuck and sharing.trouble is not None else "")
        self.again.setVisible(stuck)
        if stuck and not self.again.hasFocus():
            focus_soon(self.again)


class WhoCharts(Stack):
    """Who sits at this device. What is charted carries that name. Signal `said()`: it is kept."""

    said = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__(between=Space.PAD)
        self.session = session
        self.keys: list[Act] = []
        self.list = Stack(between=Space.SNUG)
        self.name = Box(size=Size.JOT, ems=14)
        self.name.setAccessibleName("Your name, as papers name you")
        self.name.returnPressed.connect(self._new)
        self.told = Told()
        self.keep = Act("Chart under this name")
        self.keep.clicked.connect(self._new)
        self.came = Words(_came(session), ink=Role.SOFT_INK)
        self.add(
            Title("Who charts on this device?", size=Size.GREETING), self.came,
            self.list, Rule(), Words("Somebody who is not there yet: your name, as papers name you", strong=True),
            self.name, self.told, key_row(self.keep),
        )  # fmt: skip
        session.lane.run(lambda store: store.practice_entries(), self._show, lambda t: self.told.trouble(t.sentence))

    def _show(self, entries: tuple[Entry[Form], ...]) -> None:
        for person in practitioners(entries):
            name = person.answers.full_name
            key = Act(name if isinstance(name, str) else "Somebody without a name")
            key.clicked.connect(lambda _on=False, author=person.id: self._take(author))
            self.keys.append(key)
            self.list.add(key_row(key))
        first = self.keys[0] if self.keys else self.name
        self.setFocusProxy(first)
        focus_soon(first)

    def _take(self, author: str) -> None:
        self.session.charts(author, self._done)

    def _new(self, *_pressed: object) -> None:
        name = self.name.text().strip()
        if not name:
            self.told.trouble("Type your name first, or press yours above.")
            self.name.setFocus()
            return
        author = self.session.ids()

        def written(_changes: ChangeSet) -> None:
            self._take(author)

        self.session.lane.run(
            lambda store: store.write(somebody_new(author, name), author=author), written,
            lambda trouble: self.told.trouble(trouble.sentence),
        )  # fmt: skip

    def _done(self) -> None:
        self.session.refresh_practice()
        self.said.emit()


def _came(session: Session) -> str:
    """What the first round brought, and what of it was odd."""
    told = session.sharing.told
    if told is None:
        return "The record is here."
    odd = () if told.complete else tuple(told.sentences(session.clock()))
    count = sum(told.received.values())
    return " ".join(
        (f"The record is here: {count:,} answers.", *(s for s in odd if not s.startswith(("Sent", "Noth"))))
    )
