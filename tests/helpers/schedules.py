"""Random stories of several devices that write, sign, meet, part, fall over, are copied and put out; and what must hold.

One story is a list of steps drawn from a source of choices, so that Hypothesis and a plain seeded loop tell the same.
Whatever a device takes in is held at once against the truth, which uses no code of the merge.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import timedelta

import orjson

from storage.log import SIGNED, STRUCK, Chain, Operation, canonical
from sync.membership.acts import Act, Add, Change, Role, SetRole
from sync.membership.roster import Roster, roster
from sync.merge.replica import Replica
from tests.helpers.acts_apart import act_by, begun, changed_key, holds, let_in, may_ever_act, put_out
from tests.helpers.chains import BEGINS, Writer, device_id
from tests.helpers.truth import Truth, forked, late, missing, oracle

__all__ = ["Choose", "Device", "Story", "oracle"]

Choose = Callable[[int], int]
"""A number from 0 up to, not including, its argument."""

FIELDS = ("began", "used@left", "used@right", "note")
ENTITIES = tuple(f"{n:032x}" for n in range(1, 6))
VISIT = ENTITIES[0]
MOST = 6
WITH_ACTS = 24
"""One story in twenty-four has a practice with acts of membership: their signatures cost more than all else together."""


@dataclass
class Device:
    """One device: its chain, what it knows, everything it was given in order, and how much of that is kept for good."""

    writer: Writer
    replica: Replica = field(default_factory=Replica)
    truth: Truth = field(default_factory=Truth)
    log: list[Operation] = field(default_factory=list)
    acts: dict[str, Act] = field(default_factory=dict)
    kept: int = 0

    @property
    def chain(self) -> str:
        """Whose log it writes; a copied device has that of its original."""
        return self.writer.chain.id

    def take(self, operations: Iterable[Operation]) -> None:
        """Be given operations, in this order; what it shows afterwards is held against the truth."""
        operations = list(operations)
        here = self.truth.here
        fresh: list[Operation] = []
        for one in operations:
            if one.hash not in here:
                self.truth.note(one)
                fresh.append(one)
        self.log += fresh
        before = self.truth.torn
        taken = self.replica.take(operations)
        assert taken.fresh == tuple(one.hash for one in fresh)
        assert taken.already == len(operations) - len(fresh)
        if fresh:
            self.hold()
        assert set(taken.conflicts) == self.truth.torn - before, "a new conflict is not told"
        assert set(taken.settled) == before - self.truth.torn, "a settled conflict is not told"

    def hold(self) -> None:
        """It shows every value that stands and no other, each conflict, and each number that was given twice."""
        replica, must = self.replica, self.truth.standing()
        shown = [
            (*register, one.hash) for register in replica.registers() for one in replica.standing(register).operations
        ]
        assert len(shown) == len(must), "a value is lost, hidden or shown twice"
        assert set(shown) == must, "another value is shown"
        assert {standing.register for standing in replica.conflicts()} == self.truth.torn
        assert {(fork.chain, fork.seq) for fork in replica.forks()} == self.truth.forked

    def back_to(self, count: int) -> list[Operation]:
        """Be as it was after so many operations; gives what it no longer knows."""
        gone, rest = self.log[count:], self.log[:count]
        self.replica, self.truth, self.log, self.kept = Replica(), Truth(), [], count
        self.take(rest)
        own = [one for one in rest if one.chain == self.chain]
        last = max(own, key=lambda one: one.seq) if own else None
        self.writer.chain = (
            Chain(self.chain, last.seq, last.hash, last.millis, last.tick) if last is not None else Chain(self.chain)
        )
        return gone


@dataclass(frozen=True)
class Sent:
    """Operations and acts on their way to a device: late, in any order, once, twice or never."""

    sender: str
    to: Device
    operations: tuple[Operation, ...]
    acts: tuple[Act, ...]


class Story:
    """Up to six devices. `step` does one random thing; `end` brings all together."""

    def __init__(self, choose: Choose, devices: int) -> None:
        self.choose = choose
        self.devices = [Device(Writer(f"device {n}")) for n in range(devices)]
        self.written: dict[str, Operation] = {}
        self.gone: set[str] = set()
        self.sent: list[Sent] = []
        self.apart: frozenset[int] = frozenset()
        self.practice = choose(WITH_ACTS) == 0
        self.rosters: dict[frozenset[str], Roster] = {}
        self.held: dict[frozenset[str], Roster] = {}
        self.false: set[str] = set()
        if self.practice:
            for device in self.devices:
                device.acts = {act.hash: act for act in begun(devices)}
        self.named = devices

    def step(self) -> None:
        """One random thing that a device, the way between two, or the world does."""
        STEPS[self.choose(len(STEPS))](self, self.devices[self.choose(len(self.devices))])

    # --- what a device does -----------------------------------------------------------------------------------------

    def write(self, device: Device) -> None:
        """Begin an entry, or write over what a draft had seen of a field: all that stands, or a part of it."""
        entity = ENTITIES[self.choose(len(ENTITIES))]
        if device.replica.place(entity) is None:
            form = "visit" if entity == VISIT else "feed"
            self._made(device, device.writer.begin(entity, form, family="f" * 32, visit=VISIT))
            return
        name = FIELDS[self.choose(len(FIELDS))]
        heads = [one.hash for one in device.replica.standing((entity, name)).operations]
        kept = heads if self.choose(3) else heads[: self.choose(len(heads) + 1)]
        self._made(device, device.writer.put(entity, name, self.choose(4), tuple(kept)))

    def sign(self, device: Device) -> None:
        """Sign the visit, unless this device knows a signature."""
        if device.replica.place(VISIT) is None or device.replica.signatures(VISIT):
            return
        seen = {chain: known.whole for chain, known in device.replica.chains.items()}
        self._made(device, device.writer.put(VISIT, SIGNED, {"digest": device.replica.digest(), "seen": seen}))

    def addendum(self, device: Device) -> None:
        """Begin an addendum and write it."""
        entity = f"{self.choose(9) + 100:032x}"
        if device.replica.place(entity) is None:
            self._made(device, device.writer.begin(entity, "addendum", family="f" * 32, visit=VISIT))
        heads = tuple(one.hash for one in device.replica.standing((entity, "words")).operations)
        self._made(device, device.writer.put(entity, "words", self.choose(4), heads))

    def strike(self, device: Device) -> None:
        """Strike an entry out, or take that back."""
        entity = ENTITIES[1 + self.choose(len(ENTITIES) - 1)]
        heads = tuple(one.hash for one in device.replica.standing((entity, STRUCK)).operations)
        value = {"reason": "slip"} if self.choose(3) else None
        self._made(device, device.writer.put(entity, STRUCK, value, heads))

    def newer(self, device: Device) -> None:
        """Write what a newer version could: an unknown field, form, or kind of operation."""
        kind, entity = self.choose(3), ENTITIES[self.choose(len(ENTITIES))]
        if kind == 0:
            self._made(device, device.writer.put(entity, "lullaby", {"verses": self.choose(3)}))
        elif kind == 1:
            self._made(device, device.writer.begin(f"{self.choose(9) + 200:032x}", "lullaby", family="f" * 32))
        else:
            made = device.writer.put(entity, "lullaby", {"verses": self.choose(3)})
            sung = Operation.read(canonical(orjson.loads(made.raw) | {"v": 2, "kind": "sung"}))
            chain = device.writer.chain
            device.writer.chain = Chain(chain.id, chain.seq, sung.hash, chain.millis, chain.tick)
            self._made(device, sung)

    def clock(self, device: Device) -> None:
        """Its clock is set, to between three years too early and five years too late."""
        device.writer.clock = BEGINS + timedelta(days=365 * (self.choose(9) - 3), seconds=self.choose(1000))

    def _made(self, device: Device, made: Operation) -> None:
        self.written[made.hash] = made
        device.take((made,))
        if self.choose(2):
            device.kept = len(device.log)

    # --- what becomes of a device -----------------------------------------------------------------------------------

    def crash(self, device: Device) -> None:
        """It stops and comes up with what it had kept; the rest it never sent, nor said to be saved."""
        self.gone |= {one.hash for one in device.back_to(device.kept)}

    def restore(self, device: Device) -> None:
        """It is put back from an old copy: numbers that were published are given once more."""
        self.gone |= {one.hash for one in device.back_to(self.choose(len(device.log) + 1))}

    def copied(self, device: Device) -> None:
        """Its folder is copied to another machine, and both go on under one name."""
        if len(self.devices) < MOST:
            writer = Writer("")
            writer.chain, writer.clock = device.writer.chain, device.writer.clock
            twin = Device(writer, acts=dict(device.acts), kept=len(device.log))
            twin.take(device.log)
            self.devices.append(twin)

    def part(self, _device: Device) -> None:
        """Some devices hear only one another from now on; or all hear all again."""
        self.apart = frozenset(n for n in range(MOST) if self.choose(2)) if self.choose(3) else frozenset()

    # --- what goes between two --------------------------------------------------------------------------------------

    def send(self, device: Device) -> None:
        """Send a part of what it kept in any order, or all of it twice; it arrives at once, later or never."""
        other = self.devices[self.choose(len(self.devices))]
        device.kept = len(device.log)
        if self.practice and other.chain in self._roster(device).put_out:
            return
        at = self.choose(60)
        waiting = sorted(device.log, key=lambda one: one.hash[at:])
        if self.choose(5):
            waiting = waiting[: self.choose(len(waiting) + 1)]
        else:
            waiting += waiting
        sent = Sent(device.chain, other, tuple(waiting), tuple(device.acts.values()))
        self.sent.append(sent)
        if self.choose(3):
            self._arrives(device, sent)

    def arrive(self, _device: Device) -> None:
        """Something that was sent arrives, and perhaps will once more."""
        if self.sent:
            sent = self.sent.pop(self.choose(len(self.sent)))
            self._arrives(next((one for one in self.devices if one.chain == sent.sender), sent.to), sent)
            if self.choose(4) == 0:
                self.sent.append(sent)

    def _arrives(self, sender: Device, sent: Sent) -> None:
        if (self.devices.index(sender) in self.apart) != (self.devices.index(sent.to) in self.apart):
            return
        if self.practice:
            sent.to.acts |= {act.hash: act for act in sent.acts}
            if sent.sender in self._roster(sent.to).put_out:
                return
        sent.to.take(sent.operations)
        if self.choose(2):
            sent.to.kept = len(sent.to.log)

    # --- who belongs ------------------------------------------------------------------------------------------------

    def _roster(self, device: Device) -> Roster:
        known = frozenset(device.acts)
        if known not in self.rosters:
            self.rosters[known] = roster(device.acts.values(), begun(1)[0].hash)
        return self.rosters[known]

    def act(self, device: Device) -> None:
        """An owner puts somebody out, lets somebody in, changes a role or the key, by what it knows.

        Now and then somebody who is no owner does so, or somebody signs what another is said to have done.
        """
        if not self.practice:
            return
        now = self._roster(device)
        owner = device.chain in now.owners()
        if not owner and self.choose(3):
            return
        change = self._change(device, now)
        forger = None if self.choose(12) else self.devices[self.choose(len(self.devices))].chain
        made = act_by(device.chain, change, device.acts.values(), now.heads, signer=forger)
        if not may_ever_act(device.chain, device.acts.values()) or forger not in (None, device.chain):
            self.false.add(made.hash)
        device.acts[made.hash] = made
        if isinstance(change, Add):
            self.named += 1
            self.devices.append(Device(Writer(f"device {self.named - 1}"), acts=dict(device.acts)))

    def _change(self, device: Device, now: Roster) -> Change:
        kind, name = self.choose(4), f"{len(self.written)} {device.chain} {len(device.acts)}"
        others = sorted(chain for chain in now.members if chain != device.chain)
        if kind == 0 and len(others) > 1:
            return put_out(now, others[self.choose(len(others))], device.acts.values(), name)
        if kind == 1 and len(self.devices) < MOST:
            return let_in(now, device_id(f"device {self.named}"))
        if kind == 2 and others:
            return SetRole(others[self.choose(len(others))], (Role.OWNER, Role.STUDENT)[self.choose(2)])
        return changed_key(now, name)

    # --- what must hold ---------------------------------------------------------------------------------------------

    def meet(self) -> None:
        """Whoever belongs gets everything from whoever belongs."""
        inside = self.inside()
        everything = {one.hash: one for device in inside for one in device.log}
        for n, device in enumerate(inside):
            device.take(sorted(everything.values(), key=lambda one, n=n: one.hash[n:]))  # type: ignore[misc]

    def inside(self) -> list[Device]:
        """The devices that belong when everybody knows every act; they know them then."""
        if not self.practice:
            return self.devices
        acts = {made: act for device in self.devices for made, act in device.acts.items()}
        now = self._held(acts)
        owners = now.owners()
        if now.rotation_owed and owners:
            made = act_by(owners[0], changed_key(now, "owed"), acts.values(), now.heads)
            acts[made.hash] = made
            now = self._held(acts)
            assert not now.rotation_owed
        for device in self.devices:
            device.acts = dict(acts)
        return [device for device in self.devices if device.chain in now.members]

    def _held(self, acts: dict[str, Act]) -> Roster:
        known = frozenset(acts)
        if known not in self.held:
            self.held[known] = holds(list(acts.values()), self.false)
        return self.held[known]

    def check(self) -> None:
        """Every device against the truth, and the truth against a slower one."""
        for device in self.devices:
            device.hold()
            given = {one.hash: one for one in device.log}
            shown: dict[tuple[str, str], set[str]] = {}
            for entity, name, made in device.truth.standing():
                shown.setdefault((entity, name), set()).add(made)
            assert shown == oracle(given)
            assert device.truth.forked == forked(given)
            assert device.replica.gaps() == missing(given)

    def end(self) -> None:
        """After all met they show the same, and each value written stands or was written over on purpose."""
        shown = {(device.replica.digest(), frozenset(device.truth.standing())) for device in self.devices}
        assert (
            len({digest for digest, _standing in shown}) == len({standing for _digest, standing in shown}) == len(shown)
        )
        self.meet()
        inside = self.inside()
        for device in self.devices:
            assert device.replica.gaps() == missing({one.hash: one for one in device.log})
        if not inside:
            return
        assert len({device.replica.digest() for device in inside}) == 1
        self._told_late(inside)
        belong = {device.chain for device in inside}
        known = inside[0].truth.here  # what a device lost with its disk counts where another one has it
        must = {made for made, one in self.written.items() if one.chain in belong and made not in self.gone - known}
        replaced = {(one.entity, one.field, parent) for one in self.written.values() for parent in one.parents}
        for device in inside:
            standing = {one.hash for r in device.replica.registers() for one in device.replica.standing(r).operations}
            for made in must - standing:
                one = self.written[made]
                assert made in device.replica.operations, "a value is lost"
                assert (one.entity, one.field, made) in replaced, "a value is hidden"

    def _told_late(self, inside: list[Device]) -> None:
        """What is proposed as an addendum is the same everywhere, and is what no signature can have seen."""
        told = [{made for made in one.truth.here if one.replica.is_late(self.written[made])} for one in inside[:2]]
        assert told[0] == told[-1]
        if not inside[0].truth.forked:  # the numbers of a copied chain say nothing
            unseen = late(inside[0].log, VISIT)
            assert told[0] <= unseen, "what was signed is called late"
            standing = {made for _entity, _name, made in inside[0].truth.standing()}
            assert told[0] >= {made for made in unseen & standing if not self.written[made].parents}


STEPS: tuple[Callable[[Story, Device], None], ...] = (
    *(Story.write,) * 8, *(Story.send,) * 5, *(Story.arrive,) * 4, Story.sign, Story.addendum, Story.strike,
    Story.newer, Story.clock, Story.crash, Story.restore, Story.copied, Story.part, Story.act, Story.act,
)  # fmt: skip
