"""What an open store gives to and takes from other devices: operations, files as they travel, acts, keys.

Nothing here knows what the files mean or where they lie; `sync` does. Each call is one transaction.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from hashlib import sha256

from sqlalchemy import Connection, delete, func, select
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage import chain_ends, state_sum
from storage.attachments_due import due
from storage.changes import ChangeSet
from storage.keys import seal, unseal
from storage.log import SIGNED, Operation
from storage.promises import Promises
from storage.rights import NOT_SIGNED, note_not_signed
from storage.schema import (
    act,
    aside,
    attachment,
    blob,
    change_file,
    entry,
    late,
    operation,
    practice_key,
    register,
    setting,
)
from storage.writing import Writing

__all__ = ["Aside", "Blob", "Exchange", "Kept", "Received", "keep_files", "own_unsent"]


@dataclass(frozen=True, slots=True)
class Kept:
    """A change file as it travels: whose, its number and hash, the numbers of its operations (0: none), its bytes."""

    chain: str
    number: int
    hash: str
    first: int
    last: int
    raw: bytes


@dataclass(frozen=True, slots=True)
class Blob:
    """An attachment as it travels."""

    id: str
    chain: str
    epoch: str
    sha256: str
    kind: str
    length: int


@dataclass(frozen=True, slots=True)
class Aside:
    """A file that was not taken in, and why."""

    name: str
    hash: str
    why: str
    millis: int


@dataclass(frozen=True, slots=True)
class Received:
    """What taking files in did: new operations by chain, registers that hold two values now, and those settled."""

    changes: ChangeSet
    by_chain: Mapping[str, int]
    conflicts: tuple[tuple[str, str], ...]
    settled: tuple[tuple[str, str], ...]


class Exchange:
    """The side of a store that faces other devices. Made by `Store.exchange`; raises what a store raises."""

    def __init__(
        self,
        device: str,
        local: bytes,
        reading: Callable[[], AbstractContextManager[Connection]],
        writing: Callable[[], AbstractContextManager[Writing]],
    ) -> None:
        self.device = device
        self._local, self._reading, self._writing = local, reading, writing

    # --- operations -------------------------------------------------------------------------------------------------

    def receive(
        self, files: Sequence[Kept], operations: Iterable[Operation], blobs: Iterable[Blob] = (),
        not_signed: Collection[str] = (),
    ) -> Received:  # fmt: skip
        """Takes whole files in, in one transaction: their bytes, and what they carry.

        `not_signed` are those of the operations that are signatures of devices whose role does not sign.
        """
        arrived = tuple(operations)
        with self._writing() as writing:
            note_not_signed(writing.c, not_signed)
            came = writing.receive(arrived)
            keep_files(writing.c, files)
            _keep_blobs(writing.c, blobs)
            counts: dict[str, int] = {}
            for one in came.fresh:
                counts[one.chain] = counts.get(one.chain, 0) + 1
            return Received(writing.result(), counts, came.conflicts, came.settled)

    def unsent(self, most: int) -> tuple[Operation, ...]:
        """What this device wrote and no file of its own carries yet, oldest first, at most so many."""
        with self._reading() as c:
            return own_unsent(c, self.device, most)

    def written_by(self, chain: str, *, signatures: bool = False) -> tuple[tuple[Operation, str], ...]:
        """What a device wrote, oldest first, each with its form ("": not known yet); or its signatures alone."""
        found = (
            select(operation.c.bytes, entry.c.form)
            .outerjoin(entry, entry.c.entity == operation.c.entity)
            .where(operation.c.chain == chain)
            .order_by(operation.c.seq)
        )
        if signatures:
            found = found.where(operation.c.field == SIGNED)
        with self._reading() as c:
            return tuple((Operation.read(row.bytes), row.form or "") for row in c.execute(found))

    def not_signed(self) -> frozenset[str]:
        """The signatures (operations) that do not count, since the role of their device does not sign."""
        with self._reading() as c:
            rows = c.execute(select(setting.c.name).where(setting.c.name.startswith(NOT_SIGNED)))
            return frozenset(name.removeprefix(NOT_SIGNED) for name in rows.scalars())

    def note_not_signed(self, add: Collection[str], drop: Collection[str]) -> ChangeSet:
        """Notes signatures that do not count, and others that do after all, since a role is another than was known."""
        with self._writing() as writing:
            writing.not_signed(add, drop)
            return writing.result()

    def has_written(self, practitioner: str) -> bool:
        """Whether an answer or a signature that stands, outside a practitioner's own entry, is from that hand."""
        hers = (register.c.author == practitioner) & (register.c.entity != practitioner)
        with self._reading() as c:
            return c.execute(select(register.c.entity).where(hers).limit(1)).first() is not None

    def digest(self) -> str:
        """One SHA-256 over everything that stands; equal on two devices that know the same. See `state_sum`."""
        with self._reading() as c:
            return state_sum.shown(c)

    def late(self) -> tuple[str, ...]:
        """Operations that arrived for a visit which was signed without them, by hash."""
        with self._reading() as c:
            return tuple(c.execute(select(late.c.hash).order_by(late.c.hash)).scalars())

    # --- files ------------------------------------------------------------------------------------------------------

    def ends(self) -> Mapping[str, tuple[int, str]]:
        """How far each chain's files are here without a hole: number and hash of the last."""
        with self._reading() as c:
            return chain_ends.ends(c)

    def end(self, chain: str) -> tuple[int, str]:
        """The same of one chain; 0 and "" when its first file is not here."""
        with self._reading() as c:
            return chain_ends.end_of(c, chain)

    def numbers(self, chain: str, *, after: int = 0) -> Mapping[int, tuple[str, ...]]:
        """The files of a chain beyond a number that are here: their hashes by number. Two under one are a fork."""
        with self._reading() as c:
            rows = c.execute(
                select(change_file.c.number, change_file.c.hash)
                .where(change_file.c.chain == chain, change_file.c.number > after)
                .order_by(change_file.c.number, change_file.c.hash)
            )
            found: dict[int, tuple[str, ...]] = {}
            for row in rows:
                found[row.number] = (*found.get(row.number, ()), row.hash)
            return found

    def newest(self, chain: str) -> int:
        """The highest number of a chain's files that are here; 0 for none."""
        with self._reading() as c:
            return c.execute(select(func.max(change_file.c.number)).where(change_file.c.chain == chain)).scalar() or 0

    def file(self, chain: str, number: int) -> Kept | None:
        """One change file as it travels, or None when it is not here."""
        with self._reading() as c:
            row = c.execute(
                select(change_file)
                .where(change_file.c.chain == chain, change_file.c.number == number)
                .order_by(change_file.c.hash)
            ).first()
        return None if row is None else Kept(row.chain, row.number, row.hash, row.first, row.last, bytes(row.bytes))

    def keep(self, file: Kept, blobs: Iterable[Blob] = ()) -> None:
        """Keeps a file this device made, before it is put anywhere: what it carries counts as sent from now on."""
        with self._writing() as writing:
            keep_files(writing.c, (file,))
            _keep_blobs(writing.c, blobs)

    def set_aside(self, name: str, raw: bytes, why: str, millis: int) -> None:
        """Keeps a file that is not taken in; the same bytes once."""
        row = {"name": name, "hash": sha256(raw).hexdigest(), "why": why, "millis": millis, "bytes": raw}
        with self._writing() as writing:
            writing.c.execute(insert_or(aside).on_conflict_do_nothing(), row)

    def asides(self) -> tuple[Aside, ...]:
        """The files that were not taken in, oldest first."""
        with self._reading() as c:
            rows = c.execute(
                select(aside.c.name, aside.c.hash, aside.c.why, aside.c.millis).order_by(aside.c.millis, aside.c.name)
            )
            return tuple(Aside(*row) for row in rows)

    def promises(self) -> Promises:
        """What was taken on a snapshot's word and is not proved yet, and what a snapshot is made of."""
        return Promises(self._reading)

    # --- attachments ------------------------------------------------------------------------------------------------

    def unsent_attachments(self) -> tuple[tuple[str, str, int], ...]:
        """SHA-256, media type and length of every attachment that no file has named yet."""
        with self._reading() as c:
            wanted = sorted(due(c).unsent)
            columns = select(attachment.c.sha256, attachment.c.kind, func.length(attachment.c.data))
            rows = (c.execute(columns.where(attachment.c.sha256 == made)).one() for made in wanted)
            return tuple((row[0], row[1], row[2]) for row in rows)

    def attachments(self) -> frozenset[str]:
        """The SHA-256 of every attachment that is here."""
        with self._reading() as c:
            return frozenset(c.execute(select(attachment.c.sha256)).scalars())

    def wanted_blobs(self) -> tuple[Blob, ...]:
        """Attachments that other devices named and that are not here yet."""
        with self._reading() as c:
            return tuple(Blob(*c.execute(select(blob).where(blob.c.id == one)).one()) for one in sorted(due(c).wanted))

    def blob(self, made: str) -> Blob | None:
        """One attachment as it travels, by the name under which it does."""
        with self._reading() as c:
            row = c.execute(select(blob).where(blob.c.id == made)).first()
            return None if row is None else Blob(*row)

    def blobs_of(self, chain: str) -> tuple[Blob, ...]:
        """Attachments that lie in a chain's folder."""
        with self._reading() as c:
            return tuple(Blob(*row) for row in c.execute(select(blob).where(blob.c.chain == chain).order_by(blob.c.id)))

    # --- membership -------------------------------------------------------------------------------------------------

    def acts(self) -> tuple[bytes, ...]:
        """Every act of membership that is here."""
        with self._reading() as c:
            return tuple(bytes(raw) for raw in c.execute(select(act.c.bytes).order_by(act.c.hash)).scalars())

    def keep_acts(self, acts: Mapping[str, bytes], keys: Mapping[str, bytes], facts: Mapping[str, str]) -> None:
        """Keeps acts (by hash), the practice keys they handed this device (by epoch) and what follows, as one."""
        with self._writing() as writing:
            for made, raw in acts.items():
                writing.c.execute(insert_or(act).on_conflict_do_nothing(), {"hash": made, "bytes": raw})
            for epoch, key in keys.items():
                sealed = seal(self._local, key, f"practice key {epoch}")
                writing.c.execute(insert_or(practice_key).on_conflict_do_nothing(), {"epoch": epoch, "sealed": sealed})
            _tell(writing.c, facts)

    def forget_acts(self, acts: Iterable[str]) -> None:
        """Forgets acts that lie nowhere else, because they are made once more under another number."""
        with self._writing() as writing:
            writing.c.execute(delete(act).where(act.c.hash.in_(sorted(acts))))

    def practice_keys(self) -> Mapping[str, bytes]:
        """The practice keys this device holds, by epoch."""
        with self._reading() as c:
            rows = c.execute(select(practice_key)).all()
        return {row.epoch: unseal(self._local, bytes(row.sealed), f"practice key {row.epoch}") for row in rows}

    def facts(self) -> Mapping[str, str]:
        """What the store knows of its place among others, by name: repository, founding act, holds, targets."""
        with self._reading() as c:
            rows = c.execute(select(setting).where(setting.c.name.startswith("sync ")))
            return {row.name.removeprefix("sync "): row.value for row in rows}

    def fact(self, name: str) -> str:
        """One of them; empty when it is not known."""
        with self._reading() as c:
            return c.execute(select(setting.c.value).where(setting.c.name == f"sync {name}")).scalar() or ""

    def tell(self, facts: Mapping[str, str]) -> None:
        """Keeps such facts; an empty one is forgotten."""
        if not facts:
            return
        with self._writing() as writing:
            _tell(writing.c, facts)


def keep_files(c: Connection, files: Iterable[Kept]) -> None:
    """Keeps files as they travel; one that is here already stays as it is."""
    rows = [
        {"chain": f.chain, "number": f.number, "hash": f.hash, "first": f.first, "last": f.last, "bytes": f.raw}
        for f in files
    ]
    if rows:
        c.execute(insert_or(change_file).on_conflict_do_nothing(), rows)


def own_unsent(c: Connection, device: str, most: int, published: int | None = None) -> tuple[Operation, ...]:
    """What a chain wrote and no file of it (with `published`: none up to that number) carries, oldest first."""
    # Of one's own files the newest with any operation carries the last.
    carried = (
        select(change_file.c.last)
        .where(change_file.c.chain == device, change_file.c.last > 0)
        .order_by(change_file.c.number.desc())
        .limit(1)
    )
    if published is not None:
        carried = carried.where(change_file.c.number <= published)
    sent = c.execute(carried).scalar()
    rows = c.execute(
        select(operation.c.bytes)
        .where(operation.c.chain == device, operation.c.seq > (sent or 0))
        .order_by(operation.c.seq)
        .limit(most)
    )
    return tuple(Operation.read(raw) for raw in rows.scalars())


def _tell(c: Connection, facts: Mapping[str, str]) -> None:
    for name, value in facts.items():
        put = insert_or(setting).values(name=f"sync {name}", value=value)
        c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"value": value}))
        if not value:
            c.execute(delete(setting).where(setting.c.name == f"sync {name}"))


def _keep_blobs(c: Connection, blobs: Iterable[Blob]) -> None:
    rows = [
        {"id": b.id, "chain": b.chain, "epoch": b.epoch, "sha256": b.sha256, "kind": b.kind, "length": b.length}
        for b in blobs
    ]
    if rows:
        c.execute(insert_or(blob).on_conflict_do_nothing(), rows)
