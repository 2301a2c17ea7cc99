"""An act that was changed on its way, or at the place, is never learned, and the true one is asked for again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from storage.store import Store
from sync.exchange.practice import change_key, found_practice, practice_of
from sync.exchange.round import sync_round
from sync.membership.acts import Role
from tests.helpers.faulting import Faulting
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, Clock, put, small_family


@pytest.fixture
def owners(tmp_path: Path) -> Iterator[tuple[Store, Store, Shelf]]:
    laptop, tablet, shelf = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet", Role.OWNER)
    for store in (laptop, tablet, laptop):
        meet(store, shelf)
    yield laptop, tablet, shelf
    laptop.close()
    tablet.close()


def rotated(store: Store) -> str:
    """Change the practice key and give the name of the act."""
    practice = practice_of(store)
    assert practice is not None
    change_key(store, practice, Clock())
    after = practice_of(store)
    assert after is not None
    return f"m/{store.device}/{after.own_acts(store.device)[-1].seq:08}"


def flipped_at(changed: str, bad: Callable[[bytes], bytes]) -> type[Faulting]:
    class Changing(Faulting):
        def get(self, name: str) -> bytes | None:
            found = super().get(name)
            return bad(found) if name == changed and found is not None else found

    return Changing


def last_bit(data: bytes) -> bytes:
    return data[:-1] + bytes([data[-1] ^ 1])


def test_an_act_changed_on_its_way_is_told_and_asked_for_again(owners: tuple[Store, Store, Shelf]) -> None:
    laptop, tablet, shelf = owners
    name = rotated(laptop)
    laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    meet(laptop, shelf)
    told = sync_round(tablet, flipped_at(name, last_bit)(shelf), clock=Clock())
    assert (name, "it is not signed by whom it names") in told.aside
    meet(tablet, shelf)
    meet(tablet, shelf)
    assert tablet.exchange().digest() == laptop.exchange().digest()


def test_what_follows_a_changed_act_waits_with_it(owners: tuple[Store, Store, Shelf]) -> None:
    laptop, tablet, shelf = owners
    name = rotated(laptop)
    rotated(laptop)
    meet(laptop, shelf)
    sync_round(tablet, flipped_at(name, last_bit)(shelf), clock=Clock())
    meet(tablet, shelf)
    here, there = practice_of(tablet), practice_of(laptop)
    assert here is not None
    assert there is not None
    assert here.roster == there.roster
    assert here.keys == there.keys


@pytest.mark.parametrize(
    "bad", [last_bit, lambda data: data[:100], lambda data: b"{}" + data], ids=["bit", "cut", "more"]
)
def test_an_own_act_that_was_spoiled_at_the_place_is_put_right_and_stays_one(
    owners: tuple[Store, Store, Shelf], bad: Callable[[bytes], bytes]
) -> None:
    laptop, tablet, shelf = owners
    name = rotated(laptop)
    meet(laptop, shelf)
    true = shelf.held[name]
    shelf.held[name] = bad(true)
    meet(laptop, shelf)
    assert shelf.held[name] == true
    practice = practice_of(laptop)
    assert practice is not None
    assert practice.roster.refused == {}
    meet(tablet, shelf)
    assert tablet.exchange().digest() == laptop.exchange().digest()
