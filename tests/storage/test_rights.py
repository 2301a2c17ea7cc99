"""What a device writes is held against its role before anything changes; a signature without a right is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from forms.chart import Place
from forms.role import Role
from storage.changes import Begin, Change, StrikeOut
from storage.store import Store
from storage.troubles import SignsNot, WritesNot
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, VISIT, grams, new_store, put, small_family

WEIGHT, PROVIDER = "7" * 32, "8" * 32
A_WEIGHT: list[Change] = [Begin(WEIGHT, Place("weight", FAMILY, None, (BABY,))), put(WEIGHT, "weight", grams(3110))]


def store_of(folder: Path, role: Role | None) -> Store:
    store = new_store(folder / "store").store
    store.write(small_family(), author=AUTHOR)
    if role is not None:
        store.exchange().tell({"role": str(role)})
    return store


def state(store: Store) -> tuple[object, ...]:
    return store.exchange().digest(), len(store.journal()), store.undoable()


@pytest.mark.parametrize("role", [None, Role.OWNER, Role.CONSULTANT])
def test_a_store_that_stands_alone_an_owner_and_a_consultant_chart_and_sign(tmp_path: Path, role: Role | None) -> None:
    store = store_of(tmp_path, role)
    store.write(A_WEIGHT, author=AUTHOR)
    assert store.sign(VISIT, author=AUTHOR).visit == VISIT
    store.close()


def test_a_student_charts_and_is_told_who_signs(tmp_path: Path) -> None:
    store = store_of(tmp_path, Role.STUDENT)
    store.write(A_WEIGHT, author=AUTHOR)
    before = state(store)
    with pytest.raises(SignsNot) as told:
        store.sign(VISIT, author=AUTHOR)
    assert told.value.sentence == (
        "The role of this device is Student, which does not sign. "
        "The visit waits for the device of an owner or consultant."
    )
    assert state(store) == before
    assert store.signatures(FAMILY) == ()
    store.close()


def test_an_office_keeps_the_registry_and_changes_nothing_clinical(tmp_path: Path) -> None:
    store = store_of(tmp_path, Role.OFFICE)
    store.write(
        [
            put(PARENT, "phone", "+44 7700 900456"), put(BABY, "called_name", "Ida"), put(VISIT, "place", "Tallow Lane"),
            Begin(PROVIDER, Place("provider")), put(PROVIDER, "full_name", "Linden Practice"),
        ],
        author=AUTHOR,
    )  # fmt: skip
    store.write([StrikeOut(PROVIDER, "twice in the book")], author=AUTHOR)
    before = state(store)
    beyond: list[list[Change]] = [
        A_WEIGHT,
        [put(BABY, "birth_weight", grams(3000))],
        [StrikeOut(VISIT, "a slip")],
        [put(PARENT, "phone", "+44 7700 900789"), put(VISIT, "reason", "words")],
    ]
    for refused in beyond:
        with pytest.raises(WritesNot):
            store.write(refused, author=AUTHOR)
        assert state(store) == before
    with pytest.raises(SignsNot):
        store.sign(VISIT, author=AUTHOR)
    with pytest.raises(WritesNot) as told:
        store.write(A_WEIGHT, author=AUTHOR)
    assert told.value.sentence == (
        "The role of this device is Office, which does not write “Weight”. "
        "Write it on the device of an owner, consultant or student; nothing was changed."
    )
    store.close()


def test_undo_offers_no_step_that_the_role_could_not_take_back(tmp_path: Path) -> None:
    store = store_of(tmp_path, None)
    store.write(A_WEIGHT, author=AUTHOR)
    store.write([put(PARENT, "phone", "+44 7700 900456")], author=AUTHOR)
    store.exchange().tell({"role": str(Role.OFFICE)})
    assert len(store.undoable()) == 1
    assert store.undo(AUTHOR) is not None
    assert store.undo(AUTHOR) is None
    store.close()


def test_a_signature_without_a_right_freezes_nothing_and_counts_again_when_it_had_one(tmp_path: Path) -> None:
    store = store_of(tmp_path, None)
    signed = store.sign(VISIT, author=AUTHOR).operation
    assert store.caseload()[0].unsigned == ()
    assert store.exchange().note_not_signed({signed}, ()).families == {FAMILY}
    assert (store.signatures(FAMILY), store.caseload()[0].unsigned) == ((), (VISIT,))
    store.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    again = store.sign(VISIT, author=AUTHOR)
    assert [one.operation for one in store.signatures(FAMILY)] == [again.operation]
    assert (store.disputes(), store.recheck(VISIT)) == ((), ())
    store.exchange().note_not_signed((), {signed})
    assert {one.operation for one in store.signatures(FAMILY)} == {signed, again.operation}
    assert store.check() == ()
    store.close()
