"""Reading a record out into a folder: all of it, or what concerns one person."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Connection, select

from forms.people import InfantIdentity, ParentIdentity
from forms.role import Part as Writes
from storage import charts, checks, state_sum
from storage.among import among
from storage.log import Operation
from storage.rights import NOT_SIGNED, role_here
from storage.schema import act, attachment, late, operation, setting
from storage.signed_answers import as_signed
from storage.troubles import DamagedDatabase
from storage.whole_folder import ACTS, OPERATIONS, README, TABLES, NotExported, Part, attachment_name
from storage.whole_log import Links, gaps, line_of
from storage.whole_person import OnePerson
from storage.whole_tables import Standing, Tables
from storage.whole_words import EVERYTHING, ONE_PERSON

__all__ = ["ALL", "PERSON", "Exported", "write_everything", "write_person"]

ALL: Final = "everything"
PERSON: Final = "one person"

_NAMED_BY: Final = (
    ("photo", "picture"), ("paper_issued", "sha256"), ("received_file", "file"), ("received_file", "beside"),
    ("letter_answer", "file"),
)  # fmt: skip
"""Fields that name an attachment by its SHA-256."""


@dataclass(frozen=True, slots=True)
class Exported:
    """What was written: its counts, what is known to be missing or left out, and the SHA-256 of the index."""

    counts: Mapping[str, int]
    index: str
    formulas: int = 0
    operations_missing: int = 0
    attachments_missing: int = 0
    visits_not_signed: int = 0


def write_everything(c: Connection, part: Part) -> Exported:
    """Writes the whole record. Raises NotExported for a role that may not, DamagedDatabase, and OSError."""
    role = role_here(c)
    if role is not None and not role.may_write(Writes.SIGNATURE):
        raise NotExported(
            why=f"the role of this device is {role.label}, which does not export the whole record. "
            "Export it on the device of an owner or a consultant."
        )
    with part.writing(OPERATIONS) as write:
        standing, links, count = _log_out(c, write)
    acts = [bytes(raw) for raw in c.execute(select(act.c.bytes).order_by(act.c.hash)).scalars()]
    part.put(ACTS, b"".join(b64encode(raw) + b"\n" for raw in acts))
    kinds = {row.sha256: row.kind for row in c.execute(select(attachment.c.sha256, attachment.c.kind))}
    for name in sorted(kinds):
        part.put(attachment_name(name, kinds[name]), _attached(c, name))
    uncounted = frozenset(_uncounted(c))
    tables = Tables(standing, _late(c), uncounted)
    _put_beside(part, tables, EVERYTHING)
    missing, unattached = gaps(standing.chains), _unattached(standing, kinds)
    counts = {
        "acts": len(acts), "answers": len(tables.answers), "attachments": len(kinds), "devices": len(standing.chains),
        "entries": len(standing.places), "operations": count,
        "families": sum(standing.place(one)["form"] == "family" for one in standing.places),
    }  # fmt: skip
    made = part.close({
        "scope": ALL, "holds_private_notes": True, "counts": counts, "attachments": kinds,
        "attachments_missing": unattached, "operations_missing": missing,
        "operations_without_predecessor": sorted(links.orphans), "signatures_not_counted": sorted(uncounted),
        "digest": state_sum.shown(c), "cells_like_formulas": tables.formulas,
    })  # fmt: skip
    holes = sum(last - first + 1 for stretches in missing.values() for first, last in stretches)
    return Exported(counts, made, tables.formulas, holes, len(unattached))


def write_person(c: Connection, part: Part, person: str, now: datetime) -> Exported:
    """Writes what concerns one person, the id of a parent's or a baby's entry. Raises as `write_everything` does."""
    found = charts.one(c, person)
    if found is None or not isinstance(found.answers, ParentIdentity | InfantIdentity) or found.struck is not None:
        raise NotExported(why="no parent and no baby of this record has that id. “hearthside people” lists the ids.")
    family = found.place.family or ""
    signed = _signed(c, family)
    one = OnePerson(charts.chart(c, family, None), person, now, frozenset(signed))
    standing, _links, _count = _log_out(c, lambda _line: None)
    tables = Tables(
        standing, _late(c), picked=one.may, picked_items=one.may_item, entries=frozenset(one.registers),
        names_of=one.named, reasons=False, signed=signed,
    )  # fmt: skip
    kinds = {
        row.sha256: row.kind
        for row in c.execute(select(attachment.c.sha256, attachment.c.kind).where(attachment.c.sha256.in_(one.photos)))
    }
    for name in sorted(kinds):
        part.put(attachment_name(name, kinds[name]), _attached(c, name))
    _put_beside(part, tables, ONE_PERSON)
    counts = {"answers": len(tables.answers), "attachments": len(kinds), "entries": len(one.registers)}
    missing = len(set(one.photos) - kinds.keys())
    made = part.close({
        "scope": PERSON, "person": person, "holds_private_notes": False, "counts": counts, "attachments": kinds,
        "attachments_missing": sorted(set(one.photos) - kinds.keys()), "visits_not_signed": one.unsigned,
        "cells_like_formulas": tables.formulas,
    })  # fmt: skip
    return Exported(counts, made, tables.formulas, attachments_missing=missing, visits_not_signed=one.unsigned)


def _put_beside(part: Part, tables: Tables, words: str) -> None:
    for table, data in tables.files().items():
        part.put(f"{TABLES}/{table}", data)
    part.put(README, words.encode())


def _late(c: Connection) -> frozenset[str]:
    return frozenset(c.execute(select(late.c.hash)).scalars())


def _signed(c: Connection, family: str) -> Mapping[tuple[str, str], Sequence[Operation]]:
    """What was signed, for each register of the family for which more arrived afterwards."""
    stood = as_signed(c, charts.of_family(family))
    named = [one.hash for several in stood.values() for one in several]
    rows = c.execute(select(operation.c.bytes).where(among(operation.c.hash, named))).scalars()
    found = {one.hash: one for one in (Operation.read(bytes(raw)) for raw in rows)}
    return {where: [found[one.hash] for one in several] for where, several in stood.items()}


def _attached(c: Connection, name: str) -> bytes:
    """The bytes of an attachment that is here; raises DamagedDatabase when they no longer fit its name."""
    return checks.whole(
        name, bytes(c.execute(select(attachment.c.data).where(attachment.c.sha256 == name)).scalar_one())
    )


def _log_out(c: Connection, write: Callable[[bytes], Any]) -> tuple[Standing, Links, int]:
    """Hands each line of the log on, in its order; gives what stands, what follows what, and how many there were."""
    standing, links, count = Standing(), Links(), 0
    rows = c.execute(
        select(operation.c.hash, operation.c.bytes).order_by(operation.c.chain, operation.c.seq, operation.c.hash)
    )
    for row in rows:
        one = Operation.read(bytes(row.bytes))
        if one.hash != row.hash:
            raise DamagedDatabase
        write(line_of(one))
        standing.add(one)
        links.add(one)
        count += 1
    return standing, links, count


def _uncounted(c: Connection) -> list[str]:
    names = c.execute(select(setting.c.name).where(setting.c.name.startswith(NOT_SIGNED))).scalars()
    return [name.removeprefix(NOT_SIGNED) for name in names]


def _unattached(standing: Standing, here: Mapping[str, str]) -> list[str]:
    """The attachments that standing answers name and that are not here."""
    named = {
        one.value
        for form, field in _NAMED_BY
        for entity in standing.places
        if standing.place(entity)["form"] == form
        for one in standing.heads(entity, field)
        if isinstance(one.value, str)
    }
    return sorted(named - here.keys())
