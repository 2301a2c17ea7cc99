"""When a change of an open chart is told: at once, once for several, or a little later for events of a feed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from PySide6.QtCore import QElapsedTimer, QObject, QTimer

__all__ = ["Telling"]

_PAUSE_MS = 400
"""An event of a feed is painted at once; what it adds up to follows within this time, once for all of them."""
_SHARE = 20
"""While events go on, at most one part in so many of the time goes into telling of them."""


class Telling(QObject):
    """Calls `changed` for a change, and `reloaded` before it where entries came or went."""

    def __init__(self, changed: Callable[[], object], reloaded: Callable[[], object], parent: QObject) -> None:
        super().__init__(parent)
        self._changed, self._reloaded = changed, reloaded
        self._came = self._owed = self._gathering = False
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_PAUSE_MS)
        self._later.timeout.connect(self.now)

    def came(self) -> None:
        """Entries came or went; told with the next change."""
        self._came = True

    def now(self) -> None:
        """Tell now."""
        took = QElapsedTimer()
        took.start()
        came, self._came = self._came, False
        if came:
            self._reloaded()
        self._changed()
        self._later.setInterval(max(_PAUSE_MS, _SHARE * took.elapsed()))

    def later(self) -> None:
        """Tell soon, with all that comes until then."""
        if not self._later.isActive():
            self._later.start()

    def catch_up(self) -> None:
        """Tell now what was to be told soon; nothing where nothing waits."""
        if self._later.isActive():
            self._later.stop()
            self.now()

    def answer(self) -> None:
        """An answer is another: told now, or once with the others that are gathered."""
        self._owed = True
        if not self._gathering:
            self._pay()

    def _pay(self) -> None:
        owed, self._owed = self._owed, False
        if owed:
            self._changed()

    @contextmanager
    def gathered(self) -> Iterator[None]:
        """Answers taken in here are told as one change."""
        before, self._gathering = self._gathering, True
        try:
            yield
        finally:
            self._gathering = before
            if not before:
                self._pay()
