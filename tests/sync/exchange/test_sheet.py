"""A recovery sheet that was replaced among real devices: the new one and the place are enough, the old one is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.store import Store
from storage.troubles import SheetShared, WrongPassphrase
from storage.vault import prove_recovery
from sync.exchange.practice import Practice, found_practice, practice_of, put_out
from sync.exchange.recovery import recover_into
from sync.exchange.sheet import replace_sheet, replaces_practice_sheet
from sync.exchange.troubles import NewerActs, SheetReplaced
from sync.membership.acts import Role
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, PASSPHRASE, Clock, put, small_family


def practice(store: Store) -> Practice:
    found = practice_of(store)
    assert found is not None
    return found


def two(folder: Path, role: Role = Role.OWNER) -> tuple[Store, Store, Shelf, str]:
    """A laptop that founded a practice, a tablet of this role, where they meet, and the first sheet."""
    made = device(folder, "laptop")
    laptop, tablet, shelf = made.store, device(folder, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet", role)
    meet(laptop, shelf)
    meet(tablet, shelf)
    return laptop, tablet, shelf, made.recovery_words


def test_the_new_sheet_and_the_place_bring_everything_back_and_the_old_one_says_when_it_was_replaced(
    tmp_path: Path,
) -> None:
    laptop, tablet, shelf, old = two(tmp_path)
    words = replace_sheet(laptop, PASSPHRASE, Clock())
    prove_recovery(laptop.folder, words)
    meet(laptop, shelf)
    laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    meet(laptop, shelf)
    digest = laptop.exchange().digest()
    laptop.close()
    tablet.close()
    new = device(tmp_path, "new").store
    before = dict(shelf.held)
    with pytest.raises(SheetReplaced) as told:
        recover_into(new, shelf, old, "New", Clock())
    assert told.value.sentence.startswith("This recovery sheet was replaced on 3 March 2026 and lets no device in")
    assert (practice_of(new), shelf.held) == (None, before)
    recover_into(new, shelf, words, "New", Clock())
    assert new.exchange().digest() == digest
    assert new.device in practice(new).roster.owners()
    new.close()


def test_the_practice_key_changes_at_once_and_is_sealed_for_the_new_sheet_alone(tmp_path: Path) -> None:
    laptop, tablet, shelf, _old = two(tmp_path)
    epochs = practice(laptop).roster.epochs
    replace_sheet(laptop, PASSPHRASE, Clock())
    found = practice(laptop).roster
    assert (found.epochs[:-1], found.rotation_owed, found.lacking) == (epochs, False, frozenset())
    meet(laptop, shelf)
    meet(tablet, shelf)
    assert practice(tablet).roster.sheets == found.sheets
    assert set(practice(tablet).keys) == set(found.epochs)
    laptop.close()
    tablet.close()


def test_another_owner_replaces_the_sheet_of_a_laptop_that_is_lost(tmp_path: Path) -> None:
    laptop, tablet, shelf, old = two(tmp_path)
    put_out(tablet, practice(tablet), laptop.device, Clock())
    words = replace_sheet(tablet, PASSPHRASE, Clock())
    meet(tablet, shelf)
    new = device(tmp_path, "new").store
    with pytest.raises(SheetReplaced):
        recover_into(new, shelf, old, "New", Clock())
    recover_into(new, shelf, words, "New", Clock())
    assert new.exchange().digest() == tablet.exchange().digest()
    for store in (laptop, tablet, new):
        store.close()


def test_sheets_replaced_apart_both_bring_everything_back_and_are_told_until_a_third_replaces_both(
    tmp_path: Path,
) -> None:
    laptop, tablet, shelf, _old = two(tmp_path)
    words = [replace_sheet(store, PASSPHRASE, Clock()) for store in (laptop, tablet)]
    for store in (laptop, tablet, laptop, tablet):
        told = meet(store, shelf)
    assert told.sheets == 2
    assert any(line.startswith("2 recovery sheets were made apart") for line in told.sentences(Clock()()))
    laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    meet(laptop, shelf)
    for at, one in enumerate(words):
        new = device(tmp_path, f"new {at}").store
        recover_into(new, shelf, one, f"New {at}", Clock())
        assert new.exchange().digest() == laptop.exchange().digest()
        new.close()
    third = replace_sheet(laptop, PASSPHRASE, Clock())
    assert meet(laptop, shelf).sheets == 1
    new = device(tmp_path, "new").store
    for one in words:
        with pytest.raises(SheetReplaced):
            recover_into(new, shelf, one, "New", Clock())
    recover_into(new, shelf, third, "New", Clock())
    for store in (laptop, tablet, new):
        store.close()


def test_who_is_no_owner_renews_the_sheet_of_that_device_alone(tmp_path: Path) -> None:
    laptop, tablet, _shelf, _old = two(tmp_path, Role.CONSULTANT)
    assert (replaces_practice_sheet(laptop), replaces_practice_sheet(tablet)) == (True, False)
    before = practice(tablet).roster
    words = replace_sheet(tablet, PASSPHRASE, Clock())
    prove_recovery(tablet.folder, words)
    assert practice(tablet).roster == before
    tablet.exchange().tell({"sheet": "shared"})  # as on the device of a founder who is an owner no more
    with pytest.raises(SheetShared):
        replace_sheet(tablet, PASSPHRASE, Clock())
    laptop.close()
    tablet.close()


def test_a_wrong_passphrase_changes_nothing(tmp_path: Path) -> None:
    laptop, tablet, _shelf, old = two(tmp_path)
    before = practice(laptop).roster
    with pytest.raises(WrongPassphrase):
        replace_sheet(laptop, "not the passphrase at all", Clock())
    assert practice(laptop).roster == before
    prove_recovery(laptop.folder, old)
    laptop.close()
    tablet.close()


def test_an_act_of_a_newer_version_is_kept_aside_and_told_and_stops_whoever_comes_new(tmp_path: Path) -> None:
    laptop, tablet, shelf, old = two(tmp_path)
    replace_sheet(laptop, PASSPHRASE, Clock())
    meet(laptop, shelf)
    newest = max(name for name in shelf.held if name.startswith(f"m/{laptop.device}/"))
    known = max(name for name in shelf.held if name.startswith(f"m/{laptop.device}/") and name != newest)
    shelf.held[known] = shelf.held[known].replace(b'"kind":"sheet"', b'"kind":"later"')
    told = meet(tablet, shelf)
    assert told.newer == {laptop.device}
    assert [why for _name, why in told.aside] == ["it was written by a newer version of Hearthside"]
    new = device(tmp_path, "new").store
    with pytest.raises(NewerActs):
        recover_into(new, shelf, old, "New", Clock())
    assert practice_of(new) is None
    for store in (laptop, tablet, new):
        store.close()
