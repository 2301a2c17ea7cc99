"""A record that was imported is shared later only where every device would get all of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.store import Store
from storage.vault import SetUp
from sync.exchange.practice import found_practice, practice_of
from sync.exchange.troubles import SeveralWroteIt
from tests.helpers.chains import Writer
from tests.helpers.exported import bring_in, read_out
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, PARENT, Clock, put, small_family


def imported(folder: Path, *, of_two: bool) -> SetUp:
    """A new store that took in what one device wrote, or two."""
    old = device(folder / "old", "old")
    old.store.write(small_family(), author=AUTHOR)
    old.store.attach(b"a paper", "application/pdf")
    if of_two:
        old.store.exchange().receive((), [Writer("tablet").put(BABY, "called_name", "Ida May")])
    read_out(old.store, folder / "out")
    old.store.close()
    new = device(folder / "new", "new")
    bring_in(folder / "out", new.store)
    return new


def test_what_one_device_wrote_reaches_every_device_it_is_shared_with_later(tmp_path: Path) -> None:
    new, tablet, shelf = imported(tmp_path, of_two=False).store, device(tmp_path / "tablet", "tablet").store, Shelf()
    found_practice(new, "New", Clock())
    new.write([put(PARENT, "phone", "+44 7700 900999")], author=AUTHOR)
    meet(new, shelf)
    joined(new, tablet, "Tablet")
    meet(new, shelf)
    meet(tablet, shelf)
    assert tablet.exchange().digest() == new.exchange().digest()
    assert tablet.exchange().attachments() == new.exchange().attachments() != frozenset()
    closed_well(new, tablet)


def closed_well(*stores: Store) -> None:
    for store in stores:
        assert store.check() == ()
        store.close()


def test_what_several_devices_wrote_is_not_shared_in_part(tmp_path: Path) -> None:
    new = imported(tmp_path, of_two=True).store
    with pytest.raises(SeveralWroteIt):
        found_practice(new, "New", Clock())
    assert practice_of(new) is None
    assert new.exchange().acts() == ()
    new.write([put(PARENT, "phone", "+44 7700 900999")], author=AUTHOR)
    closed_well(new)
