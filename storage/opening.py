"""Opening the database of a store whose master key is known, and settling what the last end left."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, func, insert, select

from forms.days import clock, short_day
from forms.trouble import Trouble
from storage import checks, journal
from storage.engine import Database, telling
from storage.folder import Folder, Lock
from storage.keys import derived
from storage.log import PLACE, Operation
from storage.schema import SCHEMA, loss, operation, setting
from storage.store import Store, StoreKeys
from storage.tail import Tail, TailFile
from storage.troubles import DamagedDatabase, NewerSchema
from storage.upgrade import upgrade

__all__ = ["opened"]

_CHECKED_BYTES = 32 << 20
"""A database up to this size has every page checked on each opening (about 4 ms a MiB); a larger one when asked."""


@dataclass(frozen=True, slots=True)
class _Loss:
    """What is missing: "answers", "journal" or "unproven"; how many, and since when in words."""

    kind: str
    count: int
    since: str


def opened(
    folder: Folder,
    lock: Lock,
    master: bytes,
    *,
    clock: Callable[[], datetime],
    ids: Callable[[], str],
    event: str,
    about: dict[str, str],
) -> Store:
    """The store, open. Raises NewerSchema or DamagedDatabase before anything is changed.

    After an unclean end database, write-ahead log and tail are first copied aside. A log shorter than its proof is told
    in `Store.told` and stays listed by `check`.
    """
    tail = TailFile(folder.tail, derived(master, "tail"))
    proof = tail.standing
    if proof is not None and proof.schema > SCHEMA:
        raise NewerSchema
    if not folder.database.is_file() or folder.database.stat().st_size == 0:
        raise DamagedDatabase
    copy: Path | None = None
    if proof is None or not proof.clean or _left_over(folder):
        with telling(folder.path):
            copy = folder.copy_aside("unclean", clock())
    with ExitStack() as undo:
        undo.callback(tail.close)
        database = Database(folder.database, derived(master, "database"))
        undo.callback(database.close)
        upgrade(database, folder, clock())
        if folder.database.stat().st_size <= _CHECKED_BYTES and not checks.sealed(database):
            raise DamagedDatabase
        told = _settled(database, folder, proof, copy, clock)
        with database.transaction() as c:
            device = c.execute(select(setting.c.value).where(setting.c.name == "device")).scalar()
        if device is None:
            raise DamagedDatabase
        keys = StoreKeys(derived(master, "device keys"), derived(master, "secrets"))
        store = Store(folder, lock, database, tail, keys, device=device, clock=clock, ids=ids)
        store.told = told
        store.begin_notes(event, {**about, **({} if tail.whole else {"tail": "half damaged"})})
        if told:
            # The loss was written down; in the write-ahead log it could be lost the same way.
            store.settle()
        undo.pop_all()
    return store


def _left_over(folder: Folder) -> bool:
    return folder.wal.exists() and folder.wal.stat().st_size > 0


def _settled(
    database: Database, folder: Folder, proof: Tail | None, copy: Path | None, clock: Callable[[], datetime]
) -> tuple[Trouble, ...]:
    """Compares log and journal with their proof; what is missing is written down and its copy kept for good."""
    with database.transaction() as c:
        found = _missing(c, proof)
    if found is None:
        return ()
    with telling(folder.path):
        kept = folder.keep_for_good(copy or folder.copy_aside("unclean", clock()))
    name = f"copies/{kept.name}"
    with database.transaction() as c:
        number = (c.execute(select(func.max(loss.c.number))).scalar() or 0) + 1
        c.execute(insert(loss).values(number=number, kind=found.kind, count=found.count, since=found.since, copy=name))
    return (checks.loss_told(found.kind, found.count, found.since, name),)


def _missing(c: Connection, proof: Tail | None) -> _Loss | None:
    count = c.execute(select(func.count()).select_from(operation)).scalar() or 0
    if proof is None:
        return _Loss("unproven", 0, _last_time(c))
    if count < proof.operations:
        left = c.execute(select(func.count()).select_from(operation).where(operation.c.field != PLACE)).scalar() or 0
        return _Loss("answers", max(1, proof.answers - left), _last_time(c))
    at_proof = c.execute(select(operation.c.hash).where(operation.c.position == proof.operations)).scalar() or ""
    if at_proof != proof.last_operation:
        return _Loss("unproven", 0, _last_time(c))
    end = journal.end_of(c)
    if end.count < proof.lines:
        return _Loss("journal", proof.lines - end.count, _last_time(c))
    return None


def _last_time(c: Connection) -> str:
    """When the last operation that is left was written, on this computer's clock."""
    raw = c.execute(select(operation.c.bytes).order_by(operation.c.position.desc()).limit(1)).scalar()
    if raw is None:
        return "the beginning"
    local = Operation.read(raw).at.astimezone()
    return f"{clock(local)} on {short_day(local)}"
