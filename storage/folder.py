"""The store's folder: names, rights, the lock, atomic writes, and copies kept aside."""

from __future__ import annotations

import os
import shutil
import sys
from datetime import datetime
from pathlib import Path

from storage.troubles import AlreadyOpen, NotAStore

__all__ = ["BINARY", "DIR_MODE", "FILE_MODE", "PARTLY", "Folder", "Lock", "flush", "flush_folder", "write_whole"]

DIR_MODE = 0o700
FILE_MODE = 0o600
BINARY: int = getattr(os, "O_BINARY", 0)
PARTLY = ".part"  # ends the name of a copy until it is whole
_COPIES_KEPT = 3


def flush_folder(path: Path) -> None:
    """Makes names in a folder durable. Windows has no such call and needs none for a renamed file."""
    if sys.platform != "win32":
        file = os.open(path, os.O_RDONLY)
        try:
            os.fsync(file)
        finally:
            os.close(file)


def flush(path: Path) -> None:
    """Makes a file that another library wrote durable, and its name."""
    file = os.open(path, os.O_RDWR | BINARY)
    try:
        os.fsync(file)
    finally:
        os.close(file)
    flush_folder(path.parent)


def write_whole(path: Path, data: bytes) -> None:
    """Puts a file in place whole or not at all: temporary file, flush, rename, flush the folder."""
    fresh = path.with_name(path.name + ".new")
    file = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | BINARY, FILE_MODE)
    try:
        try:
            view = memoryview(data)
            while view:
                view = view[os.write(file, view) :]
            os.fsync(file)
        finally:
            os.close(file)
        fresh.replace(path)
    except OSError:
        fresh.unlink(missing_ok=True)
        raise
    flush_folder(path.parent)


class Lock:
    """The one holder of an open store, by a lock of the operating system that ends with its process."""

    def __init__(self, path: Path) -> None:
        """Takes the lock; raises AlreadyOpen when somebody has it, OSError when the file cannot be opened."""
        self.released = False
        self._file = os.open(path, os.O_RDWR | BINARY)
        try:
            if sys.platform == "win32":
                import msvcrt  # exists on Windows only

                msvcrt.locking(self._file, msvcrt.LK_NBLCK, 1)
            else:
                import fcntl  # exists everywhere else only

                fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            os.close(self._file)
            raise AlreadyOpen from None

    def release(self) -> None:
        """Lets the store go; a second time does nothing."""
        if not self.released:
            self.released = True
            os.close(self._file)


class Folder:
    """Names inside a store folder."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.database = path / "record.db"
        self.wal = path / "record.db-wal"
        self.tail = path / "record.tail"
        self.lock = path / "lock"
        self.keys = path / "keys"
        self.passphrase_slot = self.keys / "passphrase.slot"
        self.recovery_slot = self.keys / "recovery.slot"
        self.copies = path / "copies"
        self.mark = path / "setting-up"  # stands until set-up is done; a folder holding it is set up anew

    def must_be_store(self) -> None:
        """Raises NotAStore for anything but a folder that holds a store, whole or damaged. Reads only."""
        if not (self.database.is_file() or self.keys.is_dir()) or self.mark.exists():
            raise NotAStore(path=self.path)

    def make(self) -> None:
        """Makes the folders and the empty files whose rights SQLite's own files then inherit."""
        self.path.mkdir(mode=DIR_MODE, parents=True, exist_ok=True)
        self.path.chmod(DIR_MODE)
        for folder in (self.keys, self.copies):
            folder.mkdir(mode=DIR_MODE)
        for file in (self.lock, self.database):
            os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_RDWR, FILE_MODE))

    def copy_aside(self, kind: str, now: datetime) -> Path:
        """Copies database, write-ahead log and tail into a fresh folder under copies/, and flushes them.

        Of one kind the newest three are kept; a copy that holds damaged answers is kept under another name for good.
        """
        stamp = now.strftime("%Y%m%dT%H%M%S")
        number = 0
        while (target := self.copies / f"{kind}-{stamp}-{number:02}").exists():
            number += 1
        self.sweep_copies()
        partly = target.with_name(target.name + PARTLY)
        self.copies.mkdir(mode=DIR_MODE, exist_ok=True)
        try:
            partly.mkdir(mode=DIR_MODE)
            for source in (self.database, self.wal, self.tail):
                if source.exists():
                    with source.open("rb") as data:
                        write_whole(partly / source.name, data.read())
            partly.replace(target)
        except OSError:
            self.sweep_copies()  # on a full disk every try would take more of the room that is left
            raise
        flush_folder(self.copies)
        for old in sorted(self.copies.glob(f"{kind}-*"))[:-_COPIES_KEPT]:
            shutil.rmtree(old, ignore_errors=True)
        return target

    def sweep_copies(self) -> None:
        """Takes away what broken-off copies left: it is no copy, and would push a whole one out."""
        for left in self.copies.glob(f"*{PARTLY}"):
            if left.is_dir():
                shutil.rmtree(left, ignore_errors=True)
            else:
                left.unlink(missing_ok=True)

    def keep_for_good(self, copy: Path) -> Path:
        """Renames a copy so that no later copy pushes it out."""
        if copy.name.startswith("damaged-"):
            return copy
        kept = copy.with_name("damaged-" + copy.name)
        copy.replace(kept)
        flush_folder(self.copies)
        return kept

    def free_name(self, kind: str, now: datetime) -> Path:
        """A file name under copies/ that nothing has yet."""
        self.copies.mkdir(mode=DIR_MODE, exist_ok=True)
        stamp = now.strftime("%Y%m%dT%H%M%S")
        number = 0
        while (target := self.copies / f"{kind}-{stamp}-{number:02}.db").exists():
            number += 1
        return target
