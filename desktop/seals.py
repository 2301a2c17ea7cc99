"""Making the practice's seals as soon as it has the names they carry, and making one anew before it ends.

A root is made unasked only where the practice began: a device that joined or came back belongs to a practice that may
have a root elsewhere, which its receivers know. There she says what is to be done.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from desktop.session import Session
from forms.chart import Chart
from forms.practice import Practice, Practitioner
from forms.trouble import Trouble
from storage.store import Store
from sync.exchange.practice import practice_of
from sync.handoff.key_file import key_file
from sync.handoff.own_seals import Sealing, Standing, seal_under, sealing, tell_own
from sync.handoff.seals import certify, make_seals, own_root, root_waits

__all__ = ["NamesMissing", "ensure_seals", "own_root_here", "renew_seal", "sealing_here", "under_the_practices"]


class NamesMissing(Trouble):
    """A certificate carries two names, and one of them is not certain."""

    template = (
        "A seal carries the practice’s name and yours, and one of them is missing or has two values. Write it under "
        "Practice, then try again; nothing was changed."
    )


def _joined(store: Store) -> bool:
    """Whether this device came to a practice that was there before it, by joining or by its recovery sheet."""
    practice = practice_of(store)
    return practice is not None and not any(
        act.hash == practice.founding and act.by == store.device for act in practice.acts
    )


def sealing_here(store: Store, author: str) -> Sealing:
    """Under which root a consultant seals on this device, beside what the practice has."""
    return sealing(store, author, joined=_joined(store))


def ensure_seals(session: Session, name: str, then: Callable[[], None] = lambda: None) -> None:
    """Make the practice's root and this consultant's seal, once the practice and she have their names on paper.

    Not on a device that joined, nor where the practice has a root elsewhere. What is made here is told in the record.
    """
    practice, author, now = session.practice.practice_name, session.author, session.clock()

    def make(store: Store) -> None:
        if isinstance(practice, str) and practice and name:
            standing = sealing_here(store, author).standing
            if own_root(store) is None and standing is Standing.FIRST:
                make_seals(store, author, practice=practice, name=name, now=now)
            elif standing is Standing.AWAY and root_waits(store):  # a second consultant where the practice's root waits
                certify(store, author, practice=practice, name=name, now=now)
        tell_own(store, author)

    session.lane.run(make, lambda _none: then())


def _names(session: Session, store: Store) -> tuple[str, str]:
    """What a certificate says of the practice and of who charts; raises NamesMissing."""
    chart = Chart("", None, store.practice_entries())
    practice = next((entry.answers.practice_name for entry in chart.all(Practice)), None)
    name = next((e.answers.full_name for e in chart.all(Practitioner) if e.id == session.author), None)
    if not (isinstance(practice, str) and practice and isinstance(name, str) and name):
        raise NamesMissing
    return practice, name


def renew_seal(session: Session, store: Store, file: Path | None = None, passphrase: str = "") -> None:
    """Make this consultant's seal anew under the same root, which waits in the store or lies in `file`.

    Raises NamesMissing, KeyFileUnread, NoRoot and RootNotOpened; the seal there is then stays.
    """
    practice, name = _names(session, store)
    certify(
        store, session.author, practice=practice, name=name, now=session.clock(),
        root=key_file(file) if file is not None else None, passphrase=passphrase or None,
    )  # fmt: skip


def under_the_practices(session: Session, store: Store, file: Path, passphrase: str) -> None:
    """Make this consultant's seal under the practice's root, which lies in `file`; its key is not kept.

    Raises NamesMissing, KeyFileUnread and RootNotOpened; nothing has changed then.
    """
    practice, name = _names(session, store)
    seal_under(
        store, session.author, practice=practice, name=name, now=session.clock(), file=key_file(file),
        passphrase=passphrase,
    )  # fmt: skip


def own_root_here(session: Session, store: Store) -> None:
    """Make a root of this device's own beside the practice's, because she said so. Raises NamesMissing."""
    practice, name = _names(session, store)
    if own_root(store) is None:
        make_seals(store, session.author, practice=practice, name=name, now=session.clock())
    tell_own(store, session.author)
