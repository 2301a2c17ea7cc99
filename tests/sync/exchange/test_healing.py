"""What a place lost comes back from any device that has it, without anybody asking."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from storage.store import Store
from sync.exchange.practice import change_key, found_practice, practice_of
from sync.membership.acts import Role
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, Clock, put, small_family


@dataclass
class Three:
    """An owner's laptop, a tablet that knows all of it, a phone that knows nothing yet, and where they meet."""

    laptop: Store
    tablet: Store
    phone: Store
    shelf: Shelf

    def rounds(self, *stores: Store) -> None:
        for store in (*stores, *stores):
            meet(store, self.shelf)


@pytest.fixture
def three(tmp_path: Path) -> Iterator[Three]:
    stores = [device(tmp_path, name).store for name in ("laptop", "tablet", "phone")]
    laptop, tablet, phone = stores
    shelf = Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet", Role.OWNER)
    for name in ("Ida", "Idi", "Ido"):
        meet(laptop, shelf)
        laptop.write([put(BABY, "called_name", name)], author=AUTHOR)
    laptop.attach(b"%PDF-1.7 invented" + secrets.token_bytes(5_000_000), "application/pdf")
    meet(laptop, shelf)
    meet(tablet, shelf)
    joined(laptop, phone, "Phone")
    for store in (laptop, tablet):
        meet(store, shelf)
    yield Three(laptop, tablet, phone, shelf)
    for store in stores:
        store.close()


def same(three: Three) -> None:
    stores = (three.laptop, three.tablet, three.phone)
    assert len({store.exchange().digest() for store in stores}) == 1
    assert len({store.exchange().attachments() for store in stores}) == 1
    for store in stores:
        assert store.check() == ()


@pytest.mark.parametrize("spoil", [None, b"", b"half", "old"], ids=["gone", "empty", "torn", "another file"])
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_change_file_that_the_place_lost_is_put_back_by_a_device_that_has_it(
    three: Three, number: int, spoil: bytes | str | None
) -> None:
    name = f"c/{three.laptop.device}/00000/{number:08}"
    true = three.shelf.held.pop(name)
    if spoil is not None:
        three.shelf.held[name] = true[:-9] + b"elsewhere" if isinstance(spoil, str) else spoil
    three.rounds(three.phone)
    assert three.phone.exchange().digest() != three.laptop.exchange().digest()
    told = meet(three.tablet, three.shelf)
    assert told.refilled == 1
    assert three.shelf.held[name] == true
    three.rounds(three.phone)
    same(three)


def test_a_part_of_an_attachment_that_was_lost_is_put_back(three: Three) -> None:
    name = sorted(one for one in three.shelf.held if one.startswith("b/"))[1]
    true = three.shelf.held.pop(name)
    assert meet(three.phone, three.shelf).waiting == 1
    meet(three.tablet, three.shelf)
    assert three.shelf.held[name] == true
    three.rounds(three.phone)
    same(three)


def test_an_act_that_was_lost_is_put_back_by_another_owner(three: Three) -> None:
    practice = practice_of(three.tablet)
    assert practice is not None
    change_key(three.tablet, practice, Clock())
    three.rounds(three.tablet, three.laptop)
    after = practice_of(three.laptop)
    assert after is not None
    change_key(three.laptop, after, Clock())
    meet(three.laptop, three.shelf)
    name = f"m/{three.tablet.device}/00000001"
    true = three.shelf.held.pop(name)
    meet(three.phone, three.shelf)
    meet(three.laptop, three.shelf)
    assert three.shelf.held[name] == true
    three.rounds(three.phone, three.laptop, three.tablet)
    same(three)


def test_what_is_there_and_true_is_never_written_over(three: Three) -> None:
    meet(three.phone, three.shelf)
    three.laptop.write([put(FAMILY, "pets", "two hens")], author=AUTHOR)
    before = dict(three.shelf.held)
    three.rounds(three.tablet, three.phone, three.laptop, three.tablet)
    assert {name for name in before if before[name] != three.shelf.held[name]} <= {n for n in before if n[0] == "h"}
    same(three)
