"""Filing a jot: into a question for words, found among those of this visit, or into none, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from PySide6.QtCore import Qt, Signal
from shiboken6 import isValid

from desktop.controls.buttons import Act, Link
from desktop.controls.finder import Finder
from desktop.controls.layouts import Stack
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.spots import Spot, spots
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Moment
from forms.ask import Path
from forms.filing import IN_NONE, behind, timed_words
from forms.form import value_at
from forms.note import answered
from forms.trouble import Refused, Trouble
from forms.visit import Jot
from storage.changes import Begin, Change, Put
from storage.store import Store

__all__ = ["Filing", "InPage"]

InPage = Callable[[], tuple[str, ...]]
"""The questions for words on the page in view, by the keys of their spots, the one last in focus first."""


class Filing(Stack):
    """Asks in place where a jot goes. Signals: `filed()` once it is on disk; `closed()` when it stays where it is."""

    filed = Signal()
    closed = Signal()

    def __init__(self, home: OpenChart, entity: str, in_page: InPage) -> None:
        super().__init__(between=Space.GAP)
        self._home, self._entity, self._in_page = home, entity, in_page
        self._spots: dict[str, Spot] = {}
        self.finder = Finder("Find a question", most=3)
        self.finder.box.setAccessibleName("Find the question the jot goes to")
        self.finder.picked.connect(self._pick)
        self.finder.closed.connect(self.closed)
        self.none = Link("In no form")
        self.none.clicked.connect(self._ask_why)
        self.why = Box(ems=10)
        self.why.setPlaceholderText("Because")
        self.why.setAccessibleName("Why it stands in no form")
        self.why.setMinimumHeight(Target.TOUCH)
        self.why.returnPressed.connect(self._in_none)
        self.keep = Act("Keep it so", target=Target.TOUCH)
        self.keep.clicked.connect(self._in_none)
        self.trouble = Words("", size=Size.SMALL, ink=Role.WELD, strong=True)
        self._reason = Stack(between=Space.GAP)
        self._reason.add(self.why, self.keep)
        self.add(
            Words("Which question does it go to?", size=Size.SMALL, ink=Role.SOFT_INK), self.finder, self.none,
            self._reason, self.trouble,
        )  # fmt: skip
        self._reason.hide()
        self.trouble.hide()

    def begin(self) -> None:
        """Offer the questions of the page in view first, then all others of the visit."""
        found = spots(self._home)
        self._spots = {key: spot for key, (spot, _) in found.items()}
        here = [key for key in self._in_page() if key in found]
        self.finder.offer([found[key][1] for key in (*here, *(key for key in found if key not in here))])
        self._tell("")
        self.finder.begin()

    def _pick(self, key: str) -> None:
        spot = self._spots.get(key)
        if spot is not None:
            self._write(lambda store: self._into(store, spot))

    def _into(self, store: Store, spot: Spot) -> Iterator[Change]:
        """The jot's words behind what stands at the question, and in the jot where they went. Raises Refused."""
        jot = self._standing(store)
        now = Moment(self._home.clock(), self._home.zone)
        target = store.entry(spot.entity)
        standing = value_at(target.answers, spot.path) if target is not None else None
        text = behind(standing, timed_words(jot, now.local().date()))
        yield Begin(spot.entity, spot.place)
        yield Put(spot.entity, spot.path, text)
        yield Put(self._entity, Path("filed_to"), spot.named)
        yield Put(self._entity, Path("filed_at"), now)

    def _standing(self, store: Store) -> Jot:
        entry = store.entry(self._entity)
        if entry is None or not isinstance(entry.answers, Jot) or entry.struck is not None:
            raise Refused(why="This jot is not here any more.")
        if answered(entry.answers.filed_to):
            raise Refused(why="This jot is filed already.")
        return entry.answers

    def _ask_why(self, *_pressed: object) -> None:
        self._reason.setVisible(self._reason.isHidden())
        if not self._reason.isHidden():
            self.why.setFocus(Qt.FocusReason.OtherFocusReason)

    def _in_none(self, *_pressed: object) -> None:
        why = self.why.text().strip()
        if not why:
            self._tell("Write why it stands in no form; it stays readable with your reason.")
            self.why.setFocus(Qt.FocusReason.OtherFocusReason)
            return

        def none(store: Store) -> Iterator[Change]:
            self._standing(store)
            yield Put(self._entity, Path("filed_to"), f"{IN_NONE}{why}")
            yield Put(self._entity, Path("filed_at"), Moment(self._home.clock(), self._home.zone))

        self._write(none)

    def _write(self, make: Callable[[Store], Iterator[Change]]) -> None:
        self._tell("")
        self.setEnabled(False)
        self._home.write(make, lambda _done: self._written(), self._failed)

    def _written(self) -> None:
        if isValid(self):  # the page may be gone by now
            self.setEnabled(True)
            self.filed.emit()

    def _failed(self, trouble: Trouble) -> None:
        if isValid(self):
            self.setEnabled(True)
            self._tell(trouble.sentence)

    def _tell(self, sentence: str) -> None:
        self.trouble.say(sentence)
        self.trouble.setVisible(bool(sentence))
