"""The schedules of the merge core in a plain loop: `python -m tests.bench.million COUNT [FIRST SEED]`.

A schedule that fails is named with its seed, which belongs into tests/sync/failed_seeds.txt from then on.
"""

from __future__ import annotations

import random
import sys
from time import perf_counter

from tests.helpers.schedules import Story

__all__ = ["STEPS", "run"]

STEPS = 60


def run(seed: int) -> None:
    """One schedule, held against the oracle after every step and at its end."""
    story = Story(random.Random(seed).randrange, 2 + seed % 4)
    for _ in range(STEPS):
        story.step()
        story.check()
    story.end()


def main(count: int, first: int) -> None:
    """Run them all and print what came of it."""
    began, failed = perf_counter(), []
    for seed in range(first, first + count):
        try:
            run(seed)
        except AssertionError as error:
            failed.append(seed)
            print(f"seed {seed}: {error!r}", flush=True)
    took = perf_counter() - began
    print(
        f"{count} schedules x {STEPS} steps from seed {first}: {len(failed)} failed {failed}, {count / took:.0f} a second"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0)
