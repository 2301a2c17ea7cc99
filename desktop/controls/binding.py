"""What a control may know of the record: the small protocol between the kit and a draft.

A control never sees storage. It reads and puts typed values by register path ("pain" or "pain@left") and listens
to two signals. The window's drafts implement it over `storage.drafts.Draft`.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from PySide6.QtCore import QObject, Signal

from desktop.controls.clock import moment_words
from forms.answers import Given, Moment
from forms.ask import Path, paths
from forms.form import Form, with_value

__all__ = ["Binding"]


class Binding(QObject):
    """One entry's answers, as the controls of a sheet see them.

    Signals: `changed(path)` when the value at a path is another than before, whoever wrote it; `refused(path,
    sentence)` when a value put there could not be kept; `sealed_changed()` when the entry was signed or reopened.
    """

    changed = Signal(str)
    refused = Signal(str, str)
    sealed_changed = Signal()

    form: type[Form]

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._typed: dict[str, str] = {}

    def value(self, path: str) -> Given[Any]:
        """What stands at the path."""
        raise NotImplementedError

    def put(self, path: str, value: Any, reason: str = "") -> None:
        """Keep a typed value, an Absent, or None (the answer is taken back); autosaved by the draft.

        `reason` is given when a conflict is settled.
        """
        raise NotImplementedError

    def say(self, path: str) -> str | None:
        """The standing refusal or doubt about what is at the path, one sentence, or None."""
        raise NotImplementedError

    def person_words(self) -> tuple[str, str]:
        """Whose side it is, in words: ("Mara's left", "Mara's right")."""
        raise NotImplementedError

    def choices(self, path: str) -> tuple[tuple[str, str], ...]:
        """For REF and REFS: the entries that may be chosen, as (id, words)."""
        raise NotImplementedError

    def carried_from(self, path: str) -> str:
        """Where the answer was brought forward from, "from 9 Mar", until it is touched; "" for any other answer."""
        return ""

    def still_so(self, path: str) -> None:
        """Keep an answer that was brought forward, as said today."""

    def phrases(self, path: str) -> tuple[tuple[str, str], ...]:
        """The practice's phrases that fit the question at the path, as (short name, words)."""
        return ()

    def zone(self) -> str:
        """The time zone in which times are typed and shown."""
        raise NotImplementedError

    def now(self) -> Moment:
        """The moment it is."""
        raise NotImplementedError

    def last_unit(self, dimension: str) -> str | None:
        """The unit last used for this dimension ("mass", ...), or None: then no unit stands until one is picked."""
        raise NotImplementedError

    def written_by(self, author: str, device: str, at: datetime) -> str:
        """Who wrote a value, on which device and when, in words, for a conflict."""
        return f"{author}, {moment_words(Moment(at, self.zone()))}, on {device}"

    def sealed(self) -> bool:
        """Whether the entry is signed, so that nothing can be put."""
        return False

    def answers(self) -> Form:
        """All answers as the form they are of."""
        made = self.form()
        for path in paths(self.form):
            given = self.value(str(path))
            if given is not None:
                made = with_value(made, path, given)
        return made

    def typed(self, path: str) -> str | None:
        """Text at the path that was refused and still stands on screen, or None."""
        return self._typed.get(path)

    def keep_typed(self, path: str, text: str | None) -> None:
        """Hold on to refused text (None: no more), so that it is still there when the page is shown again."""
        if text is None:
            self._typed.pop(path, None)
        else:
            self._typed[path] = text

    @staticmethod
    def path(name: str) -> Path:
        """The path a register name stands for."""
        return Path.read(name)
