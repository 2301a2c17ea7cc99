"""Drafts: typing, saving, and what changed meanwhile."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from forms.answers import Conflicted
from forms.ask import Path
from forms.chart import Place
from forms.people import Family
from forms.weight import WeightReading
from storage.changes import Change, ChangeSet
from storage.drafts import Draft, save_all
from storage.store import Store
from storage.troubles import CannotBeKept, DiskFull
from tests.helpers.stores import AUTHOR, BABY, FAMILY, answers, grams, put

WEIGHT = "9" * 32
PETS, ACCESS = Path("pets"), Path("access")


def family_draft(store: Store) -> Draft:
    return Draft.opened(store, FAMILY, Place("family", FAMILY), Family)


def weight_draft(store: Store) -> Draft:
    return Draft.opened(store, WEIGHT, Place("weight", FAMILY, None, (BABY,)), WeightReading)


def test_a_draft_shows_what_is_typed_before_and_after_it_is_saved(store: Store) -> None:
    draft = family_draft(store)
    draft.put(PETS, "Two hens")
    assert draft.pending
    assert draft.value(PETS) == "Two hens"
    assert draft.answers.family_name == "Quillfeather-Ode"  # type: ignore[attr-defined]
    done = draft.save(store, author=AUTHOR)
    assert done
    assert done.touched == {(FAMILY, PETS)}
    assert not draft.pending
    assert draft.value(PETS) == "Two hens"
    assert draft.save(store, author=AUTHOR) is None


def test_the_first_answer_begins_the_entry(store: Store) -> None:
    draft = weight_draft(store)
    assert store.entry(WEIGHT) is None
    draft.put(Path("weight"), grams(3210))
    draft.save(store, author=AUTHOR)
    entry = store.entry(WEIGHT)
    assert entry is not None
    assert (entry.place, entry.author) == (draft.place, AUTHOR)


def test_what_changed_elsewhere_meanwhile_is_not_overwritten_but_conflicts(store: Store) -> None:
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    draft = family_draft(store)
    draft.put(PETS, "A goat")
    store.write([put(FAMILY, "pets", "A cat"), put(FAMILY, "access", "By the mill")], author="b" * 32)
    entry = store.entry(FAMILY)
    assert entry is not None
    draft.refresh(entry)
    assert draft.overtaken == {PETS}
    assert draft.value(PETS) == "A goat"
    assert draft.value(ACCESS) == "By the mill"
    draft.save(store, author=AUTHOR)
    standing = draft.value(PETS)
    assert isinstance(standing, Conflicted)
    assert {variant.value for variant in standing.variants} == {"A cat", "A goat"}
    draft.put(PETS, "A cat and a goat")
    draft.save(store, author=AUTHOR)
    assert answers(store, FAMILY).pets == "A cat and a goat"


def test_without_a_refresh_the_conflict_is_kept_all_the_same(store: Store) -> None:
    draft = family_draft(store)
    draft.put(PETS, "A goat")
    store.write([put(FAMILY, "pets", "A cat")], author="b" * 32)
    draft.save(store, author=AUTHOR)
    assert isinstance(draft.value(PETS), Conflicted)


def test_typing_on_after_a_save_replaces_the_own_value(store: Store) -> None:
    draft = family_draft(store)
    for typed in ("A", "A g", "A goat"):
        draft.put(PETS, typed)
        draft.save(store, author=AUTHOR)
    assert store.heads(FAMILY, PETS)[0].value == "A goat"
    assert len(store.history(FAMILY, PETS)) == 3


def test_a_value_typed_back_to_what_stood_writes_nothing_when_nothing_was_typed_before(store: Store) -> None:
    draft = family_draft(store)
    draft.put(Path("family_name"), "Quillfeather-Ode")
    assert not draft.pending
    draft.put(PETS, "A")
    draft.put(PETS, None)
    done = draft.save(store, author=AUTHOR)
    assert not done
    assert not draft.pending


def test_half_a_character_is_refused_while_typing_and_spoils_nothing(store: Store) -> None:
    draft = family_draft(store)
    draft.put(PETS, "A goat")
    with pytest.raises(CannotBeKept):
        draft.put(ACCESS, "\ud83d")
    assert draft.save(store, author=AUTHOR)


def test_what_is_typed_while_a_save_is_under_way_stays_pending_and_is_saved_next(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    draft = family_draft(store)
    draft.put(PETS, "A go")
    write = store.write

    def slow(changes: Iterable[Change], *, author: str) -> ChangeSet:
        draft.put(PETS, "A goat")
        return write(changes, author=author)

    monkeypatch.setattr(store, "write", slow)
    draft.save(store, author=AUTHOR)
    monkeypatch.undo()
    assert draft.pending
    assert draft.value(PETS) == "A goat"
    draft.save(store, author=AUTHOR)
    assert answers(store, FAMILY).pets == "A goat"


def test_a_save_that_reached_the_disk_but_not_its_proof_is_not_taken_for_somebody_elses(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    draft = family_draft(store)
    draft.put(PETS, "A go")

    def no_room(*_: object) -> None:
        raise DiskFull

    monkeypatch.setattr(store._tail, "put", no_room)
    with pytest.raises(DiskFull):
        draft.save(store, author=AUTHOR)
    assert draft.pending
    monkeypatch.undo()
    draft.put(PETS, "A goat")
    draft.save(store, author=AUTHOR)
    assert draft.value(PETS) == "A goat"
    assert [head.value for head in store.history(FAMILY, PETS)] == ["A go", "A goat"]
    assert store.check() == ()


def test_an_entry_written_again_after_it_was_taken_back_counts_again(store: Store) -> None:
    draft = weight_draft(store)
    draft.put(Path("weight"), grams(3210))
    draft.save(store, author=AUTHOR)
    store.undo(AUTHOR)
    entry = store.entry(WEIGHT)
    assert entry is not None
    draft.refresh(entry)
    assert draft.value(Path("weight")) is None
    draft.put(Path("weight"), grams(3220))
    draft.save(store, author=AUTHOR)
    again = store.entry(WEIGHT)
    assert again is not None
    assert again.struck is None
    assert again.answers.weight == grams(3220)  # type: ignore[attr-defined]


def test_an_entry_read_before_the_last_save_neither_brings_back_the_old_answer_nor_makes_a_conflict(
    store: Store,
) -> None:
    draft = family_draft(store)
    draft.put(PETS, "A")
    draft.save(store, author=AUTHOR)
    read_early = store.entry(FAMILY)
    assert read_early is not None
    draft.put(PETS, "A goat")
    draft.save(store, author=AUTHOR)
    draft.refresh(read_early)
    assert draft.value(PETS) == "A goat"
    draft.put(PETS, "A goat and a hen")
    draft.save(store, author=AUTHOR)
    assert answers(store, FAMILY).pets == "A goat and a hen"


def test_an_entry_read_before_its_first_answer_was_saved_takes_nothing_away(store: Store) -> None:
    draft = family_draft(store)
    read_early = store.entry(FAMILY)
    assert read_early is not None
    draft.put(PETS, "A goat")
    draft.save(store, author=AUTHOR)
    draft.refresh(read_early)
    draft.put(PETS, "Two goats")
    draft.save(store, author=AUTHOR)
    assert answers(store, FAMILY).pets == "Two goats"


def test_one_entry_that_cannot_be_saved_keeps_none_of_the_others_from_the_disk(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    family, weight = family_draft(store), weight_draft(store)
    family.put(PETS, "A goat")
    weight.put(Path("weight"), grams(3210))
    write = store.write

    def not_the_family(changes: Iterable[Change], *, author: str) -> ChangeSet:
        listed = list(changes)
        if any(change.entity == FAMILY for change in listed):
            raise DiskFull
        return write(listed, author=author)

    monkeypatch.setattr(store, "write", not_the_family)
    with pytest.raises(DiskFull):
        save_all((family, weight), store, author=AUTHOR)
    monkeypatch.undo()
    assert (family.pending, weight.pending) == (True, False)
    assert answers(store, WEIGHT).weight == grams(3210)
