"""Entries and charts, made from the registers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import orjson
from sqlalchemy import ColumnElement, Connection, Row, bindparam, or_, select

import forms.all  # noqa: F401 - fills the catalogue that entries are read by
from forms.answers import Conflicted, Json, Sided, Variant
from forms.ask import Path, paths
from forms.chart import Chart, Entry, Hand, Place, Signed, Struck
from forms.form import Form, catalog
from storage.among import among, values_of
from storage.carrying import NO_MARKS, Marks, carried_of, marks, marks_of
from storage.log import SIGNED, STRUCK, Operation, instant
from storage.registers import readable
from storage.rights import role_here, signature_counts
from storage.schema import entry, late, operation, register
from storage.signed_answers import Stood, as_signed

__all__ = [
    "chart",
    "entries",
    "entry_of",
    "learners",
    "named",
    "of_families",
    "of_family",
    "of_practice",
    "one",
    "path_known",
    "settled",
    "signatures",
    "signed_visits",
    "struck",
]


# Built once: a draft reads its entry after each save.
_ONE_ENTRY = select(entry).where(entry.c.entity == bindparam("of_entity"))
_ONE_REGISTERS = (
    select(register)
    .where(register.c.entity == bindparam("of_entity"))
    .order_by(register.c.millis, register.c.tick, register.c.hash)
)
_CAME_LATE = select(late.c.hash).where(late.c.entity == bindparam("of_entity")).limit(1)


class _Unreadable:
    """A value that this version does not understand."""


_UNREADABLE = _Unreadable()


def settled(rows: Sequence[Row[Any] | Stood]) -> object:
    """The one value that stands; Conflicted when several distinct ones do. Equal values count once."""
    distinct: dict[bytes, Row[Any] | Stood] = {}
    for row in rows:
        distinct.setdefault(bytes(row.value), row)
    values = {raw: readable(orjson.loads(raw)) for raw in distinct}
    if len(values) == 1:
        only = next(iter(values.values()))
        return _UNREADABLE if isinstance(only, dict | list) else only
    return Conflicted(
        tuple(
            Variant(values[raw], row.author, instant(row.millis), row.chain, row.hash) for raw, row in distinct.items()
        )
    )


def struck(rows: Sequence[Row[Any] | Stood]) -> Struck | None:
    """The strike-out, when every head says so: an entry that one device struck and another restored still counts."""
    marks = [(orjson.loads(row.value), row) for row in rows]
    if not marks or any(mark is None for mark, _ in marks):
        return None
    mark, row = marks[-1]
    return Struck(row.author, instant(row.millis), mark["reason"])


def _answers(form: type[Form], registers: Mapping[str, Sequence[Row[Any] | Stood]]) -> tuple[Form, dict[str, Json]]:
    known = {str(path): path for path in paths(form)}
    given: dict[str, Any] = {}
    unknown: dict[str, Json] = {}
    for field, rows in registers.items():
        if field.startswith("@"):
            continue
        path = known.get(field)
        value = settled(rows) if path is not None else _UNREADABLE
        if path is None or value is _UNREADABLE:
            kept = [orjson.loads(row.value) for row in rows]
            unknown[field] = kept[0] if len(kept) == 1 else kept
        elif path.side is None:
            given[path.field] = value
        else:
            sided: Sided[Any] = given.get(path.field, Sided(None, None))
            left, right = (value, sided.right) if path.side == "left" else (sided.left, value)
            given[path.field] = Sided(left, right)
    return form(**given), unknown


def entry_of(
    row: Row[Any], registers: Mapping[str, Sequence[Row[Any] | Stood]], marked: Marks = NO_MARKS
) -> Entry[Form]:
    """One entry from its row, its registers, and the marks on what stands in them.

    A form that this version does not know has only unknown answers.
    """
    answers, unknown = _answers(catalog().get(row.form, Form), registers)
    place = Place(row.form, row.family, row.visit, tuple(row.subjects.split("+")) if row.subjects else ())
    return Entry(
        id=row.entity,
        place=place,
        answers=answers,
        author=row.author,
        entered=instant(row.millis),
        struck=struck(registers.get(STRUCK, ())),
        unknown=unknown,
        heads={field: tuple(head.hash for head in rows) for field, rows in registers.items()},
        carried=carried_of(registers, marked),
        hands={
            field: tuple(Hand(head.author, head.millis) for head in rows)
            for field, rows in registers.items()
            if not field.startswith("@")
        },
    )


def of_family(family: str) -> ColumnElement[bool]:
    """The condition for the entries of one family, its own entry among them."""
    return or_(entry.c.family == family, entry.c.entity == family)


def of_families(families: Iterable[str]) -> ColumnElement[bool]:
    """The condition for the entries of any of these families, their own entries among them.

    One set of entries, and no "or" of two columns, for which the engine would look through every entry there is.
    """
    listed = tuple(families)
    if len(listed) == 1:
        return of_family(listed[0])  # what an autosave asks, and half as long to ask
    belonging = entry.alias()
    theirs = select(belonging.c.entity).where(among(belonging.c.family, listed))
    return entry.c.entity.in_(theirs.union(values_of(listed)))


def of_practice() -> ColumnElement[bool]:
    """The condition for the practice's own entries."""
    return entry.c.family.is_(None) & (entry.c.form != "family")


def entries(c: Connection, condition: ColumnElement[bool], forms_named: Iterable[str] = ()) -> tuple[Entry[Form], ...]:
    """The entries that a condition on the entry table picks, oldest first; of some forms only, if named."""
    named = tuple(forms_named)
    if named:
        condition = condition & entry.c.form.in_(named)
    rows = c.execute(select(entry).where(condition).order_by(entry.c.millis, entry.c.tick, entry.c.entity)).all()
    kept: defaultdict[str, defaultdict[str, list[Row[Any] | Stood]]] = defaultdict(lambda: defaultdict(list))
    for row in c.execute(
        select(register)
        .join(entry, entry.c.entity == register.c.entity)
        .where(condition)
        .order_by(register.c.millis, register.c.tick, register.c.hash)
    ):
        kept[row.entity][row.field].append(row)
    for (entity, name), stood in as_signed(c, condition).items():
        kept[entity][name] = [*stood]
    marked = marks(c, condition)
    return tuple(entry_of(row, kept[row.entity], marked.get(row.entity, NO_MARKS)) for row in rows)


def signatures(c: Connection, family: str) -> tuple[Signed, ...]:
    """Every signature of the family's visits that counts, oldest first. Two for one visit: two devices signed it."""
    rows = c.execute(
        select(register)
        .join(entry, entry.c.entity == register.c.entity)
        .where(register.c.field == SIGNED, of_family(family), signature_counts())
        .order_by(register.c.millis, register.c.tick, register.c.hash)
    )
    found = []
    for row in rows:
        kept = orjson.loads(row.value)
        found.append(Signed(row.entity, row.author, instant(row.millis), kept["digest"], kept["notes"], row.hash))
    return tuple(found)


def signed_visits(c: Connection, condition: ColumnElement[bool]) -> frozenset[str]:
    """Those visits, of the entries that a condition on the entry table picks, that a signature counts for."""
    rows = c.execute(
        select(register.c.entity)
        .join(entry, entry.c.entity == register.c.entity)
        .where(register.c.field == SIGNED, condition, signature_counts())
    )
    return frozenset(rows.scalars())


def one(c: Connection, entity: str) -> Entry[Form] | None:
    """One entry, or None."""
    row = c.execute(_ONE_ENTRY, {"of_entity": entity}).first()
    if row is None:
        return None
    kept: defaultdict[str, list[Row[Any] | Stood]] = defaultdict(list)
    for head in c.execute(_ONE_REGISTERS, {"of_entity": entity}):
        kept[head.field].append(head)
    if c.execute(_CAME_LATE, {"of_entity": entity}).first() is not None:
        for (_entity, name), stood in as_signed(c, entry.c.entity == entity).items():
            kept[name] = [*stood]
    return entry_of(row, kept, marks_of(c, entity, row.form))


def learners(c: Connection) -> dict[str, int | None]:
    """The practitioners (entry ids) whom the log ever wrote down as students, each with when that became another role.

    In milliseconds since 1970, by the clock the operation tells; None where nothing was written after it.
    """
    log = c.execute(
        select(operation.c.bytes)
        .join(entry, entry.c.entity == operation.c.entity)
        .where(entry.c.form == "practitioner", operation.c.field == "practice_role")
    )
    found: dict[str, int | None] = {}
    # By the clocks they tell, since what lies behind a snapshot arrives the newest first.
    for made in sorted((Operation.read(raw) for raw in log.scalars()), key=lambda one: (one.millis, one.tick)):
        if made.value == "student":
            found[made.entity] = None
        elif made.entity in found and found[made.entity] is None:
            found[made.entity] = made.millis
    return found


def named(c: Connection, entities: Iterable[str]) -> tuple[Entry[Form], ...]:
    """The entries with these ids, oldest first."""
    return entries(c, entry.c.entity.in_(sorted(entities)))


def chart(c: Connection, family: str, visit: str | None) -> Chart:
    """One family's chart with the practice's own entries."""
    of_both = entries(c, or_(of_family(family), of_practice()))
    return Chart(family, visit, of_both, signatures(c, family), role_here(c), learners(c))


def path_known(form: str, field: str) -> Path | None:
    """The path of a register name in a form of this version, or None."""
    known = catalog().get(form)
    return None if known is None else next((path for path in paths(known) if str(path) == field), None)
