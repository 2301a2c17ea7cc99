"""Two devices with real stores meet over each engine: an empty, a wrong and a right place are told apart."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from storage.store import Store
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.exchange.troubles import EmptyTarget, ForeignTarget
from sync.wire import names
from tests.helpers.engines import Place
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, Clock, small_family


@pytest.fixture
def pair(tmp_path: Path) -> Iterator[tuple[Store, Store]]:
    laptop, tablet = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    yield laptop, tablet
    laptop.close()
    tablet.close()


def meet(store: Store, place: Place, *, refill: bool = False) -> None:
    sync_round(store, place.open(own=store.device), clock=Clock(), refill=refill)


def every_name(place: Place) -> set[str]:
    target, found, waiting = place.open(), set[str](), [""]
    while waiting:
        here, below = target.names(waiting.pop())
        found |= set(here)
        waiting += below
    return found


def test_what_one_device_wrote_stands_on_the_other(pair: tuple[Store, Store], place: Place) -> None:
    laptop, tablet = pair
    meet(laptop, place)
    meet(tablet, place)
    assert laptop.exchange().digest() == tablet.exchange().digest()
    before = {name: place.lies(name) for name in every_name(place)}
    assert names.change(laptop.device, 1) in before
    meet(laptop, place)
    after = {name: place.lies(name) for name in every_name(place)}
    assert {name for name in before if before[name] != after[name]} <= {names.beat(laptop.device)}


def test_a_place_that_was_emptied_stops_the_round_and_is_filled_again_when_asked(
    pair: tuple[Store, Store], place: Place
) -> None:
    laptop, tablet = pair
    meet(laptop, place)
    held = every_name(place)
    digest = laptop.exchange().digest()
    place.clear(held)
    with pytest.raises(EmptyTarget):
        meet(laptop, place)
    assert every_name(place) == set()
    assert laptop.exchange().digest() == digest
    meet(laptop, place, refill=True)
    assert every_name(place) >= held
    meet(tablet, place)
    assert tablet.exchange().digest() == digest


def test_a_place_of_another_practice_stops_the_round_and_is_left_alone(
    pair: tuple[Store, Store], place: Place, tmp_path: Path
) -> None:
    laptop, _tablet = pair
    other = device(tmp_path, "other").store
    found_practice(other, "Other", Clock())
    meet(other, place)
    before = {name: place.lies(name) for name in every_name(place)}
    with pytest.raises(ForeignTarget):
        meet(laptop, place)
    assert {name: place.lies(name) for name in every_name(place)} == before
    other.close()
