"""Kills at every durable step, and at random moments, of whatever a device does with others: nothing is lost.

After each kill the store opens whole, all that was acknowledged is there, another device gets all that was said to be
sent though the killed one stays away, and undisturbed rounds bring both to the same record.
"""

from __future__ import annotations

import os
import random
import secrets
import shutil
import signal
import subprocess
import sys
import tarfile
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter
from typing import TypedDict

import orjson
import pytest

from storage.engine import Database
from storage.keys import derived, passphrase_slot_opened
from storage.store import Store
from sync.exchange.practice import found_practice, practice_of
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.exchange.troubles import NotMember
from sync.membership.acts import Role, read_act
from sync.transport.opening import open_target
from sync.wire import names
from sync.wire.pack_file import COUNT, packed_files
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, BABY, PASSPHRASE, Clock, put, small_family
from tests.helpers.storms import WORKS, reopened

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="forks and kills as POSIX does")

KILLS = 50
FROZEN = Path(__file__).resolve().parents[2] / "frozen"
LAPTOP, TABLET, LOST, PLACE = "laptop", "tablet", "lost", "place"


def meet(store: Store, place: Path) -> Told:
    return sync_round(store, open_target(str(place), own=store.device), clock=Clock())


def known(store: Store) -> set[str]:
    """Hashes of everything a store holds: operations, attachments, acts."""
    exchange = store.exchange()
    with store._db.transaction() as c:
        logged = set(c.exec_driver_sql("SELECT hash FROM operation").scalars())
    return logged | exchange.attachments() | {read_act(raw).hash for raw in exchange.acts()}


# --- scenes -----------------------------------------------------------------------------------------------------------


@dataclass
class Scene:
    """Three closed stores and the folder where they meet, to be brought back as they were before each kill."""

    kept: Path
    arena: Path
    keys: dict[str, bytes]

    def set_up(self) -> None:
        shutil.rmtree(self.arena, ignore_errors=True)
        shutil.copytree(self.kept, self.arena)

    def store(self, name: str) -> Store:
        return reopened(self.arena / name, self.keys[name])

    @property
    def place(self) -> Path:
        return self.arena / PLACE


@pytest.fixture(scope="module")
def met(tmp_path_factory: pytest.TempPathFactory) -> Scene:
    """Two know the small family; the third was let in and has not met anybody yet."""
    folder = tmp_path_factory.mktemp("storm")
    arena = folder / "arena"
    (arena / PLACE).mkdir(parents=True)
    laptop, tablet, lost = (device(arena, name).store for name in (LAPTOP, TABLET, LOST))
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet", Role.OWNER)
    joined(laptop, lost, "Lost")
    for store in (laptop, tablet, laptop):
        meet(store, arena / PLACE)
    for store in (laptop, tablet, lost):
        store.close()
    keys = {
        name: passphrase_slot_opened(arena / name / "keys" / "passphrase.slot", PASSPHRASE)
        for name in (LAPTOP, TABLET, LOST)
    }
    shutil.copytree(arena, folder / "met")
    return Scene(folder / "met", arena, keys)


def further(met: Scene, name: str, who: str, files: int, attachments: int = 0) -> Scene:
    """The same practice after one of them wrote so many files more."""
    met.set_up()
    store = met.store(who)
    for at in range(files):
        store.write([put(BABY, "called_name", f"Ida {at}")], author=AUTHOR)
        if at < attachments:
            store.attach(secrets.token_bytes(20_000), "image/jpeg")
        meet(store, met.place)
    store.close()
    if who == LAPTOP:
        tablet = met.store(TABLET)
        meet(tablet, met.place)
        tablet.close()
    shutil.copytree(met.arena, met.kept.with_name(name))
    return Scene(met.kept.with_name(name), met.arena, met.keys)


@pytest.fixture(scope="module")
def scene(request: pytest.FixtureRequest, met: Scene) -> Scene:
    """How things stand before a kind of work."""
    match request.param:
        case "pull":
            return further(met, "pull", TABLET, files=15, attachments=2)
        case "pack":
            return further(met, "pack", LAPTOP, files=COUNT - 2)
    return met


# --- killing ----------------------------------------------------------------------------------------------------------


@dataclass
class Heard:
    """What a killed process had said."""

    steps: list[str] = field(default_factory=list)
    said: dict[str, set[str]] = field(default_factory=dict)
    done: bool = False

    def all_of(self, *kinds: str) -> set[str]:
        return set().union(*(self.said.get(kind, set()) for kind in kinds))


class Storm:
    """One process that begins what is to be killed."""

    def __init__(self) -> None:
        self._home = subprocess.Popen(
            [sys.executable, "-m", "tests.helpers.storms"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, bufsize=1, cwd=Path.cwd(),
        )  # fmt: skip

    def strike(
        self, work: str, store: Path, key: bytes, place: Path, *, stop: int = -1, after: int = -1, pause: float = 0.0
    ) -> Heard:
        """Begins a piece of work; it kills itself at step `stop`, or is killed a `pause` after step `after`.

        Without either it is left to end.
        """
        task = {"work": work, "store": str(store), "key": key.hex(), "place": str(place), "stop": stop}
        assert self._home.stdin is not None
        assert self._home.stdout is not None
        self._home.stdin.write(orjson.dumps(task).decode() + "\n")
        heard, process, struck = Heard(), 0, False
        for line in iter(self._home.stdout.readline, ""):
            kind, *what = line.split()
            if kind == "process":
                process = int(what[0])
            elif kind == "step":
                heard.steps.append(line.split(" ", 2)[2].strip())
                if int(what[0]) == after:
                    threading.Event().wait(pause)  # to a random point inside what follows
                    os.kill(process, signal.SIGKILL)
                    struck = True
            elif kind == "done" and not struck:
                heard.done = struck = True
                os.kill(process, signal.SIGKILL)
            elif kind == "gone":
                return heard
            else:
                heard.said.setdefault(kind, set()).update(what)
        raise AssertionError("the process that begins them ended by itself")

    def end(self) -> None:
        assert self._home.stdin is not None
        assert self._home.stdout is not None
        self._home.stdin.close()
        self._home.wait()
        self._home.stdout.close()


@pytest.fixture(scope="module")
def storm() -> Iterator[Storm]:
    made = Storm()
    yield made
    made.end()


class Moment(TypedDict, total=False):
    """When to kill."""

    stop: int
    after: int
    pause: float


def moments(storm: Storm, work: str, store: Path, key: bytes, place: Path) -> Iterator[Moment]:
    """At each durable step once, and at random moments in between; fifty times at least."""
    began = perf_counter()
    whole = storm.strike(work, store, key, place)
    mean = (perf_counter() - began) / len(whole.steps)
    assert whole.done, "undisturbed it does not end"
    for stop in range(len(whole.steps)):
        yield {"stop": stop}
    chance = random.Random(f"kills of {work}")
    for _ in range(max(KILLS - len(whole.steps), KILLS // 5)):
        yield {"after": chance.randrange(len(whole.steps)), "pause": chance.random() * 2 * mean}


# --- what must hold ---------------------------------------------------------------------------------------------------


def place_is_whole(store: Store, place: Path) -> None:
    """Every name of this device holds exactly what the store had kept before it was put."""
    exchange, own = store.exchange(), store.device
    kept = {
        names.change(own, number): exchange.file(own, number)
        for number in range(1, exchange.ends().get(own, (0, ""))[0] + 1)
    }
    for path in (place / "c" / own).rglob("*"):
        name = path.relative_to(place).as_posix()
        if path.is_file() and "#" not in name:
            file = kept.get(name)
            assert file is not None
            assert path.read_bytes() == file.raw
    for path in (place / "p" / own).glob("*"):
        if "#" not in path.name:
            first, last = map(int, path.name.split("-"))
            files = [kept[names.change(own, number)] for number in range(first, last + 1)]
            assert list(packed_files(path.read_bytes())) == [one.raw for one in files if one is not None]


def nothing_was_lost(scene: Scene, heard: Heard) -> tuple[Store, Store]:
    """Gives both devices, open, after they met."""
    store, tablet = scene.store(LAPTOP), scene.store(TABLET)
    own = store.device
    assert store.told == ()
    assert store.check() == ()
    assert known(store) >= heard.all_of("wrote", "attached", "took", "act")
    place_is_whole(store, scene.place)
    told = meet(tablet, scene.place)  # the other one stays away
    assert told.complete, list(told.sentences(Clock()()))
    assert known(tablet) >= heard.all_of("sent")
    for one in (store, tablet):
        told = meet(one, scene.place)
        assert told.complete, list(told.sentences(Clock()()))
    assert store.device == own
    assert store.exchange().digest() == tablet.exchange().digest()
    assert known(store) == known(tablet)
    assert not list(scene.place.rglob("*#*"))
    ours, theirs = practice_of(store), practice_of(tablet)
    assert ours is not None
    assert theirs is not None
    assert ours.roster == theirs.roster
    assert ours.roster.epoch in theirs.keys
    assert tablet.check() == ()
    return store, tablet


def lost_device_is_in_or_out(scene: Scene, store: Store) -> None:
    """Whoever was put out gets no new key; whoever was not shows the same record."""
    practice, lost = practice_of(store), scene.store(LOST)
    assert practice is not None
    if lost.device in practice.roster.members:
        assert meet(lost, scene.place).complete  # from the pack or the snapshot, where there is one
        assert known(lost) == known(store)
    else:
        with pytest.raises(NotMember):
            meet(lost, scene.place)
        found = practice_of(lost)
        assert found is not None
        assert practice.roster.epoch not in found.keys
    lost.close()


def held_by(file: Path, key: bytes) -> set[str]:
    """Hashes of the operations and attachments in a database of any version that nobody has open."""
    database = Database(file, derived(key, "database"))
    with database.transaction() as c:
        found = set(c.exec_driver_sql("SELECT hash FROM operation UNION SELECT sha256 FROM attachment").scalars())
    database.close()
    return found


def frozen_store_is_whole(folder: Path, key: bytes, before: set[str]) -> None:
    """A store of the first version is the same after its upgrade as before, however often that was begun."""
    for _ in range(2):
        store = reopened(folder, key)
        assert store.told == ()
        assert store.check() == ()
        assert known(store) == before
        store.close()
    for copy in (folder / "copies").glob("before-upgrade-*.db"):
        assert held_by(copy, key) == before  # whatever bears the name of a copy is one
    assert not list((folder / "copies").glob("*.part"))


# --- the storms -------------------------------------------------------------------------------------------------------

SHARED = [name for name, work in WORKS.items() if work is not None]


@pytest.mark.parametrize(("work", "scene"), [(name, name) for name in SHARED], indirect=["scene"])
def test_no_kill_loses_what_was_acknowledged(work: str, scene: Scene, storm: Storm) -> None:
    scene.set_up()
    task = (work, scene.arena / LAPTOP, scene.keys[LAPTOP], scene.place)
    ways, killed = list(moments(storm, *task)), 0
    for moment in ways:
        scene.set_up()
        heard = storm.strike(*task, **moment)
        killed += not heard.done
        store, tablet = nothing_was_lost(scene, heard)
        if work in {"put_out", "snapshot"} or moment is ways[-1]:
            assert store.check() == ()
            lost_device_is_in_or_out(scene, store)
        store.close()
        tablet.close()
    assert len(ways) >= KILLS
    assert killed > KILLS // 2, "too few were killed in mid-work"


def test_no_kill_loses_a_store_that_is_being_upgraded(tmp_path: Path, storm: Storm) -> None:
    with tarfile.open(FROZEN / "store-1.tar.xz") as packed:
        packed.extractall(tmp_path / "kept", filter="data")
    key = passphrase_slot_opened(tmp_path / "kept" / "store" / "keys" / "passphrase.slot", PASSPHRASE)
    folder, killed = tmp_path / "store", 0
    before = held_by(fresh(tmp_path) / "record.db", key)
    assert len(before) > len(small_family())
    for moment in moments(storm, "migrate", fresh(tmp_path), key, tmp_path):
        heard = storm.strike("migrate", fresh(tmp_path), key, tmp_path, **moment)
        killed += not heard.done
        frozen_store_is_whole(folder, key, before)
    assert killed > KILLS // 2, "too few were killed in mid-work"


def fresh(folder: Path) -> Path:
    """The frozen store as it was."""
    shutil.rmtree(folder / "store", ignore_errors=True)
    return Path(shutil.copytree(folder / "kept" / "store", folder / "store"))
