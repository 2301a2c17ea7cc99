"""A folder to meet in: on this machine, on a stick, or one that another program keeps in step with a server.

The engine writes beside and renames, and leaves it to the system when the bytes reach the disk; here they are flushed
before a write counts. A write that was killed leaves "name#1" beside the name, which a program that keeps folders in
step would pass on, so they are swept away below this device's own names.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path

from obstore.store import LocalStore

from sync.transport.stored import Patience, Stored
from sync.transport.troubles import NoPlace, fault_of
from sync.wire.names import is_ours

__all__ = ["Folder"]

_STAGED = re.compile(r"(.+)#\d+", re.ASCII)
_OF_CHAINS, _BY_CHAIN = "mcpsb", "hja"


class Folder(Stored):
    """A place in the file system. Raises NoPlace when it is not there, at the start and before each request.

    A stick that is pulled leaves an empty folder under the same path on some systems: the folder is known by what it
    was at the start, so that nothing is ever written to, or missed in, the one below.
    """

    def __init__(
        self, root: Path, *, patience: Patience | None = None, progress: Callable[[int], None] = lambda _done: None
    ) -> None:
        self._root = root
        self._known = self._identity()
        super().__init__(LocalStore(root), str(root), patience=patience, progress=progress)
        self._flushed: set[Path] = {root}

    def _identity(self) -> tuple[int, int]:
        try:
            found = self._root.stat()
        except OSError:
            raise NoPlace(place=str(self._root)) from None
        if not self._root.is_dir():
            raise NoPlace(place=str(self._root))
        return found.st_dev, found.st_ino

    def _before(self) -> None:
        if self._identity() != self._known:
            raise NoPlace(place=str(self._root))

    def _settled(self, name: str) -> None:
        """Flushes the file, its folder, and the folders that were made on the way to it."""
        path = self._root / name
        _flush(path)
        _flush_folder(path.parent)
        folder = path.parent
        while folder not in self._flushed:
            self._flushed.add(folder)
            folder = folder.parent
            _flush_folder(folder)

    def sweep(self, chain: str) -> int:
        """Remove what broken-off writes left beside this device's names. Raises a Trouble when it may not."""
        self._before()
        swept = 0
        try:
            for path in self._staged(chain):
                path.unlink(missing_ok=True)
                swept += 1
        except OSError as error:
            raise fault_of(error).told(self.label, "write") from None
        return swept

    def _staged(self, chain: str) -> Iterator[Path]:
        found = [path for kind in _OF_CHAINS for path in (self._root / kind / chain).rglob("*#*")]
        found += [path for kind in _BY_CHAIN for path in (self._root / kind).glob(f"{chain}#*")]
        for path in found:
            whole = _STAGED.fullmatch(path.relative_to(self._root).as_posix())
            if whole is not None and is_ours(whole[1]) and path.is_file():
                yield path


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _flush_folder(path: Path) -> None:
    if os.name == "nt":
        return  # Windows opens no folder for this
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
