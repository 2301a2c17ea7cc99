"""A machine's folders made anew, so that a program run in them shows everything it leaves outside its store."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["ROOT", "apart_in"]

ROOT = Path(__file__).resolve().parents[2]


def apart_in(here: Path) -> dict[str, str]:
    """The environment of a program whose home, temporary, run-time and working folders lie in `here`, and those made."""
    for part in ("home", "tmp", "run", "work"):
        (here / part).mkdir()
    (here / "run").chmod(0o700)
    return {
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(ROOT),
        "PYTHONDONTWRITEBYTECODE": "1",
        "QT_QPA_PLATFORM": "offscreen",
        "HOME": str(here / "home"),
        "TMPDIR": str(here / "tmp"),
        "XDG_RUNTIME_DIR": str(here / "run"),
        "LC_ALL": "C.UTF-8",
    }
