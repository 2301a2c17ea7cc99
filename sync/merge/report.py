"""What a merge did, in sentences a consultant reads: what came, what differs, what is missing, what is odd."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from sync.merge.replica import Fork, Gap, Replica, Taken

__all__ = ["Report", "report"]


@dataclass(frozen=True, slots=True)
class Report:
    """Counts of a round, and what is to be looked at. `by_chain` counts what is new by the device that wrote it."""

    by_chain: tuple[tuple[str, int], ...]
    conflicts: int
    settled: int
    late: int
    gaps: tuple[Gap, ...]
    forks: tuple[Fork, ...]

    def sentences(self, device: Callable[[str], str]) -> Iterator[str]:
        """One sentence for each thing; `device` gives the name of a chain's device."""
        if not self.by_chain:
            yield "Nothing new was received."
        for chain, count in self.by_chain:
            yield f"Received from {device(chain)}: {_counted(count, 'answer')}."
        if self.settled:
            yield f"Settled on another device: {_counted(self.settled, 'answer')}."
        if self.conflicts:
            stand = "Two values now stand for 1 answer" if self.conflicts == 1 else (
                f"Two values now stand for each of {self.conflicts} answers"
            )  # fmt: skip
            yield f"{stand}. Both are kept; settle which one holds."
        if self.late:
            yield f"Received after signing: {_counted(self.late, 'answer')}, to be added below the note or left."
        for gap in self.gaps:
            count = gap.last - gap.first + 1
            yield f"Missing from {device(gap.chain)}: {_counted(count, 'answer')}. Sync that device again."
        for fork in self.forks:
            yield (
                f"{device(fork.chain)} was copied or put back from an old backup. Both records are kept and shown; "
                "nothing more is taken from it until it starts a record of its own."
            )


def report(replica: Replica, taken: Taken) -> Report:
    """What taking these operations did, and what is missing or forked now."""
    counts = Counter(replica.operations[made].chain for made in taken.fresh)
    forks = {fork.chain: fork for fork in reversed(replica.forks())}
    return Report(
        tuple(sorted(counts.items())),
        len(taken.conflicts),
        len(taken.settled),
        len(taken.late),
        replica.gaps(),
        tuple(forks[chain] for chain in sorted(forks)),
    )


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
