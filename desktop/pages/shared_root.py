"""One root for all devices of a practice: how this device stands to it, and the ways to seal under it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
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

__all__ = ["SharedRoot"]

_WAITS = (
    "Papers that carry a seal wait until this device has one. The practice’s root was made on another device. Under "
    "it, whoever compared your practice’s fingerprint once knows this device too. The root key is read from its file "
    "once and is not kept here."
)
_UNKNOWN = (
    "Papers that carry a seal wait until this device has one. No root of the practice has reached this device: the "
    "device that made it tells it to the others when it is next opened and syncs. If you have the file that root key "
    "was saved to, choose it here; the key is read once and is not kept here."
)
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
_LOST = (
    "If nobody has that file any more, give that root up: then the root this device seals under is the practice’s, "
    "and receivers who compared the other one compare once more. What it sealed stays known as the practice’s own."
)
_OTHERS = (
    "Another device of the practice seals under another root, which was made while the two were apart. Receivers have "
    "to compare both. On that device, choose the file of this device’s root key under Practice, Seals; then one is "
    "enough. What was sealed under either stays known as the practice’s own."
)


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
        if found.standing in (Standing.WAITS, Standing.UNKNOWN):
            self._without_seal()
        elif found.standing is Standing.APART:
            self._apart(root_here=root_here)
        elif found.others:
            self.add(Rule(), Title("Two roots in the practice", size=Size.JOT), Words(_OTHERS))
            self.add(Facts([("The other root", _lines(root)) for root in found.others]))

    def _without_seal(self) -> None:
        waits = self._found.standing is Standing.WAITS
        head = Words("No seal on this device yet", size=Size.JOT, strong=True, ink=Role.WELD)
        self.add(head, Words(_WAITS if waits else _UNKNOWN))
        self._file()
        if self._found.here is None:
            self.own = Act("Make a root of this device’s own")
            self.own.clicked.connect(self._make_own)
            self.add(Rule(), Title("Without that file", size=Size.JOT), Words(_OWN), key_row(self.own))

    def _apart(self, *, root_here: bool) -> None:
        self.add(Rule(), Words("Two roots in the practice", size=Size.JOT, strong=True, ink=Role.WELD), Words(_APART))
        if root_here:
            self.add(Words(_GIVEN_UP))
        self._file()
        self.lost = Act("Give that root up")
        self.lost.clicked.connect(self._give_up)
        self.add(Rule(), Title("Without that file", size=Size.JOT), Words(_LOST), key_row(self.lost))

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

    def _give_up(self) -> None:
        root, author = self._found.practice, self._session.author
        if root is None:
            return
        told = "That root is given up. Receivers who compared it compare this device’s fingerprint once more."
        self._session.lane.run(lambda store: give_up(store, root, author), lambda _none: self.settled.emit(told))


def _lines(root: bytes) -> str:
    return "\n".join(in_lines(fingerprint(root)))
