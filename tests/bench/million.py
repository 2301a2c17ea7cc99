"""The schedules of the merge core in a plain loop: `python -m tests.bench.million FIRST END`, seeds from FIRST to END - 1.

A schedule that fails is named with its seed, which belongs into tests/sync/failed_seeds.txt from then on.
"""

from __future__ import annotations

import random
import sys
from time import perf_counter

from tests.helpers.schedules import Story

__all__ = ["STEPS", "run"]

STEPS = 60
TOLD_EVERY = 50_000


def run(seed: int) -> None:
    """One schedule; each device is held against the truth after each step that changes it, and all at the end."""
    draw = random.Random(seed).random
    story = Story(lambda below: int(draw() * below), 2 + seed % 4)
    for _ in range(STEPS):
        story.step()
    story.end()


def main(first: int, end: int) -> None:
    """Run them all and print what came of it, and how far it is now and then."""
    began, failed = perf_counter(), []
    for seed in range(first, end):
        try:
            run(seed)
        except AssertionError as error:
            failed.append(seed)
            print(f"seed {seed}: {error!r}", flush=True)
        done = seed + 1 - first
        if done % TOLD_EVERY == 0 and seed + 1 < end:
            print(_line(first, done, failed, perf_counter() - began), flush=True)
    print(_line(first, end - first, failed, perf_counter() - began), flush=True)


def _line(first: int, done: int, failed: list[int], seconds: float) -> str:
    return f"{done} schedules x {STEPS} steps from seed {first}: {len(failed)} failed {failed}, {done / seconds:.0f} a second"


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
