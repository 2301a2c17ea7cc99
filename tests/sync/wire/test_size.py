"""How many bytes an operation takes as it travels."""

from __future__ import annotations

from pathlib import Path

from tests.bench.wire import bytes_of_each, written_by_the_demo


def test_an_operation_of_the_demo_travels_in_at_most_42_bytes_at_200_a_file_and_70_at_20(tmp_path: Path) -> None:
    operations = written_by_the_demo(tmp_path)
    assert len(operations) > 5_000
    assert bytes_of_each(operations, 200)[0] <= 42
    assert bytes_of_each(operations, 20)[0] <= 70
