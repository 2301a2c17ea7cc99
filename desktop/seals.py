"""Making the practice's seals as soon as it has the names they carry."""

from __future__ import annotations

from collections.abc import Callable

from desktop.session import Session
from storage.store import Store
from sync.handoff.seals import make_seals, root_fingerprint

__all__ = ["ensure_seals"]


def ensure_seals(session: Session, name: str, then: Callable[[], None] = lambda: None) -> None:
    """Make the practice's root and this consultant's seal, once the practice and she have their names on paper."""
    practice, author, now = session.practice.practice_name, session.author, session.clock()

    def make(store: Store) -> None:
        if isinstance(practice, str) and name and root_fingerprint(store) is None:
            make_seals(store, author, practice=practice, name=name, now=now)

    session.lane.run(make, lambda _none: then())
