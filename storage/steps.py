"""Steps: one call of write each, and walking back through the last twenty by writing the reverse."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, func, insert, select, update

from forms.ask import asks
from forms.form import catalog
from storage.log import PLACE, STRUCK, Operation, path_of
from storage.registers import heads, place_of
from storage.rights import may, role_here
from storage.schema import operation, step
from storage.signing import frozen
from storage.troubles import VisitSigned

__all__ = ["TAKEN_BACK", "UNDO_STEPS", "described", "mark_undone", "new_step", "reversible", "standing_as"]

UNDO_STEPS = 20
TAKEN_BACK = "Taken back"
FOR_GOOD = frozenset({"paper_issued", "own_seal"})
"""Forms whose entries tell what cannot be taken back: a paper that left, a certificate that sealed."""
_PRIVATE = "a private answer"
_NAMED = 3  # questions of a step named in words; the others are counted
_LAST_STEP = select(func.max(step.c.number))
_ADD_STEP = insert(step)


def new_step(c: Connection, author: str, kind: str) -> int:
    """The number of a step that begins now."""
    number = (c.execute(_LAST_STEP).scalar() or 0) + 1
    c.execute(_ADD_STEP, {"number": number, "author": author, "kind": kind})
    return number


def mark_undone(c: Connection, number: int, by: int) -> None:
    """Notes that a step was taken back by another."""
    c.execute(update(step).where(step.c.number == number).values(undone_by=by))


def operations_of(c: Connection, number: int) -> tuple[Operation, ...]:
    """What a step wrote, in order."""
    rows = c.execute(select(operation.c.bytes).where(operation.c.step == number).order_by(operation.c.position))
    return tuple(Operation.read(raw) for raw in rows.scalars())


def _free(c: Connection, made: tuple[Operation, ...]) -> bool:
    """Whether neither a signature nor the role of this device stands in the way of taking these back."""
    role = role_here(c)
    for one in made:
        place = place_of(c, one.entity)
        if place is not None:
            if not may(role, place.form, STRUCK if one.field == PLACE and _listed(place.form) else one.field):
                return False
            try:
                frozen(c, one.entity, place, one.field)
            except VisitSigned:
                return False
    return True


def _listed(form: str) -> bool:
    known = catalog().get(form)
    return known is not None and known.repeats


def _stays(c: Connection, made: tuple[Operation, ...], family: str | None) -> bool:
    """Whether a step is none to take back: what it tells is for good, and another family's step is not in view."""
    places = [(one.entity, place_of(c, one.entity)) for one in made]
    return any(
        place is not None and (place.form in FOR_GOOD or (family is not None and family not in (place.family, entity)))
        for entity, place in places
    )


def reversible(c: Connection, family: str | None = None) -> Iterator[tuple[int, tuple[Operation, ...]]]:
    """Steps that can be taken back, newest first, among the last twenty, of one family if it is named.

    What a signature froze is left out, and so is what is for good.
    """
    last = c.execute(
        select(step.c.number, step.c.undone_by)
        .where(step.c.kind == "write")
        .order_by(step.c.number.desc())
        .limit(UNDO_STEPS)
    ).all()
    for row in last:
        if row.undone_by is not None:
            continue
        made = operations_of(c, row.number)
        if made and _free(c, made) and not _stays(c, made, family):
            yield row.number, made


def standing_as(c: Connection, made: Operation) -> str | None:
    """The head through which an operation stands: itself, or one by which undo put its value back; None if neither."""
    for head in heads(c, made.entity, made.field):
        at: str | None = head.operation
        while at is not None and at != made.hash:
            at = c.execute(select(operation.c.restores).where(operation.c.hash == at)).scalar()
        if at is not None:
            return head.operation
    return None


def described(c: Connection, made: tuple[Operation, ...]) -> str:
    """A step in words: which form and which questions, never what was answered."""
    place = place_of(c, made[0].entity)
    form = None if place is None else catalog().get(place.form)
    if form is None:
        return "Entry"
    labels: list[str] = []
    for one in made:
        ask = asks(form).get(path_of(one.field).field)
        if one.field == STRUCK:
            labels.append("struck out" if one.value is not None else "restored")
        elif ask is not None and (label := _PRIVATE if ask.private else ask.label) not in labels:
            labels.append(label)
        elif one.field == PLACE and form.repeats:
            labels.insert(0, "added")
    if len(labels) > _NAMED:
        labels[_NAMED:] = [f"and {len(labels) - _NAMED} more"]
    return f"{form.title}: {', '.join(labels)}" if labels else form.title
