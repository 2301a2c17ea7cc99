"""Roles as the acts give them, held against what devices wrote: told, never thrown away.

A role is that of the moment an answer was written: by the clock of the answer and the clock of the act. This is the one
thing that clocks decide, since a device may not have heard of its new role yet. A signature that no right stood behind
does not count as one; every device comes to the same, whatever arrived first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from forms.role import Part, Role, part_of
from storage.log import SIGNED, Operation, path_of
from storage.store import Store
from sync.membership.roster import Roster

__all__ = ["BeyondRole", "beyond_role", "could_sign", "not_signed", "note_roles"]


@dataclass(frozen=True, slots=True)
class BeyondRole:
    """One operation that the role of its device did not allow when it was written."""

    operation: Operation
    form: str
    role: Role
    part: Part


def not_signed(operations: Iterable[Operation], roster: Roster) -> frozenset[str]:
    """Those of the operations that are signatures of devices whose role did not sign then, by hash."""
    return frozenset(
        one.hash
        for one in operations
        if one.field == SIGNED and one.chain in roster.every and not _role(one, roster).may_write(Part.SIGNATURE)
    )


def could_sign(chain: str, at: datetime, roster: Roster) -> bool:
    """Whether the role of a device let it sign at that time; for one that no act names nothing speaks against it."""
    if chain not in roster.every:
        return True
    return roster.role_at(chain, round(at.timestamp() * 1000)).may_write(Part.SIGNATURE)


def beyond_role(store: Store, roster: Roster) -> tuple[BeyondRole, ...]:
    """Everything in the record that the role of its device did not allow, chain by chain, oldest first.

    What belongs to an entry that has not come yet is left out until it has.
    """
    return tuple(_beyond(store, roster))


def _beyond(store: Store, roster: Roster) -> Iterator[BeyondRole]:
    for chain in sorted(roster.every):
        writes = [role.rights.writes for _since, role in roster.roles[chain]]
        if all(set(Part) <= one for one in writes):
            continue
        charts = all(Part.CLINICAL in one for one in writes)
        for one, form in store.exchange().written_by(chain, signatures=charts):
            role = _role(one, roster)
            part = part_of(form, path_of(one.field).field)
            if form and not role.may_write(part):
                yield BeyondRole(one, form, role, part)


def _role(one: Operation, roster: Roster) -> Role:
    return roster.role_at(one.chain, one.millis)


def note_roles(store: Store, roster: Roster) -> None:
    """Has the store keep the role of this device, and which signatures do not count; nothing when it does already."""
    exchange, here = store.exchange(), roster.every.get(store.device)
    if here is not None and exchange.facts().get("role") != here.role:
        exchange.tell({"role": str(here.role)})
    without: set[str] = set()
    for chain in roster.every:
        if any(Part.SIGNATURE not in role.rights.writes for _since, role in roster.roles[chain]):
            without |= not_signed((one for one, _form in exchange.written_by(chain, signatures=True)), roster)
    before = exchange.not_signed()
    if without != before:
        exchange.note_not_signed(without - before, before - without)
