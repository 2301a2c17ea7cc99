"""The practice that joining is measured with is a practice like any other: nothing is wrong with it, however it comes."""

from __future__ import annotations

from pathlib import Path

from tests.bench.joining import joining
from tests.helpers.large_practice import large_practice
from tests.helpers.shelf import meet


def test_the_large_practice_comes_whole_with_and_without_a_snapshot(tmp_path: Path) -> None:
    made = large_practice(tmp_path, visits=8)
    for snapshot in (False, True):
        store = made.newcomer(tmp_path, f"device {snapshot}")
        assert meet(store, made.shelf(snapshot=snapshot)).complete
        assert store.exchange().digest() == made.digest
        assert store.exchange().promises().known() == made.operations
        assert bool(store.exchange().fact("record from")) == snapshot
        assert store.check() == ()
        assert store.exchange().late() == ()
        store.close()
    made.close()


def test_joining_is_told_against_the_same_files_in_memory(tmp_path: Path) -> None:
    told = joining(tmp_path, rounds=1, visits=4).line()
    assert "joining without a snapshot, 402 operations" in told
    assert told.count("the same files in memory") == 3
