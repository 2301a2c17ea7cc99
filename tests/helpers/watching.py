"""A feed watched at a window in a process of its own, to be killed: `python -m tests.helpers.watching STORE`.

Prints when the feed began, then how many events are saved, each time once all that was tapped is on disk; then waits.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from tests.helpers.charting import Charter
from tests.helpers.person import K, Machine

__all__ = ["KILLED"]

_TAPS = (("L", "latch"), ("W", "swallow"), ("W", "swallow"), ("S", "suck"), ("W", "swallow"), ("D", "letdown_seen"),
         ("W", "swallow"))  # fmt: skip
KILLED = tuple(what for _, what in _TAPS)
"""What is tapped after the beginning, one each ten seconds, on the left."""


def main(store: str) -> None:
    """Watch until killed."""
    QApplication(sys.argv[:1])
    machine = Machine(at("2026-03-09 10:00"))
    person = Charter(Path(store), machine).come()
    person.unlock(PASSPHRASE)
    person.press("Go on")
    person.until_page("visit")
    person.until_idle()
    print(machine.at.isoformat(), flush=True)
    person.key(K.Key_F2)
    for number, (key, _) in enumerate(_TAPS, start=1):
        person.saved()
        print(number, flush=True)
        machine.pass_by(seconds=10)
        person.program.idle.tick()
        person.key(K(ord(key)))
    person.saved()
    print(len(_TAPS) + 1, flush=True)
    sys.stdin.read()


if __name__ == "__main__":
    main(*sys.argv[1:])
