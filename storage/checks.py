"""Looking a whole store over: pages, log, its proof, journal, attachments, signatures, and what follows from it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from hashlib import sha256

import orjson
from sqlalchemy import Connection, select

from forms.trouble import Trouble
from storage import journal, promises, rebuilding, signing, state_sum
from storage.engine import Database
from storage.log import SIGNED, Operation
from storage.registers import chain_of
from storage.schema import attachment, loss, operation, register
from storage.tail import TailFile
from storage.troubles import DamagedDatabase, LostAnswers, LostJournal, UnprovenRecord

__all__ = ["loss_told", "problems", "sealed", "whole"]

RESTORE = "Copy the folder to another disk as it is, then restore a backup."


def whole(name: str, data: bytes) -> bytes:
    """The bytes, if their SHA-256 is their name; raises DamagedDatabase otherwise."""
    if sha256(data).hexdigest() != name:
        raise DamagedDatabase
    return data


def sealed(database: Database) -> bool:
    """Whether every page of the database carries its own seal."""
    return not database.pragma("PRAGMA cipher_integrity_check")


def loss_told(kind: str, count: int, since: str, copy: str) -> Trouble:
    """The trouble that a kept loss is told as."""
    match kind:
        case "answers":
            return LostAnswers(count=count, since=since, copy=copy)
        case "journal":
            return LostJournal(count=count, since=since, copy=copy)
    return UnprovenRecord(copy=copy)


def _of_pages(database: Database) -> Iterator[str]:
    if not sealed(database) or database.pragma("PRAGMA integrity_check") != [("ok",)]:
        yield f"Pages of the database are damaged. {RESTORE}"


def _of_log(c: Connection, device: str) -> Iterator[str]:
    """Each operation's hash anew, its columns against its bytes, and this device's own chain link by link.

    Of another device's chain numbers may not have arrived yet, or, when it was copied, stand twice.
    """
    own: dict[int, tuple[int, Operation]] = {}
    for expected, row in enumerate(c.execute(select(operation).order_by(operation.c.position)), start=1):
        made = Operation.read(row.bytes)
        same = (made.hash, made.entity, made.field, made.chain, made.seq) == (
            row.hash, row.entity, row.field, row.chain, row.seq,
        )  # fmt: skip
        if row.position != expected or not same or (made.chain == device and made.seq in own):
            yield f"The log does not hold together at its operation {expected}. {RESTORE}"
            return
        if made.chain == device:
            own[made.seq] = expected, made
    last = ""
    for seq, (position, made) in enumerate(sorted(own.values(), key=lambda one: one[1].seq), start=1):
        if made.seq != seq or made.prev != last:
            yield f"The log does not hold together at its operation {position}. {RESTORE}"
            return
        last = made.hash


def _of_proof(c: Connection, tail: TailFile, device: str) -> Iterator[str]:
    kept, chain, end = tail.standing, chain_of(c, device), journal.end_of(c)
    if kept is None or not tail.whole:
        yield "The file that proves the record complete is damaged; it is written anew with the next answer."
    elif (kept.operations, kept.last_operation, kept.lines, kept.last_line) != (
        chain.count, chain.newest, end.count, end.last,
    ):  # fmt: skip
        yield f"The record and the file that proves it complete do not agree. {RESTORE}"


def _of_journal(c: Connection) -> Iterator[str]:
    at = journal.broken(c)
    if at is not None:
        yield f"The audit journal does not hold together at its line {at}. {RESTORE}"


def _of_attachments(c: Connection) -> Iterator[str]:
    for row in c.execute(select(attachment.c.sha256, attachment.c.data)):
        if sha256(row.data).hexdigest() != row.sha256:
            yield f"The attachment {row.sha256[:8]} is damaged. {RESTORE}"
    held = set(c.execute(select(attachment.c.sha256)).scalars())
    filed = {line.about["sha256"] for line in journal.lines(c) if line.kind == "attached"}
    for name in sorted(filed - held):
        yield f"The attachment {name[:8]} is missing. {RESTORE}"


def _of_signatures(c: Connection) -> Iterator[str]:
    for visit in c.execute(select(register.c.entity).where(register.c.field == SIGNED).distinct()).scalars().all():
        for note in signing.recheck(c, visit):
            part = "the visit" if note == signing.WHOLE_VISIT else f"its note {note[:8]}"
            yield f"The signed visit {visit[:8]} no longer agrees with its signature in {part}. {RESTORE}"


def _of_snapshot(c: Connection) -> Iterator[str]:
    """What rests on a snapshot alone although every file that should carry it is here."""
    awaited = promises.awaited_files(c)
    for chain, promise in promises.named(c).items():
        left = promises.unproved(c, chain, promise)
        if chain not in awaited and (left.uncarried or left.doubtful):
            yield f"Answers said to be of the device {chain[:8]} came with a snapshot and are in nobody’s files."


def _of_losses(c: Connection) -> Iterator[str]:
    for row in c.execute(select(loss).order_by(loss.c.number)).mappings():
        yield loss_told(row["kind"], row["count"], row["since"], row["copy"]).sentence


_IN_DATABASE: tuple[Callable[[Connection], Iterator[str]], ...] = (
    _of_losses, _of_journal, _of_attachments, _of_signatures, _of_snapshot, state_sum.disagreement,
)  # fmt: skip


def problems(database: Database, tail: TailFile, device: str) -> tuple[str, ...]:
    """Everything that is wrong, in sentences. Raises StoreClosed after the store was closed."""
    found: list[str] = []

    def gather(looked: Callable[[], Iterator[str]]) -> None:
        try:
            found.extend(looked())
        except (KeyError, TypeError, ValueError, orjson.JSONDecodeError):
            found.append(f"A row of the database cannot be read. {RESTORE}")
        except Trouble as trouble:
            found.append(trouble.sentence)

    gather(lambda: _of_pages(database))
    gather(lambda: _in(database, lambda c: _of_proof(c, tail, device)))
    gather(lambda: _in(database, lambda c: _of_log(c, device)))
    for look in _IN_DATABASE:
        gather(lambda look=look: _in(database, look))  # type: ignore[misc]  # the default binds this round's check
    gather(lambda: iter(rebuilding.differences(database)))
    return tuple(dict.fromkeys(found))


def _in(database: Database, look: Callable[[Connection], Iterator[str]]) -> Iterator[str]:
    with database.transaction() as c:
        yield from look(c)
