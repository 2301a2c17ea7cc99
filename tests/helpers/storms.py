"""A process that does one kind of work with a real store and a real folder to meet in, until it is killed.

    python -m tests.helpers.storms

Each line on standard input is a piece of work (JSON: "work", "store", "key", "place", "stop"). It is begun in a fork of
this process, whose id is printed, so that Python starts once. Each durable step is printed; at step `stop` the fork
kills itself, and where a name was about to be put it first leaves there what a killed write leaves beside it. What was
acknowledged is printed as soon as it is.
"""

from __future__ import annotations

import os
import secrets
import signal
import sys
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from types import MappingProxyType
from typing import Any
from unittest.mock import patch

import obstore
import orjson

from forms.answers import Moment
from forms.chart import Place
from forms.release_package import may_go
from storage.changes import Begin, Change, ChangeSet
from storage.folder import Folder, Lock
from storage.opening import opened
from storage.store import Store
from storage.taking_out import take_out
from sync.exchange import snapshots
from sync.exchange.practice import change_key, practice_of, put_out
from sync.exchange.round import sync_round
from sync.handoff.facing import Way, faced, gathered
from sync.handoff.package import give_locked, give_open
from sync.handoff.package_inside import Asked
from sync.handoff.reading.read import read_file
from sync.handoff.taking import CameIn, file_kept, keep_file, take
from sync.transport.opening import open_target
from tests.helpers import thornbury
from tests.helpers.durable import watching
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, Clock, grams, put

__all__ = ["ALONE", "PASSWORD", "WORKS", "asked_of", "came_in", "reopened", "taking"]

PASSWORD = "thistle-barley-quay-oat"
"""Of a package made for tests; it opens nothing else."""

assert obstore  # loaded before the forks


def say(kind: str, what: Iterable[str] = ()) -> None:
    """One line to whoever watches."""
    os.write(1, f"{kind} {' '.join(what)}\n".encode())


def reopened(folder: Path, master: bytes) -> Store:
    """Opens as unlock does once it has the key; new ids are random, as those of a real device."""
    files = Folder(folder)
    lock = Lock(files.lock)
    try:
        return opened(
            files, lock, master, clock=Clock(datetime(2026, 3, 5, 9, tzinfo=UTC)), ids=lambda: secrets.token_hex(16),
            event="unlocked", about={},
        )  # fmt: skip
    except BaseException:
        lock.release()
        raise


class Device:
    """An open store before its place; everything it says was acknowledged."""

    def __init__(self, store: Store, place: str) -> None:
        self.store, self.place = store, place
        self.written: list[str] = []

    def write(self, kind: str) -> None:
        """An answer, and one weight more."""
        entity = secrets.token_hex(16)
        weight: list[Change] = [
            Begin(entity, Place("weight", FAMILY, None, (BABY,))),
            put(entity, "weight", grams(3000)),
        ]
        done = self.store.write([put(VISIT, "kind", kind), *weight], author=AUTHOR)
        self.written += done.operations
        say("wrote", done.operations)

    def attach(self, size: int) -> None:
        """A photo of random bytes."""
        name = self.store.attach(secrets.token_bytes(size), "image/jpeg")
        self.written.append(name)
        say("attached", [name])

    def round(self) -> None:
        """One round; when it ends, all that was written is sent."""

        def heard(changes: ChangeSet) -> None:
            say("took", changes.operations)

        sync_round(self.store, open_target(self.place, own=self.store.device), clock=Clock(), heard=heard)
        say("sent", self.written)


def pushing(one: Device) -> None:
    """Answers and attachments, each round with new ones."""
    for kind in ("clinic", "video"):
        one.write(kind)
        one.attach(30_000)
        one.round()


def pulling(one: Device) -> None:
    """What others wrote."""
    one.round()


def packing(one: Device) -> None:
    """The file that fills a hundred, and one more."""
    for kind in ("clinic", "video"):
        one.write(kind)
        one.round()


def rotating(one: Device) -> None:
    """Another practice key, with answers under the old one and the new."""
    one.write("clinic")
    practice = practice_of(one.store)
    assert practice is not None
    say("act", change_key(one.store, practice, Clock()).roster.heads)
    one.write("video")
    one.attach(5_000)
    one.round()


def putting_out(one: Device) -> None:
    """A device is put out, which changes the key in the same act."""
    practice = practice_of(one.store)
    assert practice is not None
    lost = next(chain for chain, member in practice.roster.members.items() if member.label == "Lost")
    one.write("clinic")
    say("act", put_out(one.store, practice, lost, Clock()).roster.heads)
    one.write("video")
    one.round()


def snapshotting(one: Device) -> None:
    """A snapshot, of a record that is small for one."""
    with patch.object(snapshots, "LEAST", 1):
        one.write("clinic")
        one.round()


WORKS: Mapping[str, Callable[[Device], None] | None] = MappingProxyType({
    "push": pushing, "pull": pulling, "pack": packing, "rotate": rotating, "put_out": putting_out,
    "snapshot": snapshotting, "migrate": None,
})  # fmt: skip
"""What is done with the open store; None: opening it is the work."""


def came_in(store: Store, place: Path) -> CameIn:
    """The hand-over that lies at the place, read."""
    data = (place / "sent.json").read_bytes()
    return CameIn(read_file(data, zone="Europe/London", now=Clock()()), data, called="sent.json")


def taking(store: Store, place: Path) -> Iterable[str]:
    """Takes each fact the hand-over offers, as the page does: the file first, and what stands by then beside it.

    Gives the operations of each step once it is written.
    """
    came = came_in(store, place)
    for offer in gathered(came.found):
        chart = store.chart(FAMILY)
        one = faced(came.found, offer, chart, BABY, secrets.token_hex(16))
        if one.way not in (Way.ANSWER, Way.INSTEAD, Way.BESIDE):
            continue
        now = Moment(Clock()(), "Europe/London")
        kept = () if file_kept(chart, came.found.sha256) else keep_file(
            store, came, FAMILY, secrets.token_hex(16), now
        )  # fmt: skip
        changes = (*kept, *take(one, came.found, FAMILY, secrets.token_hex(16)))
        yield from store.write(changes, author=AUTHOR).operations


def _taking(one: Device) -> None:
    """Facts of a hand-over, taken one after another."""
    for operation in taking(one.store, Path(one.place)):
        say("wrote", [operation])


def _exporting(one: Device) -> None:
    """The whole record, as `hearthside export` writes it."""
    take_out(one.store, Path(one.place) / "out", purpose="copy", by=AUTHOR, now=Clock()())


def asked_of(store: Store, *, insisted: bool) -> Asked:
    """What a parent asks for of a baby: every paper, and the tables."""
    papers = tuple(may.key for may in may_go(store.chart(thornbury.FAMILY), thornbury.IDA))
    return Asked(
        thornbury.FAMILY, thornbury.IDA, thornbury.MARA, papers, tables=True, purpose="family", insisted=insisted
    )


def _packing_open(one: Device) -> None:
    """A release package as an open folder."""
    asked = asked_of(one.store, insisted=True)
    give_open(one.store, asked, Path(one.place) / "out", author=thornbury.WRITER, now=thornbury.NOW)


def _packing_locked(one: Device) -> None:
    """A release package as one locked file."""
    place, asked = Path(one.place) / "out.pdf", asked_of(one.store, insisted=False)
    give_locked(one.store, asked, place, PASSWORD, author=thornbury.WRITER, now=thornbury.NOW)


ALONE: Mapping[str, Callable[[Device], None]] = MappingProxyType({
    "take": _taking, "export": _exporting, "package": _packing_open, "locked package": _packing_locked,
})  # fmt: skip
"""What is done with a store that meets nobody."""


def _stepping(task: Mapping[str, Any]) -> Callable[[str], None]:
    numbers, root = count(), Path(task["place"])

    def step(name: str) -> None:
        number = next(numbers)
        say(f"step {number}", [name])
        if number != task["stop"]:
            return
        if name.startswith("put "):
            beside = root / (name.removeprefix("put ") + "#1")
            beside.parent.mkdir(parents=True, exist_ok=True)
            beside.write_bytes(secrets.token_bytes(100))
        os.kill(os.getpid(), signal.SIGKILL)

    return step


def strive(task: Mapping[str, Any]) -> None:
    """Does one piece of work, then waits to be killed; nobody waits for ever."""
    signal.alarm(120)
    work, master = {**WORKS, **ALONE}[task["work"]], bytes.fromhex(task["key"])
    if work is None:
        with watching(_stepping(task)):
            store = reopened(Path(task["store"]), master)
            say("opened")
    else:
        store = reopened(Path(task["store"]), master)
        with watching(_stepping(task)):
            work(Device(store, task["place"]))
    say("done")
    while True:
        signal.pause()


def main() -> None:
    """Begins what it is told, one after another."""
    for line in iter(sys.stdin.readline, ""):
        task = orjson.loads(line)
        child = os.fork()
        if child == 0:
            try:
                strive(task)
            finally:
                os._exit(1)
        say("process", [str(child)])
        os.waitpid(child, 0)
        say("gone")


if __name__ == "__main__":
    main()
