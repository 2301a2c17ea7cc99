"""What a set of operations comes to: the values that stand, and what a person has to look at.

Merging is a union of operations, so it is commutative, associative and idempotent by itself; everything else follows
from the set. An operation stands until another one of the same register names it, whichever of the two came first, and
it counts by its hash alone: two different ones with the same number of the same chain are a fork, and both stand. No
clock chooses anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TypeAlias

from forms.after_signing import AFTER_SIGNING, LATER_FIELDS
from forms.answers import Json
from storage.known import Known, elsewhere, unseen
from storage.log import PLACE, SIGNED, STRUCK, Operation, canonical

__all__ = ["ChainSeen", "Fork", "Gap", "Register", "Replica", "Standing", "Taken"]

Register: TypeAlias = tuple[str, str]
"""An entry's id and a field of it."""


@dataclass(frozen=True, slots=True)
class Fork:
    """Two operations or more with one number of one chain: a device was copied, or restored from an old copy."""

    chain: str
    seq: int
    hashes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """Numbers of a chain, of operations or of files, that are missing while later ones are known: first and last."""

    chain: str
    first: int
    last: int


@dataclass(slots=True)
class ChainSeen:
    """How far one chain is known. `whole` is the number up to which nothing is missing, `beyond` what lies further.

    `hashes` holds the first operation of each number, `forked` all of a number that stands for several.
    """

    whole: int = 0
    hashes: dict[int, str] = field(default_factory=dict)
    beyond: set[int] = field(default_factory=set)
    forked: dict[int, list[str]] = field(default_factory=dict)

    def take(self, seq: int, made: str) -> None:
        """Note one operation."""
        first = self.hashes.setdefault(seq, made)
        if first != made:
            self.forked.setdefault(seq, [first]).append(made)
            return
        if seq == self.whole + 1:
            self.whole = seq
            while self.whole + 1 in self.beyond:
                self.whole += 1
                self.beyond.discard(self.whole)
        elif seq > self.whole:
            self.beyond.add(seq)


@dataclass(frozen=True, slots=True)
class Standing:
    """The operations that stand for one register, oldest first by the clocks they tell (for display only)."""

    register: Register
    operations: tuple[Operation, ...]

    @property
    def values(self) -> tuple[Json, ...]:
        """The distinct values, in that order; equal ones once."""
        return tuple({canonical(one.value): one.value for one in self.operations}.values())

    @property
    def conflicted(self) -> bool:
        """Whether more than one distinct value stands."""
        return len(self.operations) > 1 and len(self.values) > 1


@dataclass(frozen=True, slots=True)
class Taken:
    """What taking some operations in did. `conflicts` are the registers that hold two values now and did not before."""

    fresh: tuple[str, ...]
    already: int
    conflicts: tuple[Register, ...]
    settled: tuple[Register, ...]
    late: tuple[str, ...]


class Replica:
    """Everything one device knows, in memory."""

    def __init__(self) -> None:
        self.operations: dict[str, Operation] = {}
        self.chains: dict[str, ChainSeen] = {}
        self._heads: dict[Register, tuple[Operation, ...]] = {}
        self._awaited: dict[str, set[Register]] = {}
        self._signed: dict[str, set[str]] = {}
        self._sorted: dict[Register, list[Operation]] = {}
        self._unsorted: list[Operation] = []

    def take(self, operations: Iterable[Operation]) -> Taken:
        """Take operations in, in any order, any number of times."""
        known, heads, awaited = self.operations, self._heads, self._awaited
        fresh: list[str] = []
        before: dict[Register, tuple[Operation, ...]] = {}
        chain, already = ChainSeen(), 0
        of = ""
        for one in operations:
            made = one.hash
            if made in known:
                already += 1
                continue
            known[made] = one
            self._unsorted.append(one)
            fresh.append(made)
            register = (one.entity, one.field)
            standing = heads.get(register, ())
            before.setdefault(register, standing)
            if one.parents:
                standing = self._without(register, standing, one.parents)
            if not awaited or register not in awaited.pop(made, ()):
                standing = (*standing, one)
            heads[register] = standing
            if one.chain != of:
                of, chain = one.chain, self.chains.setdefault(one.chain, ChainSeen())
            chain.take(one.seq, made)
            if one.field == SIGNED:
                self._signed.setdefault(one.entity, set()).add(made)
        torn = {register for register, was in before.items() if len(was) > 1 and Standing(register, was).conflicted}
        now = {register for register in before if len(heads[register]) > 1 and self.standing(register).conflicted}
        return Taken(
            tuple(fresh),
            already,
            tuple(register for register in before if register in now and register not in torn) if now else (),
            tuple(register for register in before if register in torn and register not in now) if torn else (),
            tuple(made for made in fresh if self.is_late(known[made])) if self._signed else (),
        )

    def _without(
        self, register: Register, standing: tuple[Operation, ...], parents: tuple[str, ...]
    ) -> tuple[Operation, ...]:
        """What still stands of a register when these were replaced; those not here yet are awaited and never stand.

        Only within its own register: an operation cannot take another register's value away.
        """
        for parent in parents:
            if parent not in self.operations:
                self._awaited.setdefault(parent, set()).add(register)
        if len(standing) == 1:
            return () if standing[0].hash in parents else standing
        return tuple(head for head in standing if head.hash not in parents)

    # --- what stands ------------------------------------------------------------------------------------------------

    def standing(self, register: Register) -> Standing:
        """What stands for a register."""
        heads = self._heads.get(register, ())
        if len(heads) < 2:
            return Standing(register, heads)
        return Standing(register, tuple(sorted(heads, key=lambda one: (one.millis, one.tick, one.hash))))

    def registers(self) -> Iterator[Register]:
        """Every register anything was ever written to."""
        yield from self._heads

    def conflicts(self) -> tuple[Standing, ...]:
        """The registers for which more than one distinct value stands, in a fixed order."""
        found = (self.standing(register) for register, heads in self._heads.items() if len(heads) > 1)
        return tuple(sorted((one for one in found if one.conflicted), key=lambda one: one.register))

    def started_from(self, standing: Standing) -> tuple[Operation, ...]:
        """What both sides of a conflict started from: the nearest operations that every one of its heads replaced."""
        above = [set(self._above(one)) for one in standing.operations]
        shared = set.intersection(*above) if above else set()
        nearest = shared - {higher for made in shared for higher in self._above(self.operations[made])}
        return tuple(self.operations[made] for made in sorted(nearest))

    def _above(self, one: Operation) -> Iterator[str]:
        """The operations that this one replaced, and those they replaced, as far as they are here."""
        waiting, seen = list(one.parents), set[str]()
        while waiting:
            made = waiting.pop()
            found = self.operations.get(made)
            if made in seen or found is None or (found.entity, found.field) != (one.entity, one.field):
                continue
            seen.add(made)
            yield made
            waiting += found.parents

    # --- what is missing or wrong -----------------------------------------------------------------------------------

    def gaps(self) -> tuple[Gap, ...]:
        """The numbers that are missing before ones that are here."""
        found = []
        for chain, seen in sorted(self.chains.items()):
            before = seen.whole
            for seq in sorted(seen.beyond):
                if seq > before + 1:
                    found.append(Gap(chain, before + 1, seq - 1))
                before = seq
        return tuple(found)

    def forks(self) -> tuple[Fork, ...]:
        """Every number that stands for more than one operation."""
        return tuple(
            Fork(chain, seq, tuple(sorted(made)))
            for chain, seen in sorted(self.chains.items())
            for seq, made in sorted(seen.forked.items())
        )

    def missing_parents(self) -> frozenset[str]:
        """Operations that others replaced and that are not here."""
        return frozenset(self._awaited)

    # --- signatures -------------------------------------------------------------------------------------------------

    def place(self, entity: str) -> Mapping[str, Json] | None:
        """Where an entry stands, or None while that is not known."""
        found = self.standing((entity, PLACE)).operations
        return found[0].value if found else None

    def is_late(self, one: Operation) -> bool:
        """Whether it belongs to a signed visit and no signature of it had seen it: it is proposed as an addendum."""
        place = self.place(one.entity)
        if place is None or one.field == SIGNED:
            return False
        visit = one.entity if place["form"] == "visit" else place["visit"]
        name = one.field.partition("@")[0]
        if place["form"] in AFTER_SIGNING or name in LATER_FIELDS.get(str(place["form"]), frozenset()):
            return False
        signatures = self._signed.get(str(visit), ())
        if not signatures:
            return False
        register = {other.hash: other for other in self._alike((one.entity, one.field))}
        return one.hash in unseen(register, [self._known_to(made) for made in sorted(signatures)])

    def _alike(self, register: Register) -> list[Operation]:
        """Every operation of a register; they are sorted out when this is first asked, since it seldom is."""
        for one in self._unsorted:
            self._sorted.setdefault((one.entity, one.field), []).append(one)
        self._unsorted.clear()
        return self._sorted[register]

    def _known_to(self, signature: str) -> Known:
        """What whoever made a signature had seen."""
        kept, others = self.operations[signature].value, frozenset[str]()
        for chain, known in self.chains.items():
            if known.forked:
                lowest = min(known.forked)
                above = [self.operations[made] for seq, made in known.hashes.items() if seq >= lowest]
                above += [self.operations[made] for more in known.forked.values() for made in more]
                others |= elsewhere(kept, chain, above)
        return Known(kept, others)

    def signatures(self, visit: str) -> tuple[Operation, ...]:
        """The signatures of a visit; two with different digests are a conflict of the visit."""
        return tuple(self.operations[made] for made in sorted(self._signed.get(visit, ())))

    def struck(self, entity: str) -> bool:
        """Whether an entry is struck out: all that stands says so. An edit made meanwhile shows beside it."""
        heads = self.standing((entity, STRUCK)).operations
        return bool(heads) and all(one.value is not None for one in heads)

    # --- comparing --------------------------------------------------------------------------------------------------

    def digest(self) -> str:
        """One SHA-256 over what stands: equal on two devices that know the same."""
        found = sha256()
        for register in sorted(register for register, heads in self._heads.items() if heads):
            found.update(canonical([*register, *sorted(one.hash for one in self._heads[register])]))
        return found.hexdigest()
