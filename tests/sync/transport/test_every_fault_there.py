"""The same meeting over every engine, with faults all along it: undisturbed rounds then come to the same."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.helpers.engines import Place
from tests.helpers.faulting import Fault, Faulting
from tests.helpers.meeting import (
    Base,
    Undisturbed,
    base_of,
    came_to_the_same,
    every_name,
    small_packs,
    three_of,
    undisturbed_of,
)

MEETINGS, APART = 6, 20
"""Meetings over each engine, and requests from one fault to the next in each."""


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Base]:
    with small_packs():
        yield base_of(tmp_path_factory.mktemp("three"))


@pytest.fixture(scope="module")
def undisturbed(base: Base, tmp_path_factory: pytest.TempPathFactory) -> Undisturbed:
    return undisturbed_of(base, tmp_path_factory.mktemp("undisturbed") / "three")


def faults_of(meeting: int, requests: int) -> dict[int, Fault]:
    """Every twentieth request from another one on in each meeting, with every fault in turn over all of them."""
    faults, steps = list(Fault), range(meeting * APART // MEETINGS, requests, APART)
    return {step: faults[(meeting * len(steps) + at) % len(faults)] for at, step in enumerate(steps)}


@pytest.mark.parametrize("meeting", range(MEETINGS))
def test_faults_all_along_a_meeting_change_nothing_in_the_end(
    base: Base, undisturbed: Undisturbed, place: Place, tmp_path: Path, meeting: int
) -> None:
    place.lay_many(sorted(base.held), base.held.__getitem__)
    faults = faults_of(meeting, undisturbed.requests)
    with three_of(base, tmp_path / "three") as three:
        target = place.open()
        going = Faulting(target, faults, place.lay, seed=meeting, late=10**6)
        three.met(going, going.arrive_one_later)
        going.arrive()
        filled = three.mended(target)
        print(f"filled again {filled} times after", [(step, fault.name) for step, fault, _name in going.met])
        came_to_the_same(three, undisturbed, set(every_name(target)), place.lies)
        assert len(going.met) >= len(faults) - 1
