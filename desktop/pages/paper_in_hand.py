"""What is under way while a paper leaves: what was answered so far, and a password that waits to be told.

It is held with the open chart and in memory only, so that a page laid anew, for a narrower window or larger words,
shows it again; when the chart is closed or the window locks it is gone. A password that was not told by then is held in
the store (`sync.handoff.untold`) and shown again where the paper that left is listed.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from desktop.open_chart import OpenChart
from desktop.pages.paper_leaves import Left

__all__ = ["InHand", "Question"]


@dataclass(slots=True)
class Question:
    """What is asked before the paper of `key` leaves, and what was answered so far."""

    key: str
    how: str
    purpose: str = ""
    words: str = ""


class InHand(QObject):
    """The question that is open, and the locked paper whose password waits.

    Signal `waits()`: a locked paper left, and its password is to be told.
    """

    waits = Signal()

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self.question: Question | None = None
        self.kept = False
        self._left: Left | None = None
        self._key = ""

    @classmethod
    def of(cls, home: OpenChart) -> InHand:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    def wait(self, left: Left, key: str) -> None:
        """A locked paper left; its password waits to be told, where the paper of `key` is in view."""
        self.take_up(left, key)
        self.waits.emit()

    def take_up(self, left: Left, key: str) -> None:
        """The same, of a paper that left before this page was laid: nobody has to be told of it at once."""
        self._left, self._key, self.kept = left, key, False

    def shows(self, entry: str) -> bool:
        """Whether the password of the paper of an entry is the one that waits."""
        return self._left is not None and self._left.entry == entry

    def waiting(self, key: str) -> Left | None:
        """The locked paper whose password waits, if it is the one of `key`."""
        return self._left if key == self._key else None

    def put_away(self) -> None:
        """Nothing is under way any more."""
        self.question, self._left, self._key, self.kept = None, None, "", False
