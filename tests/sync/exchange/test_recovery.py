"""The recovery sheet and the place are enough: every device may be gone."""

from __future__ import annotations

import secrets
from hashlib import sha256
from pathlib import Path

import pytest

from storage.keys import FLOOR, recovery_pair, recovery_signer
from storage.troubles import RecoveryMistyped, SheetShared
from storage.vault import new_recovery_sheet, prove_recovery, set_up
from sync.exchange.practice import change_key, found_practice, own_member, practice_of, put_out
from sync.exchange.recovery import recover_into
from sync.exchange.troubles import AlreadyShared, NotThisSheet, SheetTooOld
from sync.membership.acts import Found, Role, new_epoch, read_act, signed_act
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, PASSPHRASE, VISIT, Clock, put, small_family


def a_practice(folder: Path) -> tuple[Shelf, str, str, dict[str, bytes]]:
    """A record of two devices with two practice keys, all in one place: place, sheet, digest, attachments."""
    made = device(folder, "laptop")
    laptop, tablet, phone, shelf = made.store, device(folder, "tablet").store, device(folder, "phone").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    practice = joined(laptop, phone, "Phone")
    meet(laptop, shelf)
    meet(tablet, shelf)
    put_out(laptop, practice, phone.device, Clock())
    laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    tablet.write([put(BABY, "called_name", "Idi")], author="b" * 32)
    files = {laptop.attach(data, "image/png"): data for data in (b"invented", secrets.token_bytes(4_000_000))}
    for store in (laptop, tablet, laptop, tablet):
        meet(store, shelf)
    digest = laptop.exchange().digest()
    assert digest == tablet.exchange().digest()
    for store in (laptop, tablet, phone):
        store.close()
    return shelf, made.recovery_words, digest, files


def test_sheet_and_place_alone_give_the_whole_record_back_and_a_device_that_goes_on(tmp_path: Path) -> None:
    shelf, words, digest, files = a_practice(tmp_path)
    made = set_up(
        tmp_path / "new", PASSPHRASE, clock=Clock(), ids=lambda: secrets.token_hex(16), argon=FLOOR, words=words
    )
    told = recover_into(made.store, shelf, words, "New laptop", Clock())
    assert told.complete
    assert made.store.exchange().digest() == digest
    assert {name: made.store.attachment(name) for name in files} == files
    assert made.store.check() == ()
    practice = practice_of(made.store)
    assert practice is not None
    assert set(practice.keys) == set(practice.roster.epochs)
    for chain in list(practice.roster.owners()):
        if chain != made.store.device:
            put_out(made.store, practice, chain, Clock())
    made.store.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    assert meet(made.store, shelf).sent == 1
    assert made.recovery_words == words
    made.store.close()
    prove_recovery(tmp_path / "new", words)


def test_the_sheet_works_a_second_time(tmp_path: Path) -> None:
    shelf, words, digest, _files = a_practice(tmp_path)
    for name in ("second", "third"):
        made = device(tmp_path, name)
        recover_into(made.store, shelf, words, name, Clock())
        assert made.store.exchange().digest() == digest
        made.store.close()


def test_a_devices_keys_made_after_the_sheet_was_used_are_still_under_the_sheet(tmp_path: Path) -> None:
    shelf, words, _digest, _files = a_practice(tmp_path)
    second = device(tmp_path, "second").store
    recover_into(second, shelf, words, "second", Clock())
    practice = practice_of(second)
    assert practice is not None
    change_key(second, practice, Clock())
    second.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    meet(second, shelf)
    third = device(tmp_path, "third").store
    recover_into(third, shelf, words, "third", Clock())
    assert third.exchange().digest() == second.exchange().digest()
    second.close()
    third.close()


def test_another_sheet_a_mistyped_one_and_a_store_that_belongs_are_told_and_change_nothing(tmp_path: Path) -> None:
    shelf, words, _digest, _files = a_practice(tmp_path)
    other, before = device(tmp_path, "other"), dict(shelf.held)
    for typed, trouble in ((other.recovery_words, NotThisSheet), (words[:-1], RecoveryMistyped)):
        with pytest.raises(trouble):
            recover_into(other.store, shelf, typed, "Other", Clock())
    with pytest.raises(NotThisSheet):
        recover_into(other.store, Shelf(), words, "Other", Clock())
    assert practice_of(other.store) is None
    found_practice(other.store, "Other", Clock())
    with pytest.raises(AlreadyShared):
        recover_into(other.store, shelf, words, "Other", Clock())
    assert shelf.held == before
    other.store.close()


def test_a_practice_that_the_host_made_up_under_the_sheets_public_keys_is_not_taken(tmp_path: Path) -> None:
    shelf, words, digest, _files = a_practice(tmp_path)
    true = next(data for name, data in shelf.held.items() if name.startswith("m/") and b'"found"' in data)
    change = read_act(true).change
    assert isinstance(change, Found)
    host = device(tmp_path, "host").store
    epoch, _key = new_epoch()
    member = own_member(host, "Laptop", Role.OWNER)
    false = Found(member, change.recovery, change.recovery_sign, change.vouch, epoch, {})
    act = signed_act(
        false, repository="cd" * 16, by=host.device, seq=1, heads=(), now=Clock()(), signer=host.signing_key()
    )
    shelf.held[f"m/{host.device}/00000001"] = act.raw
    new = device(tmp_path, "new").store
    recover_into(new, shelf, words, "New", Clock())
    assert new.exchange().digest() == digest
    host.close()
    new.close()


def test_a_sheet_older_than_sharing_is_told_before_a_practice_is_founded(tmp_path: Path) -> None:
    store = device(tmp_path, "laptop").store
    with store._db.transaction() as c:
        c.exec_driver_sql("DELETE FROM device_key WHERE name = 'recovery vouch'")
    with pytest.raises(SheetTooOld):
        found_practice(store, "Laptop", Clock())
    assert practice_of(store) is None
    store.close()


def test_what_is_worked_out_of_a_sheet_is_the_same_for_ever() -> None:
    """Frozen: a sheet printed today has to open what was sealed today."""
    sheet = bytes(range(20))
    assert sha256(recovery_pair(sheet)[0]).hexdigest()[:16] == "163388a1766e3080"
    assert recovery_signer(sheet).public_key().public_bytes_raw().hex()[:16] == "332c389b53038e1e"


def test_the_sheet_of_a_shared_record_is_not_replaced_by_one_that_could_not_bring_it_back(tmp_path: Path) -> None:
    laptop, tablet = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store
    found_practice(laptop, "Laptop", Clock())
    joined(laptop, tablet, "Tablet")
    before = laptop.public_keys()
    with pytest.raises(SheetShared):
        new_recovery_sheet(laptop, PASSPHRASE)
    assert laptop.public_keys() == before
    assert new_recovery_sheet(tablet, PASSPHRASE)  # its sheet opens that device alone
    laptop.close()
    tablet.close()
