"""From a passphrase to the first page of the record; imported once the locked window stands, as it brings the store."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from desktop.desk import Desk
from desktop.noted import NotedTimes
from desktop.noting import LOCKED_DURING, file_noted
from desktop.seals import ensure_seals
from desktop.session import Session
from desktop.where import Held
from desktop.work import StoreLane
from forms.chart import Entry
from forms.form import Form
from forms.practice import Practice, Practitioner
from storage.store import Store
from storage.vault import SetUp, recover, unlock

if TYPE_CHECKING:
    from desktop.gate import Gate

__all__ = ["LOCKED_DURING", "SetUp", "by_passphrase", "by_sheet", "take_up"]


def by_passphrase(gate: Gate, passphrase: str, wrong: int) -> Callable[[], Store]:
    """Work that unlocks the gate's store; `wrong`: how many tries failed just before. Raises what `unlock` raises."""
    folder, means = gate.folder, gate.means
    return lambda: unlock(folder, passphrase, clock=means.clock, ids=means.ids, failed_before=wrong)


def by_sheet(gate: Gate, words: str, passphrase: str) -> Callable[[], Store]:
    """Work that opens the gate's store with the recovery sheet; raises what `recover` raises."""
    folder, means = gate.folder, gate.means
    return lambda: recover(folder, words, passphrase, clock=means.clock, ids=means.ids, argon=means.argon)


def take_up(gate: Gate, store: Store, held: Held, words: str, noted: NotedTimes, then: Callable[[Desk], None]) -> None:
    """Make the session of a store just opened and hand its desk to `then`.

    `held` are answers that wait since before the lock, `words` those of a recovery sheet just made.
    """
    lane = StoreLane(store, gate)
    lane.broke.connect(gate.broke)
    lane.troubled.connect(gate.notices.trouble)

    def taken(found: tuple[tuple[Entry[Form], ...], bytes | None]) -> None:
        entries, during = found
        session = _session(gate, lane, store, entries, words)
        for told in store.told:
            session.notices.trouble(told)
        names = [e.answers.full_name for e in _people(entries) if e.id == session.author]
        ensure_seals(session, next((name for name in names if isinstance(name, str)), ""))
        file_noted(session, noted, during)
        then(Desk(gate.window_, session, held))
        session.sharing.start()

    lane.run(lambda store: (store.practice_entries(), store.secret(LOCKED_DURING)), taken)


def _people(entries: tuple[Entry[Form], ...]) -> list[Entry[Practitioner]]:
    return [e for e in entries if isinstance(e.answers, Practitioner) and e.struck is None]  # type: ignore[misc]


def _session(gate: Gate, lane: StoreLane, store: Store, entries: tuple[Entry[Form], ...], words: str) -> Session:
    people = _people(entries)
    facts = [e.answers for e in entries if isinstance(e.answers, Practice)]
    return Session(
        folder=gate.folder,
        lane=lane,
        errands=gate.errands,
        notices=gate.notices,
        settings=gate.settings,
        clock=gate.means.clock,
        ids=gate.means.ids,
        author=people[0].id if people else gate.means.ids(),
        practice=facts[0] if facts else Practice(),
        nobody=not people,
        reading=gate.means.reading,
        told=store.told,
        words=words,
    )
