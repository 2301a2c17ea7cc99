"""A round of a large practice in which nothing is new asks each other device for one thing, and misses nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

import pytest

from storage.store import Store
from sync.exchange.practice import Practice, found_practice, let_in, practice_of
from sync.exchange.round import sync_round
from sync.membership.acts import Role
from sync.wire import names
from sync.wire.beat import Beat, sealed_beat
from tests.helpers.practice_group import Owner
from tests.helpers.shelf import Shelf, device, joined
from tests.helpers.stores import AUTHOR, BABY, Clock, put, small_family

OTHERS = 100


@dataclass
class Large:
    """A laptop and a tablet with real records, and as many more members as make a hundred others."""

    laptop: Store
    tablet: Store
    shelf: Shelf

    def practice(self) -> Practice:
        found = practice_of(self.laptop)
        assert found is not None
        return found


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Large]:
    folder = tmp_path_factory.mktemp("large")
    laptop, tablet, shelf = device(folder, "laptop").store, device(folder, "tablet").store, Shelf()
    practice = found_practice(laptop, "Laptop", Clock())
    others = [Owner(f"device {n}", Role.CONSULTANT) for n in range(OTHERS - 1)]
    for one in others:
        practice = let_in(laptop, practice, one.member, Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    sync_round(laptop, shelf, clock=Clock())
    practice = practice_of(laptop) or practice
    epoch = practice.roster.epoch
    for one in others:
        shelf.held[names.beat(one.chain)] = sealed_beat(
            Beat(0, "", {}, "", datetime(2026, 3, 3, tzinfo=UTC).isoformat()), repository=practice.repository,
            chain=bytes.fromhex(one.chain), epoch=bytes.fromhex(epoch), key=practice.keys[epoch], signer=one.signer,
        )  # fmt: skip
    for store in (laptop, tablet, laptop):
        sync_round(store, shelf, clock=Clock())
    yield Large(laptop, tablet, shelf)
    laptop.close()
    tablet.close()


@dataclass
class Watched(Shelf):
    """The shelf, and which names were asked for."""

    def __post_init__(self) -> None:
        self.asked: list[str] = []

    def get(self, name: str) -> bytes | None:
        self.asked.append(name)
        return super().get(name)


def test_an_idle_round_with_a_hundred_others_probes_at_most_a_hundred_names(large: Large) -> None:
    for _ in range(12):
        watched = Watched(held=large.shelf.held)
        sync_round(large.laptop, watched, clock=Clock())
        of_others = [one for one in watched.asked if one[0] in "ch" and large.laptop.device not in one]
        assert len(of_others) <= OTHERS
        assert watched.requests <= OTHERS + 10


def test_what_a_sign_of_life_tells_is_fetched_in_the_same_round(large: Large) -> None:
    large.tablet.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    sync_round(large.tablet, large.shelf, clock=Clock())
    turns = 0
    while large.laptop.exchange().digest() != large.tablet.exchange().digest():
        sync_round(large.laptop, large.shelf, clock=Clock())
        turns += 1
    assert turns <= 2  # in one round of ten the tablet is asked for its next file, which is there as well


def test_a_file_whose_sign_of_life_was_never_written_is_found_within_ten_rounds(large: Large) -> None:
    beat = names.beat(large.tablet.device)
    before = large.shelf.held[beat]
    large.tablet.write([put(BABY, "called_name", "Idi")], author=AUTHOR)
    sync_round(large.tablet, large.shelf, clock=Clock())
    large.shelf.held[beat] = before  # the process ended between the file and the sign of life
    for _ in range(10):
        sync_round(large.laptop, large.shelf, clock=Clock())
    assert large.laptop.exchange().digest() == large.tablet.exchange().digest()


def test_a_member_that_tells_of_files_without_end_costs_a_round_no_more_than_a_thousand_names(large: Large) -> None:
    practice = large.practice()
    epoch = practice.roster.epoch
    one = Owner("device 7", Role.CONSULTANT)
    number = 10**9
    honest = large.tablet.device
    beat = Beat(*large.tablet.exchange().end(honest), {one.chain: (number, "0" * 64)}, "", Clock()().isoformat())
    large.shelf.held[names.beat(honest)] = sealed_beat(
        beat, repository=practice.repository, chain=bytes.fromhex(honest), epoch=bytes.fromhex(epoch),
        key=practice.keys[epoch], signer=large.tablet.signing_key(),
    )  # fmt: skip
    for _ in range(3):
        told = sync_round(large.laptop, large.shelf, clock=Clock())
        assert told.requests < 1_300
    assert any(gap.chain == one.chain and gap.last == number for gap in told.gaps)
