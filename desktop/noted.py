"""Times noted on the lock screen while the store is closed, filed as jots once it is open again.

They wait in a file inside the store's folder that holds nothing but times, so that a kill does not lose them.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from forms.answers import Moment
from forms.ask import Path as Register
from forms.chart import Place
from forms.visit import Jot
from storage.changes import Begin, Change, Put
from storage.folder import BINARY, FILE_MODE, flush_folder

__all__ = ["FILE", "NotedTimes", "jots_of"]

FILE = "noted-times"
_FORMAT = "%Y-%m-%dT%H:%M:%SZ"


class NotedTimes:
    """The times noted since the window locked. What the disk would not take is still held here."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE
        self._unwritten: list[datetime] = []

    def note(self, at: datetime) -> bool:
        """Keep a time; whether it is safely on disk already."""
        self._unwritten.append(at.astimezone(UTC).replace(microsecond=0))
        lines = "".join(f"{time.strftime(_FORMAT)}\n" for time in self._unwritten)
        try:
            fresh = not self._path.exists()
            file = os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_APPEND | BINARY, FILE_MODE)
            try:
                os.write(file, lines.encode())
                os.fsync(file)
            finally:
                os.close(file)
            if fresh:
                flush_folder(self._path.parent)
        except OSError:
            return False
        self._unwritten.clear()
        return True

    def times(self) -> tuple[tuple[datetime, ...], int]:
        """Every time noted and not yet filed, in order, once each; and how many lines of the file are no times."""
        found, spoilt = set(self._unwritten), 0
        try:
            lines = self._path.read_bytes().decode("ascii", "replace").split("\n")
        except FileNotFoundError:
            lines = []
        for line in filter(None, lines):
            try:
                found.add(datetime.strptime(line, _FORMAT).replace(tzinfo=UTC))
            except ValueError:
                spoilt += 1
        return tuple(sorted(found)), spoilt

    def filed(self) -> None:
        """They stand in the record now: the file goes."""
        self._unwritten.clear()
        self._path.unlink(missing_ok=True)
        flush_folder(self._path.parent)


def jots_of(
    times: tuple[datetime, ...], *, family: str, visit: str, zone: str, words: Callable[[Moment], str]
) -> tuple[Change, ...]:
    """The changes that file noted times as jots of a visit. Filing the same time twice makes one jot, not two."""
    changes: list[Change] = []
    for at in times:
        entity = sha256(f"noted\0{visit}\0{at:{_FORMAT}}".encode()).hexdigest()[:32]
        moment = Moment(at, zone)
        changes += (
            Begin(entity, Place(Jot.name, family, visit)),
            Put(entity, Register("noted"), moment),
            Put(entity, Register("words"), words(moment)),
        )
    return tuple(changes)
