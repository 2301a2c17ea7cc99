"""A place that goes wrong at a given request: the same wrong every time, whatever lies behind it.

    faulting = Faulting(target, {7: Fault.TORN}, lay=place.lay)

The eighth request (they count from 0, whatever is asked) meets the fault. A fault that does not fit what is asked there
(a stale list where bytes are written) waits for the next request that it fits. `met` tells which were met and where, so
that a test can tell "survived" from "never happened"; `asked` tells how many requests there are to go through.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum, auto
from random import Random

from sync.transport.port import Listed, Target, sorted_out
from sync.transport.troubles import NotKept, OutOfOrder, Unreachable

__all__ = ["LISTING", "READING", "WRITING", "Fault", "Faulting", "drawn_faults"]


class Fault(Enum):
    """What goes wrong at a request."""

    REFUSED = auto()  # it never arrives
    UNANSWERED = auto()  # it is done, and no answer comes
    ABSENT = auto()  # "absent" is said of what is there
    EMPTY = auto()  # nothing of it is read; or the name alone arrives, without a byte
    TORN = auto()  # half of it is read; or half of it arrives, and nothing more is heard
    WRONG = auto()  # one bit is read wrong
    OTHERS = auto()  # another name's bytes are read
    STALE_LIST = auto()  # a list as it was at the first asking
    TWICE = auto()  # it is done, and done again when the next request comes
    LOST = auto()  # "done" is said, and it never is
    LATE = auto()  # "done" is said, and it is there only some requests later
    HALF_KEPT = auto()  # half of it is kept, and reading back tells
    SERVER_FAULT = auto()  # 503, nothing done
    CLOBBERED = auto()  # another program wrote other bytes under the name just before


_ANYWHERE = frozenset({Fault.REFUSED, Fault.UNANSWERED, Fault.SERVER_FAULT})
WRITING = _ANYWHERE | {
    Fault.EMPTY, Fault.TORN, Fault.TWICE, Fault.LOST, Fault.LATE, Fault.HALF_KEPT, Fault.CLOBBERED,
}  # fmt: skip
READING = _ANYWHERE | {Fault.ABSENT, Fault.EMPTY, Fault.TORN, Fault.WRONG, Fault.OTHERS, Fault.CLOBBERED}
LISTING = _ANYWHERE | {Fault.STALE_LIST}


def drawn_faults(seed: int, requests: int, share: float = 0.1) -> dict[int, Fault]:
    """Faults for about a `share` of so many requests, the same for the same seed."""
    rng = Random(seed)
    return {step: rng.choice(list(Fault)) for step in range(requests) if rng.random() < share}


@dataclass
class Faulting:
    """A target in front of another. `lay` writes behind its back; `late` is how many requests a late write takes."""

    target: Target
    faults: Mapping[int, Fault] = field(default_factory=dict)
    lay: Callable[[str, bytes], None] = lambda _name, _data: None
    seed: int = 0
    late: int = 3
    asked: int = 0
    met: list[tuple[int, Fault, str]] = field(default_factory=list)
    _waiting: list[Fault] = field(default_factory=list)
    _after: list[tuple[int, Callable[[], None]]] = field(default_factory=list)
    _overdue: int = 0
    _lists: dict[str, Listed] = field(default_factory=dict)
    _bytes: dict[str, bytes] = field(default_factory=dict)

    @property
    def label(self) -> str:
        """The other's."""
        return self.target.label

    def put(self, name: str, data: bytes) -> None:
        """Write, or go wrong."""
        self._written(self.target.put, name, data)

    def replace(self, name: str, data: bytes) -> None:
        """Write over, or go wrong."""
        self._written(self.target.replace, name, data)

    def get(self, name: str) -> bytes | None:
        """Read, or go wrong."""
        fault = self._next(READING, name)
        if fault is Fault.ABSENT:
            return None
        if fault is Fault.CLOBBERED:
            self._clobber(name)
        found = self._seen(name, self.target.get(name), fault)
        if fault is Fault.UNANSWERED:
            raise Unreachable(place=self.label)
        return found

    def get_all(self, names: Iterable[str]) -> Iterator[tuple[str, bytes | None]]:
        """One after another, so that the requests keep their numbers."""
        for name in names:
            yield name, self.get(name)

    def size(self, name: str) -> int | None:
        """As short as what would be read."""
        there = self.get(name)
        return None if there is None else len(there)

    def part(self, name: str, start: int, length: int) -> bytes | None:
        """A part of what would be read."""
        there = self.get(name)
        return None if there is None else there[start : start + length]

    def listed(self, folder: str) -> Listed:
        """List, or go wrong."""
        fault = self._next(LISTING, folder)
        if fault is Fault.STALE_LIST:
            return self._lists.get(folder, Listed())
        names, folders = self.target.names(folder)
        if fault is Fault.UNANSWERED:
            raise Unreachable(place=self.label)
        found = sorted_out(names, folders)
        self._lists.setdefault(folder, found)
        return found

    def names(self, folder: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """List, or go wrong."""
        found = self.listed(folder)
        return found.names, found.folders

    def stray(self, path: str) -> bytes | None:
        """Without a fault."""
        return self.target.stray(path)

    def sweep(self, chain: str) -> int:
        """Without a fault."""
        return self.target.sweep(chain)

    def close(self) -> None:
        """Let everything late arrive."""
        self.arrive()
        self.target.close()

    def arrive(self) -> None:
        """What is late comes now."""
        due, self._after, self._overdue = self._after, [], 0
        for _step, write in due:
            write()

    def arrive_one_later(self) -> None:
        """A round ended: what was late already when the one before it ended comes now."""
        due, self._after = self._after[: self._overdue], self._after[self._overdue :]
        self._overdue = len(self._after)
        for _step, write in due:
            write()

    def _written(self, write: Callable[[str, bytes], None], name: str, data: bytes) -> None:
        fault = self._next(WRITING, name)
        if fault in {Fault.TORN, Fault.HALF_KEPT, Fault.EMPTY}:
            if self.target.get(name) != data:  # what lies there already is not written again
                self.lay(name, b"" if fault is Fault.EMPTY else data[: len(data) // 2])
            raise NotKept(place=self.label) if fault is Fault.HALF_KEPT else Unreachable(place=self.label)
        if fault is Fault.LOST:
            return
        if fault is Fault.LATE:
            self._after.append((self.asked + self.late, lambda: self.lay(name, data)))
            return
        if fault is Fault.CLOBBERED:
            self._clobber(name)
        write(name, data)
        self._bytes[name] = data
        if fault is Fault.UNANSWERED:
            raise Unreachable(place=self.label)
        if fault is Fault.TWICE:
            self._after.append((self.asked + 1, lambda: self.lay(name, data)))

    def _next(self, fits: frozenset[Fault], name: str) -> Fault | None:
        """The fault of this request, once what is due has come. Raises for those with which nothing is done."""
        step, self.asked = self.asked, self.asked + 1
        due = [one for one in self._after if one[0] <= self.asked]
        self._after = [one for one in self._after if one not in due]
        for _step, write in due:
            write()
        if step in self.faults:
            self._waiting.append(self.faults[step])
        fault = next((one for one in self._waiting if one in fits), None)
        if fault is None:
            return None
        self._waiting.remove(fault)
        self.met.append((step, fault, name))
        if fault is Fault.REFUSED:
            raise Unreachable(place=self.label)
        if fault is Fault.SERVER_FAULT:
            raise OutOfOrder(place=self.label, code=" (503)")
        return fault

    def _clobber(self, name: str) -> None:
        self.lay(name, Random(f"{self.seed} {self.asked}").randbytes(200))

    def _seen(self, name: str, data: bytes | None, fault: Fault | None) -> bytes | None:
        if not data or fault in {None, Fault.CLOBBERED, Fault.UNANSWERED}:
            if data and fault is None:
                self._bytes[name] = data
            return data
        rng = Random(f"{self.seed} {self.asked}")
        if fault is Fault.EMPTY:
            return b""
        if fault is Fault.TORN:
            return data[: len(data) // 2]
        if fault is Fault.OTHERS:
            others = sorted(other for other in self._bytes if other != name)
            alike = [other for other in others if other[:1] == name[:1]]
            return self._bytes[rng.choice(alike or others)] if others else data
        wrong = bytearray(data)
        wrong[rng.randrange(len(wrong))] ^= 1 << rng.randrange(8)
        return bytes(wrong)
