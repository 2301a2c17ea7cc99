"""Two devices of one practice with a history as long as one likes: families, signed visits, papers filed, rounds."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

from forms.chart import Place
from storage.changes import Begin, Change
from storage.store import Store
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.transport.port import Target
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, Clock, grams, moment, put

__all__ = ["OPERATIONS", "Long", "Worked", "long_history", "worked"]

OPERATIONS = 20
"""Operations in one new file."""


@dataclass
class Long:
    """The devices, where they meet, and a family with an open visit to which more can be written."""

    laptop: Store
    tablet: Store
    target: Target
    family: str
    visit: str
    baby: str

    def round_of(self, store: Store) -> Told:
        """One round of one of them."""
        return sync_round(store, self.target, clock=Clock())

    def weigh(self) -> None:
        """The laptop writes the operations of one new file."""
        changes: list[Change] = []
        for _ in range(OPERATIONS // 2):
            weight = secrets.token_hex(16)
            changes.append(Begin(weight, Place("weight", self.family, self.visit, (self.baby,))))
            changes.append(put(weight, "weight", grams(3000 + secrets.randbelow(900))))
        self.laptop.write(changes, author=AUTHOR)

    def close(self) -> None:
        """Lock both."""
        self.laptop.close()
        self.tablet.close()


def long_history(folder: Path, target: Target, families: int) -> Long:
    """So many families, a file for each, every third by the tablet; every other visit is signed and has a paper filed.

    Both devices know everything at the end.
    """
    laptop, tablet = device(folder, "laptop").store, device(folder, "tablet").store
    found_practice(laptop, "Laptop", Clock())
    joined(laptop, tablet, "Tablet")
    made = Long(laptop, tablet, target, *_charted(laptop))
    for number in range(families):
        store = tablet if number % 3 == 2 else laptop
        _family, visit, _baby = _charted(store)
        if number % 2:
            store.sign(visit, author=AUTHOR)
            store.attach(b"%PDF-1.7 an invented paper " + secrets.token_bytes(64), "application/pdf")
    with patch("sync.exchange.push.MOST", OPERATIONS):  # as many files as after as many rounds
        for store in (laptop, tablet):
            made.round_of(store)
    for store in (laptop, tablet):
        made.round_of(store)
    return made


def _charted(store: Store) -> tuple[str, str, str]:
    """A family with a visit, in the twenty operations of one file or a few more."""
    family, visit, baby = (secrets.token_hex(16) for _ in range(3))
    changes: list[Change] = [
        Begin(family, Place("family", family)),
        put(family, "family_name", f"Thistle {family[:6]}"),
        Begin(baby, Place("infant", family)),
        put(baby, "called_name", "Wren"),
        put(baby, "called_name", "Wrenna"),  # something replaced, as in any record
        Begin(visit, Place("visit", family)),
        put(visit, "kind", "home"),
        put(visit, "start", moment(3)),
    ]
    for amount in (3010, 3090, 3140, 3155, 3190, 3200):
        weight = secrets.token_hex(16)
        changes += [Begin(weight, Place("weight", family, visit, (baby,))), put(weight, "weight", grams(amount))]
    store.write(changes, author=AUTHOR)
    return family, visit, baby


@dataclass
class Worked:
    """How many steps the machine inside the database engine made: one or more for every row that is looked at."""

    steps: int = 0


@contextmanager
def worked(*stores: Store) -> Iterator[Worked]:
    """Counts the steps that these stores' databases make meanwhile."""
    found = Worked()

    def step() -> int:
        found.steps += 1
        return 0

    for store in stores:
        _listen(store, step)
    try:
        yield found
    finally:
        for store in stores:
            _listen(store, None)


def _listen(store: Store, step: Callable[[], int] | None) -> None:
    raw = store._db._engine.raw_connection()
    try:
        raw.driver_connection.set_progress_handler(step, 1)  # type: ignore[union-attr]
    finally:
        raw.close()
