"""The practice as this device knows it: who belongs, which keys it holds, and founding one."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from storage.store import Store
from sync.exchange.known_ends import known_end
from sync.exchange.roles import note_roles
from sync.exchange.troubles import SeveralWroteIt, SheetTooOld
from sync.membership.acts import (
    RECOVERY,
    Act,
    Add,
    Change,
    Found,
    Member,
    Revoke,
    Role,
    Rotate,
    key_for,
    new_epoch,
    read_act,
    seal_key,
    signed_act,
    unseal_key,
)
from sync.membership.roster import Roster, roster
from sync.wire.troubles import BadFile

__all__ = [
    "Practice", "change_key", "enter", "found_practice", "learn", "let_in", "made_by", "own_member", "own_sheet",
    "practice_of", "put_out", "sealed_for_all",
]  # fmt: skip


@dataclass(frozen=True, slots=True, repr=False)
class Practice:
    """Roster, keys by epoch, and the acts they rest on."""

    roster: Roster
    founding: str
    acts: tuple[Act, ...]
    keys: dict[str, bytes]

    @property
    def repository(self) -> bytes:
        """The id of the practice's record, 16 bytes."""
        return bytes.fromhex(self.roster.repository)

    def own_acts(self, chain: str) -> tuple[Act, ...]:
        """The acts that a device made, in order."""
        return tuple(sorted((act for act in self.acts if act.by == chain), key=lambda act: act.seq))


def own_member(store: Store, label: str, role: Role) -> Member:
    """The device of a store, as a member."""
    keys = store.public_keys()
    return Member(store.device, label, role, keys["sign"], keys["receive"])


def found_practice(store: Store, label: str, clock: Callable[[], datetime]) -> Practice:
    """Makes this store's record one that can be shared: an id, the founding act, the first practice key.

    Raises SheetTooOld when the recovery sheet was made by a version that knew no sharing, and SeveralWroteIt for an
    imported record of several devices, since a device sends only what it wrote; and then changes nothing.
    """
    public = store.public_keys()
    if store.whole().of_others(store.device):
        raise SeveralWroteIt
    if "recovery vouch" not in public:
        raise SheetTooOld
    member, repository = own_member(store, label, Role.OWNER), secrets.token_hex(16)
    epoch, key = new_epoch()
    recovery = public["recovery"]
    keys = {
        member.chain: seal_key(key, member.receive, repository, epoch),
        RECOVERY: seal_key(key, recovery, repository, epoch),
    }
    act = signed_act(
        Found(member, recovery, public["recovery sign"], public["recovery vouch"], epoch, keys),
        repository=repository, by=member.chain, seq=1, heads=(), now=clock(), signer=store.signing_key(),
    )  # fmt: skip
    store.exchange().keep_acts({act.hash: act.raw}, {epoch: key}, {
        "repository": repository, "founding": act.hash, "sheet": "shared", "role": str(member.role),
    })  # fmt: skip
    found = practice_of(store)
    assert found is not None
    return found


def practice_of(store: Store) -> Practice | None:
    """The practice this store belongs to; None while it stands alone."""
    exchange = store.exchange()
    founding = exchange.fact("founding")
    if not founding:
        return None
    acts = tuple(map(read_act, exchange.acts()))
    return Practice(roster(acts, founding), founding, acts, dict(exchange.practice_keys()))


def enter(store: Store, acts: Iterable[Act], founding: str, facts: Mapping[str, str]) -> Practice:
    """Makes this store part of a practice whose acts are known: acts, the keys they hand to it, and facts, as one."""
    known = tuple(acts)
    found = roster(known, founding)
    keys = _handed(store, found, known)
    here = {"repository": found.repository, "founding": founding, **own_sheet(store, found), **facts}
    store.exchange().keep_acts({act.hash: act.raw for act in known}, keys, here)
    practice = practice_of(store)
    assert practice is not None
    note_roles(store, practice.roster)
    return practice


def own_sheet(store: Store, found: Roster) -> dict[str, str]:
    """The fact whether the recovery sheet of this device is one of the practice's."""
    own = store.public_keys()["recovery"]
    return {"sheet": "shared" if any(sheet.receive == own for sheet in found.sheets.values()) else ""}


def _handed(store: Store, after: Roster, acts: Iterable[Act]) -> dict[str, bytes]:
    """The practice keys that acts hand to this device. An act that does not count hands on nothing."""
    keys: dict[str, bytes] = {}
    for act in acts:
        if act.hash in after.refused:
            continue
        for epoch, sealed in key_for(act.change, store.device).items():
            try:
                keys[epoch] = unseal_key(sealed, store.receiving_key(), after.repository, epoch)
            except BadFile:
                continue  # sealed for nobody here: the files under it wait, and are told
    return keys


def _opened(practice: Practice, act: Act) -> bool:
    """Whether this device holds every practice key that an act can hand to anybody."""
    change = act.change
    epochs = {*(change.keys if isinstance(change, Add) else ()), getattr(change, "epoch", "")}
    if isinstance(change, Rotate):
        epochs |= {epoch for handed in change.earlier.values() for epoch in handed}
    return all(epoch in practice.keys or not epoch for epoch in epochs)


def learn(store: Store, practice: Practice, arrived: Iterable[Act]) -> Practice:
    """Takes acts in, with the practice keys they hand to this device and the role they give it."""
    known = {act.hash for act in practice.acts}
    fresh = {act.hash: act for act in arrived if act.hash not in known}
    if not fresh:
        note_roles(store, practice.roster)
        return practice
    after = roster((*practice.acts, *fresh.values()), practice.founding)
    # Also what an act hands on that came before those it rests on, and counts only now.
    keys = _handed(store, after, (act for act in (*practice.acts, *fresh.values()) if not _opened(practice, act)))
    store.exchange().keep_acts({made: act.raw for made, act in fresh.items()}, keys, own_sheet(store, after))
    note_roles(store, after)
    return Practice(after, practice.founding, (*practice.acts, *fresh.values()), {**practice.keys, **keys})


def let_in(
    store: Store, practice: Practice, member: Member, clock: Callable[[], datetime], *, by: str | None = None
) -> Practice:
    """Adds a member, with every practice key this device holds; whoever makes the act has to be an owner.

    `by` is the name under which this device acts, its own unless it goes on under a new one.
    """
    maker = by or store.device
    keys = {
        epoch: seal_key(key, member.receive, practice.roster.repository, epoch) for epoch, key in practice.keys.items()
    }
    return made_by(store, practice, Add(member, keys), clock, by=maker)


def made_by(
    store: Store, practice: Practice, change: Change, clock: Callable[[], datetime], *, by: str | None = None
) -> Practice:
    """Makes an act on top of all that is known, keeps it, and gives the practice after it."""
    maker = by or store.device
    seq = max((act.seq for act in practice.acts if act.by == maker), default=0) + 1
    act = signed_act(
        change, repository=practice.roster.repository, by=maker, seq=seq, heads=practice.roster.heads, now=clock(),
        signer=store.signing_key(),
    )  # fmt: skip
    return learn(store, practice, (act,))


def sealed_for_all(practice: Practice, epoch: str, key: bytes, without: str = "") -> dict[str, bytes]:
    """A practice key, sealed for each member that stays and for the recovery sheets that hold."""
    roster = practice.roster
    holders = [chain for chain in roster.members if chain != without]
    holders += [sheet.name for sheet in roster.sheets.values()]
    return {name: seal_key(key, roster.receiving(name), roster.repository, epoch) for name in holders}


def put_out(store: Store, practice: Practice, chain: str, clock: Callable[[], datetime]) -> Practice:
    """Puts a member out and changes the practice key, in one act; what of it is here still counts."""
    epoch, key = new_epoch()
    number, made = known_end(store.exchange(), chain)
    acts = max((act.seq for act in practice.acts if act.by == chain), default=0)
    change = Revoke(chain, number, made, acts, epoch, sealed_for_all(practice, epoch, key, without=chain))
    return made_by(store, practice, change, clock)


def change_key(store: Store, practice: Practice, clock: Callable[[], datetime]) -> Practice:
    """Changes the practice key for all who belong, and hands on earlier ones to whoever was never given them."""
    epoch, key = new_epoch()
    repository, earlier = practice.roster.repository, dict[str, dict[str, bytes]]()
    for chain, before in sorted(practice.roster.lacking):
        if before in practice.keys:
            receive = practice.roster.receiving(chain)
            earlier.setdefault(chain, {})[before] = seal_key(practice.keys[before], receive, repository, before)
    return made_by(store, practice, Rotate(epoch, sealed_for_all(practice, epoch, key), earlier), clock)
