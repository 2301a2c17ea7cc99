"""An answer brought forward is still one after a restart, an undo and a merge, and no more once it was touched."""

from __future__ import annotations

import pytest

from forms.ask import Path
from forms.carried import brought
from forms.chart import Carried, Entry, Place, entry_id
from forms.form import Form
from forms.parent_history import ParentHistory
from storage.carrying import carried_by, reason_for
from storage.changes import Begin, Change, Put
from storage.drafts import Draft
from storage.store import Store
from tests.helpers.stores import AUTHOR, FAMILY, PARENT, VISIT, moment, put
from tests.storage.conftest import Made, open_with

NEXT = "6" * 32
EARLIER, HERE = entry_id(ParentHistory, VISIT, (PARENT,)), entry_id(ParentHistory, NEXT, (PARENT,))
AT = Place("parent_history", FAMILY, NEXT, (PARENT,))
GOAL, ALLERGIES = Path("goal"), Path("allergies")


def told(store: Store) -> None:
    store.write(
        [
            Begin(EARLIER, Place("parent_history", FAMILY, VISIT, (PARENT,))),
            put(EARLIER, "goal", "Feed both"),
            put(EARLIER, "allergies", "Latex"),
            Begin(NEXT, Place("visit", FAMILY)),
            put(NEXT, "start", moment(12)),
        ],
        author=AUTHOR,
    )


def bring(store: Store) -> None:
    found = brought(store.chart(FAMILY, NEXT), ParentHistory, (PARENT,), ("goal", "allergies"))
    assert found is not None
    changes: list[Change] = [Begin(found.entry, found.place)]
    changes += [Put(found.entry, line.path, line.value, None, reason_for(line.source)) for line in found.lines]
    store.write(changes, author=AUTHOR)


def standing(store: Store) -> Entry[Form]:
    entry = store.entry(HERE)
    assert entry is not None
    in_chart = store.chart(FAMILY, NEXT).by_id(HERE)
    assert in_chart is not None
    assert in_chart.carried == entry.carried
    return entry


@pytest.fixture
def carried(store: Store) -> Store:
    told(store)
    bring(store)
    return store


def source(store: Store, path: Path) -> Carried:
    (head,) = store.heads(EARLIER, path)
    return Carried(EARLIER, head.operation)


def test_it_names_the_operation_that_wrote_it_and_is_still_grey_after_a_restart(closed: Made, master: bytes) -> None:
    store = open_with(closed.folder, master)
    told(store)
    bring(store)
    expected = {"goal": source(store, GOAL), "allergies": source(store, ALLERGIES)}
    assert standing(store).carried == expected
    store.close()
    again = open_with(closed.folder, master)
    assert standing(again).carried == expected
    again.rebuild()
    assert standing(again).carried == expected
    assert again.check() == ()
    again.close()


def test_editing_makes_it_todays_and_taking_the_edit_back_makes_it_grey_again(carried: Store) -> None:
    draft = Draft.opened(carried, HERE, AT, ParentHistory)
    draft.put(GOAL, "Feed Ida only")
    assert set(draft.carried) == {"allergies"}
    draft.save(carried, author=AUTHOR)
    assert set(standing(carried).carried) == {"allergies"}
    carried.undo(AUTHOR)
    assert standing(carried).carried["goal"] == source(carried, GOAL)
    assert standing(carried).answers.goal == "Feed both"  # type: ignore[attr-defined]


def test_still_so_is_kept_with_its_source_and_can_be_taken_back(carried: Store) -> None:
    draft = Draft.opened(carried, HERE, AT, ParentHistory)
    draft.still_so(ALLERGIES)
    assert set(draft.carried) == {"goal"}
    draft.save(carried, author=AUTHOR)
    kept = standing(carried)
    assert kept.carried["allergies"].still_so
    assert kept.carried["allergies"].operation == source(carried, ALLERGIES).operation
    assert kept.answers.allergies == "Latex"  # type: ignore[attr-defined]
    carried.undo(AUTHOR)
    assert not standing(carried).carried["allergies"].still_so


def test_words_typed_over_and_back_again_are_gone_through(carried: Store) -> None:
    draft = Draft.opened(carried, HERE, AT, ParentHistory)
    draft.put(GOAL, "Feed both twins")
    draft.put(GOAL, "Feed both")
    draft.save(carried, author=AUTHOR)
    assert standing(carried).carried["goal"].still_so


def test_the_same_words_given_anew_by_another_device_are_todays(carried: Store) -> None:
    carried.write([Put(HERE, GOAL, "Feed both", replaces=())], author=AUTHOR)
    assert len(carried.heads(HERE, GOAL)) == 1, "the same words change nothing by themselves"
    carried.write([Put(HERE, GOAL, "Feed both", replaces=(), reason="Said again")], author=AUTHOR)
    assert len(carried.heads(HERE, GOAL)) == 2
    assert "goal" not in standing(carried).carried


def test_two_devices_that_bring_the_same_forward_have_one_grey_line_and_one_that_went_through_counts(
    carried: Store,
) -> None:
    again = source(carried, GOAL)
    carried.write([Put(HERE, GOAL, "Feed both", replaces=(), reason=reason_for(again))], author=AUTHOR)
    assert len(carried.heads(HERE, GOAL)) == 2
    assert standing(carried).carried["goal"] == again
    through = reason_for(Carried(again.entry, again.operation, still_so=True))
    carried.write([Put(HERE, GOAL, "Feed both", replaces=(), reason=through)], author=AUTHOR)
    assert standing(carried).carried["goal"].still_so


def test_an_answer_that_only_quotes_such_a_reason_is_not_brought_forward(carried: Store) -> None:
    words = '"reason":"Brought forward from ' + EARLIER + ' x"'
    carried.write([put(HERE, "more", words), put(HERE, "diet", "Brought forward from x y")], author=AUTHOR)
    assert set(standing(carried).carried) == {"goal", "allergies"}


def test_bringing_forward_is_one_step_and_taken_back_as_one(carried: Store) -> None:
    carried.undo(AUTHOR)
    kept = standing(carried)
    assert kept.carried == {}
    assert (kept.answers.goal, kept.answers.allergies) == (None, None)  # type: ignore[attr-defined]


def test_other_reasons_say_nothing_of_that() -> None:
    for reason in ("", "Taken back", "Settled", "brought forward from x y"):
        assert carried_by(reason) is None
