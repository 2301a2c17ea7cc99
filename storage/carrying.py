"""Answers brought forward from an earlier visit: how the log says so, and reading it back.

The reason of an operation names the earlier entry and the operation that wrote the answer there. So the mark goes with
the operation wherever it goes, and ends with the first operation that replaces it: touched is replaced.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final, TypeAlias

from sqlalchemy import ColumnElement, Connection, Row, Select, bindparam, func, or_, select

from forms.answers import Json
from forms.carried import CARRIES
from forms.chart import Carried
from storage.log import Operation, canonical
from storage.schema import entry, operation, register
from storage.signed_answers import Stood

__all__ = ["NO_MARKS", "Marks", "carried_by", "carried_of", "marks", "marks_of", "reason_for"]

_BROUGHT: Final = "Brought forward from "
_FORMS: Final = frozenset(form.name for form in CARRIES)
_STILL: Final = "Gone through and still so, brought forward from "

Marks: TypeAlias = Mapping[str, Mapping[str, Carried]]
"""Of one entry: by register and operation, where that operation says the answer came from."""

NO_MARKS: Final[Marks] = MappingProxyType({})


def reason_for(carried: Carried) -> str:
    """The reason of an operation that brings an answer forward, or keeps one that was."""
    return f"{_STILL if carried.still_so else _BROUGHT}{carried.entry} {carried.operation}"


def carried_by(reason: str) -> Carried | None:
    """Where an operation with this reason brought its answer from; None for one that did not."""
    for lead, still in ((_STILL, True), (_BROUGHT, False)):
        if reason.startswith(lead):
            source, _, made = reason.removeprefix(lead).partition(" ")
            return Carried(source, made, still_so=still)
    return None


def _says(lead: str) -> ColumnElement[bool]:
    """Whether an operation's bytes hold a reason that begins so. Inside an answer its quotes would be escaped."""
    key: Json = {"reason": lead}
    within = canonical(key)[1:-2]  # without the braces and the closing quote: "reason":"Brought forward from
    return func.instr(operation.c.bytes, within) > 0


def _marked(condition: ColumnElement[bool]) -> Select[tuple[str, str, str, bytes]]:
    """The standing operations, of entries that a condition picks, that say the answer was brought forward."""
    return (
        select(register.c.entity, register.c.field, register.c.hash, operation.c.bytes)
        .join(entry, entry.c.entity == register.c.entity)
        .join(operation, operation.c.hash == register.c.hash)
        .where(condition, entry.c.form.in_(sorted(_FORMS)), or_(_says(_BROUGHT), _says(_STILL)))
    )


_OF_ONE = _marked(entry.c.entity == bindparam("of_entity"))  # built once: a draft reads its entry after each save


def marks(c: Connection, condition: ColumnElement[bool]) -> Mapping[str, Marks]:
    """The marks on the standing operations of every entry that a condition on the entry table picks, by entry."""
    return _read(c.execute(_marked(condition)).all())


def marks_of(c: Connection, entity: str, form: str) -> Marks:
    """The marks on the standing operations of one entry of that form."""
    return _read(c.execute(_OF_ONE, {"of_entity": entity}).all()).get(entity, NO_MARKS) if form in _FORMS else NO_MARKS


def _read(rows: Iterable[Row[tuple[str, str, str, bytes]]]) -> Mapping[str, Marks]:
    found: defaultdict[str, defaultdict[str, dict[str, Carried]]] = defaultdict(lambda: defaultdict(dict))
    for row in rows:
        carried = carried_by(Operation.read(row.bytes).reason)
        if carried is not None:
            found[row.entity][row.field][row.hash] = carried
    return found


def carried_of(registers: Mapping[str, Sequence[Row[Any] | Stood]], marked: Marks) -> dict[str, Carried]:
    """Which registers hold an answer brought forward: those of which every standing operation says so.

    An answer that somebody also gave anew is hers; one that any device went through counts as gone through.
    """
    made: dict[str, Carried] = {}
    for field, by_operation in marked.items():
        heads = [head.hash for head in registers[field]]
        if all(head in by_operation for head in heads):
            told = [by_operation[head] for head in heads]
            made[field] = next((one for one in told if one.still_so), told[0])
    return made
