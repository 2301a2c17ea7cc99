"""A copied machine and a restored backup: what each wrote is kept, no file is written twice, and each goes on."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from storage.store import Store
from storage.vault import unlock
from sync.exchange.join import admit, ask_to_join, come_in, heard, meet_guest
from sync.exchange.practice import found_practice, let_in, own_member, practice_of
from sync.exchange.troubles import Continued, NotLetIn
from sync.membership.acts import Role
from tests.helpers.shelf import Shelf, copied, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, TWIN, Clock, put, small_family


@dataclass
class Group:
    """An owner's laptop and a consultant's tablet that know the same."""

    laptop: Store
    tablet: Store
    shelf: Shelf
    folder: Path

    def copy_of(self, store: Store, name: str) -> Store:
        """The store as it lies on disk now, opened as another machine would."""
        store.settle()
        folder = copied(store.folder, self.folder / name)
        return unlock(folder, PASSPHRASE, clock=Clock(), ids=lambda: secrets.token_hex(16))

    def rounds(self, *stores: Store) -> None:
        for store in (*stores, *stores):
            meet(store, self.shelf)

    def forks(self) -> int:
        """How many numbers of a chain hold two files anywhere."""
        return sum(
            len(files) > 1
            for store in (self.laptop, self.tablet)
            for chain in store.exchange().ends()
            for files in store.exchange().numbers(chain).values()
        )


@pytest.fixture
def group(tmp_path: Path) -> Iterator[Group]:
    laptop, tablet, shelf = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    meet(laptop, shelf)
    meet(tablet, shelf)
    tablet.write([put(FAMILY, "family_name", "Ode-Quillfeather")], author="b" * 32)
    for store in (tablet, laptop, tablet):
        meet(store, shelf)
    yield Group(laptop, tablet, shelf, tmp_path)
    laptop.close()
    tablet.close()


def called(*stores: Store) -> list[set[object]]:
    return [{head.value for head in store.heads(BABY, put(BABY, "called_name", "x").path)} for store in stores]


def equal(*stores: Store) -> None:
    assert len({store.exchange().digest() for store in stores}) == 1
    assert all(store.check() == () for store in stores)


@pytest.mark.parametrize("first", ["copy", "copied"])
def test_a_copy_and_the_copied_that_both_write_offline_keep_both_and_publish_no_fork(group: Group, first: str) -> None:
    copy = group.copy_of(group.laptop, "copy")
    copy.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    group.laptop.write([put(BABY, "called_name", "Idi")], author=AUTHOR)
    order = (copy, group.laptop) if first == "copy" else (group.laptop, copy)
    group.rounds(*order, group.tablet)
    group.rounds(*order, group.tablet)
    assert called(copy, group.laptop, group.tablet) == [{"Ida", "Idi"}] * 3
    equal(copy, group.laptop, group.tablet)
    assert copy.device != group.laptop.device
    assert group.forks() == 0
    copy.close()


def test_a_restored_backup_that_meets_the_place_at_once_takes_all_in_and_goes_on_anew(group: Group) -> None:
    old = group.copy_of(group.laptop, "old")
    group.laptop.write([put(BABY, "called_name", "Idi")], author=AUTHOR)
    group.rounds(group.laptop)
    name = group.laptop.device
    assert meet(old, group.shelf).continued
    assert old.device != name
    assert called(old) == [{"Idi"}]
    old.write([put(TWIN, "called_name", "June")], author=AUTHOR)
    group.rounds(old, group.tablet)
    equal(old, group.tablet)
    assert group.forks() == 0
    old.close()


def test_a_restored_backup_that_is_alone_and_lost_nothing_goes_on_as_it_was(group: Group) -> None:
    old = group.copy_of(group.laptop, "old")
    group.laptop.write([put(BABY, "called_name", "Idi")], author=AUTHOR)  # never sent, and the machine is gone
    old.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    told = meet(old, group.shelf)
    assert not told.continued
    assert old.device == group.laptop.device
    group.rounds(group.tablet)
    equal(old, group.tablet)
    assert group.forks() == 0
    old.close()


def test_a_copy_that_is_no_owners_waits_and_is_let_in_by_a_code_with_all_it_wrote(group: Group) -> None:
    copy = group.copy_of(group.tablet, "copy")
    group.tablet.write([put(BABY, "called_name", "Idi")], author="b" * 32)
    group.rounds(group.tablet)
    copy.write([put(BABY, "called_name", "Ida")], author="b" * 32)
    with pytest.raises(Continued):
        meet(copy, group.shelf)
    with pytest.raises(NotLetIn):
        meet(copy, group.shelf)
    assert called(copy) == [{"Ida", "Idi"}]
    clock = Clock()
    asking = ask_to_join(copy, group.shelf, "Tablet 2", clock)
    guest = meet_guest(group.laptop, group.shelf, asking.shown, clock)
    met = heard(group.shelf, asking, clock)
    assert met is not None
    admit(group.laptop, group.shelf, guest, Role.CONSULTANT, clock)
    assert come_in(copy, group.shelf, met, clock) is not None
    group.rounds(copy, group.laptop, group.tablet)
    assert called(copy, group.laptop, group.tablet) == [{"Ida", "Idi"}] * 3
    equal(copy, group.laptop, group.tablet)
    copy.close()


@pytest.mark.parametrize("first", ["copy", "copied"])
def test_copies_that_each_let_somebody_in_both_do(group: Group, first: str) -> None:
    """Both make their next act under the same number; neither is lost, and no name holds two."""
    copy = group.copy_of(group.laptop, "copy")
    phone, desk = device(group.folder, "phone").store, device(group.folder, "desk").store
    for store, other, label in ((copy, phone, "Phone"), (group.laptop, desk, "Desk")):
        practice = practice_of(store)
        assert practice is not None
        let_in(store, practice, own_member(other, label, Role.CONSULTANT), Clock())
    order = (copy, group.laptop) if first == "copy" else (group.laptop, copy)
    group.rounds(*order, group.tablet)
    rosters = []
    for store in (copy, group.laptop, group.tablet):
        practice = practice_of(store)
        assert practice is not None
        assert practice.roster.missing == frozenset()
        rosters.append(set(practice.roster.members))
    assert rosters[0] == rosters[1] == rosters[2]
    assert {phone.device, desk.device} <= rosters[0]
    for store in (copy, phone, desk):
        store.close()
