"""Where an answer was taken from stands in the reason of its operation, is read back exactly, and survives an undo."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.ask import Path as At
from storage.store import Store
from storage.taking import TakenFrom, taken_from
from tests.helpers.stores import AUTHOR, BABY, grams, new_store, put, small_family

_TEXT = st.text(st.characters(codec="utf-8"), max_size=40)
SOURCE = TakenFrom("ab" * 32, "3:Patient/p/birth_weight", "Wren Alder", "2026-11-06")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    made.write(small_family(), author=AUTHOR)
    yield made
    made.close()


@given(st.builds(TakenFrom, st.just("0f" * 32), _TEXT, _TEXT, _TEXT))
def test_a_source_is_read_back_as_it_was_written(source: TakenFrom) -> None:
    assert taken_from(source.reason()) == source


@pytest.mark.parametrize("reason", [
    "", "Taken from the file she brought", f"Taken from the file {'0f' * 32}", f"Taken from the file {'0f' * 32} [1, 2, 3]",
    f"Taken from the file {'0f' * 32} [\"a\", \"b\"]", f"Taken from the file {'0f' * 32} [not one]",
])  # fmt: skip
def test_a_reason_in_other_words_names_no_source(reason: str) -> None:
    assert taken_from(reason) is None


def test_a_source_is_told_in_words_too() -> None:
    assert SOURCE.words == "taken from a file of Wren Alder, 2026-11-06"
    assert TakenFrom("ab" * 32, "row 2", "", "").words == "taken from a file of somebody it does not name"


def source_of(store: Store) -> TakenFrom | None:
    head = store.history(BABY, At("birth_weight"))[-1]
    return taken_from(head.reason)


def test_an_answer_says_from_where_it_was_taken_until_another_replaces_it_and_again_after_undo(store: Store) -> None:
    store.write([put(BABY, "birth_weight", grams(3420), reason=SOURCE.reason())], author=AUTHOR)
    assert source_of(store) == SOURCE
    store.write([put(BABY, "birth_weight", grams(3400))], author=AUTHOR)
    assert source_of(store) is None
    store.undo(AUTHOR)
    assert source_of(store) == SOURCE
