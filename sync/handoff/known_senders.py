"""Whose seal is trusted here: the practice's own roots, and those of senders whose fingerprint somebody compared."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from forms.chart import Chart
from forms.known_sender import KnownSender, unpacked
from sync.handoff.chain import read_certificate
from sync.handoff.own_seals import own_roots
from sync.handoff.verify import fingerprint

if TYPE_CHECKING:
    from storage.store import Store

__all__ = ["OWN", "KnownRoots", "known_roots", "known_senders", "root_of"]

OWN: Final = "your own practice"

KnownRoots = dict[bytes, str]
"""Root certificates (DER), each with what its sender is called here."""


def root_of(sender: KnownSender) -> bytes | None:
    """The root certificate (DER) of a sender; None where none stands, two do, or what stands is none that is read."""
    root = unpacked(sender)
    return root if root is not None and read_certificate(root) is not None else None


def known_senders(store: Store) -> KnownRoots:
    """Every root that is trusted, with the name she gave its sender; the practice's own are called `OWN`."""
    chart, found = Chart("", None, store.practice_entries()), KnownRoots()
    for entry in chart.all(KnownSender):
        root, name = root_of(entry.answers), entry.answers.called
        if root is not None:
            found[root] = name if isinstance(name, str) else fingerprint(root)
    return found | dict.fromkeys(own_roots(store), OWN)


def known_roots(store: Store) -> tuple[bytes, ...]:
    """The certificates (DER) of every root trusted here, as `verify` and `read_file` take them."""
    return tuple(known_senders(store))
