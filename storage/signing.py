"""Signing: what a signature freezes, what may still come after it, and checking it again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

import orjson
from sqlalchemy import ColumnElement, Connection, delete, func, insert, or_, select

from forms.after_signing import AFTER_SIGNING, LATER_FIELDS
from forms.answers import Json
from forms.ask import asks
from forms.chart import Place
from forms.form import catalog
from storage.among import among
from storage.copied_chains import copied, count_copied, note_copied
from storage.known import Known, elsewhere, tips, unseen
from storage.log import PLACE, SIGNED, STRUCK, Operation, canonical, digest, path_of
from storage.promises import awaited_files
from storage.registers import heads
from storage.rights import signature_counts
from storage.schema import entry, late, operation, register
from storage.troubles import ConflictAtSigning, NothingToSign, StillChecked, VisitSigned

__all__ = [
    "arrived_after", "as_kept", "as_kept_anew", "frozen", "note_late", "recheck",
    "refill_late", "visit_of",
]  # fmt: skip

WHOLE_VISIT = "visit"


@dataclass(frozen=True, slots=True)
class _Standing:
    """The heads of one register of the visit."""

    note: str
    entity: str
    field: str
    hashes: tuple[str, ...]


def visit_of(entity: str, place: Place) -> str | None:
    """The visit that an entry is part of; a visit is part of itself."""
    return entity if place.form == "visit" else place.visit


def frozen(c: Connection, entity: str, place: Place, field: str) -> None:
    """Raises VisitSigned when a signature forbids this write."""
    visit = visit_of(entity, place)
    if visit is None or path_of(field).field in LATER_FIELDS.get(place.form, frozenset()):
        return
    signed = heads(c, visit, SIGNED)
    if signed and (place.form not in AFTER_SIGNING or any(_seen_by(c, entity, head.kept) for head in signed)):
        raise VisitSigned


def _seen_by(c: Connection, entity: str, kept: Mapping[str, Json]) -> bool:
    """Whether an entry had begun when a signature was made."""
    begun = c.execute(
        select(operation.c.bytes).where(operation.c.entity == entity, operation.c.field == PLACE)
    ).scalars()
    mark = _known_to(c, kept)
    return any(mark.knew(Operation.read(raw)) for raw in begun)


def _known_to(c: Connection, kept: Mapping[str, Json]) -> Known:
    """What whoever made this signature had seen; only a chain that stands twice here is looked at by its branches."""
    others: frozenset[str] = frozenset()
    for chain, lowest in copied(c):
        rows = c.execute(select(operation.c.bytes).where(operation.c.chain == chain, operation.c.seq >= lowest))
        others |= elsewhere(kept, chain, (Operation.read(raw) for raw in rows.scalars()))
    return Known(kept, others)


def _note(form: str, subjects: str) -> str:
    """The name of the note an entry belongs to: a person, a pair, or the visit."""
    return WHOLE_VISIT if form == "visit" else subjects or WHOLE_VISIT


def _of_visit(visit: str) -> ColumnElement[bool]:
    return or_(entry.c.visit == visit, entry.c.entity == visit)


def _standing(c: Connection, visit: str) -> list[_Standing]:
    rows = c.execute(
        select(entry.c.form, entry.c.subjects, register.c.entity, register.c.field, register.c.hash)
        .join(entry, entry.c.entity == register.c.entity)
        .where(_of_visit(visit), register.c.field != SIGNED)
    )
    found: defaultdict[tuple[str, str, str], list[str]] = defaultdict(list)
    for row in rows:
        found[_note(row.form, row.subjects), row.entity, row.field].append(row.hash)
    return [_Standing(*key, tuple(sorted(hashes))) for key, hashes in found.items()]


def _digests(visit: str, standing: Iterable[_Standing]) -> tuple[str, dict[str, str]]:
    """The visit's digest and each note's, over sorted (entity, register, sorted head hashes)."""
    notes: defaultdict[str, list[tuple[str, str, tuple[str, ...]]]] = defaultdict(list)
    for one in standing:
        notes[one.note].append((one.entity, one.field, one.hashes))
    of_notes = {
        note: digest(canonical([[entity, field, list(hashes)] for entity, field, hashes in sorted(kept)]))
        for note, kept in notes.items()
    }
    return digest(canonical({"visit": visit, "notes": of_notes})), of_notes


def _no_conflict(c: Connection, visit: str) -> None:
    """Raises ConflictAtSigning when an answer of an entry that counts has two distinct values."""
    struck = select(register.c.entity).where(register.c.field == STRUCK, register.c.value != b"null")
    row = c.execute(
        select(entry.c.form, register.c.field)
        .join(entry, entry.c.entity == register.c.entity)
        .where(_of_visit(visit), ~register.c.field.startswith("@"), register.c.entity.not_in(struck))
        .group_by(register.c.entity, register.c.field, entry.c.form)
        .having(func.count(register.c.value.distinct()) > 1)
    ).first()
    if row is not None:
        form, name = catalog().get(row.form), path_of(row.field).field
        ask = None if form is None else asks(form).get(name)
        raise ConflictAtSigning(label=name if ask is None else ask.label)


def as_kept(c: Connection, visit: str) -> Json:
    """The value of the signing operation: digests, and how far each device's chain was seen.

    Raises VisitSigned, StillChecked, ConflictAtSigning or NothingToSign.
    """
    if heads(c, visit, SIGNED):
        raise VisitSigned
    if awaited_files(c):
        raise StillChecked
    standing = _standing(c, visit)
    if not standing:
        raise NothingToSign
    _no_conflict(c, visit)
    seen, beyond, at = _known_now(c)
    whole, notes = _digests(visit, standing)
    return {"digest": whole, "notes": notes, "seen": seen, "at": at, **({"beyond": beyond} if beyond else {})}


def as_kept_anew(c: Connection, visit: str, before: Mapping[str, Json], seen: Mapping[str, int]) -> Json:
    """A signature that no other device has yet, as a device that goes on under a new name writes it once more.

    `seen` replaces what the signature says of this device's own chains. What is signed stays what it was: the same
    answers, under the operations that carry them now.
    """
    kept = {**before, "seen": {**before["seen"], **seen}}
    kept["at"] = {chain: made for chain, made in before.get("at", {}).items() if chain not in seen}
    whole, notes = _digests(visit, _then_standing(c, visit, kept))
    return {**kept, "digest": whole, "notes": notes}


def _known_now(c: Connection) -> tuple[dict[str, int], dict[str, list[int]], dict[str, list[str]]]:
    """How far each chain is here without a hole, the numbers that are here beyond one, the newest hashes of each."""
    counts = select(
        operation.c.chain,
        func.count(operation.c.seq.distinct()).label("count"),
        func.count().label("all"),
        func.max(operation.c.seq).label("most"),
    ).group_by(operation.c.chain)
    seen, beyond, at = dict[str, int](), dict[str, list[int]](), dict[str, list[str]]()
    for row in c.execute(counts).mappings().all():
        chain = row["chain"]
        of_chain = select(operation).where(operation.c.chain == chain)
        seen[chain] = row["most"]
        if row["count"] == row["most"] == row["all"]:
            at[chain] = list(c.execute(of_chain.where(operation.c.seq == row["most"])).scalars(operation.c.hash))
            continue
        here = [Operation.read(raw) for raw in c.execute(of_chain.order_by(operation.c.seq)).scalars(operation.c.bytes)]
        at[chain] = tips(here)
        numbers = sorted({one.seq for one in here})
        seen[chain] = next((place for place, seq in enumerate(numbers) if seq != place + 1), len(numbers))
        if numbers[seen[chain] :]:
            beyond[chain] = numbers[seen[chain] :]
    return seen, beyond, at


def _then_standing(c: Connection, visit: str, signature: Mapping[str, Json]) -> list[_Standing]:
    """The heads of the visit's registers as they were for whoever had seen the chains so far, from the log alone."""
    kept: defaultdict[str, list[Operation]] = defaultdict(list)
    notes: dict[str, str] = {}
    mark = _known_to(c, signature)
    of_visit = select(entry.c.entity).where(_of_visit(visit))
    rows = c.execute(select(operation.c.bytes).where(operation.c.entity.in_(of_visit)).order_by(operation.c.position))
    for raw in rows.scalars():
        one = Operation.read(raw)
        if one.field == SIGNED or not mark.knew(one):
            continue
        kept[one.entity].append(one)
        if one.field == PLACE and (one.value["visit"] == visit or one.entity == visit):
            notes[one.entity] = _note(one.value["form"], "+".join(one.value["subjects"]))
    found = []
    for entity, note in notes.items():
        gone = {parent for one in kept[entity] for parent in one.parents}
        registers: defaultdict[str, list[str]] = defaultdict(list)
        for one in kept[entity]:
            if one.hash not in gone:
                registers[one.field].append(one.hash)
        found += [_Standing(note, entity, field, tuple(sorted(hashes))) for field, hashes in registers.items()]
    return found


def arrived_after(c: Connection, visit: str) -> tuple[Operation, ...]:
    """The operations of a signed visit that no signature of it had seen: to be added below the note or left.

    What may be written after a signature is not among them, nor what only says again what was signed.
    """
    marks = [_known_to(c, head.kept) for head in heads(c, visit, SIGNED)]
    if not marks:
        return ()
    rows = c.execute(
        select(operation.c.bytes, entry.c.form)
        .join(entry, entry.c.entity == operation.c.entity)
        .where(_of_visit(visit), operation.c.field != SIGNED)
        .order_by(operation.c.position)
    ).all()
    read = [(Operation.read(row.bytes), row.form) for row in rows]
    by_register: defaultdict[tuple[str, str], dict[str, Operation]] = defaultdict(dict)
    for one, form in read:
        if form not in AFTER_SIGNING and path_of(one.field).field not in LATER_FIELDS.get(form, frozenset()):
            by_register[one.entity, one.field][one.hash] = one
    came = frozenset[str]().union(*(unseen(register, marks) for register in by_register.values()))
    return tuple(one for one, _form in read if one.hash in came)


def note_late(c: Connection, arrived: Iterable[Operation]) -> frozenset[str]:
    """Keeps which of the visits' operations came after their signatures, for the visits that these belong to.

    Gives the visits for which that was worked out anew; of the others everything was seen by a signature.
    """
    operations = tuple(arrived)
    note_copied(c, operations)
    entities = {one.entity for one in operations}
    of_entry = func.coalesce(entry.c.visit, entry.c.entity)
    signed = (
        select(of_entry)
        .join(register, (register.c.entity == of_entry) & (register.c.field == SIGNED))
        .where(among(entry.c.entity, entities))
        .distinct()
    )
    visits = frozenset(c.execute(signed).scalars())
    anew = visits - _wholly_seen(c, visits)
    for visit in sorted(anew):
        _refresh_late(c, visit)
    return anew


def _wholly_seen(c: Connection, visits: Collection[str]) -> frozenset[str]:
    """Those of these visits that hold nothing late, told by numbers alone: a signature had seen each chain so far.

    A chain that stands twice is never told by its numbers.
    """
    twice = {chain for chain, _lowest in copied(c)}
    told = frozenset(c.execute(select(late.c.visit).where(among(late.c.visit, visits)).distinct()).scalars())
    most: defaultdict[str, dict[str, int]] = defaultdict(dict)
    for of_visit in (entry.c.visit, entry.c.entity):
        rows = c.execute(
            select(of_visit, operation.c.chain, func.max(operation.c.seq))
            .join(operation, operation.c.entity == entry.c.entity)
            .where(among(of_visit, visits), operation.c.field != SIGNED)
            .group_by(of_visit, operation.c.chain)
        )
        for visit, chain, seq in rows:
            most[visit][chain] = max(seq, most[visit].get(chain, 0))
    signatures = c.execute(
        select(register.c.entity, register.c.value).where(
            among(register.c.entity, visits), register.c.field == SIGNED, signature_counts()
        )
    )
    seen = {
        row.entity
        for row in signatures
        if all(
            chain not in twice and seq <= orjson.loads(row.value)["seen"].get(chain, 0)
            for chain, seq in most[row.entity].items()
        )
    }
    return frozenset(seen - told)


def refill_late(c: Connection) -> None:
    """Works out anew what came after the signatures of all visits."""
    count_copied(c)
    c.execute(delete(late))
    for visit in c.execute(select(register.c.entity).where(register.c.field == SIGNED).distinct()).scalars().all():
        _refresh_late(c, visit)


def _refresh_late(c: Connection, visit: str) -> None:
    rows = [
        {"hash": one.hash, "entity": one.entity, "field": one.field, "visit": visit} for one in arrived_after(c, visit)
    ]
    c.execute(delete(late).where(late.c.visit == visit))
    if rows:
        c.execute(insert(late), rows)


def recheck(c: Connection, visit: str) -> tuple[str, ...]:
    """What no longer agrees with the visit's signatures: names of notes, "visit" for the whole; empty when all do.

    A signature over answers that are still to come, behind a snapshot, is not judged before they are here.
    """
    wrong: set[str] = set()
    awaited = awaited_files(c)
    for head in heads(c, visit, SIGNED):
        if awaited & head.kept["seen"].keys():
            continue
        whole, notes = _digests(visit, _then_standing(c, visit, head.kept))
        signed = head.kept["notes"]
        wrong |= {note for note in {*notes, *signed} if notes.get(note) != signed.get(note)}
        if whole != head.kept["digest"]:
            wrong.add(WHOLE_VISIT)
    return tuple(sorted(wrong))
