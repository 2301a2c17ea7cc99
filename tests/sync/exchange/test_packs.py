"""Packs spare requests when a device joins late, and are believed no more than the files in them."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from storage.store import Store
from sync.exchange.practice import found_practice
from sync.wire.pack_file import COUNT, MOST, pack_of, packed_files, range_of
from sync.wire.troubles import BadFile
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, Clock, put, small_family

FILES = 2 * COUNT + 5


@dataclass
class Long:
    """An owner with a long chain of files, and a device that was just let in."""

    laptop: Store
    tablet: Store
    shelf: Shelf

    @property
    def packs(self) -> list[str]:
        return [f"p/{self.laptop.device}/{first:08}-{first + COUNT - 1:08}" for first in (1, COUNT + 1)]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, dict[str, bytes]]]:
    laptop, shelf = device(tmp_path_factory.mktemp("long"), "laptop").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    meet(laptop, shelf)
    for count in range(FILES - 1):
        laptop.write([put(BABY, "called_name", f"Ida {count}")], author=AUTHOR)
        meet(laptop, shelf)
    yield laptop, shelf.held
    laptop.close()


@pytest.fixture
def long(written: tuple[Store, dict[str, bytes]], tmp_path: Path) -> Iterator[Long]:
    laptop, held = written
    tablet, shelf = device(tmp_path, "tablet").store, Shelf(held=dict(held))
    joined(laptop, tablet, "Tablet")
    yield Long(laptop, tablet, shelf)
    tablet.close()


def test_every_full_hundred_is_packed_and_the_files_stay(long: Long) -> None:
    assert sorted(name for name in long.shelf.held if name.startswith("p/")) == long.packs
    for at, name in enumerate(long.packs):
        files = packed_files(long.shelf.held[name])
        assert files[0] == long.shelf.held[f"c/{long.laptop.device}/00000/{at * COUNT + 1:08}"]
    assert sum(name.startswith("c/") for name in long.shelf.held) == FILES


def test_a_new_device_asks_once_for_a_hundred_files(long: Long) -> None:
    told = meet(long.tablet, long.shelf)
    assert told.complete
    assert told.requests < FILES / 4
    assert long.tablet.exchange().digest() == long.laptop.exchange().digest()
    assert long.tablet.check() == ()


@pytest.mark.parametrize("spoilt", ["gone", "empty", "torn", "foreign", "swapped", "one file flipped"])
def test_a_pack_that_is_no_good_costs_requests_and_nothing_else(long: Long, spoilt: str) -> None:
    first, second = long.packs
    good = long.shelf.held[first]
    bad = {
        "gone": None, "empty": b"", "torn": good[:-7], "foreign": secrets.token_bytes(900),
        "swapped": long.shelf.held[second], "one file flipped": good[:900] + bytes([good[900] ^ 1]) + good[901:],
    }[spoilt]  # fmt: skip
    if bad is None:
        del long.shelf.held[first]
    else:
        long.shelf.held[first] = bad
    told = meet(long.tablet, long.shelf)
    assert long.tablet.exchange().digest() == long.laptop.exchange().digest()
    assert bool(told.aside) == (spoilt in ("torn", "foreign"))
    assert not told.forks


def test_a_lost_file_that_is_in_a_pack_is_not_missing(long: Long) -> None:
    del long.shelf.held[f"c/{long.laptop.device}/00000/00000042"]
    assert meet(long.tablet, long.shelf).complete


def test_packs_are_put_back_with_everything_else(long: Long) -> None:
    for name in long.packs:
        del long.shelf.held[name]
    meet(long.laptop, long.shelf, refill=True)
    assert set(long.packs) <= set(long.shelf.held)


def test_a_pack_too_long_for_a_place_is_not_written() -> None:
    assert pack_of([bytes(MOST // COUNT + 1)] * COUNT) is None
    assert [range_of(number) for number in (1, COUNT, COUNT + 1)] == [(1, COUNT), (1, COUNT), (COUNT + 1, 2 * COUNT)]


@pytest.mark.parametrize("bad", [b"", b"HSPACK01", b"HSPACK01\0\0\0\5abc", b"HSPACK01" + b"\xff" * 9])
def test_bytes_that_are_no_pack_are_refused(bad: bytes) -> None:
    with pytest.raises(BadFile):
        packed_files(bad)
