"""A device that joins a large practice: everything into its store, and until the record is usable from a snapshot.

Both against the same files taken into memory in the same run: signatures checked, decrypted, unpacked and merged. The
goals are a store that takes in at 0.15 times the speed of memory, and a practice of 100,000 operations usable from its
snapshot within 1.5 seconds on the machine the goals were set on (`sync-and-keys`).
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from storage.store import Store
from sync.exchange.round import sync_round
from sync.merge.replica import Replica
from sync.wire.change_file import opened, read_header
from sync.wire.troubles import Stopped
from tests.bench.pairs import Ratio, in_turn
from tests.helpers.large_practice import LargePractice, large_practice
from tests.helpers.stores import Clock

__all__ = ["Joined", "joining"]

VISITS = 1_000


@dataclass(frozen=True, slots=True)
class Joined:
    """The ratios: without a snapshot, usable from one, and until everything behind it is proved."""

    ratios: tuple[Ratio, ...]
    operations: int

    def line(self) -> str:
        """Printed: times, and operations a second."""
        memory, store = (self.operations / ms * 1000 for ms in (self.ratios[0].bare_ms, self.ratios[0].thing_ms))
        speed = f"{store:,.0f} operations a second into the store, {store / memory:.2f} x the {memory:,.0f} in memory"
        return "\n".join((*(ratio.line() for ratio in self.ratios), speed))


def joining(folder: Path, rounds: int = 2, visits: int = VISITS) -> Joined:
    """Each time a new device of the same practice joins, in a real store; what is built before it is not measured."""
    made = large_practice(folder, visits)
    waiting: list[Store] = []

    def ready() -> None:
        while waiting:
            waiting.pop().close()
        for _ in range(2):
            names.append(f"device {len(names)}")
            waiting.append(made.newcomer(folder, names[-1]))

    names: list[str] = []

    def measured(name: str, join: Callable[[Store], None]) -> Ratio:
        return in_turn(
            f"{name}, {made.operations:,} operations", lambda: join(waiting[-1]), "the same files in memory",
            lambda: in_memory(made), rounds, ready=ready,
        )  # fmt: skip

    try:
        ratios = (
            measured("joining without a snapshot", lambda store: until_received(made, store, snapshot=False)),
            measured("until the record is usable from a snapshot", lambda store: until_received(made, store)),
            measured("until everything behind the snapshot is proved", lambda store: whole(made, store)),
        )
        return Joined(ratios, made.operations)
    finally:
        for one in waiting:
            one.close()
        made.close()


def in_memory(made: LargePractice) -> Replica:
    """What all the files come to."""
    replica, epoch = Replica(), made.practice.roster.epoch
    for store in (made.laptop, made.tablet):
        signer = store.signing_key().public_key()
        for raw in made.files(store):
            assert read_header(raw).epoch.hex() == epoch
            replica.take(opened(raw, key=made.practice.keys[epoch], signer=signer)[1].operations)
    return replica


def until_received(made: LargePractice, store: Store, *, snapshot: bool = True) -> None:
    """A round that ends as soon as everything, or the snapshot and what came since, was received."""

    def enough(words: str) -> None:
        if words == "Sending":
            raise Stopped

    with suppress(Stopped):
        sync_round(store, made.shelf(snapshot=snapshot), clock=Clock(), progress=enough)
    assert store.exchange().digest() == made.digest


def whole(made: LargePractice, store: Store) -> None:
    """A whole round: the snapshot, and every file behind it."""
    told = sync_round(store, made.shelf(snapshot=True), clock=Clock())
    assert told.complete
    assert store.exchange().promises().known() == made.operations
