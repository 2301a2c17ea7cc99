"""Whose seal is trusted here: the practice's own root, and those of senders whose fingerprint somebody compared."""

from __future__ import annotations

from typing import TYPE_CHECKING

from forms.chart import Chart
from forms.known_sender import roots_of
from sync.handoff.seals import own_root
from sync.handoff.verify import fingerprint

if TYPE_CHECKING:
    from storage.store import Store

__all__ = ["OWN", "KnownRoots", "known_roots", "known_senders"]

OWN = "your own practice"

KnownRoots = dict[bytes, str]
"""Root certificates (DER), each with what its sender is called here."""


def known_senders(store: Store) -> KnownRoots:
    """Every root that is trusted, with the name she gave its sender; the practice's own is called `OWN`."""
    chart = Chart("", None, store.practice_entries())
    found = {
        root: entry.answers.called if isinstance(entry.answers.called, str) else fingerprint(root)
        for entry, root in roots_of(chart)
    }
    own = own_root(store)
    return found | {own: OWN} if own is not None else found


def known_roots(store: Store) -> tuple[bytes, ...]:
    """The certificates (DER) of every root trusted here, as `verify` and `read_file` take them."""
    return tuple(known_senders(store))
