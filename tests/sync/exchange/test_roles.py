"""Roles among real devices: heard, applied from then on, and told where something came all the same."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from forms.chart import Place
from forms.role import Part, Role
from storage.changes import Begin, Change
from storage.store import Store
from storage.troubles import SignsNot, WritesNot
from sync.exchange.practice import Practice, found_practice, made_by, practice_of
from sync.exchange.roles import beyond_role
from sync.membership.acts import SetRole
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, Clock, grams, put, small_family

WEIGHT, LATER = "7" * 32, datetime(2026, 3, 10, 9, tzinfo=UTC)
A_WEIGHT: list[Change] = [Begin(WEIGHT, Place("weight", FAMILY, None, (BABY,))), put(WEIGHT, "weight", grams(3110))]


def two(folder: Path, role: Role) -> tuple[Store, Store, Shelf]:
    """A laptop that founded a practice, a second device of this role, and where they have met."""
    laptop, other, shelf = device(folder, "laptop").store, device(folder, "other").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    joined(laptop, other, "The other device", role)
    meet(laptop, shelf)
    meet(other, shelf)
    return laptop, other, shelf


def practice(store: Store) -> Practice:
    found = practice_of(store)
    assert found is not None
    return found


def unbound(store: Store) -> None:
    """A device whose program does not hold to its role."""
    store.exchange().tell({"role": ""})


def test_a_device_holds_to_the_role_with_which_it_was_let_in_and_to_a_new_one_once_it_hears(tmp_path: Path) -> None:
    laptop, other, shelf = two(tmp_path, Role.OFFICE)
    with pytest.raises(WritesNot):
        other.write(A_WEIGHT, author=AUTHOR)
    made_by(laptop, practice(laptop), SetRole(other.device, Role.STUDENT), Clock(LATER))
    meet(laptop, shelf)
    with pytest.raises(WritesNot):
        other.write(A_WEIGHT, author=AUTHOR)
    said = "The role of this device is Student now. Charts. A consultant signs."
    assert said in list(meet(other, shelf).sentences(LATER))
    assert said not in list(meet(other, shelf).sentences(LATER))
    other.write(A_WEIGHT, author=AUTHOR)
    with pytest.raises(SignsNot):
        other.sign(VISIT, author=AUTHOR)
    laptop.close()
    other.close()


def test_what_an_office_device_charted_all_the_same_is_kept_and_told(tmp_path: Path) -> None:
    laptop, other, shelf = two(tmp_path, Role.OFFICE)
    unbound(other)
    other.write([*A_WEIGHT, put(BABY, "called_name", "Ida")], author=AUTHOR)
    told = meet(other, shelf)
    told = meet(laptop, shelf)
    said = "The other device wrote 2 clinical answers, which its role does not allow. All of it is kept."
    assert said in list(told.sentences(LATER))
    assert not told.complete
    kept = laptop.entry(WEIGHT)
    assert kept is not None
    assert kept.answers.weight == grams(3110)  # type: ignore[attr-defined]
    assert [one.part for one in beyond_role(laptop, practice(laptop).roster)] == [Part.CLINICAL] * 2
    line = next(line for line in laptop.journal() if line.kind == "received beyond a role")
    assert line.about == {"device": other.device, "part": "clinical", "count": "2"}
    assert said not in list(meet(laptop, shelf).sentences(LATER))
    laptop.close()
    other.close()


def test_a_students_signature_is_kept_and_told_and_signs_nothing_on_any_device(tmp_path: Path) -> None:
    laptop, other, shelf = two(tmp_path, Role.STUDENT)
    unbound(other)
    other.sign(VISIT, author=AUTHOR)
    meet(other, shelf)
    said = list(meet(laptop, shelf).sentences(LATER))
    assert (
        "The other device signed 1 visit, which its role does not allow. It waits for a device whose role signs."
        in said
    )
    assert laptop.signatures(FAMILY) == ()
    laptop.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    signed = laptop.sign(VISIT, author=AUTHOR)
    meet(laptop, shelf)
    meet(other, shelf)
    for store in (laptop, other):
        assert [one.operation for one in store.signatures(FAMILY)] == [signed.operation]
        assert store.disputes() == ()
    assert laptop.exchange().digest() == other.exchange().digest()
    laptop.close()
    other.close()


def test_what_was_signed_while_the_role_signed_counts_whatever_the_role_is_later(tmp_path: Path) -> None:
    laptop, other, shelf = two(tmp_path, Role.CONSULTANT)
    signed = other.sign(VISIT, author=AUTHOR)
    made_by(laptop, practice(laptop), SetRole(other.device, Role.STUDENT), Clock(LATER))
    meet(laptop, shelf)
    meet(other, shelf)
    assert not meet(laptop, shelf).beyond
    for store in (laptop, other):
        assert [one.operation for one in store.signatures(FAMILY)] == [signed.operation]
    laptop.close()
    other.close()


def test_a_signature_made_before_its_device_heard_that_it_signs_no_more_stops_counting_everywhere(
    tmp_path: Path,
) -> None:
    laptop, other, shelf = two(tmp_path, Role.CONSULTANT)
    made_by(laptop, practice(laptop), SetRole(other.device, Role.STUDENT), Clock(datetime(2026, 3, 1, tzinfo=UTC)))
    other.sign(VISIT, author=AUTHOR)
    assert other.signatures(FAMILY)
    meet(laptop, shelf)
    meet(other, shelf)
    meet(laptop, shelf)
    assert laptop.signatures(FAMILY) == other.signatures(FAMILY) == ()
    laptop.close()
    other.close()
