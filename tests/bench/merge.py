"""Merging against another merge (pycrdt, one document) on one workload, and what each of them shows afterwards.

Two devices, 1,000 visits of 60 fields, 98,000 answers written by one and known to both, then 1,000 written by each to the
same fields while they are apart. Four of those fields are drawn twice, so each device replaces four of its own answers:
1,992 stand in 996 fields.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from random import Random

from pycrdt import Doc, Map

from storage.log import Operation
from sync.merge.replica import Replica
from tests.bench.pairs import Ratio, in_turn
from tests.helpers.chains import Writer

__all__ = ["APART", "Merged", "merge", "shown_by_another", "shown_here", "written_apart", "written_by_another"]

VISITS, FIELDS, KNOWN, APART, TWICE, AT_ONCE = 1_000, 60, 98_000, 1_000, 4, 200


def _places(count: int, *, in_order: bool) -> Iterator[tuple[int, int]]:
    """Visit and field of each answer: drawn, or one visit after another and then from the first one on again."""
    draw = Random(5).randrange
    for n in range(count):
        yield (n // FIELDS % VISITS, n % FIELDS) if in_order else (draw(VISITS), draw(FIELDS))


def _apart() -> list[tuple[int, int]]:
    """The fields written on both sides; the last four are the first four once more."""
    once = [(n * 7 % VISITS, n % FIELDS) for n in range(APART - TWICE)]
    return once + once[:TWICE]


def written_apart(known: int = KNOWN, *, in_order: bool = False) -> tuple[list[list[Operation]], list[list[Operation]]]:
    """What both know, and what the two wrote apart, as files of two hundred operations."""
    laptop, tablet = Writer("laptop"), Writer("tablet")
    heads: dict[tuple[int, int], str] = {}

    def put(writer: Writer, heads: dict[tuple[int, int], str], at: tuple[int, int], value: str) -> Operation:
        parents = (heads[at],) if at in heads else ()
        made = writer.put(f"{at[0]:032x}", f"field_{at[1]}", value, parents)
        heads[at] = made.hash
        return made

    both = [put(laptop, heads, at, f"answer {n}") for n, at in enumerate(_places(known, in_order=in_order))]
    apart: list[Operation] = []
    for writer in (laptop, tablet):
        own = dict(heads)
        apart += [put(writer, own, at, f"{writer.chain.id[:4]} {n}") for n, at in enumerate(_apart())]
        writer.clock = laptop.clock
    return _filed(both), _filed(apart)


def _filed(operations: list[Operation]) -> list[list[Operation]]:
    return [operations[at : at + AT_ONCE] for at in range(0, len(operations), AT_ONCE)]


def shown_here(files: list[list[Operation]]) -> int:
    """How many of the answers written apart stand in a device that took all files in."""
    replica = Replica()
    for one in files:
        replica.take(one)
    return sum(len(standing.values) for standing in replica.conflicts())


def written_by_another(known: int = KNOWN, *, in_order: bool = False) -> list[bytes]:
    """The same answers in two documents of pycrdt, as updates of two hundred each."""
    laptop: Doc[Map[Map[str]]] = Doc()
    visits = laptop.get("visits", type=Map)
    with laptop.transaction():
        for n in range(VISITS):
            visits[str(n)] = Map()
    updates = [laptop.get_update()]
    places = list(_places(known, in_order=in_order))
    for first in range(0, known, AT_ONCE):
        before = laptop.get_state()
        with laptop.transaction():
            for n, (visit, name) in enumerate(places[first : first + AT_ONCE], start=first):
                visits[str(visit)][f"field_{name}"] = f"answer {n}"
        updates.append(laptop.get_update(before))
    tablet: Doc[Map[Map[str]]] = Doc()
    for one in updates:
        tablet.apply_update(one)
    apart: list[bytes] = []
    for who, doc in (("lapt", laptop), ("tabl", tablet)):
        visits = doc.get("visits", type=Map)
        written = _apart()
        for first in range(0, APART, AT_ONCE):
            before = doc.get_state()
            with doc.transaction():
                for n, (visit, name) in enumerate(written[first : first + AT_ONCE], start=first):
                    visits[str(visit)][f"field_{name}"] = f"{who} {n}"
            apart.append(doc.get_update(before))
    return updates + apart


def shown_by_another(updates: list[bytes]) -> int:
    """How many of the answers written apart a document shows that took all updates in."""
    doc: Doc[Map[Map[str]]] = Doc()
    visits = doc.get("visits", type=Map)
    for one in updates:
        doc.apply_update(one)
    values = (visits[str(visit)][f"field_{name}"] for visit, name in set(_apart()))
    return sum(value.startswith(("lapt", "tabl")) for value in values)


@dataclass(frozen=True, slots=True)
class Merged:
    """The ratios, and how many of the answers that stand each of the two shows."""

    ratios: tuple[Ratio, ...]
    operations: int
    here: int
    another: int

    def line(self) -> str:
        """Printed: times, operations a second, and what is shown."""
        first = self.ratios[0]
        ours, another = (self.operations / ms * 1000 for ms in (first.thing_ms, first.bare_ms))
        told = f"that is {ours:,.0f} operations a second against {another:,.0f}; of 1,992 answers that stand"
        return "\n".join(
            (*(one.line() for one in self.ratios), f"{told} {self.here:,} are shown, by pycrdt {self.another:,}")
        )


def merge(_folder: Path, rounds: int = 5) -> Merged:
    """Both take everything into a device that knows nothing: ours as operations read before, and as their bytes.

    Another merge keeps what was written in a row as one stretch, so it is tried with answers in order as well.
    """
    ratios: list[Ratio] = []
    for in_order in (False, True):
        known, apart = written_apart(in_order=in_order)
        files, updates = known + apart, written_by_another(in_order=in_order)
        raws = [[one.raw for one in file] for file in files]
        row = "in order" if in_order else "as drawn"
        other = "pycrdt with one document"
        another = partial(_taken_by_another, updates)
        ratios += (
            in_turn(f"merging 100,000 operations {row}", partial(_taken, files), other, another, rounds),
            in_turn(f"reading, hashing and merging them {row}", partial(_read, raws), other, another, rounds),
        )
    return Merged(tuple(ratios), KNOWN + 2 * APART, shown_here(files), shown_by_another(updates))


def _taken(files: list[list[Operation]]) -> None:
    replica = Replica()
    for file in files:
        replica.take(file)


def _read(files: list[list[bytes]]) -> None:
    replica = Replica()
    for file in files:
        replica.take([Operation.read(raw) for raw in file])


def _taken_by_another(updates: list[bytes]) -> None:
    doc: Doc[Map[Map[str]]] = Doc()
    doc.get("visits", type=Map)
    for one in updates:
        doc.apply_update(one)
