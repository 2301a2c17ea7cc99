"""A real store takes in what other devices wrote as the merge does in memory: any order, any grouping, once or twice."""

from __future__ import annotations

import random

import pytest

from storage.copied_chains import copied, count_copied
from storage.log import SIGNED, Operation
from storage.store import Store
from sync.merge.replica import Replica
from tests.helpers.chains import Writer
from tests.helpers.schedules import Story
from tests.helpers.stores import BABY, FAMILY, VISIT, put
from tests.storage.conftest import Made, open_with


def standing(store: Store) -> set[tuple[str, str, str]]:
    with store._db.transaction() as c:
        return {tuple(row) for row in c.exec_driver_sql("SELECT entity, field, hash FROM register")}


def of_memory(replica: Replica) -> set[tuple[str, str, str]]:
    return {(*register, one.hash) for register in replica.registers() for one in replica.standing(register).operations}


def receive(store: Store, operations: list[Operation]) -> None:
    with store._writing() as writing:
        writing.receive(operations)
        writing.result()


def own(store: Store) -> list[Operation]:
    with store._db.transaction() as c:
        return [Operation.read(row[0]) for row in c.exec_driver_sql("SELECT bytes FROM operation")]


@pytest.mark.parametrize("seed", range(12))
def test_any_order_and_grouping_stands_as_in_memory(closed: Made, master: bytes, seed: int) -> None:
    rng = random.Random(seed)
    story = Story(rng.randrange, 3)
    for _ in range(40):
        story.step()
    written = [one for one in story.written.values() if one.field != SIGNED]  # a signature is made by a store alone
    rng.shuffle(written)
    store, replica = open_with(closed.folder, master), Replica()
    replica.take(own(store))
    while written:
        some = [written.pop() for _ in range(min(len(written), rng.randrange(1, 9)))]
        receive(store, some + some[:2])
        replica.take(some)
        assert standing(store) == of_memory(replica)
    assert store.differences() == ()
    assert store.check() == ()
    store.close()


def test_a_value_replaced_before_it_arrived_does_not_stand_and_stays_readable(store: Store) -> None:
    tablet = Writer("tablet")
    first = tablet.put(BABY, "called_name", "Ida")
    later = tablet.put(BABY, "called_name", "Ida May", (first.hash,))
    receive(store, [later])
    receive(store, [first])
    assert {hash_ for entity, field, hash_ in standing(store) if (entity, field) == (BABY, "called_name")} >= {
        later.hash
    }
    assert first.hash not in {one[2] for one in standing(store)}
    assert store.differences() == ()


def test_an_answer_written_apart_stands_beside_ours_and_the_caseload_counts_it(store: Store) -> None:
    receive(store, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    (line,) = store.caseload()
    assert line.conflicts == 1
    assert len(store.heads(BABY, put(BABY, "called_name", "x").path)) == 2


def test_what_was_received_is_proved_by_the_tail_and_opens_again(closed: Made, master: bytes) -> None:
    store = open_with(closed.folder, master)
    receive(store, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    store._lock.release()
    store._db.close()
    again = open_with(closed.folder, master)
    assert (again.told, again.check()) == ((), ())
    again.write([put(VISIT, "kind", "clinic")], author="a" * 32)
    assert again.check() == ()
    again.close()


def test_undo_never_takes_back_what_another_device_wrote(store: Store) -> None:
    before = store.undoable(family=FAMILY)
    receive(store, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    assert store.undoable(family=FAMILY) == before


@pytest.mark.parametrize("years", [-3, 5])
def test_a_wrong_clock_elsewhere_does_not_carry_ours_along(store: Store, years: int) -> None:
    tablet = Writer("tablet")
    tablet.clock = tablet.clock.replace(year=tablet.clock.year + years)
    receive(store, [tablet.put(BABY, "called_name", "Ida May")])
    store.write([put(VISIT, "kind", "clinic")], author="a" * 32)
    newest = store.heads(VISIT, put(VISIT, "kind", "x").path)[-1]
    assert newest.at.year == 2026


def test_a_chain_that_stands_twice_is_known_as_it_comes_and_the_same_when_counted_anew(store: Store) -> None:
    first, other = Writer("tablet"), Writer("tablet")
    shared = [first.begin(f"{n:032x}", "feed", family=FAMILY, visit=VISIT) for n in (1, 2)]
    for _ in shared:
        other.begin(f"{_.seq:032x}", "feed", family=FAMILY, visit=VISIT)
    receive(store, shared)
    with store._db.transaction() as c:
        assert copied(c) == ()
    receive(store, [first.put(BABY, "called_name", "Ida"), other.put(BABY, "called_name", "Idi")])
    receive(store, [other.put(BABY, "called_name", "Ido")])
    with store._db.transaction() as c:
        known = copied(c)
        assert known == ((shared[0].chain, 3),)
        count_copied(c)
        assert copied(c) == known
