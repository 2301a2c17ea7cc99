"""The tail file: two records in turn, each believed only under its MAC."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from storage.tail import FRESH, TailFile

KEY, STRANGERS = b"k" * 32, b"s" * 32


def test_a_record_written_under_another_key_is_not_believed_however_new_it_says_it_is(tmp_path: Path) -> None:
    path = tmp_path / "record.tail"
    made = TailFile.made(path, KEY, FRESH)
    made.put(replace(FRESH, operations=7))
    made.close()
    forged = replace(FRESH, generation=99, operations=1).packed(STRANGERS)
    data = path.read_bytes()
    for at in (0, 4096):
        path.write_bytes(data[:at] + forged + data[at + len(forged) :])
        standing = TailFile(path, KEY).standing
        assert standing is None or standing.operations != 1
    path.write_bytes(data)
    assert TailFile(path, KEY).standing == replace(made.standing or FRESH, operations=7)


def test_the_newer_of_two_whole_records_stands(tmp_path: Path) -> None:
    path = tmp_path / "record.tail"
    made = TailFile.made(path, KEY, FRESH)
    for count in range(1, 6):
        made.put(replace(FRESH, operations=count))
        found = TailFile(path, KEY)
        assert found.whole
        assert found.standing is not None
        assert found.standing.operations == count
    made.close()
