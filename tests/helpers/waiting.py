"""How a test waits while the program works."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEventLoop, QTimer

__all__ = ["breathe"]

_MOMENT_MS: Final = 5


def breathe() -> None:
    """Let what was asked for come for a moment.

    `QTest.qWait` sleeps while it holds the interpreter: each statement of the store's own thread then waits for it,
    and on a busy machine a visit takes minutes instead of seconds.
    """
    loop = QEventLoop()
    QTimer.singleShot(_MOMENT_MS, loop.quit)
    loop.exec()
