"""What was taken on a snapshot's word, until the files that carry it are here; and what a snapshot is made of.

A snapshot names for each chain the last file its maker had taken in. The facts "snapshot <chain>" keep that, beside the
number of the last operation up to there, until every file up to it is here and carries all that was taken.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from storage.log import Operation
from storage.schema import change_file, operation, register, setting

__all__ = ["Promise", "Promises", "Standing", "Unproved", "awaited_files", "named", "unproved"]

_FACT = "sync snapshot "


@dataclass(frozen=True, slots=True)
class Promise:
    """The end of a chain as a snapshot named it: number and hash of the last file, number of the last operation."""

    number: int
    hash: str
    seq: int

    @classmethod
    def read(cls, kept: str) -> Promise:
        """As it is kept."""
        number, made, seq = kept.split()
        return cls(int(number), made, int(seq))

    def kept(self) -> str:
        """As a fact is written."""
        return f"{self.number} {self.hash} {self.seq}"


@dataclass(frozen=True, slots=True)
class Standing:
    """All that stands: the operations, how many are known, and for each chain the newest file and last operation."""

    operations: tuple[Operation, ...]
    known: int
    newest: Mapping[str, tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Unproved:
    """Operations of a chain that no file here carries, and, by number, those of which only some can be carried."""

    uncarried: tuple[str, ...]
    doubtful: Mapping[int, tuple[str, ...]]


class Promises:
    """What was taken on a snapshot's word. Made by `Exchange.promises`; raises what a store raises."""

    def __init__(self, reading: Callable[[], AbstractContextManager[Connection]]) -> None:
        self._reading = reading

    def named(self) -> Mapping[str, Promise]:
        """The ends that are not wholly proved yet, by chain."""
        with self._reading() as c:
            return named(c)

    def missing(self, chain: str, promise: Promise) -> list[int]:
        """The numbers of the files up to a promised end that are not here, in order."""
        with self._reading() as c:
            here = set(_numbers(c, chain, promise.number))
        return [number for number in range(1, promise.number + 1) if number not in here]

    def unproved(self, chain: str, promise: Promise) -> Unproved:
        """Which operations up to a promised end rest on the snapshot alone."""
        with self._reading() as c:
            return unproved(c, chain, promise)

    def carriers(self, chain: str, seq: int) -> tuple[bytes, ...]:
        """The bytes of every file here that holds an operation of this number: several where a chain was copied."""
        with self._reading() as c:
            rows = c.execute(
                select(change_file.c.bytes)
                .where(change_file.c.chain == chain, change_file.c.first <= seq, change_file.c.last >= seq)
                .order_by(change_file.c.number, change_file.c.hash)
            )
            return tuple(bytes(raw) for raw in rows.scalars())

    def known(self) -> int:
        """How many operations are here."""
        with self._reading() as c:
            return _known(c)

    def standing(self) -> Standing:
        """All that stands, as of one moment."""
        with self._reading() as c:
            raws = c.execute(
                select(operation.c.bytes)
                .join(register, register.c.hash == operation.c.hash)
                .order_by(register.c.entity, register.c.field, register.c.hash)
            ).scalars()
            operations = tuple(map(Operation.read, raws))
            newest = c.execute(
                select(change_file.c.chain, func.max(change_file.c.number), func.max(change_file.c.last)).group_by(
                    change_file.c.chain
                )
            )
            return Standing(operations, _known(c), {row[0]: (row[1], row[2]) for row in newest})


def named(c: Connection) -> dict[str, Promise]:
    """The ends that a snapshot named and that are not wholly proved yet, by chain."""
    rows = c.execute(select(setting.c.name, setting.c.value).where(setting.c.name.startswith(_FACT)))
    return {row.name.removeprefix(_FACT): Promise.read(row.value) for row in rows}


def unproved(c: Connection, chain: str, promise: Promise) -> Unproved:
    """Which operations up to a promised end rest on the snapshot alone."""
    rows = c.execute(
        select(operation.c.seq, operation.c.hash)
        .where(operation.c.chain == chain, operation.c.seq <= promise.seq)
        .order_by(operation.c.seq)
    )
    by_number: defaultdict[int, list[str]] = defaultdict(list)
    for row in rows.all():
        by_number[row.seq].append(row.hash)
    uncarried: list[str] = []
    doubtful: dict[int, tuple[str, ...]] = {}
    spans = iter(list(_spans(c, chain)))
    span = next(spans, None)
    for seq, made in by_number.items():
        while span is not None and span[1] < seq:
            span = next(spans, None)
        if span is None or seq < span[0]:
            uncarried += made
        elif len(made) > 1:
            doubtful[seq] = tuple(sorted(made))
    return Unproved(tuple(sorted(uncarried)), doubtful)


def awaited_files(c: Connection) -> frozenset[str]:
    """The chains of which files up to a promised end are still to come."""
    return frozenset(
        chain for chain, promise in named(c).items() if len(set(_numbers(c, chain, promise.number))) < promise.number
    )


def _numbers(c: Connection, chain: str, most: int) -> Iterator[int]:
    yield from c.execute(
        select(change_file.c.number).where(change_file.c.chain == chain, change_file.c.number <= most)
    ).scalars()


def _spans(c: Connection, chain: str) -> Iterator[tuple[int, int]]:
    """The numbers of operations that the files of a chain carry, first and last, in order and without overlaps."""
    rows = c.execute(
        select(change_file.c.first, change_file.c.last)
        .where(change_file.c.chain == chain, change_file.c.last > 0)
        .order_by(change_file.c.first, change_file.c.last)
    ).all()
    first, last = 0, 0
    for row in rows:
        if last and row.first <= last + 1:
            last = max(last, row.last)
            continue
        if last:
            yield first, last
        first, last = row.first, row.last
    if last:
        yield first, last


def _known(c: Connection) -> int:
    return c.execute(select(func.max(operation.c.position))).scalar() or 0
