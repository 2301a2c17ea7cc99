"""Every fault at every request of a meeting, on an engine: `python -m tests.bench.faults [ENGINE [TURN END]]`.

What CI tries a sample of (`tests/sync/transport/test_every_fault_there.py`), whole: in each meeting a fault at every
twentieth request, in so many meetings that each request has met each fault. It takes ten minutes for an engine and is
run by hand; what it printed last is kept in `faults.txt`. TURN and END choose some of the fourteen turns.

Every meeting has to end in the record of the undisturbed one, on both devices and whole at the place. Here, unlike in
CI, two faults may meet a round and the try after it; then a device goes on to its next answer first, so the same record
lies in other files, or without a pack, which nobody needs. A device that finds other bytes under the practice's own name
stops and asks; what it then wrote before it was put out is rightly not the record's.
"""

from __future__ import annotations

import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

from forms.trouble import Trouble
from sync.exchange.troubles import ForeignTarget
from sync.wire import names
from tests.helpers.engines import ENGINES, Engine
from tests.helpers.faulting import Fault, Faulting
from tests.helpers.meeting import (
    Base,
    Three,
    Undisturbed,
    base_of,
    every_name,
    same_record,
    small_packs,
    three_of,
    undisturbed_of,
)

__all__ = ["APART", "Right", "faults_of", "main", "met"]

APART = 20
"""Requests from one fault to the next in one meeting."""


@dataclass(frozen=True)
class Right:
    """What a meeting has to come to: with the phone heard before it was put out, and without."""

    heard: Undisturbed
    unheard: Undisturbed


def faults_of(first: int, turn: int, requests: int) -> dict[int, Fault]:
    """Every twentieth request from the first one on; with each turn every request has the next of the faults."""
    faults = list(Fault)
    return {step: faults[(at + turn) % len(faults)] for at, step in enumerate(range(first, requests, APART))}


def met(base: Base, right: Right, engine: Engine, folder: Path, faults: dict[int, Fault], seed: int) -> tuple[int, str]:
    """One meeting among these faults: how many it met, and how it ended. Raises AssertionError or Trouble otherwise."""
    place = engine.place()
    place.lay_many(sorted(base.held), base.held.__getitem__)
    with three_of(base, folder) as three:
        target = place.open()
        going = Faulting(target, faults, place.lay, seed=seed, late=10**6)
        three.met(going, going.arrive_one_later)
        going.arrive()
        taken = [name for _step, fault, name in going.met if fault is Fault.CLOBBERED and name == names.REPOSITORY]
        try:
            three.mended(target)
        except ForeignTarget:
            # Other bytes lay there before any of the three was, so none of them takes the place for its own.
            assert taken, "nothing was laid under the practice's own name"
            place.lay(names.REPOSITORY, base.held[names.REPOSITORY])
            three.mended(target)
        return len(going.met), _ended(three, right, place.lies, set(every_name(target)), asked=bool(taken))


def _ended(three: Three, right: Right, lies: Callable[[str], bytes | None], there: set[str], *, asked: bool) -> str:
    known = three.laptop.exchange().digest()
    if asked and known == right.unheard.digest:
        same_record(three, right.unheard, lies)
        return "stopped and asked before the phone was heard"
    same_record(three, right.heard, lies)
    other = {name for name in there ^ right.heard.held.keys() if name[0] != "m"}
    assert all(name[0] in "cp" for name in other), sorted(other)
    return "the same record in other files" if other else "the same to the last name"


def main(engine: str, first_turn: int = 0, end: int = len(Fault)) -> None:
    """An engine's meetings, and one line of what came of them."""
    began, faults_met, failed, ends = perf_counter(), 0, list[str](), Counter[str]()
    with small_packs(), tempfile.TemporaryDirectory() as temporary, ENGINES[engine]() as running:
        folder = Path(temporary)
        base = base_of(folder / "base")
        right = Right(
            undisturbed_of(base, folder / "heard"), undisturbed_of(base, folder / "unheard", phone_heard=False)
        )
        for turn in range(first_turn, end):
            for first in range(APART):
                faults = faults_of(first, turn, right.heard.requests)
                try:
                    count, ending = met(base, right, running, folder / "three", faults, turn * APART + first)
                except (AssertionError, Trouble) as error:
                    where = traceback.extract_tb(error.__traceback__)[-1].lineno
                    failed.append(f"turn {turn}, first {first}, line {where}: {error!r}")
                else:
                    faults_met += count
                    ends[ending] += 1
    print(
        f"{engine}, turns {first_turn} to {end - 1}: a fault at each of {right.heard.requests} requests in each turn,"
        f" {faults_met} faults met; {', '.join(f'{count} x {how}' for how, count in ends.most_common())};"
        f" {len(failed)} failed {failed}; {perf_counter() - began:.0f} s",
        flush=True,
    )


if __name__ == "__main__":
    for name in [sys.argv[1]] if len(sys.argv) > 1 else list(ENGINES):
        main(name, *(int(turn) for turn in sys.argv[2:4]))
