"""What the acts of membership come to: members, roles, keys, who was put out, and what still has to be done.

The same from the same set of acts, whatever arrived first. An act counts when whoever made it was an owner by the acts
it names and was not put out by them; acts of an owner who was put out stop counting where that act says, so that a
stolen device cannot act on beside it. Owners who put one another out, two or in a circle: the one who belongs longest
is believed. Acts made apart are joined, every key ever given stays readable, and when two keys are newest a new one is
owed.

The recovery member may let a device in and nothing else: whoever comes back with the sheet makes one new owner, which
then does the rest under its own name. Its keys stand in the founding act until an owner replaces the sheet; acts of a
sheet that ended stop counting where the act that ended it says, as with an owner who was put out. Two sheets made apart
both hold until a third replaces both, so that no sheet that somebody was told to keep is worth nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from sync.membership.acts import Act, Add, Found, Member, Revoke, Role, Rotate, SetRole, Sheet
from sync.membership.sheets import RecoverySheet, ended_by, sheets_of, why_no_sheet

__all__ = ["PutOut", "Roster", "genuine", "roster"]


@dataclass(frozen=True, slots=True)
class PutOut:
    """Up to where the files of a member that was put out still count; several who put it out: the least of them."""

    number: int
    file: str


@dataclass(frozen=True, slots=True)
class Roster:
    """The practice by its acts. `refused` are acts that do not count, each with why.

    `epochs` are the practice keys from the oldest to the newest; `rotation_owed` says that two were made apart, or that
    the newest was sealed for somebody who is out now or not for somebody who is in, so that a new one has to be made.
    `missing` are acts named by others that are not here. `lacking` are members and sheets, each with a practice key
    that was never sealed for it, since it came in while that was made. `sheets` are the recovery sheets that hold, by
    chain (two when they were made apart), `sheets_ended` those that were replaced, with the time. `roles` are those of
    every member, each with the clock reading (milliseconds since 1970) of the act that gave it, in the order of the
    acts.
    """

    repository: str
    members: Mapping[str, Member]
    put_out: Mapping[str, PutOut]
    sheets: Mapping[str, RecoverySheet]
    sheets_ended: Mapping[str, str]
    epochs: tuple[str, ...]
    heads: tuple[str, ...]
    rotation_owed: bool
    missing: frozenset[str]
    refused: Mapping[str, str]
    every: Mapping[str, Member]
    lacking: frozenset[tuple[str, str]] = frozenset()
    roles: Mapping[str, tuple[tuple[int, Role], ...]] = field(default_factory=dict)

    @property
    def epoch(self) -> str:
        """The practice key to seal with now."""
        return self.epochs[-1]

    def role_at(self, chain: str, millis: int) -> Role:
        """The role a member had at a clock reading; before it was let in, the one with which it was."""
        (_since, first), *later = self.roles[chain]
        return next((role for since, role in reversed(later) if since <= millis), first)

    def receiving(self, name: str) -> bytes:
        """The key to which something is sealed for a member, or for a sheet that holds."""
        if name in self.members:
            return self.members[name].receive
        return next(sheet.receive for sheet in self.sheets.values() if sheet.name == name)

    def owners(self) -> tuple[str, ...]:
        """The chains of those who may add and put out."""
        return tuple(sorted(chain for chain, member in self.members.items() if member.role is Role.OWNER))


def roster(acts: Iterable[Act], founding: str) -> Roster:
    """What the acts come to, from the one called `founding` on (its hash is pinned when a device joins).

    Raises ValueError when the founding act is not among them, or is none.
    """
    known = {act.hash: act for act in acts}
    root = known.get(founding)
    if (
        root is None
        or not isinstance(root.change, Found)
        or not (root.signed_by(root.change.member.sign) and root.change.vouched())
    ):
        raise ValueError("the founding act is missing or is none")
    order, missing = _ordered(known, founding)
    counted, refused = _counted(order, root)
    return _summed(root, [act for act in order if act.hash in counted], missing, refused)


def genuine(
    arrived: Iterable[Act], known: Iterable[Act] = (), founding: str | None = None
) -> tuple[tuple[Act, ...], tuple[Act, ...]]:
    """Those signed by whom they name, each maker's in order, and the first of each maker that is not.

    Whether an act counts is asked later; what was changed on its way must not be learned at all, since the true one
    under the same number would then never be asked for again. What comes after a changed one waits with it.
    A founding act brings its own keys, so whoever stores the files can sign one under any name: where `founding` is
    known (its hash), no other is taken.
    """
    keys: dict[str, set[bytes]] = {}
    for act in known:
        _note_keys(act, keys)
    waiting: dict[str, list[Act]] = {}
    for act in sorted(arrived, key=lambda one: (one.by, one.seq)):
        waiting.setdefault(act.by, []).append(act)
    found: list[Act] = []
    again = True
    while again:
        again = False
        for chain, acts in waiting.items():
            while acts and _is_genuine(acts[0], keys.get(chain, set()), founding):
                found.append(acts.pop(0))
                _note_keys(found[-1], keys)
                again = True
    return tuple(found), tuple(acts[0] for acts in waiting.values() if acts)


def _is_genuine(act: Act, keys: Iterable[bytes], founding: str | None) -> bool:
    if isinstance(act.change, Found):
        if founding not in (None, act.hash) or (act.by, act.seq) != (act.change.member.chain, 1):
            return False
        return act.signed_by(act.change.member.sign) and act.change.vouched()
    return any(act.signed_by(key) for key in keys)


def _note_keys(act: Act, keys: dict[str, set[bytes]]) -> None:
    """The keys with which those whom an act names sign."""
    if isinstance(act.change, Found | Add):
        keys.setdefault(act.change.member.chain, set()).add(act.change.member.sign)
    if isinstance(act.change, Found | Sheet):
        keys.setdefault(act.change.recovery_chain, set()).add(act.change.recovery_sign)


def _ordered(known: Mapping[str, Act], founding: str) -> tuple[list[Act], frozenset[str]]:
    """Acts with all they name before them, ties by hash; those that do not reach the founding act are left out."""
    missing = frozenset(head for act in known.values() for head in act.heads if head not in known)
    done, order = set[str](), list[Act]()
    waiting = sorted(known)
    while True:
        ready = [
            name for name in waiting
            if (name == founding or known[name].heads) and all(head in done for head in known[name].heads)
        ]  # fmt: skip
        if not ready:
            return order, missing
        order.append(known[ready[0]])
        done.add(ready[0])
        waiting.remove(ready[0])


def _above(act: Act, known: Mapping[str, Act]) -> frozenset[str]:
    """Every act that this one had seen."""
    found, waiting = set[str](), list(act.heads)
    while waiting:
        name = waiting.pop()
        if name in known and name not in found:
            found.add(name)
            waiting += known[name].heads
    return frozenset(found)


def _counted(order: list[Act], root: Act) -> tuple[frozenset[str], dict[str, str]]:
    """The acts that count, and why each other one does not.

    Acts that put somebody out or end a sheet are believed one after another: first those that no other could undo.
    Where each left could be undone by another, in a circle, the one of whoever belongs longest is believed, and those
    that would undo it are not.
    """
    by_hash = {act.hash: act for act in order}
    seen = {act.hash: _above(act, by_hash) for act in order}
    rests = {
        act.hash: [act, *(by_hash[one] for one in seen[act.hash] if isinstance(by_hash[one].change, Add | SetRole))]
        for act in order
        if isinstance(act.change, Revoke | Sheet)
    }

    def undoes(one: Act, other: Act) -> bool:
        return any(_ends(one, act) != "" for act in rests[other.hash])

    believed: tuple[Act, ...] = ()
    outdone = frozenset[str]()
    while True:
        counted, refused = _passed(order, root, seen, believed, outdone)
        left = [act for act in _longest_first(order, counted) if act not in believed]
        if not left:
            return counted, refused
        chosen = [act for act in left if not any(undoes(one, act) for one in left)] or left[:1]
        believed += tuple(chosen)
        outdone |= {act.hash for act in left if act not in chosen and any(undoes(act, one) for one in chosen)}


def _passed(
    order: list[Act],
    root: Act,
    seen: Mapping[str, frozenset[str]],
    believed: tuple[Act, ...],
    outdone: frozenset[str],
) -> tuple[frozenset[str], dict[str, str]]:
    """One pass, with the acts that put somebody out or end a sheet taken as given."""
    counted, refused = set[str](), dict[str, str]()
    for act in order:
        before = [one for one in order if one.hash in seen[act.hash] and one.hash in counted]
        why = "" if act.hash == root.hash else _why_not(act, before, root)
        why = why or next(filter(None, (_ends(out, act) for out in believed)), "")
        if act.hash in outdone:
            why = why or "whoever it puts out belongs longer"
        if why:
            refused[act.hash] = why
        else:
            counted.add(act.hash)
    return frozenset(counted), refused


def _longest_first(order: list[Act], counted: frozenset[str]) -> list[Act]:
    """The acts that put somebody out or end a sheet, of whoever belongs longer first."""
    since: dict[str, int] = {}
    for place, act in enumerate(order):
        if act.hash in counted and isinstance(act.change, Found | Add):
            since.setdefault(act.change.member.chain, place)
    ending = [act for act in order if act.hash in counted and isinstance(act.change, Revoke | Sheet)]
    return sorted(ending, key=lambda one: (since.get(one.by, len(order)), one.seq, one.hash))


def _ends(out: Act, act: Act) -> str:
    """Why an act that puts somebody out, or ends a sheet, keeps another from counting; empty when it does not."""
    if out.hash == act.hash:  # whoever puts itself out does so by its last act
        return ""
    match out.change:
        case Revoke(chain=chain, acts=acts) if chain == act.by and act.seq > acts:
            return "its maker was put out before"
        case Sheet(ended=ended) if act.by in ended and act.seq > ended[act.by]:
            return "its recovery sheet was replaced before"
        case _:
            return ""


def _why_not(act: Act, before: list[Act], root: Act) -> str:
    members = _members(before)
    maker = members.get(act.by)
    if act.repository != root.repository:
        return "it belongs to another practice"
    if isinstance(act.change, Found):
        return "a practice is founded once"
    sheets = sheets_of(before, root)
    if act.by in sheets:
        return _why_not_recovery(act, before, members, sheets[act.by])
    if maker is None or any(isinstance(one.change, Revoke) and one.change.chain == act.by for one in before):
        return "its maker was no member"
    if maker.role is not Role.OWNER:
        return "its maker was no owner"
    if not act.signed_by(maker.sign):
        return "it is not signed by whom it names"
    if isinstance(act.change, Add) and act.change.member.chain in members:
        return "this device is a member already"
    if isinstance(act.change, SetRole | Revoke) and act.change.chain not in members:
        return "it speaks of a device that is no member"
    return why_no_sheet(act.change, sheets, root) if isinstance(act.change, Sheet) else ""


def _why_not_recovery(act: Act, before: list[Act], members: Mapping[str, Member], sheet: RecoverySheet) -> str:
    if not act.signed_by(sheet.sign):
        return "it is not signed by whom it names"
    if sheet.chain in ended_by(before):
        return "its recovery sheet was replaced before"
    if not isinstance(act.change, Add):
        return "the recovery sheet lets devices in and does nothing else"
    if act.change.member.chain in members:
        return "this device is a member already"
    return ""


def _founded(root: Act) -> Found:
    assert isinstance(root.change, Found)
    return root.change


def _members(acts: Iterable[Act]) -> dict[str, Member]:
    """Every member ever added by these, with its newest role; also those who were put out."""
    found: dict[str, Member] = {}
    for act in acts:
        match act.change:
            case Found(member=member) | Add(member=member):
                found[member.chain] = member
            case SetRole(chain=chain, role=role):
                was = found[chain]
                found[chain] = Member(was.chain, was.label, role, was.sign, was.receive)
            case _:
                pass
    return found


def _summed(root: Act, acts: list[Act], missing: frozenset[str], refused: Mapping[str, str]) -> Roster:
    every, put_out = _members(acts), dict[str, PutOut]()
    for act in acts:
        if isinstance(act.change, Revoke):
            told = PutOut(act.change.number, act.change.file)
            standing = put_out.get(act.change.chain)
            put_out[act.change.chain] = told if standing is None else min(standing, told, key=lambda one: one.number)
    members = {chain: member for chain, member in every.items() if chain not in put_out}
    sheets, ended = sheets_of(acts, root), ended_by(acts)
    hold = {chain: sheet for chain, sheet in sheets.items() if chain not in ended}
    gone = {*put_out, *(sheet.name for chain, sheet in sheets.items() if chain in ended)}
    keys = [act for act in acts if isinstance(act.change, Found | Revoke | Rotate)]
    by_hash = {act.hash: act for act in acts}
    seen = {act.hash: _above(act, by_hash) for act in keys}
    newest = [act for act in keys if not any(act.hash in seen[other.hash] for other in keys)]
    last = keys[-1].change
    assert isinstance(last, Found | Revoke | Rotate)
    named = {head for act in acts for head in act.heads}
    epochs = tuple(one.change.epoch for one in keys if isinstance(one.change, Found | Revoke | Rotate))
    lacking = _lacking({*members, *(sheet.name for sheet in hold.values())}, epochs, acts)
    return Roster(
        repository=root.repository,
        members=members,
        put_out=put_out,
        sheets=hold,
        sheets_ended=ended,
        epochs=epochs,
        heads=tuple(sorted(act.hash for act in acts if act.hash not in named)),
        rotation_owed=(
            len(newest) > 1
            or any(name in last.keys for name in gone)
            or any(epoch == last.epoch for _chain, epoch in lacking)
        ),
        missing=missing,
        refused=refused,
        every=every,
        lacking=lacking,
        roles=_roles(acts),
    )


def _roles(acts: Iterable[Act]) -> dict[str, tuple[tuple[int, Role], ...]]:
    found: dict[str, tuple[tuple[int, Role], ...]] = {}
    for act in acts:
        match act.change:
            case Found(member=member) | Add(member=member):
                found[member.chain] = ((_millis(act), member.role),)
            case SetRole(chain=chain, role=role):
                found[chain] = (*found[chain], (_millis(act), role))
            case _:
                pass
    return found


def _millis(act: Act) -> int:
    return int(datetime.fromisoformat(act.wall).timestamp() * 1000)


def _lacking(holders: Iterable[str], epochs: Iterable[str], acts: Iterable[Act]) -> frozenset[tuple[str, str]]:
    """Members and sheets, each with a practice key that no act ever handed to it."""
    wanted = {(chain, epoch) for chain in holders for epoch in epochs}
    for act in acts:
        match act.change:
            case Add(member=member, keys=keys):
                wanted -= {(member.chain, epoch) for epoch in keys}
            case Sheet(keys=keys):
                wanted -= {(act.change.recovery_chain, epoch) for epoch in keys}
            case Found(epoch=epoch, keys=keys) | Revoke(epoch=epoch, keys=keys):
                wanted -= {(chain, epoch) for chain in keys}
            case Rotate(epoch=epoch, keys=keys, earlier=earlier):
                wanted -= {(chain, epoch) for chain in keys}
                wanted -= {(chain, one) for chain, handed in earlier.items() for one in handed}
            case _:
                pass
    return frozenset(wanted)
