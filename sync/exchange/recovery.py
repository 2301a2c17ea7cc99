"""Coming back with nothing but the recovery sheet and the place: every device may be gone.

The sheet vouches for the founder's device, or one that replaced it for the founding act, so the true founding act is
known again; the practice keys are sealed for the sheet in the acts; and an act signed with the sheet lets the new
device in as an owner. Nobody is put out by it: the lost devices are, by the new owner, once the record is back.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from storage.keys import read_words, recovery_pair, recovery_signer
from storage.store import Store
from sync.exchange.acts_there import acts_there
from sync.exchange.practice import Practice, enter, own_member, practice_of
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.exchange.troubles import AlreadyShared, NotThisSheet, SheetReplaced
from sync.membership.acts import (
    Act,
    Add,
    Found,
    Role,
    Sheet,
    key_for,
    recovery_chain_of,
    seal_key,
    signed_act,
    unseal_key,
)
from sync.membership.roster import Roster, genuine, roster
from sync.transport.port import Target
from sync.wire import names
from sync.wire.troubles import BadFile

__all__ = ["come_back", "recover_into"]


def recover_into(store: Store, target: Target, words: str, label: str, clock: Callable[[], datetime]) -> Told:
    """Takes everything a practice keeps at a target into a store that belongs to none: `come_back`, then a round.

    Broken off, it may be asked again; once the store belongs, an ordinary round goes on. Raises what both raise.
    """
    come_back(store, target, words, label, clock)
    return sync_round(store, target, clock=clock)


def come_back(store: Store, target: Target, words: str, label: str, clock: Callable[[], datetime]) -> Practice:
    """Makes a store that belongs to no practice an owner's device of the one at a target, by its recovery sheet.

    The store is best set up with the words of the same sheet (`set_up(..., words=...)`), which then opens both. The
    record itself comes with the next round. Raises RecoveryMistyped, AlreadyShared, NotThisSheet, SheetReplaced and
    NewerActs, and then nothing of the store is changed.
    """
    sheet = read_words(words)
    if practice_of(store) is not None:
        raise AlreadyShared
    acts = acts_there(target)
    root = _founding(acts, sheet)
    if root is None:
        raise NotThisSheet(place=target.label)
    acts = genuine(acts, founding=root.hash)[0]
    found = roster(acts, root.hash)
    chain = _holds(found, sheet, target.label)
    if store.device not in found.members:
        member = own_member(store, label, Role.OWNER)
        keys = {
            epoch: seal_key(key, member.receive, found.repository, epoch)
            for epoch, key in _keys(acts, found, chain, sheet).items()
        }
        seq = max((act.seq for act in acts if act.by == chain), default=0) + 1
        made = signed_act(
            Add(member, keys), repository=found.repository, by=chain, seq=seq, heads=found.heads,
            now=clock(), signer=recovery_signer(sheet),
        )  # fmt: skip
        target.put(names.act(made.by, made.seq), made.raw)
        acts = (*acts, made)
    return enter(store, acts, root.hash, {})


def _founding(acts: tuple[Act, ...], sheet: bytes) -> Act | None:
    """The founding act for which, or for whose maker, this sheet gave its word; of several, the oldest by its clock."""
    own = recovery_pair(sheet)[0], _sign(sheet)
    words = [
        act.change for act in acts
        if isinstance(act.change, Sheet) and (act.change.recovery, act.change.recovery_sign) == own
    ]  # fmt: skip
    true = [
        act for act in acts
        if isinstance(act.change, Found) and act.change.vouched() and act.signed_by(act.change.member.sign)
        and ((act.change.recovery, act.change.recovery_sign) == own or any(one.vouches_for(act.hash) for one in words))
    ]  # fmt: skip
    return min(true, key=lambda act: (act.wall, act.hash), default=None)


def _sign(sheet: bytes) -> bytes:
    return recovery_signer(sheet).public_key().public_bytes_raw()


def _holds(found: Roster, sheet: bytes, place: str) -> str:
    """The chain of this sheet; raises SheetReplaced for one that ended, NotThisSheet for one that never counted."""
    chain = recovery_chain_of(_sign(sheet))
    if chain in found.sheets_ended:
        when = datetime.fromisoformat(found.sheets_ended[chain])
        raise SheetReplaced(day=f"{when.day} {when:%B} {when.year}")
    if chain not in found.sheets:
        raise NotThisSheet(place=place)
    return chain


def _keys(acts: tuple[Act, ...], found: Roster, chain: str, sheet: bytes) -> dict[str, bytes]:
    """Every practice key that the acts seal for this sheet."""
    private, keys = recovery_pair(sheet)[1], dict[str, bytes]()
    for act in acts:
        if act.hash not in found.refused:
            for epoch, sealed in key_for(act.change, found.sheets[chain].name).items():
                try:
                    keys[epoch] = unseal_key(sealed, private, found.repository, epoch)
                except BadFile:
                    continue  # what lies under it is told as sealed under a key that has not come
    return keys
