"""Devices that write apart, part, are copied, cut off and put out lose nothing, hide nothing, and end with one record."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.bench.million import run
from tests.helpers.rounds import Group, RoundStory, group_of

FAILED = [
    line.split() for line in (Path(__file__).parent / "failed_seeds.txt").read_text().splitlines() if line[0] != "#"
]
CORE, AT_ONCE, STEPS = 5_000, 500, 60
ROUNDS = 16


@pytest.fixture(scope="session")
def group(tmp_path_factory: pytest.TempPathFactory) -> Group:
    return group_of(tmp_path_factory.mktemp("group"), 4)


@pytest.mark.parametrize("first", range(0, CORE, AT_ONCE))
def test_five_thousand_schedules_of_the_core_lose_and_hide_nothing(first: int) -> None:
    for seed in range(first, first + AT_ONCE):
        run(seed)


@pytest.mark.parametrize(
    "seed", sorted({*range(100, 100 + ROUNDS), *(int(seed) for kind, seed in FAILED if kind == "rounds")})
)
def test_real_stores_that_meet_on_a_faulting_place_lose_and_hide_nothing(
    group: Group, tmp_path: Path, seed: int
) -> None:
    story = RoundStory(random.Random(seed).randrange, group, tmp_path, 3 + seed % 2)
    for _ in range(STEPS):
        story.check(story.step())
    story.end()
    story.close()


@pytest.mark.parametrize("seed", [int(seed) for kind, seed in FAILED if kind == "core"])
def test_a_schedule_of_the_core_that_failed_once_holds(seed: int) -> None:
    run(seed)
