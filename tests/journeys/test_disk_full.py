"""While the disk is full typing goes on, stays on screen and says since when; when room returns all of it is written."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE
from storage.vault import unlock
from tests.helpers.charting import Charter
from tests.helpers.person import K, Machine

SitDown = Callable[[Path], Charter]

pytestmark = pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs root to mount a small disk")


@pytest.fixture
def small(invented: Path, tmp_path: Path) -> Iterator[Path]:
    """The invented store on a disk with a few megabytes of room."""
    disk = tmp_path / "disk"
    disk.mkdir()
    # Twice the store and some: after an unclean end the record is copied aside before it is opened again.
    room = 2 * sum(file.stat().st_size for file in invented.rglob("*") if file.is_file()) // 1024 + 2 * 1024
    if subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={room}k", "tmpfs", disk], check=False).returncode:
        pytest.skip("no mount here")
    shutil.copytree(invented, disk / "store")
    yield disk / "store"
    subprocess.run(["umount", disk], check=True)


def fill_disk(store: Path) -> Path:
    """Take the last of the room on the store's disk; the file that holds it."""
    ballast = store.parent / "ballast"
    with ballast.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\0" * 4096)
        except OSError:
            return ballast


def test_what_is_typed_on_a_full_disk_is_kept_on_screen_and_written_when_room_returns(
    small: Path, sit_down: SitDown, machine: Machine
) -> None:
    person = sit_down(small)
    person.unlock(PASSPHRASE)
    person.press_beside("Go on", "Lindqvist-Osei, Bram")
    person.until_page("visit")
    person.until_idle()
    ballast = fill_disk(small)
    words = "Typed while there is no room at all. " * 40
    person.answer("infant_history.more", words, "Bram", pasted=True)
    person.until_sees("Not saved since 16:30")
    assert [sentence for sentence, _ in person.told if sentence.startswith("The disk is full.")]
    person.time_passes(minutes=2)
    person.answer("infant_history.wets_24h", "11")
    person.answer("plan.goal", "To feed him without dreading it, and to sleep.")
    assert person.sees("Not saved since 16:30")
    assert person.value("infant_history.more", "Bram") == words
    assert person.sees(words.strip()[:60])

    person.lock()
    assert person.sees("Not saved since 16:30")
    person.write("Passphrase", PASSPHRASE)
    person.key(K.Key_Return)
    person.until_sees("The disk is full.", person.page)
    assert person.sees("Not saved since 16:30")
    ballast.unlink()
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    assert person.value("infant_history.more", "Bram") == words
    assert person.value("infant_history.wets_24h", "Bram") == 11
    person.saved()
    person.until_sees("saved 16:32")
    assert not person.sees("Not saved")
    person.lock()
    reopened = unlock(small, PASSPHRASE)
    try:
        histories = [entry for line in reopened.caseload() for entry in reopened.chart(line.id).entries]
        kept = {str(getattr(entry.answers, "more", "")) for entry in histories}
        assert words in kept
        assert reopened.check() == ()
    finally:
        reopened.close()


def test_a_window_closed_on_a_full_disk_asks_before_anything_is_lost(small: Path, sit_down: SitDown) -> None:
    person = sit_down(small)
    person.unlock(PASSPHRASE)
    person.press_beside("Go on", "Lindqvist-Osei, Bram")
    person.until_page("visit")
    person.until_idle()
    ballast = fill_disk(small)
    person.answer("infant_history.more", "No room for this. " * 400, "Bram", pasted=True)
    person.until_sees("Not saved since")
    person.close_window()
    person.decide("Keep the window open")
    assert person.window.isVisible()
    ballast.unlink()
    person.saved()
