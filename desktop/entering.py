"""From a passphrase to the first page of the record; imported once the locked window stands, as it brings the store."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeAlias

from desktop.beginning import BEGINS, charting, practitioners
from desktop.begins import Begins, First
from desktop.desk import Desk
from desktop.noted import NotedTimes
from desktop.noting import LOCKED_DURING, file_noted
from desktop.seals import ensure_seals
from desktop.session import Session
from desktop.where import Held
from desktop.work import StoreLane
from forms.chart import Entry
from forms.form import Form
from forms.practice import Practice
from storage.store import Store
from storage.vault import SetUp, recover, unlock

if TYPE_CHECKING:
    from desktop.gate import Gate

__all__ = ["LOCKED_DURING", "SetUp", "by_passphrase", "by_sheet", "take_up"]

_Found: TypeAlias = tuple[tuple[Entry[Form], ...], bytes | None, str, Begins]
"""The practice's own entries, the visit that was locked during a feed, who charts here, how the record begins."""


def by_passphrase(gate: Gate, passphrase: str, wrong: int) -> Callable[[], Store]:
    """Work that unlocks the gate's store; `wrong`: how many tries failed just before. Raises what `unlock` raises."""
    folder, means = gate.folder, gate.means
    return lambda: unlock(folder, passphrase, clock=means.clock, ids=means.ids, failed_before=wrong)


def by_sheet(gate: Gate, words: str, passphrase: str) -> Callable[[], Store]:
    """Work that opens the gate's store with the recovery sheet; raises what `recover` raises."""
    folder, means = gate.folder, gate.means
    return lambda: recover(folder, words, passphrase, clock=means.clock, ids=means.ids, argon=means.argon)


def take_up(
    gate: Gate, store: Store, held: Held, first: First, noted: NotedTimes, then: Callable[[Desk], None]
) -> None:
    """Make the session of a store just opened and hand its desk to `then`.

    `held` are answers that wait since before the lock, `first` what a first launch chose and the words of its sheet.
    """
    lane = StoreLane(store, gate)
    lane.broke.connect(gate.broke)
    lane.troubled.connect(gate.notices.trouble)

    def taken(found: _Found) -> None:
        entries, during, author, begins = found
        session = _session(gate, lane, store, entries, author)
        session.words, session.begins = first.words, begins
        for told in store.told:
            session.notices.trouble(told)
        names = [e.answers.full_name for e in practitioners(entries) if e.id == session.author]
        ensure_seals(session, next((name for name in names if isinstance(name, str)), ""))
        file_noted(session, noted, during)
        then(Desk(gate.window_, session, held))
        session.sharing.start()

    def read(store: Store) -> _Found:
        if first.begins:
            store.keep_secret(BEGINS, first.begins.encode())
        entries, begins = store.practice_entries(), Begins((store.secret(BEGINS) or b"").decode())
        return entries, store.secret(LOCKED_DURING), charting(store, practitioners(entries)), begins

    lane.run(read, taken)


def _session(gate: Gate, lane: StoreLane, store: Store, entries: tuple[Entry[Form], ...], author: str) -> Session:
    facts = [e.answers for e in entries if isinstance(e.answers, Practice)]
    return Session(
        folder=gate.folder,
        lane=lane,
        errands=gate.errands,
        notices=gate.notices,
        settings=gate.settings,
        clock=gate.means.clock,
        ids=gate.means.ids,
        author=author or gate.means.ids(),
        practice=facts[0] if facts else Practice(),
        nobody=not author,
        reading=gate.means.reading,
        told=store.told,
        machine_zone=gate.means.zone,
    )
