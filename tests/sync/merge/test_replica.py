"""Merging is the same in any order and any number of times, and shows every value that stands."""

from __future__ import annotations

import random
from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from storage.log import SIGNED, Operation
from sync.exchange.told import Told
from sync.merge.replica import Fork, Gap, Replica
from tests.helpers.chains import BEGINS, Writer, device_id
from tests.helpers.schedules import Story

FEED, VISIT = "f" * 32, "e" * 32


def two_devices() -> tuple[Writer, Writer, list[Operation]]:
    """Both know the first value of a register, and each writes over it apart."""
    laptop, tablet = Writer("laptop"), Writer("tablet")
    first = laptop.put(FEED, "pain@left", 2)
    mine = laptop.put(FEED, "pain@left", 4, (first.hash,))
    theirs = tablet.put(FEED, "pain@left", 6, (first.hash,))
    return laptop, tablet, [first, mine, theirs]


def test_two_values_written_apart_both_stand_and_what_they_started_from_is_known() -> None:
    replica = Replica()
    laptop, _, written = two_devices()
    taken = replica.take(written)
    standing = replica.standing((FEED, "pain@left"))
    assert (sorted(standing.values), standing.conflicted) == ([4, 6], True)
    assert taken.conflicts == ((FEED, "pain@left"),)
    assert [one.value for one in replica.started_from(standing)] == [2]
    settled = laptop.put(FEED, "pain@left", 6, tuple(one.hash for one in standing.operations), reason="asked again")
    assert replica.take([settled]).settled == ((FEED, "pain@left"),)
    assert replica.conflicts() == ()
    assert set(replica.operations) >= {one.hash for one in written}


def test_equal_values_written_apart_are_no_conflict_and_both_stay() -> None:
    laptop, tablet, replica = Writer("laptop"), Writer("tablet"), Replica()
    replica.take([laptop.put(FEED, "began", 5), tablet.put(FEED, "began", 5)])
    assert not replica.standing((FEED, "began")).conflicted
    assert len(replica.standing((FEED, "began")).operations) == 2


def test_a_value_that_was_written_over_never_comes_back_when_it_arrives_late() -> None:
    _, _, (first, mine, theirs) = two_devices()
    replica = Replica()
    replica.take([mine])
    assert replica.missing_parents() == {first.hash}
    replica.take([first, theirs])
    assert {one.hash for one in replica.standing((FEED, "pain@left")).operations} == {mine.hash, theirs.hash}
    assert not replica.missing_parents()


def test_an_operation_cannot_take_another_registers_value_away() -> None:
    laptop, replica = Writer("laptop"), Replica()
    left = laptop.put(FEED, "pain@left", 4)
    replica.take(
        [left, laptop.put(FEED, "pain@right", 1, (left.hash,)), laptop.put("9" * 32, "pain@left", 1, (left.hash,))]
    )
    assert replica.standing((FEED, "pain@left")).values == (4,)


@given(st.randoms(use_true_random=False), st.integers(2, 6))
@settings(max_examples=60, deadline=None)
def test_any_order_any_grouping_and_any_repetition_give_the_same(rng: random.Random, count: int) -> None:
    story = Story(rng.randrange, 3)
    for _ in range(24):
        story.step()
    some = rng.sample(list(story.written.values()), min(count, len(story.written)))
    digests = set()
    for order in permutations(some):
        replica = Replica()
        replica.take(order[:2])
        replica.take(order)
        digests.add((replica.digest(), tuple(one.register for one in replica.conflicts())))
    assert len(digests) <= 1


@given(st.data(), st.integers(2, 4))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_devices_that_part_and_meet_lose_and_hide_nothing(data: st.DataObject, devices: int) -> None:
    story = Story(lambda below: data.draw(st.integers(0, below - 1)), devices)
    for _ in range(25):
        story.step()
        story.check()
    story.end()


@pytest.mark.parametrize("seed", range(40))
def test_sixty_steps_of_a_seeded_story_lose_and_hide_nothing(seed: int) -> None:
    story = Story(random.Random(seed).randrange, 2 + seed % 4)
    for _ in range(60):
        story.step()
        story.check()
    story.end()


def test_a_copied_device_is_found_by_its_fork_and_both_values_stand() -> None:
    laptop, copied, replica = Writer("laptop"), Writer("laptop"), Replica()
    one, other = laptop.put(FEED, "note", "hers"), copied.put(FEED, "note", "theirs")
    replica.take([one, other])
    assert replica.forks() == (Fork(device_id("laptop"), 1, tuple(sorted((one.hash, other.hash)))),)
    assert set(replica.standing((FEED, "note")).values) == {"hers", "theirs"}
    told = Told(names={device_id("laptop"): "Laptop"}, forks={fork.chain for fork in replica.forks()})
    assert any("copied, or put back from an old backup" in sentence for sentence in told.sentences(BEGINS))


def test_missing_numbers_are_told_and_what_is_there_is_applied_around_them() -> None:
    laptop, replica = Writer("laptop"), Replica()
    written = [laptop.put(FEED, "note", n) for n in range(6)]
    replica.take([written[0], written[3], written[5]])
    assert replica.gaps() == (Gap(device_id("laptop"), 2, 3), Gap(device_id("laptop"), 5, 5))
    told = Told(names={device_id("laptop"): "Laptop"}, gaps=list(replica.gaps()))
    assert "Missing: 2 files of Laptop. Sync any device that has them." in list(told.sentences(BEGINS))
    replica.take(written)
    assert replica.gaps() == ()


def test_what_a_signature_had_not_seen_is_late_and_what_it_had_seen_is_not() -> None:
    laptop, tablet, replica = Writer("laptop"), Writer("tablet"), Replica()
    begun = [laptop.begin(VISIT, "visit", family="a" * 32), laptop.begin(FEED, "feed", family="a" * 32, visit=VISIT)]
    seen = laptop.put(FEED, "note", "before")
    signed = laptop.put(VISIT, SIGNED, {"digest": "d", "notes": {}, "seen": {laptop.chain.id: 3}})
    unseen = tablet.put(FEED, "note", "meanwhile")
    addendum = tablet.begin("c" * 32, "addendum", family="a" * 32, visit=VISIT)
    taken = replica.take([*begun, seen, signed, unseen, addendum, tablet.put("c" * 32, "words", "more")])
    assert taken.late == (unseen.hash,)
    assert set(replica.standing((FEED, "note")).values) == {"before", "meanwhile"}


def test_an_entry_struck_on_one_device_and_edited_on_another_shows_both() -> None:
    laptop, tablet, replica = Writer("laptop"), Writer("tablet"), Replica()
    begun = laptop.begin(FEED, "feed", family="a" * 32)
    replica.take([begun, laptop.put(FEED, "@struck", {"reason": "slip"}), tablet.put(FEED, "note", "edited")])
    assert replica.struck(FEED)
    assert replica.standing((FEED, "note")).values == ("edited",)


def test_the_digest_tells_one_value_from_two_and_one_register_from_another() -> None:
    _, _, (first, mine, theirs) = two_devices()
    digests = set()
    for known in ([first], [first, mine], [first, theirs], [first, mine, theirs]):
        replica = Replica()
        replica.take(known)
        digests.add(replica.digest())
    assert len(digests) == 4
