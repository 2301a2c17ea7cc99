"""The whole process from start to the unlock screen against a process that only shows a bare window."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from demo_db.build import new_store
from tests.bench.pairs import Ratio, in_turn

__all__ = ["start"]

BARE = """
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget
app = QApplication([])
window = QWidget()
window.show()
QTimer.singleShot(0, app.quit)
app.exec()
"""
OURS = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from desktop.app import Hearthside, Means
app = QApplication([])
program = Hearthside(Path(sys.argv[1]), Means())
program.start()
QTimer.singleShot(0, app.quit)
app.exec()
program.errands.close()
"""


def start(folder: Path, rounds: int = 5) -> Ratio:
    """Start to the first drawn frame of the unlock screen, offscreen, whole processes."""
    store, _clock, _ids = new_store(folder / "store")
    store.close()
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}

    def run(code: str) -> None:
        subprocess.run([sys.executable, "-c", code, str(folder / "store")], check=True, env=environment)

    return in_turn("start to the unlock screen", lambda: run(OURS), "a bare window", lambda: run(BARE), rounds)
