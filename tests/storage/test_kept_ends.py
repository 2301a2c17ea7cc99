"""Ends of chains and attachments that are due are kept as they change, and are always what the tables say."""

from __future__ import annotations

import random

import pytest

from storage.exchange import Blob, Kept
from storage.store import Store

CHAINS = ("a" * 32, "b" * 32)


def ends_of_all(store: Store) -> dict[str, tuple[int, str]]:
    """Worked out over every file."""
    found: dict[str, tuple[int, str]] = {}
    with store._db.transaction() as c:
        for row in c.exec_driver_sql("SELECT chain, number, hash FROM change_file ORDER BY chain, number, hash"):
            if row.number == found.get(row.chain, (0, ""))[0] + 1:
                found[row.chain] = row.number, row.hash
    return found


def due_of_all(store: Store) -> tuple[set[str], set[str]]:
    """What was named by no file, and what was named and is not here, worked out over both tables."""
    with store._db.transaction() as c:
        here = set(c.exec_driver_sql("SELECT sha256 FROM attachment").scalars())
        named = {row.id: row.sha256 for row in c.exec_driver_sql("SELECT id, sha256 FROM blob")}
    return here - set(named.values()), {one for one, made in named.items() if made not in here}


@pytest.mark.parametrize("seed", range(8))
def test_ends_are_those_of_all_files_whatever_came_first_with_holes_and_forks(store: Store, seed: int) -> None:
    rng, exchange = random.Random(seed), store.exchange()
    files = [(chain, number, branch) for chain in CHAINS for number in range(1, 13) for branch in "xy"]
    for chain, number, branch in rng.sample(files, 30):
        exchange.keep(Kept(chain, number, f"{rng.randrange(9)}{branch}", 0, 0, b"file"))
        if rng.random() < 0.7:
            assert exchange.ends() == ends_of_all(store)
            assert exchange.end(chain) == ends_of_all(store).get(chain, (0, ""))
        here = exchange.numbers(chain)
        assert exchange.newest(chain) == max(here)
        assert exchange.numbers(chain, after=5) == {one: two for one, two in here.items() if one > 5}
    assert exchange.ends() == ends_of_all(store)


def test_a_store_that_kept_no_ends_counts_its_files_once(store: Store) -> None:
    exchange = store.exchange()
    for number in (1, 2, 3, 5):
        exchange.keep(Kept(CHAINS[0], number, f"hash {number}", 0, 0, b"file"))
    assert exchange.ends() == {CHAINS[0]: (3, "hash 3")}
    with store._db.transaction() as c:
        c.exec_driver_sql("DELETE FROM setting WHERE name LIKE 'end %'")
    assert exchange.ends() == {CHAINS[0]: (3, "hash 3")}
    assert exchange.end("never heard of") == (0, "")


@pytest.mark.parametrize("seed", range(8))
def test_no_attachment_is_forgotten_and_none_is_asked_for_twice(store: Store, seed: int) -> None:
    rng, exchange, made = random.Random(seed), store.exchange(), list[str]()
    for step in range(40):
        if rng.random() < 0.5:
            made.append(store.attach(rng.choice([b"one", b"two", rng.randbytes(9)]), "image/jpeg"))
        else:
            name = rng.choice(made) if made and rng.random() < 0.5 else rng.randbytes(32).hex()
            blob = Blob(f"id {rng.randrange(30)}", CHAINS[0], "e" * 32, name, "image/jpeg", 9)
            exchange.keep(Kept(CHAINS[0], step + 1, f"hash {step}", 0, 0, b"file"), [blob])
        if rng.random() < 0.6:
            unsent, wanted = due_of_all(store)
            assert {one[0] for one in exchange.unsent_attachments()} == unsent
            assert {blob.id for blob in exchange.wanted_blobs()} == wanted
    with store._db.transaction() as c:  # as a store that never kept any
        c.exec_driver_sql("DELETE FROM setting WHERE name = 'attachments due'")
    assert {one[0] for one in exchange.unsent_attachments()} == due_of_all(store)[0]


def test_what_came_for_an_attachment_that_was_named_twice_is_not_sent_again(store: Store) -> None:
    exchange = store.exchange()
    name = store.attach(b"a photo", "image/jpeg")
    assert exchange.unsent_attachments() == ((name, "image/jpeg", 7),)
    both = [Blob(one, CHAINS[0], "e" * 32, name, "image/jpeg", 7) for one in ("first", "second")]
    exchange.keep(Kept(CHAINS[0], 1, "hash", 0, 0, b"file"), both)
    assert exchange.unsent_attachments() == ()
    assert exchange.wanted_blobs() == ()


def test_a_fact_is_asked_for_by_its_name_and_an_empty_one_is_forgotten(store: Store) -> None:
    exchange = store.exchange()
    exchange.tell({"held": "7", "pin": "x"})
    assert (exchange.fact("held"), exchange.fact("unheard of")) == ("7", "")
    exchange.tell({"held": ""})
    assert exchange.facts() == {"pin": "x"}
