"""The answers of a signed visit as they were signed, where others arrived afterwards.

What came later is told and may be added below the note; it never takes the place of what was signed, nor stands beside
it as a rival.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import NamedTuple

from sqlalchemy import ColumnElement, Connection, select

from storage.log import Operation, canonical
from storage.schema import entry, late, operation

__all__ = ["Stood", "as_signed"]


class Stood(NamedTuple):
    """An operation that stood when the visit was signed, with what a row of the registers says."""

    entity: str
    field: str
    hash: str
    value: bytes
    author: str
    chain: str
    millis: int
    tick: int


def as_signed(c: Connection, condition: ColumnElement[bool]) -> Mapping[tuple[str, str], tuple[Stood, ...]]:
    """What stood at the signature, oldest first, for each register for which more arrived.

    Of the entries that a condition on the entry table picks. A register to which nothing was written before the
    signature is left out: what arrived for it shows as it is.
    """
    registers = c.execute(
        select(late.c.entity, late.c.field, late.c.hash).join(entry, entry.c.entity == late.c.entity).where(condition)
    ).all()
    came: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
    for row in registers:
        came[row.entity, row.field].add(row.hash)
    found: dict[tuple[str, str], tuple[Stood, ...]] = {}
    for (entity, name), after in came.items():
        rows = c.execute(select(operation.c.bytes).where(operation.c.entity == entity, operation.c.field == name))
        signed = [one for one in map(Operation.read, rows.scalars()) if one.hash not in after]
        gone = {parent for one in signed for parent in one.parents}
        standing = sorted(
            (one for one in signed if one.hash not in gone), key=lambda one: (one.millis, one.tick, one.hash)
        )
        if standing:
            found[entity, name] = tuple(
                Stood(entity, name, one.hash, canonical(one.value), one.author, one.chain, one.millis, one.tick)
                for one in standing
            )
    return found
