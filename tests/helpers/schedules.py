"""Random stories of several devices that write, meet, part, are copied and have wrong clocks; and what must hold.

One story is a list of steps drawn from a source of choices, so that Hypothesis and a plain seeded loop tell the same.
After each step the oracle works out anew, from the operations a device was given, what must stand there.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta

from storage.log import SIGNED, Operation
from sync.merge.replica import Replica
from tests.helpers.chains import BEGINS, Writer

__all__ = ["Choose", "Device", "Story", "oracle"]

Choose = Callable[[int], int]
"""A number from 0 up to, not including, its argument."""

FIELDS = ("began", "used@left", "used@right", "note")
ENTITIES = tuple(f"{n:032x}" for n in range(1, 6))
VISIT = ENTITIES[0]


@dataclass
class Device:
    """One device of the story: its chain, what it knows, and every operation it was ever given."""

    writer: Writer
    replica: Replica = field(default_factory=Replica)
    given: dict[str, Operation] = field(default_factory=dict)

    def take(self, operations: list[Operation]) -> None:
        """Be given operations, in this order."""
        self.replica.take(operations)
        self.given |= {one.hash: one for one in operations}


class Story:
    """Up to six devices. `step` does one random thing; `check` holds every device against the oracle."""

    def __init__(self, choose: Choose, devices: int) -> None:
        self.choose = choose
        self.devices = [Device(Writer(f"device {n}")) for n in range(devices)]
        self.written: dict[str, Operation] = {}
        self.copies = 0

    def step(self) -> None:
        """One of: write, write over, sign, send a part in any order, send all twice, change a clock, copy a device."""
        what = self.choose(12)
        device = self.devices[self.choose(len(self.devices))]
        if what < 5:
            self._write(device)
        elif what == 5:
            self._sign(device)
        elif what < 9:
            self._send(device, part=True)
        elif what == 9:
            self._send(device, part=False)
        elif what == 10:
            device.writer.clock = BEGINS + timedelta(days=365 * (self.choose(9) - 3), seconds=self.choose(1000))
        elif len(self.devices) < 6:
            self.copies += 1
            twin = Device(copy.deepcopy(device.writer), copy.deepcopy(device.replica), dict(device.given))
            self.devices.append(twin)

    def _write(self, device: Device) -> None:
        entity = ENTITIES[self.choose(len(ENTITIES))]
        if device.replica.place(entity) is None:
            form = "visit" if entity == VISIT else "feed"
            self._made(device, device.writer.begin(entity, form, family="f" * 32, visit=VISIT))
            return
        name = FIELDS[self.choose(len(FIELDS))]
        heads = [one.hash for one in device.replica.standing((entity, name)).operations]
        kept = heads if self.choose(3) else heads[: self.choose(len(heads) + 1)]  # a draft may not have seen them all
        self._made(device, device.writer.put(entity, name, self.choose(4), tuple(kept)))

    def _sign(self, device: Device) -> None:
        if device.replica.place(VISIT) is None or device.replica.signatures(VISIT):
            return
        seen = {chain: known.whole for chain, known in device.replica.chains.items()}
        self._made(device, device.writer.put(VISIT, SIGNED, {"digest": device.replica.digest(), "seen": seen}))

    def _made(self, device: Device, made: Operation) -> None:
        self.written[made.hash] = made
        device.take([made])

    def _send(self, device: Device, *, part: bool) -> None:
        other = self.devices[self.choose(len(self.devices))]
        waiting = list(device.given.values())
        for at in range(len(waiting) - 1, 0, -1):
            to = self.choose(at + 1)
            waiting[at], waiting[to] = waiting[to], waiting[at]
        other.take(waiting[: self.choose(len(waiting) + 1)] if part else waiting + waiting)

    def meet(self) -> None:
        """Everybody gives everything to everybody."""
        for one in self.devices:
            for other in self.devices:
                other.take(list(one.given.values()))

    def check(self) -> None:
        """Each device shows the values of the oracle: nothing lost, nothing hidden, nothing twice."""
        for device in self.devices:
            shown = {
                register: {one.hash for one in device.replica.standing(register).operations}
                for register in device.replica.registers()
            }
            assert {register: heads for register, heads in shown.items() if heads} == oracle(device.given)
            for standing in device.replica.conflicts():
                assert len(standing.values) > 1
            assert {fork.seq for fork in device.replica.forks()} == forked(device.given)

    def end(self) -> None:
        """After everybody met, all show the same, and each value written stands or was written over on purpose."""
        self.meet()
        self.check()
        assert len({device.replica.digest() for device in self.devices}) == 1
        replaced = {parent for one in self.written.values() for parent in one.parents}
        standing = {
            one.hash
            for register in self.devices[0].replica.registers()
            for one in self.devices[0].replica.standing(register).operations
        }
        assert set(self.written) == standing | (replaced & set(self.written))
        assert not self.devices[0].replica.gaps()


def oracle(given: dict[str, Operation]) -> dict[tuple[str, str], set[str]]:
    """What must stand, worked out the slow way: operations that no other one of their register names."""
    found: dict[tuple[str, str], set[str]] = {}
    named = {(other.entity, other.field, parent) for other in given.values() for parent in other.parents}
    for one in given.values():
        register = (one.entity, one.field)
        if (*register, one.hash) not in named:
            found.setdefault(register, set()).add(one.hash)
    return found


def forked(given: dict[str, Operation]) -> set[int]:
    """The numbers that stand for two operations of one chain."""
    seen: dict[tuple[str, int], set[str]] = {}
    for one in given.values():
        seen.setdefault((one.chain, one.seq), set()).add(one.hash)
    return {seq for (_chain, seq), hashes in seen.items() if len(hashes) > 1}
