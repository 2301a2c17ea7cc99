"""A full disk under the store, or under the folder to meet in: one sentence, nothing lost, and all is well with room.

The disk is filled just before each lasting step of a round in turn, and then left with a little more room each time
until the round passes.
"""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
import tarfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import pytest

from forms.people import Family
from forms.trouble import Trouble
from storage.keys import passphrase_slot_opened
from storage.store import Store
from storage.troubles import DiskFull
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.transport.opening import open_target
from sync.transport.troubles import Full
from tests.helpers.durable import watching
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, FAMILY, PASSPHRASE, Clock, answers, put, small_family
from tests.helpers.storms import reopened

pytestmark = pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs root to mount a small disk")

LAPTOP, TABLET, PLACE = "laptop", "tablet", "place"
PAGE = 4096
FROZEN = Path(__file__).resolve().parents[2] / "frozen"


def meet(store: Store, place: Path) -> Told:
    return sync_round(store, open_target(str(place), own=store.device), clock=Clock())


def held(store: Store) -> set[str]:
    with store._db.transaction() as c:
        logged = set(c.exec_driver_sql("SELECT hash FROM operation").scalars())
    return logged | store.exchange().attachments()


@dataclass
class Waiting:
    """Closed stores of two devices that have answers and photos for one another, and the record they come to."""

    folder: Path
    keys: dict[str, bytes]
    digest: str = ""
    all: set[str] = field(default_factory=set)


@pytest.fixture(scope="module")
def waiting(tmp_path_factory: pytest.TempPathFactory) -> Waiting:
    folder = tmp_path_factory.mktemp("waiting")
    (folder / PLACE).mkdir()
    laptop, tablet = device(folder, LAPTOP).store, device(folder, TABLET).store
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    for store in (laptop, tablet, laptop):
        meet(store, folder / PLACE)
    chance = random.Random("photos")
    for store, words in ((laptop, "By the mill"), (tablet, "Two hens")):
        store.write([put(FAMILY, "access" if store is laptop else "pets", words)], author=AUTHOR)
        store.attach(chance.randbytes(2 * PAGE), "image/jpeg")
    meet(tablet, folder / PLACE)
    for store in (laptop, tablet):
        store.close()
    keys = {
        name: passphrase_slot_opened(folder / name / "keys" / "passphrase.slot", PASSPHRASE)
        for name in (LAPTOP, TABLET)
    }
    return Waiting(folder, keys)


@dataclass
class Disk:
    """A real small file system under the store or under the place, and the two ends of a round."""

    waiting: Waiting
    small: Path
    large: Path
    under: str

    @property
    def laptop(self) -> Path:
        return (self.small if self.under == "store" else self.large) / LAPTOP

    @property
    def place(self) -> Path:
        return (self.small if self.under == "place" else self.large) / PLACE

    @property
    def filler(self) -> Path:
        return self.small / "filler"

    def set_up(self) -> Store:
        """Everything as it was before the round; the laptop's store, open."""
        self.filler.unlink(missing_ok=True)
        for name, path in ((LAPTOP, self.laptop), (PLACE, self.place), (TABLET, self.large / TABLET)):
            shutil.rmtree(path, ignore_errors=True)
            shutil.copytree(self.waiting.folder / name, path)
        return reopened(self.laptop, self.waiting.keys[LAPTOP])

    def fill(self, *, leaving: int = 0) -> None:
        """Takes all room but so many pages."""
        with self.filler.open("ab", buffering=0) as file:
            for size in (1 << 16, PAGE, 1):
                try:
                    while True:
                        file.write(bytes(size))
                except OSError:
                    continue
            file.truncate(max(0, (file.tell() // PAGE - leaving) * PAGE))

    def tablet(self) -> Store:
        return reopened(self.large / TABLET, self.waiting.keys[TABLET])


@contextmanager
def mounted(folder: Path) -> Iterator[Path]:
    folder.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", folder], check=False).returncode:
        pytest.skip("no small disk can be mounted here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", folder], check=True)


@pytest.fixture(params=["store", "place"])
def disk(request: pytest.FixtureRequest, waiting: Waiting, tmp_path: Path) -> Iterator[Disk]:
    (tmp_path / "large").mkdir()
    with mounted(tmp_path / "small") as small:
        found = Disk(waiting, small, tmp_path / "large", request.param)
        undisturbed(found)
        yield found


def undisturbed(disk: Disk) -> None:
    """What the round comes to when nothing is in its way."""
    laptop, tablet = disk.set_up(), disk.tablet()
    for store in (laptop, tablet):
        assert meet(store, disk.place).complete
    disk.waiting.digest, disk.waiting.all = laptop.exchange().digest(), held(laptop)
    assert held(tablet) == disk.waiting.all
    assert len(laptop.exchange().attachments()) == 2
    for store in (laptop, tablet):
        store.close()


def tried(disk: Disk, store: Store, at: Callable[[int, str], None]) -> tuple[Trouble | None, list[str]]:
    """One round with `at` told of each step; the trouble it came to, and the steps."""
    steps: list[str] = []

    def step(name: str) -> None:
        steps.append(name)
        at(len(steps) - 1, name)

    with watching(step):
        try:
            meet(store, disk.place)
        except Trouble as trouble:
            return trouble, steps
    return None, steps


def nothing_is_lost(disk: Disk, store: Store, trouble: Trouble | None, before: set[str]) -> None:
    """While the disk is full all can be read; with room again the next round ends as the undisturbed one."""
    if trouble is not None:
        assert type(trouble) is (DiskFull if disk.under == "store" else Full)
        assert trouble.sentence.endswith(".")
        assert "Errno" not in trouble.sentence
    assert held(store) >= before
    assert answers(store, FAMILY).access == "By the mill"
    assert isinstance(answers(store, FAMILY), Family)
    assert store.check() == ()
    own = store.device
    disk.filler.unlink(missing_ok=True)
    tablet = disk.tablet()
    for one in (store, tablet):
        told = meet(one, disk.place)
        assert told.complete, list(told.sentences(Clock()()))
    assert store.device == own
    for one in (store, tablet):
        assert one.exchange().digest() == disk.waiting.digest
        assert held(one) == disk.waiting.all
        assert one.check() == ()
        one.close()
    assert not list(disk.place.rglob("*#*"))
    again = reopened(disk.laptop, disk.waiting.keys[LAPTOP])
    assert (again.told, again.check()) == ((), ())
    again.close()


def test_each_step_of_a_round_finds_the_disk_full_in_turn(disk: Disk) -> None:
    failed: dict[int, str] = {}
    for full_at in count():
        store = disk.set_up()
        before = held(store)

        def fill(step: int, _name: str, full_at: int = full_at) -> None:
            if step == full_at:
                disk.fill()

        trouble, steps = tried(disk, store, fill)
        if trouble is not None:
            failed[full_at] = steps[-1]
        nothing_is_lost(disk, store, trouble, before)
        if len(steps) <= full_at:
            break
    writes = "commit" if disk.under == "store" else "put "
    wanted = {at: name for at, name in enumerate(steps) if name.startswith(writes) and name != "committed"}
    assert {at: name for at, name in failed.items() if at in wanted} == wanted
    kinds = {name.split("/")[0] for name in wanted.values()}
    assert kinds == ({"commit"} if disk.under == "store" else {"put b", "put c", "put h"})


def test_a_round_with_a_little_more_room_each_time_stops_with_nothing_lost_until_it_passes(disk: Disk) -> None:
    stopped: list[int] = []
    for leaving in count():
        store = disk.set_up()
        before = held(store)
        disk.fill(leaving=leaving)
        trouble, steps = tried(disk, store, lambda _step, _name: None)
        nothing_is_lost(disk, store, trouble, before)
        if trouble is None:
            break
        stopped.append(len(steps))
    assert stopped == sorted(stopped), "more room brought it less far"
    assert len(set(stopped)) > 1


def test_a_store_of_an_older_version_is_upgraded_as_soon_as_there_is_room_and_left_as_it_was_before(
    tmp_path: Path,
) -> None:
    with tarfile.open(FROZEN / "store-1.tar.xz") as packed:
        packed.extractall(tmp_path / "kept", filter="data")
    key = passphrase_slot_opened(tmp_path / "kept" / "store" / "keys" / "passphrase.slot", PASSPHRASE)
    refused = 0
    with mounted(tmp_path / "small") as small:
        disk = Disk(Waiting(tmp_path, {}), small, tmp_path, "store")
        for leaving in count(step=4):
            disk.filler.unlink(missing_ok=True)
            shutil.rmtree(small / "store", ignore_errors=True)
            shutil.copytree(tmp_path / "kept" / "store", small / "store")
            disk.fill(leaving=leaving)
            before = refused
            for _ in range(2):  # a second try finds as much room as the first
                with suppress(DiskFull):
                    reopened(small / "store", key).close()
                    break
                refused += 1
                assert not list((small / "store").glob("copies/*"))
            disk.filler.unlink(missing_ok=True)
            store = reopened(small / "store", key)
            whole = (store.told, store.check(), store.entry(FAMILY) is not None)
            store.close()
            assert whole == ((), (), True)
            if refused == before:
                break
    assert refused
