"""One transaction's writes: what each change becomes in the log, and what is refused."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import datetime
from functools import cached_property
from typing import Any, NamedTuple

from sqlalchemy import Connection, select

from forms.answers import Json, encode
from forms.chart import Place
from forms.form import catalog
from forms.role import Role
from forms.trouble import Bug
from storage import journal, signing, steps
from storage.carrying import carried_by
from storage.changes import Begin, Change, ChangeSet, Put, Restore, StrikeOut
from storage.charts import path_known
from storage.journal import JournalEnd
from storage.log import PLACE, SIGNED, STRUCK, Chain, Operation, instant, path_of
from storage.projections import SHOWN_FIELDS, refresh, shown
from storage.registers import append, families_of, heads, place_kept, place_of, standing_count, take_in, torn
from storage.rights import must_be_allowed, must_not_be_student, note_not_signed, role_here
from storage.schema import operation
from storage.steps import TAKEN_BACK
from storage.taking import taken_from

__all__ = ["Came", "Writing"]


class Came(NamedTuple):
    """What was new of what other devices wrote, and the registers that hold two values now, and one again."""

    fresh: tuple[Operation, ...]
    conflicts: tuple[tuple[str, str], ...]
    settled: tuple[tuple[str, str], ...]


class Writing:
    """What one transaction has written so far. `chain` and `journal` hold where log and journal would end."""

    def __init__(self, c: Connection, chain: Chain, end: JournalEnd, now: datetime) -> None:
        self.c, self.chain, self.journal, self.now = c, chain, end, now
        self._made: list[Operation] = []
        self._families: set[str] = set()
        self._lines: set[str] = set()
        self._step: int | None = None

    def changes(self, changes: Iterable[Change], author: str) -> None:
        """Writes what a caller asked for, as one step.

        Raises VisitSigned, WritesNot and CannotBeKept; Bug for what none may ask.
        """
        for change in changes:
            match change:
                case Begin():
                    self._begin(change, author)
                case Put():
                    self._put(change, author)
                case StrikeOut():
                    self._strike(change.entity, {"reason": change.reason}, change.reason, author)
                case Restore():
                    self._strike(change.entity, None, change.reason, author)

    def sign(self, visit: str, author: str) -> None:
        """Appends the signature of a visit.

        Raises VisitSigned, SignsNot, StudentSignsNot, ConflictAtSigning or NothingToSign.
        """
        place = self._place(visit)
        if place.form != "visit":
            raise Bug("only a visit is signed")
        must_be_allowed(self._role, place.form, SIGNED)
        must_not_be_student(self.c, author)
        kept = signing.as_kept(self.c, visit)
        self._append(visit, SIGNED, kept, (), author, place, kind="sign")
        self.note("signed", author, {"visit": visit, "digest": kept["digest"]})

    def receive(self, operations: Iterable[Operation]) -> Came:
        """Takes in what other devices wrote, whatever arrived first; undo does not reach it."""
        arrived = tuple(operations)
        registers = {(one.entity, one.field) for one in arrived}
        before = torn(self.c, registers)
        fresh = take_in(self.c, arrived, self.chain.count + 1)
        self.chain = self.chain.received(fresh, self.now)
        self._made += fresh
        self._families |= families_of(self.c, (made.entity for made in fresh))
        late = signing.note_late(self.c, fresh)
        after = torn(self.c, registers)
        # A family’s line follows from what it shows, its conflicts and what stood at signatures, and from nothing else.
        moved = {made.entity for made in fresh if made.field.startswith("@") or made.field in SHOWN_FIELDS}
        self._lines |= families_of(self.c, moved | late | {entity for entity, _field in before | after})
        return Came(fresh, tuple(sorted(after - before)), tuple(sorted(before - after)))

    def go_on_anew(self, device: str, unsent: Iterable[Operation], operations: Iterable[Operation]) -> None:
        """Takes in what a copy of this device wrote under its name, and goes on under another one.

        What was written here and never left is written once more by the new chain, on top of itself, so that it reaches
        the others; where the copy wrote to the same answer, both stand.
        """
        waiting = tuple(unsent)
        self._told_anew({one.entity for one in self.receive(operations).fresh})
        before = self.chain.id
        self.chain = replace(self.chain, id=device, seq=0, last="")
        again: dict[str, str] = {}
        for one in waiting:
            value = one.value
            if one.field == SIGNED:
                seen = {before: waiting[0].seq - 1, device: self.chain.seq}
                value = signing.as_kept_anew(self.c, one.entity, one.value, seen)
            parents = (one.hash, *(again.get(parent, parent) for parent in one.parents))
            made, self.chain = self.chain.next(
                one.entity, one.field, value, tuple(set(parents)), one.author, self.now, one.reason
            )
            append(self.c, made, self.chain.count, None)
            again[one.hash] = made.hash
            self._made.append(made)
        self._told_anew({one.entity for one in waiting})
        signing.note_late(self.c, waiting)

    def take_back(self, author: str, family: str | None) -> bool:
        """Writes the reverse of the newest step (of that family) that can be taken back; whether there was one."""
        for number, made in steps.reversible(self.c, family):
            for one in reversed(made):
                self._reverse(one, author)
            if self._step is not None:
                steps.mark_undone(self.c, number, self._step)
                return True
        return False

    def not_signed(self, add: Collection[str], drop: Collection[str] = ()) -> None:
        """Notes which signatures do not count by the role of whose device made them, and which do after all."""
        visits = note_not_signed(self.c, add, drop)
        self._told_anew(visits)
        rows = self.c.execute(select(operation.c.bytes).where(operation.c.entity.in_(visits))).scalars().all()
        signing.note_late(self.c, (one for one in map(Operation.read, rows) if one.field == PLACE))

    def _told_anew(self, entities: Iterable[str]) -> None:
        families = families_of(self.c, entities)
        self._families |= families
        self._lines |= families

    def note(self, kind: str, by: str, about: dict[str, str]) -> None:
        """Appends one line to the audit journal."""
        self.journal = journal.add(self.c, self.journal, self.now, kind, by, about)

    def result(self) -> ChangeSet:
        """What was written; works the lines of the families concerned out anew."""
        refresh(self.c, *sorted(self._lines))
        return ChangeSet(
            operations=tuple(one.hash for one in self._made),
            touched=frozenset((one.entity, path_of(one.field)) for one in self._made),
            families=frozenset(self._families),
            at=instant(self.chain.millis) if self._made else self.now,
        )

    @cached_property
    def _role(self) -> Role | None:
        return role_here(self.c)

    def _place(self, entity: str) -> Place:
        place = place_of(self.c, entity)
        if place is None:
            raise Bug("an entry is begun before anything is written to it")
        return place

    def _append(
        self, entity: str, field: str, value: Json, parents: tuple[str, ...], author: str, place: Place, *,
        reason: str = "", kind: str = "write", restores: str | None = None,
    ) -> None:  # fmt: skip
        must_be_allowed(self._role, place.form, field)
        if self._step is None:
            self._step = steps.new_step(self.c, author, kind)
        made, self.chain = self.chain.next(entity, field, value, parents, author, self.now, reason)
        append(self.c, made, self.chain.count, self._step, restores)
        self._made.append(made)
        family = entity if place.form == "family" else place.family
        if family is not None:
            self._families.add(family)
            if shown(place.form, field) or self._contested(made):
                self._lines.add(family)

    def _contested(self, made: Operation) -> bool:
        """Whether this operation made, kept or settled a conflict, which the family's line counts."""
        return len(made.parents) > 1 or standing_count(self.c, made.entity, made.field) > 1

    def _begin(self, change: Begin, author: str) -> None:
        standing = place_of(self.c, change.entity)
        if standing is not None:
            if standing != change.place:
                raise Bug("an entry cannot be moved to another place")
            return
        if change.place.form not in catalog():
            raise Bug("an entry is begun for a form that is not declared")
        signing.frozen(self.c, change.entity, change.place, PLACE)
        self._append(change.entity, PLACE, place_kept(change.place), (), author, change.place)

    def _put(self, change: Put, author: str) -> None:
        place = self._place(change.entity)
        field = str(change.path)
        if path_known(place.form, field) is None:
            raise Bug(f"the form {place.form} has no field {field}")
        try:
            value = encode(change.value)
        except TypeError:
            # Without the value: a report of this must not hold what was typed.
            raise Bug(f"the field {field} was given something that is no answer") from None
        standing = heads(self.c, change.entity, field)
        unchanged = standing[0].kept == value if len(standing) == 1 else value is None and not standing
        if unchanged and not change.reason:
            return
        signing.frozen(self.c, change.entity, place, field)
        if change.replaces is None:
            parents = tuple(head.operation for head in standing)
        else:
            parents = tuple(sorted(set(change.replaces)))
            if not {head.operation for head in standing}.issuperset(parents):
                self._must_be_of(change.entity, field, parents)
        self._append(change.entity, field, value, parents, author, place, reason=change.reason)

    def _must_be_of(self, entity: str, field: str, parents: tuple[str, ...]) -> None:
        found = self.c.execute(
            select(operation.c.hash).where(
                operation.c.hash.in_(parents), operation.c.entity == entity, operation.c.field == field
            )
        ).all()
        if len(found) != len(parents):
            raise Bug("a write replaces operations that are not of its register")

    def _strike(self, entity: str, mark: dict[str, Any] | None, reason: str, author: str) -> None:
        if not reason.strip():
            raise Bug("a strike-out and its return need a reason")
        place = self._place(entity)
        standing = heads(self.c, entity, STRUCK)
        if {str(head.kept) for head in standing} == {str(mark)} or (mark is None and not standing):
            return
        signing.frozen(self.c, entity, place, STRUCK)
        parents = tuple(head.operation for head in standing)
        self._append(entity, STRUCK, mark, parents, author, place, reason=reason)

    def _reverse(self, made: Operation, author: str) -> None:
        """Puts back what the operation replaced, if it still stands; an entry of a list is struck out."""
        place = self._place(made.entity)
        if made.field == PLACE:
            struck = heads(self.c, made.entity, STRUCK)
            if catalog()[place.form].repeats and not any(head.kept for head in struck):
                mark, seen = {"reason": TAKEN_BACK}, tuple(head.operation for head in struck)
                self._append(made.entity, STRUCK, mark, seen, author, place, reason=TAKEN_BACK, kind="undo")
            return
        standing = steps.standing_as(self.c, made)
        if standing is None:
            return
        rows = self.c.execute(select(operation.c.bytes).where(operation.c.hash.in_(made.parents))).scalars()
        before: list[tuple[Json, str | None, str]] = [
            # An answer that was brought forward or taken from a file comes back as one: its reason says from where.
            (one.value, one.hash, one.reason if carried_by(one.reason) or taken_from(one.reason) else TAKEN_BACK)
            for one in map(Operation.read, rows)
        ]
        for value, restores, reason in before or [(None, None, TAKEN_BACK)]:
            # Each value that stood before names the same operation, so that a conflict comes back as a conflict.
            self._append(
                made.entity, made.field, value, (standing,), author, place,
                reason=reason, kind="undo", restores=restores,
            )  # fmt: skip
