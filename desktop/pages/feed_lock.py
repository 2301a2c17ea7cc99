"""The lock screen while a feed clock runs: the clock, the emergency number, a key that notes a time, the way back in.

Nothing of the record is shown: no name, no side, no figure but the time since the feed began.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import QTimer, Signal

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.shown import clock as clock_words
from desktop.controls.words import Words
from desktop.pages.plain import PlainPage, key_row
from desktop.theme.tokens import Role, Size

__all__ = ["FeedLockPage", "running"]

_TICK_MS = 1_000


def running(began: datetime, now: datetime) -> str:
    """The time since `began`: "16:34", with hours once there are any."""
    seconds = max(0, int((now - began).total_seconds()))
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"


class FeedLockPage(PlainPage):
    """Signals: `note_asked()`: note this moment; `unlock_asked()`: go to the passphrase."""

    note_asked = Signal()
    unlock_asked = Signal()

    def __init__(self, began: datetime, now: Callable[[], datetime], emergency: str) -> None:
        """`began` is when the feed clock was started, `emergency` the number a family dials here, "" if none is set."""
        super().__init__()
        self.setObjectName("feed_lock")
        self._began, self._now = began, now
        self.column.add(Words("Locked. The feed clock runs on.", ink=Role.SOFT_INK))
        self.figure = Words("", size=Size.WEIGHT, strong=True)
        self.column.add(self.figure)
        self.note_key = Act("Note this time", kind=ActKind.MAIN)
        self.note_key.clicked.connect(self.note_asked)
        back = Link("Unlock", size=Size.BASE)
        back.clicked.connect(self.unlock_asked)
        self.noted = Words("", ink=Role.SOFT_INK)
        self.noted.hide()
        self.column.add(key_row(self.note_key, back), self.noted)
        number = f"Emergency: {emergency}" if emergency else "No emergency number is set for this practice."
        self.column.add(Words(number, size=Size.FIGURE, strong=True))
        self.column.finish()
        self.setFocusProxy(self.note_key)
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self.tick)
        self._timer.start()
        self.tick()

    def tick(self) -> None:
        """Show how long the feed has been going on."""
        self.figure.say(running(self._began, self._now()))

    def say_noted(self, at: datetime, count: int, *, on_disk: bool) -> None:
        """Say that a time was noted: its local time and how many wait by now."""
        many = "1 time noted" if count == 1 else f"{count} times noted"
        where = (
            "filed as jots after unlocking" if on_disk else "held in this window, for the disk is full; leave it open"
        )
        self.noted.say(f"{many}, the last at {clock_words(at)}:{at.second:02}; {where}.")
        self.noted.show()
