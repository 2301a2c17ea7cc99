"""Random stories of real stores that meet on a shelf: write apart, sign, are copied, put out, cut off, and stopped.

The same choices tell the same story; keys and names are those of the practice it starts from. After each step the device
that acted is held against what its own log says must stand; at the end all who belong must show one record.
"""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

import orjson

from forms.ask import Path as At
from forms.chart import Place
from forms.people import InfantIdentity
from forms.trouble import Trouble
from storage.changes import Begin, Change
from storage.folder import Folder, Lock
from storage.keys import passphrase_slot_opened
from storage.log import PLACE, Operation, canonical
from storage.opening import opened
from storage.registers import append
from storage.store import Store
from storage.writing import Writing
from sync.exchange.practice import change_key, found_practice, practice_of, put_out
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.exchange.troubles import Continued, NotMember
from sync.membership.acts import Role
from sync.transport.port import Target
from tests.helpers.faulting import Fault, Faulting
from tests.helpers.schedules import Choose, oracle
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, TWIN, VISIT, Clock, grams, put, small_family

__all__ = ["Group", "Killed", "RoundStory", "group_of", "standing"]


class Killed(Exception):  # noqa: N818 - the end of a process, no error of the program
    """The process ends here."""


_FAULTS = (
    Fault.REFUSED, Fault.UNANSWERED, Fault.ABSENT, Fault.EMPTY, Fault.TORN, Fault.WRONG, Fault.OTHERS, Fault.STALE_LIST,
    Fault.TWICE, Fault.LOST,
)  # fmt: skip
"""Those after which a story mends itself, in the order by which the seeds that failed once tell theirs."""


@dataclass(frozen=True)
class Group:
    """A practice whose devices all know the small family: closed folders, their master keys, and the shelf."""

    folders: tuple[Path, ...]
    masters: tuple[bytes, ...]
    held: dict[str, bytes]


def group_of(folder: Path, count: int) -> Group:
    """Make one; the first two devices are owners."""
    stores, shelf = [device(folder, f"device {n}").store for n in range(count)], Shelf()
    found_practice(stores[0], "Device 0", Clock())
    stores[0].write(small_family(), author=AUTHOR)
    for n, store in enumerate(stores[1:], start=1):
        joined(stores[0], store, f"Device {n}", Role.OWNER if n == 1 else Role.CONSULTANT)
    for store in (*stores, *stores):
        meet(store, shelf)
    for store in stores:
        store.close()
    folders = tuple(store.folder for store in stores)
    masters = tuple(passphrase_slot_opened(one / "keys" / "passphrase.slot", PASSPHRASE) for one in folders)
    return Group(folders, masters, dict(shelf.held))


def standing(store: Store) -> dict[tuple[str, str], set[str]]:
    """What the registers of a store say."""
    found: dict[tuple[str, str], set[str]] = {}
    with store._db.transaction() as c:
        for entity, name, made in c.exec_driver_sql("SELECT entity, field, hash FROM register"):
            found.setdefault((entity, name), set()).add(made)
    return found


def log_of(store: Store) -> dict[str, Operation]:
    """Every operation of a store."""
    with store._db.transaction() as c:
        read = [Operation.read(row[0]) for row in c.exec_driver_sql("SELECT bytes FROM operation")]
    return {one.hash: one for one in read}


@dataclass
class Member:
    """One device of the story."""

    store: Store
    master: bytes
    clock: Clock
    given: set[str] = field(default_factory=set)
    stale: dict[str, tuple[str, ...]] = field(default_factory=dict)
    written: set[str] = field(default_factory=set)


class RoundStory:
    """`step` does one random thing; `end` brings all together and holds them against one another."""

    def __init__(self, choose: Choose, group: Group, folder: Path, devices: int) -> None:
        self.choose, self.folder = choose, folder
        self.shelf = Shelf(held=dict(group.held))
        self.ids = iter(range(10**9))
        self.told: list[Told] = []
        self.devices: list[Member] = []
        self.copies = 0
        for n in range(devices):
            shutil.copytree(group.folders[n], folder / f"{n}")
            self.devices.append(self._open(folder / f"{n}", group.masters[n]))

    def _open(self, folder: Path, master: bytes, clock: Clock | None = None) -> Member:
        files, clock = Folder(folder), clock or Clock()
        files.lock.touch()
        store = opened(
            files, Lock(files.lock), master, clock=clock, ids=lambda: secrets.token_hex(16), event="unlocked", about={}
        )
        assert store.told == ()
        return Member(store, master, clock, set(log_of(store)))

    def close(self) -> None:
        """Close all."""
        for one in self.devices:
            one.store.close()

    # --- steps ------------------------------------------------------------------------------------------------------

    def step(self) -> Member:
        """Do one thing and give the device that did it."""
        what = self.choose(24)
        one = self.devices[self.choose(len(self.devices))]
        before = one.given
        if what < 7:
            self._write(one)
        elif what == 7:
            self._newer(one)
        elif what == 8:
            with suppress(Trouble):  # signed already, or two values stand
                one.store.sign(VISIT, author=AUTHOR)
        elif what == 9:
            entity = f"{self.choose(10**6):032x}"
            changes: list[Change] = [Begin(entity, Place("addendum", FAMILY, VISIT)), put(entity, "words", "Later on")]
            one.store.write(changes, author=AUTHOR)
        elif what < 16:
            self._round(one, Faulting(self.shelf))
        elif what < 19:
            self._round(one, Faulting(self.shelf, self._sometimes(), self.shelf.lay))
        elif what == 19:
            self._killed(one)
        elif what == 20:
            one.clock.at = Clock().at + timedelta(days=365 * (self.choose(9) - 3), seconds=self.choose(1000))
        elif what == 21:
            self._copy(one)
        else:
            self._act(one)
        one.written |= {
            made for made, op in log_of(one.store).items() if made not in before and op.chain == one.store.device
        }
        return one

    def _write(self, one: Member) -> None:
        what, value = self.choose(4), f"{self.choose(5)} hens"
        if what == 0:
            entity = f"{self.choose(10**6) + 10**6:032x}"
            place = Place("weight", FAMILY, VISIT, (BABY,))
            with suppress(Trouble):  # signed
                one.store.write([Begin(entity, place), put(entity, "weight", grams(3000))], author=AUTHOR)
            return
        entity = (BABY, TWIN, FAMILY)[what - 1]
        name = "pets" if entity == FAMILY else "called_name"
        heads = tuple(head.operation for head in one.store.heads(entity, At(name)))
        seen = one.stale.pop(entity, heads) if self.choose(2) else heads
        if self.choose(2):
            one.stale.setdefault(entity, heads)  # a draft opened now and saved later
        one.store.write([put(entity, name, value, replaces=seen)], author=AUTHOR)

    def _newer(self, one: Member) -> None:
        """Write what a newer version could: an unknown field, form, or kind of operation."""
        kind = self.choose(3)
        entity, name, value = BABY, "lullaby", {"verses": self.choose(9)}
        if kind == 1:
            entity, name = f"{self.choose(10**6) + 2 * 10**6:032x}", PLACE
            value = {"form": "lullaby", "family": FAMILY, "visit": None, "subjects": []}  # type: ignore[dict-item]
        with one.store._writing() as writing:
            made, chain = writing.chain.next(entity, name, value, (), AUTHOR, writing.now, "")
            if kind == 2:
                from dataclasses import replace

                made = Operation.read(canonical(orjson.loads(made.raw) | {"v": 2, "kind": "sung"}))
                chain = replace(chain, last=made.hash, newest=made.hash)
            writing.chain = chain
            append(writing.c, made, chain.count, None)
            writing._lines.add(FAMILY)
            writing.result()

    def _sometimes(self) -> dict[int, Fault]:
        return {self.choose(40) - 1: _FAULTS[self.choose(len(_FAULTS))] for _ in range(3)}

    def _round(self, one: Member, target: Target) -> None:
        with suppress(Trouble):  # a place that does not answer, an empty one, a device that was put out
            try:
                self.told.append(sync_round(one.store, target, clock=one.clock))
            except (Continued, NotMember):
                one.written |= self._own(one)
                self._let_in_again(one)

    def _own(self, one: Member) -> set[str]:
        return {made for made, op in log_of(one.store).items() if op.chain == one.store.device}

    def _let_in_again(self, one: Member) -> None:
        """What an owner does for a device that goes on under a new name."""
        practice = practice_of(self.devices[0].store)
        assert practice is not None
        if one.store.device not in practice.roster.every and self.devices[0] is not one:
            with suppress(AssertionError):
                joined(self.devices[0].store, one.store, "Again")

    def _killed(self, one: Member) -> None:
        """A round whose process ends before or after one of its durable steps, in the store or at the place."""
        at, after, step = self.choose(30) + 1, bool(self.choose(2)), 0
        wrapped = one.store._writing

        def tick() -> None:
            nonlocal step
            step += 1
            if step == at:
                raise Killed

        @contextmanager
        def writing() -> Iterator[Writing]:
            if not after:
                tick()
            with wrapped() as going:
                yield going
            if after:
                tick()

        class Dying(Faulting):
            def _written(self, write: Callable[[str, bytes], None], name: str, data: bytes) -> None:
                if not after:
                    tick()
                write(name, data)
                if after:
                    tick()

        one.store._writing = writing  # type: ignore[method-assign]
        try:
            self._round(one, Dying(self.shelf))
        except Killed:
            pass
        finally:
            del one.store._writing
        one.store._lock.release()
        one.store._db.close()
        one.store._tail.close()
        again = self._open(one.store.folder, one.master, one.clock)
        one.store, one.given = again.store, again.given

    def _copy(self, one: Member) -> None:
        if len(self.devices) > 5 or one in self.devices[:2] or self.copies:
            return
        self.copies += 1
        one.store.settle()
        shutil.copytree(one.store.folder, self.folder / f"copy {self.copies}")
        self.devices.append(self._open(self.folder / f"copy {self.copies}", one.master))

    def _act(self, one: Member) -> None:
        practice = practice_of(one.store)
        assert practice is not None
        if one.store.device not in practice.roster.owners() or one.store.device not in practice.roster.members:
            return
        others = [c for c in practice.roster.members if c not in {d.store.device for d in self.devices[:2]}]
        if self.choose(3) == 0 and others and len(practice.roster.members) > 3:
            put_out(one.store, practice, others[self.choose(len(others))], one.clock)
        else:
            change_key(one.store, practice, one.clock)

    # --- what must hold ---------------------------------------------------------------------------------------------

    def check(self, one: Member) -> None:
        """Nothing that was here is gone, and what stands is what the log says."""
        log = log_of(one.store)
        assert one.given <= set(log), "an operation is gone"
        one.given = set(log)
        assert standing(one.store) == oracle(log)

    def end(self) -> None:
        """All meet undisturbed; who belongs shows one record, which holds everything that was written and not put out."""
        for _ in range(5):
            for one in self.devices:
                self._round(one, self.shelf)
        practice = practice_of(self.devices[0].store)
        assert practice is not None
        assert not practice.roster.rotation_owed
        inside = [one for one in self.devices if one.store.device in practice.roster.members]
        assert len({one.store.exchange().digest() for one in inside}) == 1, "they differ"
        for one in self.devices:
            self.check(one)
            problems = one.store.check()
            assert not problems, problems
            assert one.store.differences() == ()
        log = log_of(inside[0].store)
        # A device that goes on under a new name writes what never left it once more, on top of itself.
        everything = set(log) | {parent for one in log.values() for parent in one.parents}
        for one in inside:
            assert one.written <= everything, "a value is lost"
        assert {head.value for head in inside[0].store.heads(BABY, At("called_name"))}
        assert isinstance(inside[0].store.chart(FAMILY).person(InfantIdentity, BABY), InfantIdentity)
        self._late_are_kept(inside[0], everything)

    def _late_are_kept(self, one: Member, everything: set[str]) -> None:
        """What a device that was put out had sent is taken in or set aside by name."""
        aside = {aside.name for aside in one.store.exchange().asides()}
        for other in self.devices:
            for number in other.store.exchange().numbers(other.store.device):
                kept = other.store.exchange().file(other.store.device, number)
                name = f"c/{other.store.device}/{number // 1000:05}/{number:08}"
                assert kept is not None
                known = one.store.exchange().file(other.store.device, number)
                assert known is not None or name in aside or name not in self.shelf.held
