"""One meeting of three devices with real stores, told the same way each time, whatever place lies between them.

Laptop and tablet are owners, the phone is a consultant's. They write apart, two answers to one question among it, attach,
sign, fill a pack, change the practice key, and put the phone out. `met` plays it over a target that may go wrong; who
hears a trouble tries once more, as a person does. `mended` lets them meet undisturbed afterwards.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from forms.ask import Path as At
from forms.trouble import Trouble
from storage.folder import Folder, Lock
from storage.keys import passphrase_slot_opened
from storage.opening import opened
from storage.store import Store
from sync.exchange.practice import Practice, change_key, found_practice, practice_of, put_out
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.exchange.troubles import EmptyTarget
from sync.membership.acts import Role
from sync.transport.port import Target
from tests.helpers.faulting import Faulting
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, TWIN, VISIT, Clock, Ids, put, small_family

__all__ = [
    "FILES_IN_A_PACK", "Base", "Three", "Undisturbed", "base_of", "came_to_the_same", "every_name", "same_record", "small_packs",
    "three_of", "undisturbed_of",
]  # fmt: skip

FILES_IN_A_PACK = 4
"""In these meetings; the laptop has written one less when they begin."""

_BEGINS = datetime(2026, 4, 1, 9, tzinfo=UTC)


@dataclass(frozen=True)
class Base:
    """Three closed stores that met once, their master keys, and what lay between them."""

    folders: tuple[Path, ...]
    masters: tuple[bytes, ...]
    held: dict[str, bytes]


def base_of(folder: Path) -> Base:
    """Make it."""
    stores, shelf = [device(folder, name).store for name in ("laptop", "tablet", "phone")], Shelf()
    found_practice(stores[0], "Laptop", Clock())
    stores[0].write(small_family(), author=AUTHOR)
    joined(stores[0], stores[1], "Tablet", Role.OWNER)
    joined(stores[0], stores[2], "Phone")
    meet(stores[0], shelf)
    for count in range(FILES_IN_A_PACK - 2):
        stores[0].write([put(FAMILY, "pets", f"{count} hens")], author=AUTHOR)
        meet(stores[0], shelf)
    for store in (stores[1], stores[2]):
        meet(store, shelf)
    for store in stores:
        store.close()
    folders = tuple(store.folder for store in stores)
    masters = tuple(passphrase_slot_opened(one / "keys" / "passphrase.slot", PASSPHRASE) for one in folders)
    return Base(folders, masters, dict(shelf.held))


@dataclass
class Three:
    """The three, open. Their clocks are set before each answer, so that every meeting writes the same bytes."""

    laptop: Store
    tablet: Store
    phone: Store
    clocks: dict[str, Clock]
    begun: dict[tuple[str, str], tuple[str, ...]]
    hour: int = 0

    def met(self, target: Target, after: Callable[[], None] = lambda: None, *, unheard: Store | None = None) -> None:
        """The meeting; `after` is called after each round. `unheard` writes as ever and never reaches the place."""
        steps: list[tuple[Store, Callable[[], object]]] = [
            (self.laptop, lambda: self.laptop.sign(VISIT, author=AUTHOR)),
            (self.phone, lambda: self._named(self.phone, TWIN, "June")),
            (self.tablet, lambda: self.tablet.attach(b"a photo of an invented sling", "image/jpeg")),
            (self.tablet, lambda: self._named(self.tablet, BABY, "Ada")),
            (self.laptop, lambda: self._named(self.laptop, BABY, "Ida")),
            (self.tablet, lambda: change_key(self.tablet, _practice(self.tablet), Clock())),
            (self.phone, lambda: None),
            (self.laptop, lambda: None),  # it hears all of the phone before it puts it out
            (self.laptop, lambda: put_out(self.laptop, _practice(self.laptop), self.phone.device, Clock())),
            (self.tablet, lambda: self._named(self.tablet, FAMILY, "one goat", "pets")),
        ]  # fmt: skip
        for store, act in steps:
            self.hour += 1
            self.clocks[store.device].at = _BEGINS + timedelta(hours=self.hour)
            act()
            for _ in range(0 if store is unheard else 2):
                try:
                    sync_round(store, target, clock=Clock())
                except Trouble:
                    continue
                finally:
                    after()
                break

    def _named(self, store: Store, entity: str, value: str, name: str = "called_name") -> None:
        """Answer over what stood when the meeting began, whatever was heard meanwhile."""
        store.write([put(entity, name, value, replaces=self.begun[entity, name])], author=AUTHOR)

    def mended(self, target: Target) -> int:
        """They meet undisturbed. Where the place is told empty or something missing still, a person has it filled again.

        Tells how often that was said.
        """
        filled, told = 0, dict[str, Told]()
        for turn in range(7):
            for store in (self.laptop, self.tablet):
                missing = turn == 3 and any(one.gaps or one.waiting for one in told.values())
                try:
                    told[store.device] = sync_round(store, target, clock=Clock(), refill=missing)
                except EmptyTarget:
                    missing = True
                    told[store.device] = sync_round(store, target, clock=Clock(), refill=True)
                filled += missing
            if turn == 3 and not filled:
                break  # nothing is missing
        return filled

    def close(self) -> None:
        """Close all."""
        for store in (self.laptop, self.tablet, self.phone):
            store.close()


@dataclass(frozen=True)
class Undisturbed:
    """What the meeting comes to when nothing goes wrong."""

    requests: int
    digest: str
    held: dict[str, bytes]


def digest_of(three: Three) -> str:
    (digest,) = {store.exchange().digest() for store in (three.laptop, three.tablet)}
    return digest


def held_whole(store: Store, lies: Callable[[str], bytes | None]) -> None:
    """Every act and every file that a device knows lies there as it knows it."""
    practice, exchange = practice_of(store), store.exchange()
    assert practice is not None
    assert practice.roster.refused == {}
    for act in practice.acts:
        assert lies(f"m/{act.by}/{act.seq:08}") == act.raw, "an act"
    for chain in practice.roster.every:
        for number in exchange.numbers(chain):
            kept = exchange.file(chain, number)
            assert kept is not None
            assert lies(f"c/{chain}/00000/{number:08}") == kept.raw, f"file {number}"


def came_to_the_same(three: Three, right: Undisturbed, names: set[str], lies: Callable[[str], bytes | None]) -> None:
    """The record, and every name of the undisturbed meeting; acts may be others where a device heard later of one."""
    other = {name for name in names ^ right.held.keys() if name[0] != "m"}
    assert not other, f"there in one of the two alone: {sorted(other)}"
    same_record(three, right, lies)


def same_record(three: Three, right: Undisturbed, lies: Callable[[str], bytes | None]) -> None:
    """The record of the undisturbed meeting on both devices, whole, and lying at the place as they know it."""
    assert digest_of(three) == right.digest, "another record"
    for store in (three.laptop, three.tablet):
        held_whole(store, lies)
        assert store.check() == ()
        assert store.differences() == ()
    for name, data in right.held.items():
        if name[0] == "b":
            assert lies(name) == data


def every_name(target: Target) -> set[str]:
    found, waiting = set[str](), [""]
    while waiting:
        here, below = target.names(waiting.pop())
        found |= set(here)
        waiting += below
    return found


def _practice(store: Store) -> Practice:
    found = practice_of(store)
    assert found is not None
    return found


@contextmanager
def three_of(base: Base, folder: Path) -> Iterator[Three]:
    """Copies of the three, open; gone afterwards."""
    stores, clocks = [], {}
    for at, (one, master) in enumerate(zip(base.folders, base.masters, strict=True)):
        shutil.copytree(one, folder / f"{at}")
        files, clock = Folder(folder / f"{at}"), Clock()
        store = opened(files, Lock(files.lock), master, clock=clock, ids=Ids(), event="unlocked", about={})
        stores.append(store)
        clocks[store.device] = clock
    begun = {
        (entity, name): tuple(head.operation for head in stores[0].heads(entity, At(name)))
        for entity, name in ((BABY, "called_name"), (TWIN, "called_name"), (FAMILY, "pets"))
    }
    three = Three(stores[0], stores[1], stores[2], clocks, begun)
    try:
        yield three
    finally:
        three.close()
        with suppress(OSError):
            shutil.rmtree(folder)


@contextmanager
def small_packs() -> Iterator[None]:
    """Packs of a few files, so that a short meeting fills one."""
    with pytest.MonkeyPatch.context() as changed:
        for module in ("sync.wire.pack_file", "sync.exchange.push"):
            changed.setattr(f"{module}.COUNT", FILES_IN_A_PACK)
        yield


def undisturbed_of(base: Base, folder: Path, *, phone_heard: bool = True) -> Undisturbed:
    """The meeting on a shelf with nothing going wrong; or with the phone out of reach until it is put out."""
    shelf = Shelf(held=dict(base.held))
    with three_of(base, folder) as three:
        counting = Faulting(shelf)
        three.met(counting, unheard=None if phone_heard else three.phone)
        assert three.mended(shelf) == 0
        assert three.laptop.disputes()
        assert any(name[0] == "p" for name in shelf.held)
        return Undisturbed(counting.asked, digest_of(three), dict(shelf.held))
