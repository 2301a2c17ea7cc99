"""A round of a practice with a hundred times the history of another, against the same round of that other."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sync.transport.opening import open_target
from tests.bench.pairs import Ratio, in_turn
from tests.helpers.long_history import OPERATIONS, Long, long_history, worked

__all__ = ["Rounds", "round_cost"]

SHORT, TIMES = 10, 100


@dataclass(frozen=True, slots=True)
class Rounds:
    """The ratios of an idle round, of sending one file and of receiving it, and the engine's steps for each."""

    ratios: tuple[Ratio, ...]
    steps: tuple[tuple[int, int], ...]

    def line(self) -> str:
        """Printed: times, then the steps that the database engine made."""
        return "\n".join(
            f"{ratio.line()}; {long:,} steps of the database engine against {short:,}"
            for ratio, (long, short) in zip(self.ratios, self.steps, strict=True)
        )


def _made(folder: Path, families: int) -> Long:
    place = folder / "meet"
    place.mkdir(parents=True)
    return long_history(folder, open_target(str(place)), families)


def round_cost(folder: Path, rounds: int = 20, short: int = SHORT) -> Rounds:
    """Both practices are real, on disk, and meet in a folder; each round's new file holds twenty operations."""
    few, many = _made(folder / "few", short), _made(folder / "many", short * TIMES)
    both = (many, few)

    def written() -> None:
        for one in both:
            one.weigh()

    def sent() -> None:
        written()
        for one in both:
            one.round_of(one.laptop)

    named = f"{TIMES} times the history"
    try:
        idle = in_turn(
            f"an idle round with {named}", lambda: many.round_of(many.laptop),
            f"one of {short} families", lambda: few.round_of(few.laptop), rounds,
        )  # fmt: skip
        send = in_turn(
            f"sending {OPERATIONS} operations with {named}", lambda: many.round_of(many.laptop),
            f"one of {short} families", lambda: few.round_of(few.laptop), rounds, ready=written,
        )  # fmt: skip
        receive = in_turn(
            f"receiving {OPERATIONS} operations with {named}", lambda: many.round_of(many.tablet),
            f"one of {short} families", lambda: few.round_of(few.tablet), rounds, ready=sent,
        )  # fmt: skip
        return Rounds((idle, send, receive), _steps(many, few))
    finally:
        for one in both:
            one.close()


def _steps(many: Long, few: Long) -> tuple[tuple[int, int], ...]:
    found: list[list[int]] = [[], [], []]
    for one in (many, few):
        for store in (one.laptop, one.tablet):
            one.round_of(store)
        for at, store in enumerate((one.laptop, one.laptop, one.tablet)):
            if at == 1:
                one.weigh()
            with worked(store) as counted:
                one.round_of(store)
            found[at].append(counted.steps)
    return tuple((long, short) for long, short in found)
