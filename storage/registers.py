"""The current values: which operations of each register stand, and where each entry is. Follows from the log."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import orjson
from sqlalchemy import Connection, delete, insert, select
from sqlalchemy.dialects.sqlite import insert as insert_or

from forms.answers import decode
from forms.chart import Place
from storage.changes import Head
from storage.log import PLACE, Chain, Operation, canonical, instant
from storage.schema import entry, operation, register

__all__ = [
    "append", "apply", "chain_of", "clear", "heads", "history", "operations", "place_kept", "place_of", "readable",
]  # fmt: skip


def readable(kept: object) -> object:
    """The decoded answer; a value that this version cannot read comes back as it lies in the store."""
    try:
        return decode(kept)
    except (KeyError, TypeError, ValueError):
        return kept


def place_kept(place: Place) -> dict[str, object]:
    """The value of an entry's place operation."""
    return {
        "form": place.form,
        "family": place.family,
        "visit": place.visit,
        "subjects": list(place.subjects),
    }


def place_of(c: Connection, entity: str) -> Place | None:
    """Where an entry stands, or None when there is no such entry."""
    row = c.execute(
        select(entry.c.form, entry.c.family, entry.c.visit, entry.c.subjects).where(entry.c.entity == entity)
    ).first()
    if row is None:
        return None
    return Place(row.form, row.family, row.visit, tuple(row.subjects.split("+")) if row.subjects else ())


def heads(c: Connection, entity: str, field: str) -> tuple[Head, ...]:
    """The operations that stand for a register, oldest first."""
    rows = c.execute(
        select(register)
        .where(register.c.entity == entity, register.c.field == field)
        .order_by(register.c.millis, register.c.tick, register.c.hash)
    )
    found = []
    for row in rows:
        kept = orjson.loads(row.value)
        found.append(Head(row.hash, readable(kept), row.author, row.chain, instant(row.millis), kept))
    return tuple(found)


def history(c: Connection, entity: str, field: str) -> tuple[Head, ...]:
    """Every operation of a register, oldest first."""
    rows = c.execute(
        select(operation.c.bytes)
        .where(operation.c.entity == entity, operation.c.field == field)
        .order_by(operation.c.position)
    )
    read = (Operation.read(row.bytes) for row in rows)
    return tuple(Head(o.hash, readable(o.value), o.author, o.chain, o.at, o.value, o.reason) for o in read)


def operations(c: Connection) -> Iterator[Operation]:
    """The whole log in the order received."""
    for row in c.execute(select(operation.c.bytes).order_by(operation.c.position)):
        yield Operation.read(row.bytes)


def chain_of(c: Connection, device: str) -> Chain:
    """Where the log stands, read from its last operations."""
    own = c.execute(
        select(operation.c.bytes).where(operation.c.chain == device).order_by(operation.c.seq.desc()).limit(1)
    ).scalar()
    count = c.execute(select(operation.c.position).order_by(operation.c.position.desc()).limit(1)).scalar() or 0
    if own is None:
        return Chain(device, count=count)
    last = Operation.read(own)
    return Chain(device, last.seq, last.hash, last.millis, last.tick, count)


def append(c: Connection, made: Operation, position: int, step: int | None, restores: str | None = None) -> None:
    """Adds one operation to the log and to the registers."""
    c.execute(
        insert(operation).values(
            position=position,
            hash=made.hash,
            entity=made.entity,
            field=made.field,
            chain=made.chain,
            seq=made.seq,
            step=step,
            restores=restores,
            bytes=made.raw,
        )
    )
    apply(c, made)


def apply(c: Connection, made: Operation) -> None:
    """Lets one operation take the place of those it names; whatever it does not name stays."""
    if made.parents:
        c.execute(
            delete(register).where(
                register.c.entity == made.entity,
                register.c.field == made.field,
                register.c.hash.in_(made.parents),
            )
        )
    c.execute(
        insert(register).values(
            entity=made.entity,
            field=made.field,
            hash=made.hash,
            value=canonical(made.value),
            author=made.author,
            chain=made.chain,
            millis=made.millis,
            tick=made.tick,
        )
    )
    if made.field == PLACE:
        c.execute(
            insert_or(entry)
            .values(
                entity=made.entity,
                form=made.value["form"],
                family=made.value["family"],
                visit=made.value["visit"],
                subjects="+".join(made.value["subjects"]),
                author=made.author,
                millis=made.millis,
                tick=made.tick,
            )
            .on_conflict_do_nothing()
        )


def clear(c: Connection, tables: Iterable[str] = ("register", "entry")) -> None:
    """Empties the tables that follow from the log."""
    for table in (register, entry):
        if table.name in tables:
            c.execute(delete(table))
