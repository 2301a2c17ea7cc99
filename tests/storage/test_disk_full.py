"""A full disk: typing stays, nothing is half written, and all is saved when room returns."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from forms.ask import Path as At
from forms.chart import Place
from forms.people import Family
from storage.drafts import Draft
from storage.troubles import DiskFull
from tests.helpers.stores import AUTHOR, FAMILY, answers, files_of, new_store, opened, put
from tests.storage.conftest import Made

pytestmark = pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs root to mount a small disk")


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 2 MiB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", folder], check=False).returncode:
        pytest.skip("no mount here")
    yield folder
    subprocess.run(["umount", folder], check=True)


def _fill(disk: Path) -> Path:
    filler = disk / "filler"
    with filler.open("ab", buffering=0) as file:
        for size in (65536, 4096, 512, 1):
            try:
                while True:
                    file.write(bytes(size))
            except OSError:
                continue
    return filler


def test_a_draft_waits_through_a_full_disk_and_is_saved_when_room_returns(closed: Made, disk: Path) -> None:
    shutil.copytree(closed.folder, disk / "store")
    store = opened(disk / "store")
    store.write([put(FAMILY, "access", "By the mill")], author=AUTHOR)
    filler = _fill(disk)
    draft = Draft.opened(store, FAMILY, Place("family", FAMILY), Family)
    words = "Two hens and a goat. " * 4000
    draft.put(At("pets"), words)
    for _ in range(3):
        with pytest.raises(DiskFull, match="disk is full"):
            draft.save(store, author=AUTHOR)
        assert draft.pending
        assert draft.value(At("pets")) == words
        assert answers(store, FAMILY).pets is None
        assert answers(store, FAMILY).access == "By the mill"
    filler.unlink()
    assert draft.save(store, author=AUTHOR)
    assert not draft.pending
    assert store.check() == ()
    store.close()
    again = opened(disk / "store")
    assert answers(again, FAMILY).pets == words
    assert again.told == ()
    again.close()


def test_every_small_answer_on_a_filling_disk_is_either_saved_or_refused(closed: Made, disk: Path) -> None:
    shutil.copytree(closed.folder, disk / "store")
    store = opened(disk / "store")
    saved, refused = [], 0
    filler = _fill(disk)
    filler.write_bytes(filler.read_bytes()[: -160 * 1024])
    for n in range(200):
        try:
            store.write([put(FAMILY, "pets", f"{n} hens")], author=AUTHOR)
            saved.append(n)
        except DiskFull:
            refused += 1
    assert saved
    assert refused
    store.close()
    filler.unlink()
    again = opened(disk / "store")
    from storage.changes import Head

    history: tuple[Head, ...] = again.history(FAMILY, At("pets"))
    kept = [int(head.value.split()[0]) for head in history]
    assert set(saved) <= set(kept)
    assert again.told == ()
    assert again.check() == ()
    again.close()


def test_a_store_on_a_full_disk_can_be_read_and_its_opening_is_written_down_later(closed: Made, disk: Path) -> None:
    shutil.copytree(closed.folder, disk / "store")
    filler = _fill(disk)
    store = opened(disk / "store")
    assert [type(trouble) for trouble in store.told] == [DiskFull]
    assert answers(store, FAMILY).family_name == "Quillfeather-Ode"
    with pytest.raises(DiskFull):
        store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    filler.unlink()
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    assert store.journal()[-1].kind == "unlocked"
    assert store.check() == ()
    store.close()


def test_after_a_kill_a_full_disk_is_told_before_anything_is_touched(closed: Made, disk: Path) -> None:
    store = opened(closed.folder)
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    shutil.copytree(closed.folder, disk / "store")
    store.close()
    before = files_of(disk / "store")
    filler = _fill(disk)
    with pytest.raises(DiskFull):
        opened(disk / "store")
    assert files_of(disk / "store") == before
    filler.unlink()
    again = opened(disk / "store")
    assert answers(again, FAMILY).pets == "A hen"
    assert again.told == ()
    again.close()


def test_set_up_on_a_full_disk_leaves_nothing_behind(disk: Path) -> None:
    filler = _fill(disk)
    with pytest.raises(DiskFull):
        new_store(disk / "store")
    assert [path for path in disk.iterdir() if path != filler] == []
