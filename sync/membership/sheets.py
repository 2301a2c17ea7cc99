"""The recovery sheets of a practice: that of its founding act, and those that replaced it or one another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sync.membership.acts import RECOVERY, Act, Found, Sheet

__all__ = ["RecoverySheet", "ended_by", "sheets_of", "why_no_sheet"]


@dataclass(frozen=True, slots=True)
class RecoverySheet:
    """What is public of a sheet. Keys are sealed for it under `name`, its acts lie under `chain`; `since` is a time."""

    name: str
    chain: str
    receive: bytes
    sign: bytes
    since: str


def sheets_of(acts: Iterable[Act], root: Act) -> dict[str, RecoverySheet]:
    """Every sheet there ever was by these acts, by chain; `root` is the founding act."""
    first = root.change
    assert isinstance(first, Found)
    found = {
        first.recovery_chain: RecoverySheet(
            RECOVERY, first.recovery_chain, first.recovery, first.recovery_sign, root.wall
        )
    }
    for act in acts:
        if isinstance(act.change, Sheet):
            chain, one = act.change.recovery_chain, act.change
            found[chain] = RecoverySheet(chain, chain, one.recovery, one.recovery_sign, act.wall)
    return found


def ended_by(acts: Iterable[Act]) -> dict[str, str]:
    """The sheets that these acts replaced, by chain, with the time; several that did: the first of them."""
    found: dict[str, str] = {}
    for act in acts:
        if isinstance(act.change, Sheet):
            found = {**dict.fromkeys(act.change.ended, act.wall), **found}
    return found


def why_no_sheet(change: Sheet, sheets: Mapping[str, RecoverySheet], root: Act) -> str:
    """Why an act that replaces the sheet does not count; empty when nothing speaks against it."""
    if change.recovery_chain in sheets or change.recovery_chain in change.ended:
        return "this sheet is known already"
    if not change.vouches_for(root.hash):
        return "the new sheet did not give its word"
    return ""
