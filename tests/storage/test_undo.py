"""Taking steps back by writing their reverse."""

from __future__ import annotations

import pytest

from forms.answers import Conflicted
from forms.ask import Path
from forms.chart import Place
from forms.weight import WeightReading
from storage.changes import Begin, StrikeOut
from storage.store import Store
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, answers, grams, opened, put
from tests.storage.conftest import Made

WEIGHT = "9" * 32
PETS = Path("pets")


def pets(store: Store) -> object:
    return answers(store, FAMILY).pets


@pytest.fixture
def fresh(closed: Made) -> Made:
    """A store whose set-up steps are out of reach: twenty later steps stand before them."""
    store = opened(closed.folder)
    for n in range(20):
        store.write([put(FAMILY, "access", f"step {n}")], author=AUTHOR)
    store.close()
    return closed


def test_the_last_twenty_steps_are_taken_back_one_by_one_and_the_twenty_first_is_not(store: Store) -> None:
    for n in range(25):
        store.write([put(FAMILY, "pets", f"{n} hens")], author=AUTHOR)
    assert len(store.undoable()) == 20
    for n in reversed(range(4, 24)):
        assert store.undo(AUTHOR)
        assert pets(store) == f"{n} hens"
    assert store.undoable() == ()
    assert store.undo(AUTHOR) is None
    assert pets(store) == "4 hens"
    assert store.check() == ()


def test_undo_survives_lock_and_unlock(fresh: Made) -> None:
    store = opened(fresh.folder)
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.close()
    again = opened(fresh.folder)
    assert again.undoable()[0] == "Family: Pets"
    again.undo(AUTHOR)
    assert pets(again) is None
    again.close()


def test_undo_writes_new_operations_and_removes_none(store: Store) -> None:
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.write([put(FAMILY, "pets", "A goat")], author=AUTHOR)
    store.undo("b" * 32)
    assert [head.value for head in store.history(FAMILY, PETS)] == ["A hen", "A goat", "A hen"]
    assert store.history(FAMILY, PETS)[-1].author == "b" * 32


def test_a_step_of_several_answers_is_taken_back_whole(store: Store) -> None:
    store.write([put(FAMILY, "pets", "A hen"), put(FAMILY, "access", "By the mill")], author=AUTHOR)
    store.undo(AUTHOR)
    given = answers(store, FAMILY)
    assert (given.pets, given.access) == (None, None)


def test_an_added_entry_taken_back_is_struck_out_and_still_readable(store: Store) -> None:
    store.write([Begin(WEIGHT, Place("weight", FAMILY, None, (BABY,))), put(WEIGHT, "weight", grams(1))], author=AUTHOR)
    assert store.undoable()[0] == "Weight: added, Weight"
    store.undo(AUTHOR)
    assert store.chart(FAMILY).all(WeightReading) == ()
    assert store.chart(FAMILY).by_id(WEIGHT).struck.reason == "Taken back"  # type: ignore[union-attr]
    assert [head.value for head in store.history(WEIGHT, Path("weight"))] == [grams(1), None]


def test_a_strike_out_taken_back_counts_again(store: Store) -> None:
    store.write([Begin(WEIGHT, Place("weight", FAMILY, None, (BABY,))), put(WEIGHT, "weight", grams(1))], author=AUTHOR)
    store.write([StrikeOut(WEIGHT, "wrong baby")], author=AUTHOR)
    store.undo(AUTHOR)
    assert len(store.chart(FAMILY).all(WeightReading)) == 1


def test_a_settled_conflict_taken_back_is_the_same_conflict_again(store: Store) -> None:
    store.write([put(FAMILY, "pets", "A hen", replaces=())], author=AUTHOR)
    store.write([put(FAMILY, "pets", "A goat", replaces=())], author=AUTHOR)
    store.write([put(FAMILY, "pets", "A hen and a goat")], author=AUTHOR)
    store.undo(AUTHOR)
    conflict = pets(store)
    assert isinstance(conflict, Conflicted)
    assert {variant.value for variant in conflict.variants} == {"A hen", "A goat"}


def test_what_somebody_else_wrote_on_top_is_left_alone(store: Store) -> None:
    store.write([put(FAMILY, "pets", "A hen"), put(FAMILY, "access", "By the mill")], author=AUTHOR)
    from storage.registers import append, heads

    with store._writing() as writing:  # as an operation from another device would arrive: in no step of this one
        seen = tuple(head.operation for head in heads(writing.c, FAMILY, "pets"))
        made, writing.chain = writing.chain.next(FAMILY, "pets", "A goat", seen, "b" * 32, writing.now, "")
        append(writing.c, made, writing.chain.count, None)
    store.undo(AUTHOR)
    given = answers(store, FAMILY)
    assert (given.pets, given.access) == ("A goat", None)


def test_a_signature_cannot_be_taken_back_nor_what_it_froze(store: Store) -> None:
    store.write([put(VISIT, "place", "At home")], author=AUTHOR)
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.sign(VISIT, author=AUTHOR)
    assert store.undoable()[0] == "Family: Pets"
    store.undo(AUTHOR)
    assert all("Visit" not in step for step in store.undoable())
    assert store.undo(AUTHOR) is None
    assert store.chart(FAMILY, VISIT).signed() is not None
    assert answers(store, VISIT).place == "At home"


def test_a_paper_that_has_left_is_not_taken_back(store: Store) -> None:
    issued = "9" * 32
    store.write([Begin(issued, Place("paper_issued", FAMILY, VISIT)), put(issued, "sha256", "0" * 64)], author=AUTHOR)
    assert not any("Paper issued" in step for step in store.undoable())
    store.undo(AUTHOR)
    entry = store.entry(issued)
    assert entry is not None
    assert entry.struck is None


def test_undo_of_one_family_leaves_every_other_family_alone(store: Store) -> None:
    other = "7" * 32
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.write([Begin(other, Place("family", other)), put(other, "pets", "A goose")], author=AUTHOR)
    done = store.undo(AUTHOR, family=FAMILY)
    assert done is not None
    assert done.families == {FAMILY}
    entry = store.entry(other)
    assert entry is not None
    assert entry.answers.pets == "A goose"  # type: ignore[attr-defined]


def test_a_step_is_described_without_naming_a_private_question(store: Store) -> None:
    store.write([put(FAMILY, "visit_safety", "Ring first")], author=AUTHOR)
    assert store.undoable()[0] == "Family: a private answer"
