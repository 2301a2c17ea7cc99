"""Two devices of one practice that know the small family; and a large record with a device that was just let in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from storage.store import Store
from sync.exchange.practice import found_practice
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.snapshots import Joins, Large, large
from tests.helpers.stores import AUTHOR, Clock, small_family


@dataclass
class Pair:
    """Two devices of one practice that both know the small family, and where they meet."""

    laptop: Store
    tablet: Store
    shelf: Shelf

    def rounds(self, *stores: Store) -> None:
        """Each of these meets the place, and once more."""
        for store in (*stores, *stores):
            meet(store, self.shelf)


@pytest.fixture
def pair(tmp_path: Path) -> Iterator[Pair]:
    laptop, tablet, shelf = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    meet(laptop, shelf)
    meet(tablet, shelf)
    yield Pair(laptop, tablet, shelf)
    laptop.close()
    tablet.close()


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Large]:
    yield from large(tmp_path_factory.mktemp("large"))


@pytest.fixture
def joins(written: Large, tmp_path: Path) -> Iterator[Joins]:
    phone = device(tmp_path, "phone").store
    joined(written.laptop, phone, "Phone")
    yield Joins(written, phone, Shelf(held=dict(written.held)))
    phone.close()
