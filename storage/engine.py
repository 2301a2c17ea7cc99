"""The encrypted database: one keyed connection behind SQLAlchemy, used by one thread at a time."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from typing import Any

from sqlalchemy import Connection, create_engine, event, exc
from sqlalchemy.pool import StaticPool
from sqlcipher3 import dbapi2

from forms.trouble import Trouble
from storage.troubles import DamagedDatabase, DiskFull, DiskTrouble, NoRights, StoreClosed

__all__ = ["Database", "telling"]

_LITTLE_ROOM = 1 << 20
"""A disk with less free than this many bytes is called full when a write failed for no clearer reason."""


def _full(folder: Path) -> bool:
    try:
        return shutil.disk_usage(folder).free < _LITTLE_ROOM
    except OSError:
        return False


def _of_system(error: OSError, folder: Path) -> Trouble:
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return DiskFull()
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return NoRights(folder=folder)
    return DiskTrouble()


def _of_database(error: BaseException | None, folder: Path) -> Trouble | None:
    name = str(getattr(error, "sqlite_errorname", ""))
    if name.startswith("SQLITE_FULL"):
        return DiskFull()
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return NoRights(folder=folder)
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return DamagedDatabase()
    if name.startswith("SQLITE_NOMEM"):
        # SQLCipher reports a page whose check fails while memory is locked down in this way too.
        return DamagedDatabase()
    if name.startswith("SQLITE_IOERR"):
        return DiskFull() if _full(folder) else DiskTrouble()
    return None


@contextmanager
def telling(folder: Path) -> Iterator[None]:
    """Turns what the disk or the database answers into the Trouble that says it; anything else passes as it is."""
    try:
        yield
    except exc.DBAPIError as error:
        trouble = _of_database(error.orig, folder)
        if trouble is None:
            raise
        raise trouble from None
    except dbapi2.Error as error:
        trouble = _of_database(error, folder)
        if trouble is None:
            raise
        raise trouble from None
    except OSError as error:
        raise _of_system(error, folder) from None


def _connection(path: Path, key: bytes) -> Any:
    # No statement is kept: a handful of kept ones hold all of the engine's lookaside, and each small piece of memory is
    # then allocated, locked, wiped and unlocked on its own, which costs more than preparing the statement again.
    made = dbapi2.connect(
        str(path), isolation_level=None, check_same_thread=False, timeout=1.0, cached_statements=0
    )  # fmt: skip
    try:
        # First of all: SQLCipher would otherwise write its errors to standard error.
        made.execute("PRAGMA cipher_log_level = NONE")
        made.execute("PRAGMA cipher_memory_security = ON")
        made.execute(f"PRAGMA key = \"x'{key.hex()}'\"")
        made.execute("PRAGMA temp_store = MEMORY")
        made.execute("PRAGMA foreign_keys = ON")
        # The store has one holder; without this SQLite needs room for a shared-memory file even to read.
        made.execute("PRAGMA locking_mode = EXCLUSIVE")
        made.execute("SELECT count(*) FROM sqlite_master").fetchone()
        made.execute("PRAGMA journal_mode = WAL")
        made.execute("PRAGMA synchronous = FULL")
    except BaseException:
        made.close()
        raise
    return made


class Database:
    """The open database file. Any thread may use it; transactions follow one another.

    Raises DamagedDatabase, DiskFull, NoRights or DiskTrouble from any call, StoreClosed after `close`.
    """

    def __init__(self, path: Path, key: bytes) -> None:
        self.path = path
        self._turn = RLock()
        self._open = True
        with telling(path.parent):
            connection = _connection(path, key)
        self._engine = create_engine("sqlite://", creator=lambda: connection, module=dbapi2, poolclass=StaticPool)
        event.listen(self._engine, "begin", lambda c: c.exec_driver_sql("BEGIN IMMEDIATE"))

    @contextmanager
    def transaction(self) -> Iterator[Connection]:
        """One transaction, committed at the end and rolled back whole on any exception."""
        with self._turn, telling(self.path.parent):
            if not self._open:
                raise StoreClosed
            with self._engine.begin() as connection:
                yield connection

    def pragma(self, statement: str) -> list[tuple[Any, ...]]:
        """Runs one statement outside any transaction (checks, checkpoint, VACUUM) and gives its rows."""
        with self._turn, telling(self.path.parent):
            if not self._open:
                raise StoreClosed
            raw = self._engine.raw_connection()
            try:
                return [tuple(row) for row in raw.driver_connection.execute(statement).fetchall()]  # type: ignore[union-attr]
            finally:
                raw.close()

    def checkpoint(self) -> bool:
        """Moves the write-ahead log into the database and empties it; whether that was done in full."""
        busy, _log, _moved = self.pragma("PRAGMA wal_checkpoint(TRUNCATE)")[0]
        return bool(busy == 0)

    def close(self) -> None:
        """Closes the connection and lets go of the key. Closing twice does nothing."""
        with self._turn:
            if self._open:
                self._open = False
                raw = self._engine.raw_connection()
                driver: Any = raw.driver_connection
                raw.close()
                self._engine.dispose()
                driver.close()
