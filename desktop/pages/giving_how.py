"""How the record leaves: locked in one file, or as an open folder after a warning that was answered."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from PySide6.QtCore import Signal

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.words import Rule, Words
from desktop.pages.plain import key_row
from desktop.theme.tokens import Role, Space

__all__ = ["INSISTED", "LOCKED", "HowItLeaves"]

LOCKED: Final = "password"
INSISTED: Final = "insisted"
_WAYS: Final = MappingProxyType({LOCKED: "One locked file", INSISTED: "An open folder"})
_LOCKED: Final = (
    "One file, with everything inside, that nobody opens without a password of five words. It is made as the file is "
    "saved, and told by phone or in person, never by the way the file goes. Read what goes along before it leaves: "
    "words stand as they were typed."
)
_ONLY_LOCKED: Final = "To a provider it always goes locked. "
_RISK: Final = (
    "An open folder can be read by everyone it comes by: whoever finds the stick, gets into the mailbox or repairs the "
    "computer. It can be copied without a trace, and nobody can call it back."
)
_ANSWERED: Final = (
    "An open folder, because {who} was told who might read it and insists. That is written down with the record. Hand "
    "it over yourself, and give nothing but this folder: words in it stand as they were typed."
)


class HowItLeaves(Stack):
    """Locked unless a parent insists. Signal `changed()`: another way was picked, or the warning was answered."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__(between=Space.SNUG)
        self.how, self.answered = LOCKED, False
        self._of = ("", "", "")  # whose record, who asks for it, and by which name that one is asked
        self._parent = False  # whether that one may insist
        self.ways = Segments("How it leaves", _WAYS)
        self.ways.picked.connect(self._pick)
        self.said = Words("", ink=Role.SOFT_INK)
        self.warning = _Warning()
        self.warning.insists.connect(lambda: self._answer(insists=True))
        self.warning.locks.connect(lambda: self._answer(insists=False))
        self.add(Words("How it leaves", strong=True), self.ways, self.said, self.warning)
        self.start()

    @property
    def insisted(self) -> bool:
        """Whether it leaves open, the warning answered."""
        return self.how == INSISTED and self.answered

    @property
    def waits(self) -> bool:
        """Whether the warning has to be answered first."""
        return self.how == INSISTED and not self.answered

    def offer(self, person: str, asker: str, who: str, *, parent: bool) -> bool:
        """Ask anew, of somebody else or about the record of another person (ids); whether that is so.

        `who` is the asker's name, `parent`: may insist. What was answered holds for one record and one asker alone.
        """
        if ((person, asker, who), parent) == (self._of, self._parent):
            return False
        self._of, self._parent = (person, asker, who), parent
        self.start()
        return True

    def start(self) -> None:
        """As if nothing was picked."""
        self.how, self.answered = LOCKED, False
        self._show()

    def _pick(self, how: str) -> None:
        self.how, self.answered = how, False
        self._show()
        if self.waits:
            self.warning.setFocus()
        self.changed.emit()

    def _answer(self, *, insists: bool) -> None:
        self.how, self.answered = (INSISTED, True) if insists else (LOCKED, False)
        self._show()
        self.ways.setFocus()
        self.changed.emit()

    def _show(self) -> None:
        self.ways.setVisible(self._parent)
        self.ways.show_codes((self.how,))
        self.warning.ask(self._of[2])
        self.warning.setVisible(self.waits)
        self.said.setVisible(not self.waits)
        locked = _LOCKED if self._parent else _ONLY_LOCKED + _LOCKED
        self.said.say(_ANSWERED.format(who=self._of[2]) if self.insisted else locked)


class _Warning(Stack):
    """What an open folder risks, and the question that has to be answered. Signals: `insists()`, `locks()`."""

    insists = Signal()
    locks = Signal()

    def __init__(self) -> None:
        super().__init__(between=Space.SNUG)
        self.question = Words("")
        self.told = Act("Told, and insists")
        self.told.clicked.connect(self.insists)
        self.lock = Act("No, lock it")
        self.lock.clicked.connect(self.locks)
        self.add(
            Rule(strong=True), Words(_RISK, strong=True), self.question, key_row(self.lock, self.told),
            Rule(strong=True),
        )  # fmt: skip
        self.setFocusProxy(self.lock)

    def ask(self, who: str) -> None:
        """Put the question about somebody."""
        self.question.say(f"Was {who} told this, and does {who} still ask for it open?")
