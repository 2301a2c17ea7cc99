"""Answers of a newer version go through the store whole: choices, several choices, fields and forms not yet known."""

from __future__ import annotations

from typing import Any

from forms.answers import Absence, Absent
from forms.ask import Path as At
from forms.ask import ask_of
from forms.chart import Entry, Place
from forms.form import Form
from forms.newer import choice_words, from_newer
from forms.scores import Score
from storage.changes import Begin
from storage.log import PLACE
from storage.registers import append
from storage.store import Store
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, put
from tests.storage.conftest import Made, open_with

SCORE = "5c" * 16
STRANGE = "57" * 16


def _written_by_newer(store: Store, entity: str, field: str, value: Any) -> None:
    with store._writing() as writing:
        made, writing.chain = writing.chain.next(entity, field, value, (), AUTHOR, writing.now, "")
        append(writing.c, made, writing.chain.count, None)


def _held(store: Store, entity: str) -> Entry[Any]:
    found = store.chart(FAMILY).by_id(entity)
    assert found is not None
    return found


def _begun(store: Store) -> None:
    store.write([Begin(SCORE, Place("score", FAMILY, VISIT, (BABY,))), put(SCORE, "tool", "btat")], author=AUTHOR)


def test_a_choice_a_newer_version_made_comes_back_and_is_named(store: Store) -> None:
    _begun(store)
    heads = tuple(head.operation for head in store.heads(SCORE, At("tool")))
    with store._writing() as writing:
        made, writing.chain = writing.chain.next(SCORE, "tool", "xyz", heads, AUTHOR, writing.now, "")
        append(writing.c, made, writing.chain.count, None)
    score = _held(store, SCORE).answers
    assert score.tool == "xyz"
    assert choice_words(ask_of(Score, "tool"), score.tool) == "a choice of a newer version: xyz"
    assert store.check() == ()


def test_answering_another_question_leaves_what_a_newer_version_wrote(closed: Made, master: bytes) -> None:
    store = open_with(closed.folder, master)
    _begun(store)
    _written_by_newer(store, SCORE, "second_rater", {"total": 6})
    store.write([put(SCORE, "version", "2015"), put(SCORE, "scored_by", Absent(Absence.NOT_ASKED))], author=AUTHOR)
    store.close()
    store = open_with(closed.folder, master)
    held = _held(store, SCORE)
    store.close()
    assert held.unknown == {"second_rater": {"total": 6}}
    assert from_newer(held) == ("second rater: total 6",)
    assert held.answers.version == "2015"


def test_an_entry_of_a_form_not_yet_known_is_kept_with_all_its_answers(store: Store) -> None:
    place = {"form": "lullaby", "family": FAMILY, "visit": VISIT, "subjects": [BABY]}
    _written_by_newer(store, STRANGE, PLACE, place)
    _written_by_newer(store, STRANGE, "verses", 3)
    held = _held(store, STRANGE)
    assert type(held.answers) is Form
    assert (held.place.form, from_newer(held)) == ("lullaby", ("verses: 3",))
