"""How any part of the window tells the user something: a bar for news, our own sheet for decisions, a report for bugs.

A report names where the program broke and never what was being written: no message text of the failure, no local
values, only the kind of failure and the lines of code.
"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable
from datetime import datetime
from types import TracebackType

from PySide6.QtCore import QObject, Signal

from forms.trouble import Trouble

__all__ = ["Notices", "report_of"]


class Notices(QObject):
    """Where sentences for the user go. Signals: `said(sentence, tone)`, tone "news", "watch" or "trouble"."""

    said = Signal(str, str)

    def news(self, sentence: str) -> None:
        """Something went well or is worth knowing."""
        self.said.emit(sentence, "news")

    def watch(self, sentence: str) -> None:
        """Something needs an eye on it."""
        self.said.emit(sentence, "watch")

    def trouble(self, trouble: Trouble) -> None:
        """The world stands in the way; the trouble brings its own sentence."""
        self.said.emit(trouble.sentence, "trouble")

    def bug(self, failure: BaseException) -> None:
        """We broke something; say so plainly and keep going."""
        del failure  # its text may hold what was typed
        self.said.emit(
            "Something went wrong inside Hearthside. What you typed is kept; please lock, unlock and look again.",
            "trouble",
        )


def report_of(failure: BaseException, at: datetime) -> str:
    """A report without clinical text: the kind of failure and where, line by line."""
    frames = traceback.extract_tb(failure.__traceback__)
    where = "\n".join(f"  {frame.filename.rsplit('/', 2)[-1]}:{frame.lineno} in {frame.name}" for frame in frames)
    return f"{at.isoformat(timespec='seconds')} {type(failure).__name__}\n{where}\n"


def install_hook(notices: Notices, keep: Callable[[str], None], clock: Callable[[], datetime]) -> None:
    """Send every exception nobody caught to the notices, and its report to `keep`."""

    def hook(kind: type[BaseException], failure: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, failure, trace)
        elif isinstance(failure, Trouble):
            notices.trouble(failure)
        else:
            keep(report_of(failure, clock()))
            notices.bug(failure)

    sys.excepthook = hook
