"""What a round asks of the database does not grow with the record behind it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from storage.store import Store
from tests.helpers.long_history import OPERATIONS, Long, long_history, worked
from tests.helpers.shelf import Shelf

FEW, MANY = 3, 45
SLACK = 60
"""Steps of the engine that may differ; one look at each further family would be forty rows of several steps each."""


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Long]:
    made = long_history(tmp_path_factory.mktemp("few"), Shelf(), FEW)
    yield made
    made.close()


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Long]:
    made = long_history(tmp_path_factory.mktemp("many"), Shelf(), MANY)
    yield made
    made.close()


def steps(made: Long, store: Store) -> int:
    with worked(store) as counted:
        made.round_of(store)
    return counted.steps


def settled(made: Long) -> None:
    for store in (made.laptop, made.tablet):
        made.round_of(store)


def test_an_idle_round_costs_the_same_after_fifteen_times_the_history(few: Long, many: Long) -> None:
    found = []
    for made in (few, many):
        settled(made)
        found.append(steps(made, made.laptop))
    assert found[0] > 100, "the steps are not counted"
    assert found[1] < found[0] + SLACK


def test_sending_and_receiving_one_file_costs_the_same_too(few: Long, many: Long) -> None:
    sent, received = [], []
    for made in (few, many):
        settled(made)
        made.weigh()
        with worked(made.laptop) as counted:
            assert made.round_of(made.laptop).sent == OPERATIONS
        sent.append(counted.steps)
        with worked(made.tablet) as counted:
            assert made.round_of(made.tablet).received == {made.laptop.device: OPERATIONS}
        received.append(counted.steps)
    assert sent[1] < sent[0] + SLACK
    assert received[1] < received[0] + SLACK


def test_the_devices_know_the_same(many: Long) -> None:
    settled(many)
    settled(many)
    assert many.laptop.exchange().digest() == many.tablet.exchange().digest()
