"""A folder: what is written has reached the disk, and only own left-over pieces are swept away."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from sync.transport.opening import open_target
from sync.wire import names

MINE, THEIRS = "a1" * 16, "b2" * 16


def test_a_name_and_every_folder_made_for_it_are_flushed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = open_target(str(tmp_path))
    flushed: list[str] = []
    real = os.fsync

    def fsync(handle: int) -> None:
        flushed.append(os.path.relpath(Path(f"/proc/self/fd/{handle}").readlink(), tmp_path))
        real(handle)

    if not Path("/proc/self/fd").exists():
        pytest.skip("this system does not tell which file a handle is of")
    monkeypatch.setattr(os, "fsync", fsync)
    target.put(names.change(MINE, 1), b"x")
    assert flushed == [names.change(MINE, 1), f"c/{MINE}/00000", f"c/{MINE}", "c", "."]
    flushed.clear()
    target.put(names.change(MINE, 2), b"x")
    assert flushed == [names.change(MINE, 2), f"c/{MINE}/00000"]


def test_only_own_left_over_pieces_are_swept_away(tmp_path: Path) -> None:
    kept = (
        f"c/{THEIRS}/00000/00000001#1", f"h/{THEIRS}#1", "repo.json#1", f"c/{MINE}/00000/notes#1", f"c/{MINE}/00000/00000001",
        f"c/{MINE}/00000/00000001#one", "holiday#1",
    )  # fmt: skip
    swept = (f"c/{MINE}/00000/00000001#1", f"c/{MINE}/00000/00000002#27", f"m/{MINE}/00000001#1", f"h/{MINE}#1",
             f"b/{MINE}/cc/{'c' * 64}.0003#1")  # fmt: skip
    for name in (*kept, *swept):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"x")
    open_target(str(tmp_path))
    assert all((tmp_path / name).exists() for name in swept)
    open_target(str(tmp_path), own=MINE)
    assert not [name for name in swept if (tmp_path / name).exists()]
    assert not [name for name in kept if not (tmp_path / name).exists()]


def test_pieces_being_written_are_never_listed(tmp_path: Path) -> None:
    target = open_target(str(tmp_path))
    target.put(names.change(MINE, 1), b"x")
    (tmp_path / f"c/{MINE}/00000/00000002#1").write_bytes(b"x")
    found = target.listed(f"c/{MINE}/00000")
    assert (found.names, found.copies, found.foreign) == ((names.change(MINE, 1),), (), ())
