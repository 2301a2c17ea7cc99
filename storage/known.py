"""What whoever signed had seen: how far each device's chain, and which branch of one that was copied.

Used on a store and, alike, on a set of operations in memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from forms.answers import Json
from storage.log import Operation

__all__ = ["Known", "elsewhere", "tips", "unseen"]


@dataclass(frozen=True, slots=True)
class Known:
    """Whether a signature had seen an operation.

    `kept` is the value of the signature: `seen` (how far each chain was there without a hole), `beyond` (numbers that
    were there behind a hole) and `at` (the newest hashes of each chain). `others` are operations of a chain with two
    branches that lie on the one that was not there: a number alone cannot tell them.
    """

    kept: Mapping[str, Json]
    others: frozenset[str] = frozenset()

    def knew(self, one: Operation) -> bool:
        """Whether the operation was there when the signature was made."""
        counted = one.seq <= self.kept["seen"].get(one.chain, 0) or one.seq in self.kept.get("beyond", {}).get(
            one.chain, ()
        )
        return counted and one.hash not in self.others


def tips(operations: Iterable[Operation]) -> list[str]:
    """The operations of one chain that none of these follows: one, or several where it was copied or has a hole."""
    kept = {one.hash: one.prev for one in operations}
    return sorted(kept.keys() - set(kept.values()))


def elsewhere(kept: Mapping[str, Json], chain: str, operations: Iterable[Operation]) -> frozenset[str]:
    """Those operations of a copied chain that lie on a branch whoever signed had not seen.

    Empty for a signature that names no branch, or one that is not here: then the number alone has to do.
    """
    here = {one.hash: one.prev for one in operations}
    waiting = [made for made in kept.get("at", {}).get(chain, ()) if made in here]
    if not waiting:
        return frozenset()
    branch: set[str] = set()
    while waiting:
        made = waiting.pop()
        if made in here and made not in branch:
            branch.add(made)
            waiting.append(here[made])
    return frozenset(here.keys() - branch)


def unseen(register: Mapping[str, Operation], known: Iterable[Known]) -> frozenset[str]:
    """The operations of one register (by hash) that none of these signatures covers.

    What a seen one replaced was seen too, and one that only says again what it names, as a device that goes on under a
    new name writes it, brings nothing new.
    """
    marks = tuple(known)
    covered = {made for made, one in register.items() if any(mark.knew(one) for mark in marks)}
    waiting = list(covered)
    while waiting:
        for made in register[waiting.pop()].parents:
            if made in register and made not in covered:
                covered.add(made)
                waiting.append(made)
    again = True
    while again:
        more = {
            made
            for made, one in register.items()
            if made not in covered and any(p in covered and register[p].value == one.value for p in one.parents)
        }
        covered |= more
        again = bool(more)
    return frozenset(register.keys() - covered)
