"""What this device may write by its role, and which signatures do not count by the role of whose device made them.

The roles follow from acts of membership, which `sync` reads; here they arrive as facts. A store that stands alone has
no role and may write everything.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Final

from sqlalchemy import ColumnElement, Connection, delete, exists, literal, select
from sqlalchemy.dialects.sqlite import insert as insert_or

from forms.ask import asks
from forms.form import catalog
from forms.role import Part, Role, part_of
from storage.changes import Head
from storage.log import canonical, path_of
from storage.schema import operation, register, setting
from storage.troubles import SignsNot, StudentSignsNot, WritesNot

__all__ = [
    "NOT_SIGNED", "ROLE", "counted", "may", "must_be_allowed", "must_not_be_student", "note_not_signed", "role_here",
    "signature_counts",
    "why_not",
]  # fmt: skip

ROLE: Final = "sync role"
NOT_SIGNED: Final = "sync not signed "


def role_here(c: Connection) -> Role | None:
    """The role of this device; None while the record is shared with nobody."""
    kept = c.execute(select(setting.c.value).where(setting.c.name == ROLE)).scalar()
    return None if kept is None else Role(kept)


def may(role: Role | None, form: str, field: str) -> bool:
    """Whether a device of this role may write to a register of a form."""
    return role is None or role.may_write(_part(form, field))


def must_be_allowed(role: Role | None, form: str, field: str) -> None:
    """Raises SignsNot or WritesNot for a write that the role of this device does not allow."""
    if role is None or may(role, form, field):
        return
    part = _part(form, field)
    able = [one.label.lower() for one in Role if one.may_write(part)]
    who = f"an {', '.join(able[:-1])} or {able[-1]}"
    if part is Part.SIGNATURE:
        raise SignsNot(role=role.label, who=who)
    raise WritesNot(role=role.label, what=_named(form, field), who=who)


def must_not_be_student(c: Connection, author: str) -> None:
    """Raises StudentSignsNot for a practitioner who is written down as a student, by any value that stands."""
    mine = (register.c.entity == author) & (register.c.field == "practice_role")
    if canonical("student") in c.execute(select(register.c.value).where(mine)).scalars():
        raise StudentSignsNot


def _named(form: str, field: str) -> str:
    known = catalog().get(form)
    if known is None:
        return form
    ask = asks(known).get(path_of(field).field)
    return known.title if ask is None else f"{known.title}: {ask.label}"


def why_not(role: Role | None, form: str, field: str) -> str:
    """The sentence that says why a device of this role does not write here; empty when it may."""
    try:
        must_be_allowed(role, form, field)
    except (SignsNot, WritesNot) as trouble:
        return trouble.sentence
    return ""


def _part(form: str, field: str) -> Part:
    return part_of(form, path_of(field).field)


def counted(c: Connection, signatures: Iterable[Head]) -> tuple[Head, ...]:
    """Those signatures that count."""
    heads = tuple(signatures)
    names = [NOT_SIGNED + head.operation for head in heads]
    without = set(c.execute(select(setting.c.name).where(setting.c.name.in_(names))).scalars()) if names else set()
    return tuple(head for head in heads if NOT_SIGNED + head.operation not in without)


def signature_counts() -> ColumnElement[bool]:
    """The condition, on the register table, for a signature that counts."""
    return ~exists().where(setting.c.name == literal(NOT_SIGNED).concat(register.c.hash))


def note_not_signed(c: Connection, add: Collection[str], drop: Collection[str] = ()) -> frozenset[str]:
    """Notes signatures (operations) that do not count, and that others do after all; gives the visits of both."""
    if drop:
        c.execute(delete(setting).where(setting.c.name.in_([NOT_SIGNED + made for made in drop])))
    for made in sorted(add):
        put = insert_or(setting).values(name=NOT_SIGNED + made, value="its maker’s role does not sign")
        c.execute(put.on_conflict_do_nothing())
    visits = select(operation.c.entity).where(operation.c.hash.in_([*add, *drop]))
    return frozenset(c.execute(visits).scalars())
