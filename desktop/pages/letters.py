"""Every open letter of the practice: overdue first, with where each stands and the way to its family's letters."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Title, Words
from desktop.pages.bands import always, home_key
from desktop.pages.letter_card import due_words, ink_of
from desktop.pages.letters_family import counted
from desktop.pages.page import Page, Spread, band
from desktop.pages.plain import not_read
from desktop.session import Routes, Session
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.letters import Due, Letter, letters
from forms.trouble import Trouble
from storage.changes import ChangeSet
from storage.projections import FamilyLine
from storage.store import Store

__all__ = ["LettersPage", "OfFamily"]

_AT_ONCE: Final = 20
"""Families read between two answers of the store, so that what is typed elsewhere is written meanwhile."""
_HEADINGS: Final[Mapping[Due, str]] = MappingProxyType({
    Due.OVERDUE: "Overdue",
    Due.TODAY: "Due today",
    Due.LATER: "Waiting for an answer",
    Due.NO_DAY: "Waiting, and no day set",
    Due.NOT_AWAITED: "To be finished: nobody is waited for any more",
})  # fmt: skip
_NONE: Final = (
    "A letter stands here from its first answer in a visit, until the family knows what came of it. Those whose answer "
    "is late come first."
)


@dataclass(frozen=True, slots=True)
class OfFamily:
    """A letter with the family it belongs to."""

    family: str
    name: str
    letter: Letter


def _read(lines: tuple[FamilyLine, ...], today: date) -> Callable[[Store], tuple[OfFamily, ...]]:
    def read(store: Store) -> tuple[OfFamily, ...]:
        return tuple(
            OfFamily(line.id, line.name or "Name not written yet", letter)
            for line in lines
            for letter in letters(store.chart(line.id), today)
            if not letter.finished
        )

    return read


class _Row(QWidget):
    """One letter: by when, which family, to whom, where it stands, and the key to it."""

    def __init__(self, one: OfFamily, today: date, routes: Routes) -> None:
        super().__init__()
        letter = one.letter
        across = QHBoxLayout(self)
        across.setContentsMargins(0, Space.PAD, 0, Space.PAD)
        across.setSpacing(Space.WIDE)
        middle = Stack(between=Space.FINE)
        middle.add(Title(f"{one.name}: to {letter.to}, about {letter.who}", size=Size.JOT))
        due = due_words(letter.due, letter.standing, today)
        self.stands = Words(
            ". ".join(filter(None, (letter.says if len(letter.states) < 2 else "", due))), ink=ink_of(letter)
        )
        middle.add(self.stands)
        for sentence in filter(None, (letter.differs, letter.release)):
            middle.add(Words(sentence, size=Size.SMALL, ink=Role.WELD))
        across.addWidget(middle, 1)
        self.key = Act("Open")
        self.key.setAccessibleDescription(f"{one.name}, to {letter.to}")
        self.key.clicked.connect(lambda: routes.letters(one.family))
        across.addWidget(self.key, 0, Qt.AlignmentFlag.AlignVCenter)


class LettersPage(Page):
    """The page. `found` are the open letters read so far, `rows` those in view."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("letters")
        self.session, self.routes = session, routes
        self._asked = 0
        self.found: tuple[OfFamily, ...] = ()
        self.rows: list[_Row] = []
        self.main = Stack(between=Space.GAP)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Spread(self.main, None, band((home_key(routes),), always(session, routes))))
        self.title, self.line = Title("Letters and answers", size=Size.GREETING), Words("", ink=Role.SOFT_INK)
        self.listed = Stack(between=Space.NONE)
        self.main.add(self.title, self.line, self.listed)
        self.main.finish()
        session.lane.changed.connect(self._changed)
        self.refresh()

    def _today(self) -> date:
        return Moment(self.session.clock(), self.session.zone).local().date()

    def _changed(self, _changes: ChangeSet) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Read again, some families at a time; what is overtaken by a later reading is dropped."""
        self._asked += 1
        asked = self._asked
        self.line.say("Reading the letters.")
        self.session.lane.run(
            lambda store: store.caseload(),
            lambda lines: self._go_on(asked, lines, 0, ()) if asked == self._asked else None,
            self._failed,
        )

    def _go_on(self, asked: int, lines: tuple[FamilyLine, ...], at: int, found: tuple[OfFamily, ...]) -> None:
        if asked != self._asked:
            return
        if at >= len(lines):
            self._show(found)
            return
        if at:
            self.line.say(f"Reading the letters: {at} of {len(lines)} families.")
        self.session.lane.run(
            _read(lines[at : at + _AT_ONCE], self._today()),
            lambda more: self._go_on(asked, lines, at + _AT_ONCE, found + more),
            self._failed,
        )

    def _failed(self, trouble: Trouble) -> None:
        self._asked += 1
        self.rows, self.found = [], ()
        self.line.say("")
        self.listed.clear()
        self.listed.add(not_read("The letters", trouble, self.refresh))

    def _show(self, found: tuple[OfFamily, ...]) -> None:
        order = tuple(Due)
        self.found = tuple(
            sorted(found, key=lambda one: (order.index(one.letter.standing), one.letter.due or date.max, one.name))
        )
        self.listed.clear()
        self.rows = []
        today = self._today()
        self.line.say(counted(tuple(one.letter for one in self.found)))
        for standing, heading in _HEADINGS.items():
            here = [one for one in self.found if one.letter.standing is standing]
            if not here:
                continue
            title = Title(heading, size=Size.JOT)
            title.setContentsMargins(0, Space.WIDE, 0, Space.GAP)
            self.listed.add(title, Rule(strong=True))
            for one in here:
                row = _Row(one, today, self.routes)
                self.rows.append(row)
                self.listed.add(row, Rule())
        if not self.found:
            empty = Stack(between=Space.PAD)
            empty.setContentsMargins(0, Space.BROAD, 0, 0)
            empty.add(Title("No letter is open", size=Size.FIGURE), Words(_NONE, ink=Role.SOFT_INK))
            self.line.say("")
            self.listed.add(empty)
