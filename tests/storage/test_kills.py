"""Kills at any moment: no answer that was called saved is ever lost."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from forms.weight import WeightReading
from tests.helpers.stores import FAMILY, PASSPHRASE, answers, grams
from tests.storage.conftest import Made, open_with

KILLS = 50


class Autosavers:
    """Processes that chart until killed, one after another."""

    def __init__(self, folder: Path) -> None:
        self._home = subprocess.Popen(
            [sys.executable, "-m", "tests.helpers.autosaver", str(folder)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, bufsize=1, cwd=Path.cwd(),
        )  # fmt: skip
        self._say(PASSPHRASE)

    def _say(self, line: str) -> None:
        assert self._home.stdin is not None
        self._home.stdin.write(line + "\n")

    def _hear(self) -> str:
        assert self._home.stdout is not None
        return self._home.stdout.readline().strip()

    def run_and_kill(self, first: int, after: int, pause: float) -> int:
        """Lets one save `after` answers and kills it in mid-work; the number of the last one it called saved."""
        self._say(str(first))
        process, last = 0, first - 1
        while process == 0 or last - first + 1 < after:
            heard = self._hear()
            assert heard not in ("", "gone"), "it ended by itself"
            if heard.startswith("process "):
                process = int(heard.split()[1])
            else:
                last = int(heard)
        threading.Event().wait(pause)  # to a random point inside the saves that follow
        os.kill(process, signal.SIGKILL)
        while (heard := self._hear()) != "gone":  # what was called saved between the last look and the kill
            last = int(heard)
        return last

    def end(self) -> None:
        assert self._home.stdin is not None
        assert self._home.stdout is not None
        self._home.stdin.close()
        self._home.wait()
        self._home.stdout.close()


@pytest.mark.skipif(sys.platform == "win32", reason="forks and kills as POSIX does")
def test_fifty_kills_lose_no_answer_that_was_called_saved(closed: Made, master: bytes) -> None:
    chance = random.Random(20260303)
    savers = Autosavers(closed.folder)
    saved = 0
    for _ in range(KILLS):
        saved = savers.run_and_kill(saved + 1, chance.randint(1, 6), chance.random() * 0.02)
        store = open_with(closed.folder, master)
        assert store.told == ()
        assert store.check() == ()
        weights = {entry.id: entry.answers.weight for entry in store.chart(FAMILY).all(WeightReading)}
        assert all(weights[f"{n:032x}"] == grams(3000 + n) for n in range(1, saved + 1))
        assert int(answers(store, FAMILY).pets.split()[0]) >= saved
        saved = max(int(one, 16) for one in weights)  # one more may have reached the disk than was called saved
        store.close()
    savers.end()
    assert saved > KILLS
    assert len(list((closed.folder / "copies").glob("unclean-*"))) == 3
