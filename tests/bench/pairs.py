"""Timing in pairs: the thing and its bare baseline in turn, so that a slow moment of the machine meets both."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter

__all__ = ["Ratio", "in_turn"]


@dataclass(frozen=True, slots=True)
class Ratio:
    """How many times longer the thing takes than its baseline: median over pairs, with the extremes."""

    name: str
    baseline: str
    thing_ms: float
    bare_ms: float
    low: float
    middle: float
    high: float

    def line(self) -> str:
        """One printed line."""
        return (
            f"{self.name}: {self.middle:.2f} x {self.baseline} "
            f"(from {self.low:.2f} to {self.high:.2f}; medians {self.thing_ms:.1f} ms and {self.bare_ms:.1f} ms)"
        )


def _timed(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return (perf_counter() - start) * 1000


def in_turn(
    name: str, thing: Callable[[], object], baseline: str, bare: Callable[[], object], rounds: int, *,
    ready: Callable[[], object] = lambda: None,
) -> Ratio:  # fmt: skip
    """Run both once unmeasured, then in turn `rounds` times, each pair after `ready`, which is not measured."""
    ready(), thing(), bare()
    pairs = [(ready(), _timed(thing), _timed(bare))[1:] for _ in range(rounds)]
    ratios = sorted(one / other for one, other in pairs)
    return Ratio(
        name,
        baseline,
        median(one for one, _ in pairs),
        median(other for _, other in pairs),
        ratios[0],
        median(ratios),
        ratios[-1],
    )
