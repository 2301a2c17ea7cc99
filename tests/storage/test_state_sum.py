"""The figure by which devices are compared is moved on by what was written, and is always that of all that stands."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from forms.trouble import Bug
from storage import registers, state_sum
from storage.log import SIGNED, Operation
from storage.store import Store
from tests.helpers.chains import Writer
from tests.helpers.schedules import Story
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, put
from tests.storage.conftest import Made, open_with
from tests.storage.test_rebuild import _do, step

WRONG = "The kept figure by which devices are compared differs from the record."


def worked_out(store: Store) -> tuple[int, int]:
    """Length of the log and sum of all that stands, from the tables alone and in other words than the store's."""
    with store._db.transaction() as c:
        rows = c.exec_driver_sql("SELECT entity, field, hash FROM register").all()
        length = c.exec_driver_sql("SELECT count(*) FROM operation").scalar_one()
    total = 0
    for row in rows:
        spread = hashlib.shake_256(json.dumps(list(row), separators=(",", ":"), ensure_ascii=False).encode())
        total += int(spread.hexdigest(256), 16)
    return length, total % 2**2048


def kept(store: Store) -> tuple[int, int] | None:
    with store._db.transaction() as c:
        row = c.exec_driver_sql("SELECT value FROM setting WHERE name = 'state sum'").scalar()
    return None if row is None else (int(row.split()[0]), int(row.split()[1], 16))


def right(store: Store) -> bool:
    """Whether the sum, once it was asked for, is that of the registers."""
    store.exchange().digest()
    return kept(store) == worked_out(store)


def receive(store: Store, operations: list[Operation]) -> None:
    with store._writing() as writing:
        writing.receive(operations)
        writing.result()


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(actions=st.lists(step, min_size=1, max_size=20))
def test_after_every_write_undo_and_signature_the_kept_sum_is_that_of_the_registers(
    template: Made, master: bytes, actions: list[tuple[Any, ...]]
) -> None:
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "store"
        shutil.copytree(template.folder, folder)
        store = open_with(folder, master)
        store.exchange().digest()
        for action in actions:
            _do(store, action)
            assert right(store)
        store.close()
        again = open_with(folder, master)
        assert right(again)
        again.close()


@pytest.mark.parametrize("seed", range(6))
def test_after_everything_received_in_any_order_it_is_too_and_equal_sets_show_equal_digests(
    closed: Made, master: bytes, tmp_path: Path, seed: int
) -> None:
    rng = random.Random(seed)
    story = Story(rng.randrange, 3)
    for _ in range(40):
        story.step()
    written = [one for one in story.written.values() if one.field != SIGNED]
    shutil.copytree(closed.folder, tmp_path / "other")
    stores = [open_with(closed.folder, master), open_with(tmp_path / "other", master)]
    for store in stores:
        store.exchange().digest()
        waiting = rng.sample(written, len(written))
        while waiting:
            some = [waiting.pop() for _ in range(min(len(waiting), rng.randrange(1, 9)))]
            receive(store, some + some[:2])
            assert right(store)
    assert stores[0].exchange().digest() == stores[1].exchange().digest()
    for store in stores:
        assert store.check() == ()
        store.close()


def test_it_stays_right_where_a_device_goes_on_under_a_new_name(store: Store) -> None:
    store.exchange().digest()
    store.write([put(BABY, "called_name", "Ida May"), put(FAMILY, "family_name", "Ode")], author=AUTHOR)
    by_copy = Writer("tablet").put(BABY, "called_name", "Idi", tuple(h.operation for h in store.heads(BABY, _name())))
    store._ids = lambda: "d" * 32
    store.go_on_anew((), [by_copy], 0)
    assert right(store)
    store.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    assert right(store)
    assert store.check() == ()


def test_a_store_made_anew_from_its_log_shows_the_same(store: Store) -> None:
    receive(store, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    before = store.exchange().digest()
    store.rebuild()
    assert kept(store) is None
    assert store.exchange().digest() == before
    assert right(store)


def test_a_store_that_kept_no_sum_or_in_which_an_older_version_wrote_comes_to_it(store: Store) -> None:
    assert kept(store) is None
    assert right(store)
    with store._writing() as writing:  # as a version wrote that knew of no sum
        made, writing.chain = writing.chain.next(BABY, "called_name", "Ida", (), AUTHOR, writing.now, "")
        registers.append(writing.c, made, writing.chain.count, None)
    store.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    assert WRONG not in store.check()
    assert right(store)


def test_a_sum_far_behind_or_ahead_of_the_log_is_worked_out_from_all_registers(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(state_sum, "_MOST", 2)
    assert right(store)
    for name in ("Ida", "Idi", "Ida May"):
        store.write([put(BABY, "called_name", name)], author=AUTHOR)
    assert right(store)
    with store._db.transaction() as c:
        c.exec_driver_sql("UPDATE setting SET value = '999 1' WHERE name = 'state sum'")
    assert right(store)


def test_a_write_that_fails_leaves_it_as_it_was(store: Store) -> None:
    store.exchange().digest()
    before = kept(store)
    with pytest.raises(Bug):
        store.write([put(BABY, "called_name", "Ida"), put("9" * 32, "weight", "of no entry")], author=AUTHOR)
    assert kept(store) == before
    store.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    assert right(store)


def test_a_kept_sum_that_is_not_of_the_record_is_told(store: Store) -> None:
    store.exchange().digest()
    assert store.check() == ()
    with store._db.transaction() as c:
        c.exec_driver_sql("UPDATE setting SET value = value || '0' WHERE name = 'state sum'")
    assert WRONG in store.check()


def test_a_register_that_vanished_is_told_by_the_sum_too(store: Store) -> None:
    store.exchange().digest()
    with store._db.transaction() as c:
        c.exec_driver_sql("DELETE FROM register WHERE entity = ? AND field = 'called_name'", (BABY,))
    assert WRONG in store.check()


def test_the_sum_is_of_a_set_whatever_the_order_and_tells_apart_what_lies_where() -> None:
    one, other = ("a", "b", "c"), ("a", "b", "d")
    assert state_sum.summed([one, other]) == state_sum.summed([other, one])
    assert state_sum.summed([one]) != state_sum.summed([other])
    assert state_sum.summed([("ab", "", "c")]) != state_sum.summed([("a", "b", "c")])
    assert (state_sum.summed([one, other]) - state_sum.summed([one])) % 2**2048 == state_sum.summed([other])


def test_a_value_is_the_same_in_every_version(store: Store) -> None:
    total = state_sum.summed([("2" * 32, "called_name", "0" * 64)])
    assert f"{total:0512x}"[:32] == "c5b98c9a096026a605fa5debdd8a2785"


def _name() -> Any:
    return put(BABY, "called_name", "x").path
