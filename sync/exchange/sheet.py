"""Replacing the recovery sheet: that of one device, or on an owner's device that of the whole practice.

The new sheet is given every practice key, and the key changes at once, so that what is written from now on is sealed
for the new sheet and not for the old one. What the old one could open before, it still opens for whoever kept a copy.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from storage.keys import recovery_pair, recovery_signer, words_of
from storage.store import Store
from storage.vault import new_recovery_sheet, renewed_sheet
from sync.exchange.practice import Practice, change_key, made_by, practice_of
from sync.membership.acts import Sheet, seal_key, sheet_word

__all__ = ["replace_sheet", "replaces_practice_sheet"]


def replaces_practice_sheet(store: Store) -> bool:
    """Whether a new sheet of this device becomes that of the whole practice: on an owner's device it always does."""
    practice = practice_of(store)
    return practice is not None and store.device in practice.roster.owners()


def replace_sheet(store: Store, passphrase: str, clock: Callable[[], datetime]) -> str:
    """The words of a new recovery sheet. Until the next round brings it to the place, the old one still opens that.

    Raises WrongPassphrase and what else `new_recovery_sheet` raises; SheetShared where the sheet is the practice's and
    the device is no owner's. Broken off, it may be asked again.
    """
    practice = practice_of(store)
    if practice is None or store.device not in practice.roster.owners():
        return new_recovery_sheet(store, passphrase)
    sheet = renewed_sheet(store, passphrase)
    change_key(store, made_by(store, practice, _act(practice, sheet), clock), clock)
    return words_of(sheet)


def _act(practice: Practice, sheet: bytes) -> Sheet:
    """The act by which this sheet takes the place of all that hold."""
    receive, signer, roster = recovery_pair(sheet)[0], recovery_signer(sheet), practice.roster
    ended = {chain: max((act.seq for act in practice.acts if act.by == chain), default=0) for chain in roster.sheets}
    keys = {epoch: seal_key(key, receive, roster.repository, epoch) for epoch, key in practice.keys.items()}
    word = sheet_word(signer, practice.founding, receive)
    return Sheet(receive, signer.public_key().public_bytes_raw(), word, ended, keys)
