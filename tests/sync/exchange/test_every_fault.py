"""One meeting of three devices, with a fault at every request of it: undisturbed rounds then come to the same."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.helpers.faulting import Fault, Faulting
from tests.helpers.meeting import Base, Undisturbed, base_of, came_to_the_same, small_packs, three_of, undisturbed_of
from tests.helpers.shelf import Shelf

GROUPS = 10
"""The points are dealt out over so many tests, each with every tenth request."""


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Base]:
    with small_packs():
        yield base_of(tmp_path_factory.mktemp("three"))


@pytest.fixture(scope="module")
def undisturbed(base: Base, tmp_path_factory: pytest.TempPathFactory) -> Undisturbed:
    return undisturbed_of(base, tmp_path_factory.mktemp("undisturbed") / "three")


def points_of(requests: int, group: int) -> list[tuple[int, Fault]]:
    """Every request once, with one of the faults: the next one for the next request, so that all of both are met."""
    faults = list(Fault)
    return [(step, faults[step % len(faults)]) for step in range(group, requests, GROUPS)]


@pytest.mark.parametrize("group", range(GROUPS))
def test_a_fault_at_any_request_changes_nothing_in_the_end(
    base: Base, undisturbed: Undisturbed, tmp_path: Path, group: int
) -> None:
    met, filled, wrong = 0, 0, list[str]()
    points = points_of(undisturbed.requests, group)
    for step, fault in points:
        shelf = Shelf(held=dict(base.held))
        with three_of(base, tmp_path / "three") as three:
            going = Faulting(shelf, {step: fault}, shelf.lay, seed=step, late=10**6)
            three.met(going, going.arrive_one_later)
            going.arrive()
            filled += three.mended(shelf)
            met += len(going.met)
            try:
                came_to_the_same(three, undisturbed, set(shelf.held), shelf.held.get)
            except AssertionError as found:
                wrong.append(f"{step} {fault.name} {going.met}: {str(found)[:300]}")
    print(f"{met} faults met at {len(points)} requests; {filled} times the place was filled again")
    assert not wrong, "\n".join(wrong)
    assert met >= len(points) - 2  # one of the last requests may be none that the fault fits
