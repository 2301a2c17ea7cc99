"""A new device is usable at once from a snapshot, believes it no further than it must, and proves all of it afterwards."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest

from forms.ask import Path as At
from storage.promises import Promises
from storage.store import Store
from storage.troubles import StillChecked
from storage.writing import Writing
from sync.exchange.join import admit, ask_to_join, come_in, heard, meet_guest
from sync.exchange.known_ends import known_ends
from sync.exchange.practice import practice_of, put_out
from sync.exchange.recovery import recover_into
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.membership.acts import Role
from sync.wire import names
from sync.wire.troubles import Stopped
from tests.helpers.rounds import Killed, log_of, standing
from tests.helpers.schedules import oracle
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.snapshots import ENOUGH, Joins, Large, large, read
from tests.helpers.stores import AUTHOR, BABY, VISIT, Clock, put

NOW = datetime(2026, 3, 4, tzinfo=UTC)


def stopped_after(joins: Joins, count: int) -> Told:
    """One round that a person ends after so many requests."""
    return sync_round(joins.phone, joins.shelf, clock=Clock(), cancelled=lambda: joins.shelf.requests >= count)


def requests_until_usable(joins: Joins) -> int:
    """How many requests there are before the first thing behind the snapshot is asked for."""
    usable: list[int] = []

    def told(words: str) -> None:
        if words.startswith("Checking what came before"):
            usable.append(joins.shelf.requests)

    other = device(joins.folder, secrets.token_hex(4)).store
    joined(joins.large.laptop, other, "Other")
    held = dict(joins.shelf.held)
    sync_round(other, joins.shelf, clock=Clock(), progress=told)
    other.close()
    joins.shelf.held, joins.shelf.requests = held, 0
    return usable[0]


# --- made and taken -------------------------------------------------------------------------------------------------


def test_a_snapshot_says_what_stood_when_it_was_made(written: Large) -> None:
    said, operations = read(written, written.held)
    assert said.digest == written.at_snapshot
    assert said.standing == len(operations) < said.operations
    assert said.ends.keys() == {written.laptop.device, written.tablet.device}
    assert names.snapshot_numbered(written.head) == said.operations // 1000 == 0


def test_a_new_device_shows_the_record_before_a_single_older_file_was_read(joins: Joins) -> None:
    told = stopped_after(joins, requests_until_usable(joins))
    assert joins.phone.exchange().digest() == joins.large.laptop.exchange().digest()
    assert told.checking > 10
    assert f"The record is here; {told.checking} files are still being checked." in list(told.sentences(NOW))
    assert not told.complete
    assert joins.phone.check() == ()
    assert len(log_of(joins.phone)) < len(log_of(joins.large.laptop))


def test_everything_behind_the_snapshot_is_proved_in_the_same_round(joins: Joins) -> None:
    told = meet(joins.phone, joins.shelf)
    assert told.complete
    joins.same()


def test_a_record_that_grew_a_little_gets_no_new_snapshot_and_one_that_grew_by_half_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    grows = large(tmp_path)
    written = next(grows)
    shelf = Shelf(held=written.held)
    monkeypatch.setattr("sync.exchange.snapshots.LEAST", ENOUGH)
    known = written.tablet.exchange().promises().known()
    own = f"s/{written.tablet.device}"
    meet(written.tablet, shelf)
    assert not any(name.startswith(own) for name in shelf.held)
    while written.tablet.exchange().promises().known() < known * 3 // 2 + 10:
        written.tablet.write([put(BABY, "called_name", f"Ida {n}") for n in range(40)], author="b" * 32)
    meet(written.tablet, shelf)
    assert names.snapshot(written.tablet.device, 0) in shelf.held
    phone = device(tmp_path, "phone").store
    joined(written.laptop, phone, "Phone")
    meet(written.laptop, shelf)
    assert meet(phone, shelf).complete
    assert phone.exchange().digest() == written.tablet.exchange().digest()
    phone.close()
    next(grows, None)  # closes its stores


def test_no_visit_is_signed_while_files_behind_the_snapshot_are_still_to_come(joins: Joins) -> None:
    with suppress(Stopped):
        stopped_after(joins, requests_until_usable(joins) + 1)
    assert joins.phone.exchange().promises().named()
    with pytest.raises(StillChecked):
        joins.phone.sign(VISIT, author=AUTHOR)
    assert joins.phone.recheck(VISIT) == ()
    assert meet(joins.phone, joins.shelf).complete
    joins.phone.sign(VISIT, author=AUTHOR)
    assert joins.phone.check() == ()


def test_the_place_is_listed_for_snapshots_once_and_not_in_every_round(joins: Joins) -> None:
    meet(joins.phone, joins.shelf)
    asked: list[str] = []
    listed = joins.shelf.names
    joins.shelf.names = lambda folder: asked.append(folder) or listed(folder)  # type: ignore[method-assign, func-returns-value]
    meet(joins.phone, joins.shelf)
    meet(joins.phone, joins.shelf)
    assert not [folder for folder in asked if folder.startswith("s")]


def test_a_snapshot_comes_back_when_the_place_is_filled_again(joins: Joins, monkeypatch: pytest.MonkeyPatch) -> None:
    meet(joins.phone, joins.shelf)
    joins.shelf.held.clear()
    monkeypatch.setattr("sync.exchange.snapshots.LEAST", ENOUGH)
    sync_round(joins.phone, joins.shelf, clock=Clock(), refill=True)
    assert names.snapshot(joins.phone.device, 0) in joins.shelf.held
    other = device(joins.folder, "other").store
    joined(joins.large.laptop, other, "Other")
    told = meet(other, joins.shelf)
    assert told.complete
    assert other.exchange().digest() == joins.large.laptop.exchange().digest()
    other.close()


def test_joining_with_a_code_and_coming_back_from_the_sheet_begin_from_the_snapshot(
    joins: Joins, tmp_path: Path
) -> None:
    laptop, clock = joins.large.laptop, Clock()
    fresh = device(tmp_path, "fresh").store
    asking = ask_to_join(fresh, joins.shelf, "Fresh", clock)
    guest = meet_guest(laptop, joins.shelf, asking.shown, clock)
    met = heard(joins.shelf, asking, clock)
    assert met is not None
    admit(laptop, joins.shelf, guest, Role.CONSULTANT, clock)
    assert come_in(fresh, joins.shelf, met, clock) is not None
    meet(fresh, joins.shelf)
    assert fresh.exchange().fact("record from")
    assert fresh.exchange().digest() == laptop.exchange().digest()
    assert fresh.check() == ()
    fresh.close()


# --- broken off -----------------------------------------------------------------------------------------------------


@contextmanager
def dying(store: Store, shelf: Shelf, at: int) -> Iterator[None]:
    """The process ends before its durable step number `at`, in the store or at the place."""
    step, wrapped, put_, replace_ = 0, store._writing, shelf.put, shelf.replace

    def tick() -> None:
        nonlocal step
        step += 1
        if step == at:
            raise Killed

    @contextmanager
    def writing() -> Iterator[Writing]:
        tick()
        with wrapped() as going:
            yield going

    def after(write: Callable[[str, bytes], None]) -> Callable[[str, bytes], None]:
        return lambda name, data: (tick(), write(name, data))[1]  # type: ignore[func-returns-value]

    store._writing = writing  # type: ignore[method-assign]
    shelf.put, shelf.replace = after(put_), after(replace_)  # type: ignore[method-assign, assignment]
    try:
        yield
    finally:
        del store._writing
        shelf.put, shelf.replace = put_, replace_  # type: ignore[method-assign]


def test_a_device_that_dies_before_each_step_goes_on_and_shows_nothing_false_on_the_way(joins: Joins) -> None:
    for at in range(1, 200):
        try:
            with dying(joins.phone, joins.shelf, at=at):
                meet(joins.phone, joins.shelf)
        except Killed:
            log = log_of(joins.phone)
            assert standing(joins.phone) == oracle(log)
            if joins.phone.exchange().fact("record from"):
                assert {len(hashes) for hashes in standing(joins.phone).values()} == {1}
                assert at % 4 or joins.phone.check() == ()
        else:
            break
    else:
        pytest.fail("it never came to an end")
    assert meet(joins.phone, joins.shelf).complete
    joins.same()


def test_a_person_may_stop_at_any_request_and_no_replaced_answer_ever_stands_again(joins: Joins) -> None:
    usable = requests_until_usable(joins)
    digest = joins.large.laptop.exchange().digest()
    left = 10**6
    for count in range(usable, usable + 60, 3):
        joins.shelf.requests = 0 if left == 10**6 else joins.shelf.requests
        stop = joins.shelf.requests + (count if left == 10**6 else count - usable + 12)
        try:
            told = stopped_after(joins, stop)
        except Stopped:
            continue
        assert joins.phone.exchange().digest() == digest
        assert told.checking <= left
        left = told.checking
    meet(joins.phone, joins.shelf)
    joins.same()


def test_what_is_written_on_it_meanwhile_is_sent_and_stands_everywhere(joins: Joins) -> None:
    stopped_after(joins, requests_until_usable(joins))
    heads = joins.phone.heads(BABY, At("called_name"))
    joins.phone.write([put(BABY, "called_name", "Ida June")], author="c" * 32)
    assert known_ends(joins.phone.exchange())[joins.large.laptop.device][0] > 5
    meet(joins.phone, joins.shelf)
    (head,) = joins.phone.heads(BABY, At("called_name"))
    assert head.value == "Ida June"
    assert heads
    other = device(joins.folder, "other").store
    joined(joins.large.laptop, other, "Other")
    practice = practice_of(joins.large.laptop)
    assert practice is not None
    for act in practice.acts:
        joins.shelf.held[names.act(act.by, act.seq)] = act.raw
    assert meet(other, joins.shelf).complete
    assert other.exchange().digest() == joins.phone.exchange().digest()
    other.close()


def test_putting_a_device_out_meanwhile_keeps_all_that_the_snapshot_had_of_it(tmp_path: Path) -> None:
    made = device(tmp_path, "made")
    from sync.exchange.practice import found_practice
    from tests.helpers.stores import small_family

    found_practice(made.store, "Laptop", Clock())
    made.store.write(small_family(), author=AUTHOR)
    shelf = Shelf()
    meet(made.store, shelf)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sync.exchange.snapshots.LEAST", 5)
        meet(made.store, shelf)
    assert any(name.startswith("s/") for name in shelf.held)
    gone = made.store.device
    digest = made.store.exchange().digest()
    made.store.close()
    new = device(tmp_path, "new").store
    # Everything but the snapshot is slow to come: the new owner puts the lost device out before it is there.
    behind = {name: shelf.held.pop(name) for name in list(shelf.held) if name.startswith("c/")}
    told = recover_into(new, shelf, made.recovery_words, "New", Clock())
    assert told.checking == 1
    practice = practice_of(new)
    assert practice is not None
    put_out(new, practice, gone, Clock())
    shelf.held |= behind
    told = meet(new, shelf)
    assert told.checking == 0
    assert not told.aside
    assert new.exchange().digest() == digest
    assert new.check() == ()
    new.close()


def test_promises_are_read_as_they_were_kept(joins: Joins) -> None:
    stopped_after(joins, requests_until_usable(joins))
    promises: Promises = joins.phone.exchange().promises()
    said, _operations = read(joins.large, joins.shelf.held)
    assert {chain: (one.number, one.hash, one.seq) for chain, one in promises.named().items()} == {
        chain: (end.number, end.hash, end.seq) for chain, end in said.ends.items()
    }
