"""A thousand signed papers written one after another in a process of its own: does its memory stay as it was?"""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from sync.handoff.saved import save_paper
from tests.bench.paper import practice_of_papers

__all__ = ["Peaks", "paper_memory"]

FIRST, ALL = 100, 1_000
SHORT = "pellworth-receipt"
"""The shortest sealed paper, so that a thousand are done in minutes."""


@dataclass(frozen=True, slots=True)
class Peaks:
    """Peak resident memory of the process after the first papers and after all of them, in KiB."""

    first: int
    last: int
    many: int

    def line(self) -> str:
        """One printed line."""
        return (
            f"peak memory after {self.many:,} papers sealed, filed and saved: {self.last / self.first:.3f} x that after "
            f"{FIRST} ({self.last / 1024:.0f} MiB and {self.first / 1024:.0f} MiB; short paper: a receipt)"
        )


def _peak() -> int:
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")))


def paper_memory(folder: Path, many: int = ALL) -> Peaks:
    """Make, seal, file and save so many papers in another process."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.paper_memory", str(folder), str(many)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    first, last = map(int, done.stdout.split())
    return Peaks(first, last, many)


def _write(folder: Path, many: int) -> None:
    practice = practice_of_papers(folder / "store")
    try:
        make = practice.maker(SHORT)
        for number in range(1, many + 1):
            save_paper(folder / f"{number}.pdf", make())
            if number in (FIRST, many):
                print(_peak(), flush=True)
    finally:
        practice.store.close()


if __name__ == "__main__":
    _write(Path(sys.argv[1]), int(sys.argv[2]))
