"""The current values: which operations of each register stand, and where each entry is. Follows from the log."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from operator import itemgetter
from typing import Any, cast

import orjson
from sqlalchemy import ClauseElement, Connection, bindparam, delete, func, insert, select
from sqlalchemy.dialects.sqlite import insert as insert_or
from sqlalchemy.sql.compiler import SQLCompiler

from forms.answers import decode
from forms.chart import Place
from storage.among import among
from storage.changes import Head
from storage.log import PLACE, SIGNED, Chain, Operation, canonical, digest, instant
from storage.rights import counted
from storage.schema import awaited, entry, operation, register
from storage.state_sum import forget

__all__ = [
    "append",
    "chain_of",
    "families_of",
    "heads",
    "history",
    "operations",
    "place_kept",
    "place_of",
    "readable",
    "refill",
    "standing_count",
    "take_in",
    "torn",
]


# Built once: an answer is written within every keystroke's pause, and building a statement costs more than running it.
_PLACE_OF = select(entry.c.form, entry.c.family, entry.c.visit, entry.c.subjects).where(
    entry.c.entity == bindparam("of_entity")
)
_HEADS = (
    select(register)
    .where(register.c.entity == bindparam("of_entity"), register.c.field == bindparam("of_field"))
    .order_by(register.c.millis, register.c.tick, register.c.hash)
)
_COUNT_HEADS = (
    select(func.count())
    .select_from(register)
    .where(register.c.entity == bindparam("of_entity"), register.c.field == bindparam("of_field"))
)
_DROP_HEAD = delete(register).where(
    register.c.entity == bindparam("of_entity"),
    register.c.field == bindparam("of_field"),
    register.c.hash == bindparam("of_hash"),
)
_ADD_OPERATION = insert(operation)
_ADD_HEAD = insert(register)
_ADD_ENTRY = insert_or(entry).on_conflict_do_nothing()
_AWAIT = insert_or(awaited).on_conflict_do_nothing()
_ARRIVED = delete(awaited).where(
    awaited.c.entity == bindparam("of_entity"),
    awaited.c.field == bindparam("of_field"),
    awaited.c.hash == bindparam("of_hash"),
)


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
    row = c.execute(_PLACE_OF, {"of_entity": entity}).first()
    if row is None:
        return None
    return Place(row.form, row.family, row.visit, tuple(row.subjects.split("+")) if row.subjects else ())


def families_of(c: Connection, entities: Iterable[str]) -> frozenset[str]:
    """The families that these entries belong to; a family belongs to itself."""
    columns = select(entry.c.entity, entry.c.form, entry.c.family)
    rows = c.execute(columns.where(among(entry.c.entity, entities)))
    found = (row.entity if row.form == "family" else row.family for row in rows)
    return frozenset(family for family in found if family is not None)


def heads(c: Connection, entity: str, field: str) -> tuple[Head, ...]:
    """The operations that stand for a register, oldest first; of signatures those that count."""
    rows = c.execute(_HEADS, {"of_entity": entity, "of_field": field})
    found = []
    for row in rows:
        kept = orjson.loads(row.value)
        found.append(Head(row.hash, readable(kept), row.author, row.chain, instant(row.millis), kept))
    return counted(c, found) if field == SIGNED else tuple(found)


def standing_count(c: Connection, entity: str, field: str) -> int:
    """How many operations stand for a register."""
    return c.execute(_COUNT_HEADS, {"of_entity": entity, "of_field": field}).scalar_one()


def history(c: Connection, entity: str, field: str) -> tuple[Head, ...]:
    """Every operation of a register, oldest first."""
    rows = c.execute(
        select(operation.c.bytes)
        .where(operation.c.entity == entity, operation.c.field == field)
        .order_by(operation.c.position)
    )
    # By the clocks they tell, since what lies behind a snapshot arrives the newest first.
    read = sorted((Operation.read(row.bytes) for row in rows), key=lambda one: (one.millis, one.tick))
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
    newest = c.execute(
        select(operation.c.position, operation.c.bytes).order_by(operation.c.position.desc()).limit(1)
    ).first()
    count, end = (newest.position, digest(newest.bytes)) if newest is not None else (0, "")
    answers = c.execute(select(func.count()).select_from(operation).where(operation.c.field != PLACE)).scalar() or 0
    if own is None:
        return Chain(device, count=count, answers=answers, newest=end)
    last = Operation.read(own)
    return Chain(device, last.seq, last.hash, last.millis, last.tick, count, answers, end)


def append(c: Connection, made: Operation, position: int, step: int | None, restores: str | None = None) -> None:
    """Adds one operation to the log and to the registers."""
    c.execute(_ADD_OPERATION, _row(made, position, step, restores))
    for parent in made.parents:
        c.execute(_DROP_HEAD, {"of_entity": made.entity, "of_field": made.field, "of_hash": parent})
    c.execute(_ADD_HEAD, _head_row(made))
    if made.field == PLACE:
        c.execute(_ADD_ENTRY, _entry_row(made))


def _row(made: Operation, position: int, step: int | None, restores: str | None) -> dict[str, object]:
    return {
        "position": position,
        "hash": made.hash,
        "entity": made.entity,
        "field": made.field,
        "chain": made.chain,
        "seq": made.seq,
        "step": step,
        "restores": restores,
        "bytes": made.raw,
    }


def _head_row(made: Operation) -> dict[str, object]:
    return {
        "entity": made.entity,
        "field": made.field,
        "hash": made.hash,
        "value": canonical(made.value),
        "author": made.author,
        "chain": made.chain,
        "millis": made.millis,
        "tick": made.tick,
    }


def _entry_row(made: Operation) -> dict[str, object]:
    return {
        "entity": made.entity,
        "form": made.value["form"],
        "family": made.value["family"],
        "visit": made.value["visit"],
        "subjects": "+".join(made.value["subjects"]),
        "author": made.author,
        "millis": made.millis,
        "tick": made.tick,
    }


def take_in(c: Connection, arrived: Iterable[Operation], position: int) -> tuple[Operation, ...]:
    """Adds operations that other devices wrote, from `position` on, whatever arrived first; gives those that are new.

    One does not stand when another that is here already replaced it; what it replaces and is not here yet will not
    stand when it comes.
    """
    by_hash = {made.hash: made for made in arrived}
    known = set(c.execute(select(operation.c.hash).where(among(operation.c.hash, by_hash))).scalars())
    fresh = tuple(made for made in by_hash.values() if made.hash not in known)
    if not fresh:
        return ()
    replaced = {(made.entity, made.field, parent) for made in fresh for parent in made.parents}
    fresh_names = {(made.entity, made.field, made.hash) for made in fresh}
    columns = select(operation.c.entity, operation.c.field, operation.c.hash)
    parents = {parent for _entity, _field, parent in replaced}
    here = fresh_names | {tuple(row) for row in c.execute(columns.where(among(operation.c.hash, parents)))}
    came = select(awaited).where(among(awaited.c.entity, (made.entity for made in fresh)))
    waited = {(row.entity, row.field, row.hash) for row in c.execute(came)} & fresh_names
    _each(c, _ADD_OPERATION, [_row(made, position + at, None, None) for at, made in enumerate(fresh)])
    standing = replaced & here - fresh_names
    _each(c, _DROP_HEAD, [_where(*one) for one in sorted(standing)])
    _each(c, _ARRIVED, [_where(*one) for one in sorted(waited)])
    _each(c, _AWAIT, [{"entity": e, "field": f, "hash": h} for e, f, h in sorted(replaced - here)])
    gone = replaced | waited
    heads_now = [_head_row(made) for made in fresh if (made.entity, made.field, made.hash) not in gone]
    _each(c, _ADD_HEAD, sorted(heads_now, key=lambda row: (row["entity"], row["field"], row["hash"])))
    _each(c, _ADD_ENTRY, [_entry_row(made) for made in fresh if made.field == PLACE])
    return fresh


def torn(c: Connection, places: Iterable[tuple[str, str]]) -> set[tuple[str, str]]:
    """Which of these registers hold more than one distinct value."""
    wanted = set(places)
    rows = c.execute(
        select(register.c.entity, register.c.field)
        .where(among(register.c.entity, (entity for entity, _field in wanted)))
        .group_by(register.c.entity, register.c.field)
        .having(func.min(register.c.value) != func.max(register.c.value))
    )
    return {(row.entity, row.field) for row in rows} & wanted


def _where(entity: str, field: str, made: str) -> dict[str, str]:
    return {"of_entity": entity, "of_field": field, "of_hash": made}


def _each(c: Connection, statement: ClauseElement, rows: list[dict[str, Any]]) -> None:
    """One statement for many rows, past what SQLAlchemy does to each: as much again as writing it."""
    if rows:
        made = statement.compile(dialect=c.dialect, column_keys=list(rows[0]))
        in_order = itemgetter(*cast("SQLCompiler", made).positiontup or ())
        c.exec_driver_sql(str(made), [in_order(row) for row in rows])


def refill(c: Connection) -> None:
    """Empties registers and entries and works them out anew: an operation takes the place of those it names."""
    standing: dict[tuple[str, str], dict[str, Operation]] = {}
    gone: dict[tuple[str, str], set[str]] = {}
    here: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
    entries: dict[str, dict[str, object]] = {}
    for made in operations(c):
        where = (made.entity, made.field)
        here[where].add(made.hash)
        heads_of, gone_of = standing.setdefault(where, {}), gone.setdefault(where, set())
        gone_of.update(made.parents)
        for parent in made.parents:
            heads_of.pop(parent, None)
        if made.hash not in gone_of:
            heads_of[made.hash] = made
        if made.field == PLACE:
            entries.setdefault(made.entity, _entry_row(made))
    for table in (register, entry, awaited):
        c.execute(delete(table))
    forget(c)
    waits = [
        {"entity": entity, "field": field, "hash": made}
        for (entity, field), gone_of in gone.items()
        for made in gone_of - here[entity, field]
    ]
    if waits:
        c.execute(insert(awaited), waits)
    rows = [_head_row(made) for heads_of in standing.values() for made in heads_of.values()]
    if rows:
        c.execute(insert(register), rows)
    if entries:
        c.execute(insert(entry), list(entries.values()))
