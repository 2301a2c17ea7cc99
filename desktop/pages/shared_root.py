"""One root for all devices of a practice: how this device stands to it, and the ways to seal under it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Title, Words
from desktop.files import pick_file
from desktop.pages.key_file import KeyFile
from desktop.pages.paper_found import Facts, in_lines
from desktop.pages.plain import key_row
from desktop.seals import own_root_here, under_the_practices
from desktop.session import Session
from desktop.theme.tokens import Role, Size, Space
from sync.handoff.own_seals import Sealing, Standing, give_up
from sync.handoff.verify import fingerprint

__all__ = ["GivingUp", "SharedRoot"]

_ONCE = "The root key is read from its file once and is not kept here."
_WAITS = (
    "Papers that carry a seal wait until this device has one. The practice has a root, and nobody seals under it on "
    "this device yet. Under it, whoever compared your practice’s fingerprint once knows this device too. " + _ONCE
)
_AWAY = (
    "Papers you seal wait until there is a seal of yours here. This device knows the practice’s root, and the key of "
    "that root is in the file it was saved to. " + _ONCE
)
_UNKNOWN = (
    "Papers that carry a seal wait until this device has one. No root of the practice has reached this device. If one "
    "was made, the device that made it tells it to the others when it is next opened and syncs. If you have the file "
    "that root key was saved to, choose it here; the key is read once and is not kept here."
)
_NO_SEAL: Mapping[Standing, tuple[str, str]] = {
    Standing.WAITS: ("No seal on this device yet", _WAITS),
    Standing.AWAY: ("No seal of yours on this device yet", _AWAY),
    Standing.UNKNOWN: ("No seal on this device yet", _UNKNOWN),
}
_APART = (
    "This device seals under another root than the practice’s. Receivers who compared one of them do not know papers "
    "sealed under the other. Under the practice’s root, one comparison is enough again. What was sealed before stays "
    "known as the practice’s own."
)
_GIVEN_UP = "The root key that waits on this device is given up by that and no longer kept."
_OWN = (
    "This device can make a root of its own, so that papers can leave today. Receivers who know your practice then "
    "have to compare once more. Come back here with the file later, and the device seals under the practice’s root."
)
_UNTOLD = (
    "By its role, this device does not sign: the practice’s other devices do not count a root made here as the "
    "practice’s own."
)
_LOST = (
    "If nobody has that file any more, give that root up: then the root this device seals under is the practice’s, "
    "and receivers who compared the other one compare once more. What it sealed stays known as the practice’s own."
)
_OTHERS = (
    "Another device of the practice seals under another root, which was made while the two were apart. Receivers have "
    "to compare both. On that device, choose the file of this device’s root key under Practice, Seals; then one is "
    "enough. What was sealed under either stays known as the practice’s own."
)
_GONE = (
    "If that device is lost, or nobody has the file of its root key any more, give that root up. What it sealed stays "
    "known as the practice’s own."
)
_FOR_GOOD = (
    "Nobody is told to seal under it any more, on any device of the practice. Undo does not take that back. A device "
    "that still seals under it says so, and takes it up again with the file of its key."
)


class GivingUp(Stack):
    """The key that gives a root up, and the question before it, in place. Signal `said()`: it was confirmed."""

    said = Signal()

    def __init__(self, root: bytes) -> None:
        super().__init__(between=Space.PAD)
        self.key = Act("Give that root up")
        self.sure, self.keep = Act("Give it up"), Link("Keep it", size=Size.BASE)
        self._row, self.question = key_row(self.key), Stack(between=Space.PAD)
        self.question.add(
            Words("Give up the root with this fingerprint?", strong=True),
            Facts([("Fingerprint", _lines(root))]), Words(_FOR_GOOD), key_row(self.sure, self.keep),
        )  # fmt: skip
        self.question.hide()
        self.key.clicked.connect(lambda: self._ask(asked=True))
        self.keep.clicked.connect(lambda: self._ask(asked=False))
        self.sure.clicked.connect(self._confirmed)
        self.add(self._row, self.question)

    def _ask(self, *, asked: bool) -> None:
        self._row.setVisible(not asked)
        self.question.setVisible(asked)
        (self.keep if asked else self.key).setFocus()

    def _confirmed(self) -> None:
        self.setEnabled(False)
        self.said.emit()


class SharedRoot(Stack):
    """How this device stands to the practice's root; empty where there is nothing to say.

    Signal `settled(str)`: the device seals under another root now, with the words that tell so.
    """

    settled = Signal(str)

    def __init__(
        self, session: Session, found: Sealing, *, root_here: bool, pick: Callable[..., Path | None] = pick_file,
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        """`root_here`: the private half of this device's own root waits in the record."""
        super().__init__(parent, between=Space.PAD)
        self._session, self._found, self._pick = session, found, pick
        self.lost: list[GivingUp] = []
        if found.standing in _NO_SEAL:
            if found.standing is not Standing.AWAY or not root_here:  # else it is made as soon as the names are there
                self._without_seal(*_NO_SEAL[found.standing])
        elif found.standing is Standing.APART:
            self._apart(root_here=root_here)
        elif found.others:
            self._others()

    def _without_seal(self, head: str, words: str) -> None:
        self.add(Words(head, size=Size.JOT, strong=True, ink=Role.WELD), Words(words))
        self._file()
        if self._found.here is None:
            self.own = Act("Make a root of this device’s own")
            self.own.clicked.connect(self._make_own)
            self.add(Rule(), Title("Without that file", size=Size.JOT), Words(_OWN))
            if not self._found.tells:
                self.add(Words(_UNTOLD))
            self.add(key_row(self.own))

    def _others(self) -> None:
        self.add(Rule(), Title("Two roots in the practice", size=Size.JOT), Words(_OTHERS))
        if self._found.tells:
            self.add(Words(_GONE))
        for root in self._found.others:
            self.add(Facts([("The other root", _lines(root))]))
            self._offer_giving_up(root, "That root is given up. What it sealed stays known as the practice’s own.")

    def _apart(self, *, root_here: bool) -> None:
        self.add(Rule(), Words("Two roots in the practice", size=Size.JOT, strong=True, ink=Role.WELD), Words(_APART))
        if root_here:
            self.add(Words(_GIVEN_UP))
        self._file()
        if self._found.tells and self._found.practice is not None:
            self.add(Rule(), Title("Without that file", size=Size.JOT), Words(_LOST))
            told = "That root is given up. Receivers who compared it compare this device’s fingerprint once more."
            self._offer_giving_up(self._found.practice, told)

    def _offer_giving_up(self, root: bytes, told: str) -> None:
        if not self._found.tells:
            return
        asked, session = GivingUp(root), self._session
        asked.said.connect(
            lambda: session.lane.run(
                lambda store: give_up(store, root, session.author), lambda _none: self.settled.emit(told),
            )
        )  # fmt: skip
        self.lost.append(asked)
        self.add(asked)

    def _file(self) -> None:
        if self._found.practice is not None:
            self.add(Facts([("The practice’s root", _lines(self._found.practice))]))
        self.file = KeyFile(
            self._session, "The file the practice’s root key was saved to", "Seal under the practice’s root",
            lambda store, place, words: under_the_practices(self._session, store, place, words), self._pick,
        )  # fmt: skip
        self.file.used.connect(
            lambda: self.settled.emit("This device seals under the practice’s root. Its key is not kept here.")
        )
        self.add(self.file)

    def _make_own(self) -> None:
        told = (
            "This device seals under a root of its own now. Receivers who know your practice compare it once more; "
            "give them the new fingerprint with the paper."
        )
        session = self._session
        session.lane.run(lambda store: own_root_here(session, store), lambda _none: self.settled.emit(told))


def _lines(root: bytes) -> str:
    return "\n".join(in_lines(fingerprint(root)))
