"""What devices wrote apart and a person has to look at: answers that differ, strike-outs, signatures, late arrivals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from hashlib import sha256

from sqlalchemy import Connection, func, select

from forms.ask import Path
from forms.chart import Place
from storage.changes import Head
from storage.log import SIGNED, STRUCK, Operation, canonical, path_of
from storage.registers import heads, place_of, readable
from storage.schema import entry, operation, register
from storage.signed_answers import as_signed
from storage.signing import arrived_after, visit_of

__all__ = ["Dispute", "Kind", "Late", "disputes", "late_arrivals", "started_from"]


class Kind(StrEnum):
    """What two devices disagree about."""

    ANSWER = "answer"  # two values of one answer
    STRUCK = "struck"  # struck out on one device, brought back or written to on another
    SIGNED = "signed"  # one visit signed on two devices


@dataclass(frozen=True, slots=True)
class Dispute:
    """One thing for a person to settle.

    `heads` are the operations that stand, oldest first, several with one value among them; `started` the nearest that
    every one of them replaced, none where both began from nothing. `frozen` says that the visit is signed, so that
    nothing can be written over either: a person settles it below the note, under the id `addendum`, which is the same
    on every device. `beside` are answers written to an entry that was struck out meanwhile.
    """

    kind: Kind
    entity: str
    place: Place
    path: Path
    heads: tuple[Head, ...]
    started: tuple[Head, ...] = ()
    frozen: bool = False
    beside: tuple[tuple[Path, Head], ...] = ()

    @property
    def addendum(self) -> str:
        """The id (32 hex digits) under which it is settled below a signed note."""
        return _addendum("settled", (head.operation for head in self.heads))

    @property
    def visit(self) -> str | None:
        """The visit it belongs to."""
        return visit_of(self.entity, self.place)


@dataclass(frozen=True, slots=True)
class Late:
    """What arrived for one entry of a signed visit that its signature had not seen.

    `addendum` is the id under which it is added below the note: the same on every device, so that two who add it make
    one entry.
    """

    visit: str
    entity: str
    place: Place
    arrived: tuple[tuple[Path, Head], ...]
    addendum: str


def _addendum(why: str, operations: Iterable[str]) -> str:
    return sha256(f"{why} ".join(["", *sorted(operations)]).encode()).hexdigest()[:32]


def _there(c: Connection, entity: str) -> bool:
    return c.execute(select(entry.c.entity).where(entry.c.entity == entity)).first() is not None


def _head(one: Operation) -> Head:
    return Head(one.hash, readable(one.value), one.author, one.chain, one.at, one.value, one.reason)


def started_from(c: Connection, entity: str, field: str, standing: Iterable[str]) -> tuple[Head, ...]:
    """What the operations named (by hash) started from: the nearest that every one of them replaced."""
    rows = c.execute(select(operation.c.bytes).where(operation.c.entity == entity, operation.c.field == field)).all()
    known = {one.hash: one for one in (Operation.read(row.bytes) for row in rows)}
    above = [_above(known, made) for made in standing]
    shared = set.intersection(*above) if above else set()
    nearest = shared - {higher for made in shared for higher in _above(known, made)}
    return tuple(_head(known[made]) for made in sorted(nearest))


def _above(known: Mapping[str, Operation], made: str) -> set[str]:
    waiting, seen = list(known[made].parents) if made in known else [], set[str]()
    while waiting:
        one = waiting.pop()
        if one not in seen and one in known:
            seen.add(one)
            waiting += known[one].parents
    return seen


def disputes(c: Connection, own: str, family: str | None = None) -> tuple[Dispute, ...]:
    """Everything that has to be settled, of one family or of all and of the practice; `own` is this device's chain."""
    found = [*_answers(c), *_signed_twice(c), *_struck(c, own)]
    found = [one for one in found if not (one.frozen and _there(c, one.addendum))]
    if family is not None:
        found = [one for one in found if family in (one.place.family, one.entity)]
    return tuple(sorted(found, key=lambda one: (one.place.family or "", one.entity, str(one.path))))


def _answers(c: Connection) -> list[Dispute]:
    marked = set(_struck_out(c))
    rows = c.execute(
        select(register.c.entity, register.c.field)
        .where(~register.c.field.startswith("@"))
        .group_by(register.c.entity, register.c.field)
        .having(func.count(register.c.value.distinct()) > 1)
    ).all()
    found = []
    for row in rows:
        place = place_of(c, row.entity)
        if place is None or row.entity in marked:
            continue
        standing = _signed_heads(c, row.entity, row.field) or heads(c, row.entity, row.field)
        if len({canonical(head.kept) for head in standing}) < 2:
            continue  # what was signed stands; the rest is told as having arrived later
        start = started_from(c, row.entity, row.field, (head.operation for head in standing))
        told = _told(c, standing)
        found.append(
            Dispute(Kind.ANSWER, row.entity, place, path_of(row.field), told, start, _frozen(c, row.entity, place))
        )
    return found


def _signed_heads(c: Connection, entity: str, field: str) -> tuple[Head, ...]:
    """What stood of a register when its visit was signed, if more arrived since."""
    stood = as_signed(c, entry.c.entity == entity).get((entity, field), ())
    rows = c.execute(select(operation.c.bytes).where(operation.c.hash.in_([one.hash for one in stood])))
    return tuple(_head(Operation.read(raw)) for raw in rows.scalars())


def _told(c: Connection, standing: tuple[Head, ...]) -> tuple[Head, ...]:
    """The same heads with their reasons, which only the log holds."""
    rows = c.execute(select(operation.c.bytes).where(operation.c.hash.in_([head.operation for head in standing])))
    by_hash = {one.hash: one for one in (Operation.read(row.bytes) for row in rows)}
    return tuple(_head(by_hash[head.operation]) for head in standing)


def _frozen(c: Connection, entity: str, place: Place) -> bool:
    visit = visit_of(entity, place)
    return visit is not None and bool(heads(c, visit, SIGNED))


def _signed_twice(c: Connection) -> list[Dispute]:
    """Visits whose signatures are over different things; two over the same agree."""
    rows = c.execute(
        select(register.c.entity)
        .where(register.c.field == SIGNED)
        .group_by(register.c.entity)
        .having(func.count(register.c.hash) > 1)
    ).scalars()
    found = []
    for visit in rows.all():
        place = place_of(c, visit)
        standing = heads(c, visit, SIGNED)
        if place is not None and len({head.kept["digest"] for head in standing}) > 1:
            found.append(Dispute(Kind.SIGNED, visit, place, Path(SIGNED), standing, frozen=True))
    return found


def _struck_out(c: Connection) -> list[str]:
    """Entries with a strike-out that stands, maybe beside one that took it back."""
    rows = c.execute(
        select(register.c.entity).where(register.c.field == STRUCK, register.c.value != b"null").distinct()
    ).scalars()
    return list(rows.all())


def _struck(c: Connection, own: str) -> list[Dispute]:
    """Strike-outs that met a return of the entry, or an answer written to it without knowing of them.

    Another device's answer counts as written apart when it came in after this device (`own`) struck the entry out, or
    when its clock is past the strike-out's. A clock only makes this be shown, it never chooses.
    """
    found = []
    for entity in _struck_out(c):
        place = place_of(c, entity)
        if place is None:
            continue
        standing = _told(c, heads(c, entity, STRUCK))
        rows = c.execute(select(operation.c.bytes).where(operation.c.entity == entity).order_by(operation.c.position))
        log = [Operation.read(row.bytes) for row in rows]
        struck = [one for one in log if one.hash in {head.operation for head in standing}]
        torn = len({head.kept is None for head in standing}) > 1
        beside = [
            (path_of(one.field), _head(one)) for at, one in enumerate(log)
            if not one.field.startswith("@")
            and all(
                one.chain != mark.chain
                and ((mark.chain == own and at > log.index(mark))
                     or (one.millis, one.tick) > (mark.millis, mark.tick))
                for mark in struck
            )
        ]  # fmt: skip
        if torn or beside:
            found.append(
                Dispute(
                    Kind.STRUCK, entity, place, Path(STRUCK), standing, (), _frozen(c, entity, place), tuple(beside)
                )
            )
    return found


def late_arrivals(c: Connection, done: Collection[str] = ()) -> tuple[Late, ...]:
    """What arrived for signed visits after their signatures and was neither added nor left; `done`: hashes seen to."""
    found = []
    signed = c.execute(select(register.c.entity).where(register.c.field == SIGNED).distinct()).scalars().all()
    for visit in sorted(signed):
        made = [one.hash for one in arrived_after(c, visit) if one.hash not in done]
        rows = c.execute(
            select(operation.c.bytes).where(operation.c.hash.in_(made)).order_by(operation.c.position)
        ).all()
        by_entry: defaultdict[str, list[Operation]] = defaultdict(list)
        for row in rows:
            one = Operation.read(row.bytes)
            by_entry[one.entity].append(one)
        for entity, operations in by_entry.items():
            place = place_of(c, entity)
            name = _addendum("late", (one.hash for one in operations))
            if place is not None and not _there(c, name):
                found.append(
                    Late(visit, entity, place, tuple((path_of(one.field), _head(one)) for one in operations), name)
                )
    return tuple(found)
