"""Stores as older versions wrote them sync with this one: founded, joined, or met again, and nothing is lost."""

from __future__ import annotations

import secrets
import tarfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from forms.answers import Conflicted
from forms.chart import Place
from forms.people import InfantIdentity
from storage.changes import Begin
from storage.store import Store
from storage.vault import new_recovery_sheet, unlock
from sync.exchange.practice import found_practice, practice_of
from sync.exchange.recovery import recover_into
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.exchange.troubles import SheetTooOld
from sync.membership.acts import Role
from sync.transport.opening import open_target
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, TWIN, VISIT, Clock, put

FROZEN = Path(__file__).resolve().parents[2] / "frozen"


def meet(store: Store, place: Path) -> Told:
    return sync_round(store, open_target(str(place), own=store.device), clock=Clock())


def held(store: Store) -> set[str]:
    """Hashes of all operations and attachments."""
    with store._db.transaction() as c:
        logged = set(c.exec_driver_sql("SELECT hash FROM operation").scalars())
    return logged | store.exchange().attachments()


def same(*stores: Store) -> None:
    assert len({store.exchange().digest() for store in stores}) == 1
    assert all(held(store) == held(stores[0]) for store in stores)
    for store in stores:
        assert store.check() == ()


class Attic:
    """A frozen store, opened by this version, with the folder where it meets others and a store made now."""

    def __init__(self, folder: Path, version: int) -> None:
        with tarfile.open(FROZEN / f"store-{version}.tar.xz") as packed:
            packed.extractall(folder, filter="data")
        self.place = folder / "place"
        self.place.mkdir(exist_ok=True)
        self.words = (FROZEN / f"store-{version}.recovery.txt").read_text().strip()
        self.old = unlock(folder / "store", PASSPHRASE, clock=Clock(), ids=lambda: secrets.token_hex(16))
        self.new = device(folder, "new").store
        self.before = held(self.old)

    def close(self) -> None:
        self.old.close()
        self.new.close()


@pytest.fixture
def first(tmp_path: Path) -> Iterator[Attic]:
    """A store of schema 1, from before sharing."""
    attic = Attic(tmp_path, 1)
    yield attic
    attic.close()


@pytest.fixture
def second(tmp_path: Path) -> Iterator[Attic]:
    """A shared store of schema 2, and the place it shared."""
    attic = Attic(tmp_path, 2)
    yield attic
    attic.close()


# --- schema 1 ---------------------------------------------------------------------------------------------------------


def test_a_store_from_before_sharing_asks_for_a_new_sheet_and_then_shares_all_it_holds(first: Attic) -> None:
    old, new = first.old, first.new
    with pytest.raises(SheetTooOld, match="Print a new recovery sheet"):
        found_practice(old, "Old", Clock())
    assert practice_of(old) is None
    assert held(old) == first.before
    words = new_recovery_sheet(old, PASSPHRASE)
    found_practice(old, "Old", Clock())
    joined(old, new, "New")
    for store in (old, new):
        assert meet(store, first.place).complete
    same(old, new)
    assert held(new) == first.before
    chart = new.chart(FAMILY, VISIT)
    assert chart.person(InfantIdentity, BABY).called_name == "Idå"
    assert chart.signed(VISIT) is not None
    assert new.recheck(VISIT) == ()
    assert words != first.words


def test_the_new_sheet_and_the_place_alone_bring_the_old_record_back(first: Attic, tmp_path: Path) -> None:
    words = new_recovery_sheet(first.old, PASSPHRASE)
    found_practice(first.old, "Old", Clock())
    meet(first.old, first.place)
    back = device(tmp_path, "back").store
    assert recover_into(back, open_target(str(first.place)), words, "Back", Clock()).complete
    meet(first.old, first.place)
    same(first.old, back)
    back.close()


def test_a_store_from_before_sharing_joins_a_practice_made_now_and_brings_its_record(first: Attic) -> None:
    old, new = first.old, first.new
    found_practice(new, "New", Clock())
    entity = secrets.token_hex(16)
    new.write([Begin(entity, Place("provider")), put(entity, "full_name", "Dr Ottoline Marsh")], author=AUTHOR)
    joined(new, old, "Old")
    for store in (new, old, new, old):
        told = meet(store, first.place)
    assert told.complete
    same(old, new)
    assert held(new) > first.before
    assert new.chart(FAMILY, VISIT).signed(VISIT) is not None


# --- schema 2 ---------------------------------------------------------------------------------------------------------


def test_a_shared_store_goes_on_at_its_place_and_lets_a_new_device_in(second: Attic) -> None:
    old, new = second.old, second.new
    own = old.device
    unsent = {one.hash for one in old.exchange().unsent(-1)}
    assert unsent
    old.write([put(BABY, "legal_name", "Ida Maren Quillfeather")], author=AUTHOR)
    joined(old, new, "New", Role.OWNER)
    told = meet(old, second.place)
    assert (told.complete, told.sent, old.device) == (True, 2, own)
    assert meet(new, second.place).complete
    same(old, new)
    assert held(new) >= second.before | unsent
    chart = new.chart(FAMILY, VISIT)
    names = chart.person(InfantIdentity, TWIN).called_name
    assert isinstance(names, Conflicted)
    assert {variant.value for variant in names.variants} == {"Junia", "Junonia"}
    assert new.recheck(VISIT) == ()
    assert len(new.exchange().attachments()) == 2


def test_what_the_new_device_writes_reaches_the_old_store_and_settles_what_stood_twice(second: Attic) -> None:
    old, new = second.old, second.new
    joined(old, new, "New", Role.OWNER)
    for store in (old, new):
        meet(store, second.place)
    new.write([put(TWIN, "called_name", "Junia", reason="asked her mother")], author=AUTHOR)
    meet(new, second.place)
    assert meet(old, second.place).settled == 1
    same(old, new)


def test_the_frozen_sheet_and_the_frozen_place_bring_back_all_that_was_sent(second: Attic, tmp_path: Path) -> None:
    unsent = {one.hash for one in second.old.exchange().unsent(-1)}
    back = device(tmp_path, "back").store
    assert recover_into(back, open_target(str(second.place)), second.words, "Back", Clock()).complete
    assert held(back) == second.before - unsent
    for store in (second.old, back):
        meet(store, second.place)
    same(second.old, back)
    back.close()
