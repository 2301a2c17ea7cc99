"""A practice of two devices whose record is large enough for a snapshot, and snapshots made of anything."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from forms.chart import Place
from storage.changes import Begin, Change
from storage.log import Operation
from storage.state_sum import digest_of
from storage.store import Store
from sync.exchange.practice import found_practice, practice_of
from sync.wire import names
from sync.wire.snapshot_file import End, Head, Snapshot, epoch_of, opened_head, opened_part, sealed
from tests.helpers.rounds import log_of
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, Clock, grams, put, small_family

__all__ = ["ENOUGH", "Joins", "Large", "laid", "large", "read"]

WEIGHTS = 90
"""Entries of three operations each, all of them weighed twice more."""
ENOUGH = 6 * WEIGHTS
"""Operations from which on a snapshot is made here, instead of thousands."""


@dataclass
class Large:
    """Laptop and tablet, what lies at the place, what lay there when the snapshot was made, and the record then."""

    laptop: Store
    tablet: Store
    held: dict[str, bytes]
    at_snapshot: str

    @property
    def head(self) -> str:
        """The name of the snapshot."""
        (name,) = (one for one in self.held if one.startswith("s/") and names.snapshot_numbered(one) is not None)
        return name


def large(folder: Path) -> Iterator[Large]:
    """Each device replaces what the other wrote; the laptop makes a snapshot, and both write on behind it."""
    laptop, tablet, shelf = device(folder, "laptop").store, device(folder, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    entities = [secrets.token_hex(16) for _ in range(WEIGHTS)]
    for at in range(0, WEIGHTS, 18):
        some = entities[at : at + 18]
        laptop.write([change for entity in some for change in _weighed(entity)], author=AUTHOR)
        meet(laptop, shelf)
        tablet_has = meet(tablet, shelf)
        assert tablet_has.complete
        tablet.write([put(entity, "weight", grams(3_100)) for entity in some], author="b" * 32)
        meet(tablet, shelf)
        meet(laptop, shelf)
        laptop.write([put(entity, "weight", grams(3_200)) for entity in some], author=AUTHOR)
    tablet.write([put(entity, "spit_up", value=False) for entity in entities], author="b" * 32)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sync.exchange.snapshots.LEAST", ENOUGH)
        meet(tablet, shelf)
        assert not any(name.startswith("s/") for name in shelf.held)
        meet(laptop, shelf)
    at_snapshot = laptop.exchange().digest()
    laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    meet(laptop, shelf)
    meet(tablet, shelf)
    tablet.write([put(BABY, "called_name", "Ida May")], author="b" * 32)
    meet(tablet, shelf)
    meet(laptop, shelf)
    yield Large(laptop, tablet, shelf.held, at_snapshot)
    laptop.close()
    tablet.close()


def _weighed(entity: str) -> list[Change]:
    return [
        Begin(entity, Place("weight", FAMILY, VISIT, (BABY,))),
        put(entity, "weight", grams(3_000)),
        put(entity, "scale_name", "Kitchen scale"),
    ]


def read(large_: Large, held: dict[str, bytes]) -> tuple[Snapshot, list[Operation]]:
    """What the snapshot says and holds."""
    practice = practice_of(large_.laptop)
    assert practice is not None
    name = large_.head
    head: Head = opened_head(
        held[name], repository=practice.repository, chain=bytes.fromhex(large_.laptop.device),
        number=names.snapshot_numbered(name) or 0, key=practice.keys[epoch_of(held[name])],
        signer=large_.laptop.signing_key().public_key(),
    )  # fmt: skip
    return head.said, [one for at in range(len(head.parts)) for one in opened_part(head, at, held[f"{name}.{at:04}"])]


def laid(
    shelf: Shelf, maker: Store, operations: Sequence[Operation], ends: dict[str, End], *,
    known: int = 99_000, change: Callable[[Snapshot], Snapshot] = lambda said: said,
) -> str:  # fmt: skip
    """Lay a snapshot of these operations, signed by this member; gives the name of its head."""
    practice = practice_of(maker)
    assert practice is not None
    digest = digest_of((one.entity, one.field, one.hash) for one in operations)
    said = change(Snapshot(digest, ends, known, len(operations)))
    head, parts = sealed(
        said, operations, repository=practice.repository, chain=bytes.fromhex(maker.device),
        epoch=bytes.fromhex(practice.roster.epoch), key=practice.keys[practice.roster.epoch],
        signer=maker.signing_key(),
    )  # fmt: skip
    for at, part in enumerate(parts):
        shelf.held[names.snapshot(maker.device, said.number, at)] = part
    name = names.snapshot(maker.device, said.number)
    shelf.held[name] = head
    return name


@dataclass
class Joins:
    """A device that was just let in, beside the two that know everything, and the place as it is for this test."""

    large: Large
    phone: Store
    shelf: Shelf

    @property
    def folder(self) -> Path:
        return self.phone.folder.parent

    def same(self) -> None:
        """The new device shows the very record, keeps all that was ever written, and finds nothing wrong."""
        assert self.phone.exchange().digest() == self.large.laptop.exchange().digest()
        assert log_of(self.phone).keys() == log_of(self.large.laptop).keys()
        assert self.phone.check() == ()
        assert self.phone.exchange().promises().named() == {}
