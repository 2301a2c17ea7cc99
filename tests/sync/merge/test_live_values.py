"""Every answer that stands is shown: all 1,992 of those that two devices wrote to the same fields while apart."""

from __future__ import annotations

from sync.merge.replica import Replica
from tests.bench.merge import shown_by_another, shown_here, written_apart, written_by_another


def test_all_of_1992_answers_that_stand_are_shown_where_another_merge_shows_996() -> None:
    known, apart = written_apart(6_000)
    assert sum(len(file) for file in apart) == 2_000
    assert shown_here(known + apart) == 1_992
    assert shown_here(apart + known) == 1_992
    assert shown_by_another(written_by_another(6_000)) == 996


def test_each_field_shows_one_answer_of_either_device() -> None:
    known, apart = written_apart(6_000)
    replica = Replica()
    for file in known + apart:
        replica.take(file)
    standing = replica.conflicts()
    assert len(standing) == 996
    assert {tuple(len({one.chain}) for one in each.operations) for each in standing} == {(1, 1)}
    assert all(len({one.chain for one in each.operations}) == 2 for each in standing)
