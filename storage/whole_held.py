"""The files of one person's record held in memory, for what must not lie open on any disk before it is locked."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any

from forms.trouble import Bug, Trouble
from storage.whole_folder import Part

__all__ = ["HeldPart", "HoldsNoMore"]


class HoldsNoMore(Trouble):
    """More was to be held than one file may hold."""

    template = (
        "This is more than the {most} MB that one locked file holds. Leave the tables or some papers out, and give "
        "those in a second package."
    )


class HeldPart(Part):
    """As a folder that is being written, under the same names, but in memory: `data` has the bytes of each file.

    `most` is how many bytes it holds together; one more raises HoldsNoMore, which tells the bound `told`.
    """

    def __init__(self, most: int, *, told: int) -> None:
        super().__init__(Path())
        self._most, self._told, self._length = most, told, 0
        self.data: dict[str, bytes] = {}

    def within(self, name: str) -> Part:
        """There are no folders in memory: the names of one part are enough."""
        raise Bug(f"no folder in memory: {name}")

    def flush(self) -> None:
        """Nothing of it is on a disk."""

    @contextmanager
    def writing(self, name: str) -> Iterator[Any]:
        """One file, piece by piece."""
        pieces: list[bytes] = []

        def write(data: bytes) -> None:
            self._length += len(data)
            if self._length > self._most:
                raise HoldsNoMore(most=self._told // 1_000_000)
            pieces.append(data)

        yield write
        self.data[name] = b"".join(pieces)
        self.files[name] = {"bytes": len(self.data[name]), "sha256": sha256(self.data[name]).hexdigest()}

    def _close_folders(self) -> None:
        """There are none."""
