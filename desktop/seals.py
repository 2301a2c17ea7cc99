"""Making the practice's seals as soon as it has the names they carry, and making one anew before it ends."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from desktop.session import Session
from forms.chart import Chart
from forms.practice import Practice, Practitioner
from storage.store import Store
from sync.handoff.key_file import key_file
from sync.handoff.seals import certify, make_seals, root_fingerprint

__all__ = ["ensure_seals", "renew_seal"]


def ensure_seals(session: Session, name: str, then: Callable[[], None] = lambda: None) -> None:
    """Make the practice's root and this consultant's seal, once the practice and she have their names on paper."""
    practice, author, now = session.practice.practice_name, session.author, session.clock()

    def make(store: Store) -> None:
        if isinstance(practice, str) and name and root_fingerprint(store) is None:
            make_seals(store, author, practice=practice, name=name, now=now)

    session.lane.run(make, lambda _none: then())


def renew_seal(session: Session, store: Store, file: Path | None = None, passphrase: str = "") -> None:
    """Make this consultant's seal anew under the same root, which waits in the store or lies in `file`.

    Raises KeyFileUnread, NoRoot and RootNotOpened; the seal there is then stays.
    """
    chart = Chart("", None, store.practice_entries())
    practice = next((entry.answers.practice_name for entry in chart.all(Practice)), None)
    name = next((e.answers.full_name for e in chart.all(Practitioner) if e.id == session.author), None)
    certify(
        store, session.author, practice=practice if isinstance(practice, str) else "",
        name=name if isinstance(name, str) else "", now=session.clock(),
        root=key_file(file) if file is not None else None, passphrase=passphrase or None,
    )  # fmt: skip
