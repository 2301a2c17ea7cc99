"""What must stand by the operations a device was given, worked out from sets of hashes and with no code of the merge."""

from __future__ import annotations

from collections.abc import Iterable

from forms.after_signing import AFTER_SIGNING
from storage.log import PLACE, SIGNED, Operation, canonical
from sync.merge.replica import Gap

__all__ = ["Truth", "forked", "late", "missing", "oracle"]


class Truth:
    """What must stand, by sets alone: an operation stands until another one of the same register names it."""

    def __init__(self) -> None:
        self.here: set[str] = set()
        self.written: set[tuple[str, str, str]] = set()
        self.named: set[tuple[str, str, str]] = set()
        self.values: dict[str, bytes] = {}
        self.first: dict[tuple[str, int], str] = {}
        self.forked: set[tuple[str, int]] = set()
        self.torn: set[tuple[str, str]] = set()

    def note(self, one: Operation) -> None:
        """One more operation is here."""
        self.here.add(one.hash)
        self.written.add((one.entity, one.field, one.hash))
        self.named.update((one.entity, one.field, parent) for parent in one.parents)
        self.values[one.hash] = canonical(one.value)
        if self.first.setdefault((one.chain, one.seq), one.hash) != one.hash:
            self.forked.add((one.chain, one.seq))

    def standing(self) -> set[tuple[str, str, str]]:
        """Register and hash of each operation that stands; `torn` are then the registers with more than one value."""
        heads = self.written - self.named
        values: dict[tuple[str, str], bytes] = {}
        self.torn = set()
        for entity, name, made in heads:
            value = self.values[made]
            if values.setdefault((entity, name), value) != value:
                self.torn.add((entity, name))
        return heads


def oracle(given: dict[str, Operation]) -> dict[tuple[str, str], set[str]]:
    """What must stand, worked out the slow way: operations that no other one of their register names."""
    found: dict[tuple[str, str], set[str]] = {}
    named = {(other.entity, other.field, parent) for other in given.values() for parent in other.parents}
    for one in given.values():
        register = (one.entity, one.field)
        if (*register, one.hash) not in named:
            found.setdefault(register, set()).add(one.hash)
    return found


def forked(given: dict[str, Operation]) -> set[tuple[str, int]]:
    """The numbers that stand for two operations of one chain."""
    seen: dict[tuple[str, int], set[str]] = {}
    for one in given.values():
        seen.setdefault((one.chain, one.seq), set()).add(one.hash)
    return {number for number, hashes in seen.items() if len(hashes) > 1}


def missing(given: dict[str, Operation]) -> tuple[Gap, ...]:
    """The stretches of numbers below the last of a chain that are not here."""
    found: list[Gap] = []
    for chain in sorted({one.chain for one in given.values()}):
        here = {one.seq for one in given.values() if one.chain == chain}
        for seq in sorted(set(range(1, max(here))) - here):
            if found and (found[-1].chain, found[-1].last) == (chain, seq - 1):
                found[-1] = Gap(chain, found[-1].first, seq)
            else:
                found.append(Gap(chain, seq, seq))
    return tuple(found)


def late(given: Iterable[Operation], visit: str) -> set[str]:
    """What belongs to the signed visit, was seen by no signature of it, and is nothing that comes after signing."""
    given = list(given)
    signatures = [one.value["seen"] for one in given if (one.entity, one.field) == (visit, SIGNED)]
    found: set[str] = set()
    for one in given if signatures else ():
        named = {
            parent for other in given if (other.entity, other.field) == (one.entity, PLACE) for parent in other.parents
        }
        places = [o for o in given if (o.entity, o.field) == (one.entity, PLACE) and o.hash not in named]
        if not places or one.field == SIGNED:
            continue
        place = min(places, key=lambda o: (o.millis, o.tick, o.hash)).value
        inside = one.entity == visit or place["visit"] == visit
        if (
            inside
            and place["form"] not in AFTER_SIGNING
            and all(one.seq > seen.get(one.chain, 0) for seen in signatures)
        ):
            found.add(one.hash)
    return found
