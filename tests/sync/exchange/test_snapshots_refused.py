"""A snapshot that is spoiled or lies is refused or told, and the record comes to what its files say."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from storage.log import Operation
from sync.exchange.practice import practice_of, put_out
from sync.wire import names
from sync.wire.snapshot_file import End, Snapshot
from tests.helpers.chains import Writer
from tests.helpers.rounds import log_of, standing
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.snapshots import Joins, laid, read
from tests.helpers.stores import BABY, Clock

NOW = datetime(2026, 3, 4, tzinfo=UTC)


def _spoiled(joins: Joins, what: str) -> None:
    held, head = joins.shelf.held, joins.large.head
    part = f"{head}.0000"
    match what:
        case "head missing":
            del held[head]
        case "part missing":
            del held[part]
        case "head empty":
            held[head] = b""
        case "head torn":
            held[head] = held[head][:-9]
        case "part torn":
            held[part] = held[part][:-9]
        case "part of another":
            held[part] = secrets.token_bytes(len(held[part]))
        case "foreign":
            held[head] = secrets.token_bytes(500)
        case "newer":
            held[head] = held[head][:8] + bytes([2]) + held[head][9:]
        case "older":
            held[head] = held[head][:8] + bytes([0]) + held[head][9:]


@pytest.mark.parametrize(
    "what",
    ["head missing", "part missing", "head empty", "head torn", "part torn", "part of another", "foreign", "newer",
     "older"],
)  # fmt: skip
def test_a_snapshot_that_is_no_good_costs_requests_and_nothing_else(joins: Joins, what: str) -> None:
    _spoiled(joins, what)
    told = meet(joins.phone, joins.shelf)
    assert not joins.phone.exchange().fact("record from")
    assert bool(told.aside) == (what.rsplit(maxsplit=1)[-1] not in ("missing", "empty"))
    assert bool(told.newer) == (what in ("newer", "older"))
    if told.aside:
        assert any("Kept aside: a snapshot" in sentence for sentence in told.sentences(NOW))
    joins.same()


def test_one_that_is_no_good_is_passed_over_for_an_older_one(joins: Joins) -> None:
    said, operations = read(joins.large, joins.shelf.held)
    newer = laid(joins.shelf, joins.large.tablet, operations, dict(said.ends))
    joins.shelf.held[newer] = joins.shelf.held[newer][:-3]
    meet(joins.phone, joins.shelf)
    assert joins.phone.exchange().fact("record from") == f"{joins.large.laptop.device} 0"
    joins.same()


def test_a_snapshot_of_a_device_that_was_put_out_is_not_even_fetched(joins: Joins) -> None:
    stranger = device(joins.folder, "stranger").store
    joined(joins.large.laptop, stranger, "Stranger")
    said, operations = read(joins.large, joins.shelf.held)
    laid_there = laid(joins.shelf, stranger, operations, dict(said.ends))
    practice = practice_of(joins.large.laptop)
    assert practice is not None
    put_out(joins.large.laptop, practice, stranger.device, Clock())
    meet(joins.large.laptop, Shelf(held=dict(joins.shelf.held)))
    practice = practice_of(joins.large.laptop)
    assert practice is not None
    for act in practice.acts:
        joins.shelf.held[names.act(act.by, act.seq)] = act.raw
    asked: list[str] = []
    got = joins.shelf.get
    joins.shelf.get = lambda name: asked.append(name) or got(name)  # type: ignore[method-assign, func-returns-value]
    meet(joins.phone, joins.shelf)
    assert laid_there not in asked
    joins.same()
    stranger.close()


LIES: dict[str, Callable[[Snapshot], Snapshot]] = {
    "another digest": lambda said: replace(said, digest="0" * 64),
    "fewer than it says": lambda said: replace(said, standing=said.standing + 1),
    "a device nobody let in": lambda said: replace(said, ends={**said.ends, "9" * 32: End(1, "ab" * 32, 1)}),
    "beyond its ends": lambda said: replace(
        said, ends={chain: replace(end, seq=end.seq // 2) for chain, end in said.ends.items()}
    ),
}


@pytest.mark.parametrize("lie", list(LIES))
def test_a_snapshot_that_does_not_come_to_what_it_says_is_refused_whole(joins: Joins, lie: str) -> None:
    said, operations = read(joins.large, joins.shelf.held)
    name = laid(joins.shelf, joins.large.tablet, operations, dict(said.ends), change=LIES[lie])
    told = meet(joins.phone, joins.shelf)
    assert [one for one, _why in told.aside] == [name]
    joins.same()


def test_an_answer_that_another_one_in_it_replaced_is_refused_as_standing(joins: Joins) -> None:
    said, operations = read(joins.large, joins.shelf.held)
    log = log_of(joins.large.laptop)
    replaced = next(log[parent] for one in operations for parent in one.parents)
    name = laid(joins.shelf, joins.large.tablet, [*operations, replaced], dict(said.ends))
    told = meet(joins.phone, joins.shelf)
    assert [one for one, _why in told.aside] == [name]
    joins.same()


# --- a member that lies ---------------------------------------------------------------------------------------------


def forged(joins: Joins, parents: tuple[str, ...] = ()) -> Operation:
    """An answer nobody wrote, in the tablet's name."""
    writer = Writer("tablet")
    writer.chain = replace(writer.chain, id=joins.large.tablet.device, seq=41)
    return writer.put(BABY, "birth_place", "A barn", parents)


def test_an_answer_nobody_wrote_stays_to_be_seen_and_is_told_in_every_round(joins: Joins) -> None:
    said, operations = read(joins.large, joins.shelf.held)
    lie = forged(joins)
    laid(joins.shelf, joins.large.laptop, [*operations, lie], dict(said.ends))
    for _ in range(2):
        told = meet(joins.phone, joins.shelf)
        assert told.unproved == {joins.large.tablet.device: 1}
        assert not told.complete
        assert any("1 answer said to be of Tablet came with a snapshot" in one for one in told.sentences(NOW))
    assert lie.hash in log_of(joins.phone)
    assert lie.hash in {made for hashes in standing(joins.phone).values() for made in hashes}
    assert any("nobody’s files" in problem for problem in joins.phone.check())


def test_an_answer_that_a_snapshot_leaves_out_stands_again_when_its_file_comes(joins: Joins) -> None:
    said, operations = read(joins.large, joins.shelf.held)
    without = [one for one in operations if one.field != "spit_up"]
    laid(joins.shelf, joins.large.laptop, without, dict(said.ends))
    told = meet(joins.phone, joins.shelf)
    assert told.unproved == {}
    joins.same()


def test_a_missing_file_behind_the_snapshot_is_waited_for_one_round_then_told(joins: Joins) -> None:
    lost = names.change(joins.large.laptop.device, 3)
    kept = joins.shelf.held.pop(lost)
    told = meet(joins.phone, joins.shelf)
    assert [(gap.first, gap.last) for gap in told.held] == [(3, 3)]
    assert told.checking >= 1
    told = meet(joins.phone, joins.shelf)
    assert [(gap.first, gap.last) for gap in told.gaps] == [(3, 3)]
    assert told.checking == 1
    joins.shelf.held[lost] = kept
    assert meet(joins.phone, joins.shelf).complete
    joins.same()
