"""Reading a file that holds a key: bounded first, since whatever she picks is opened."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Final

from forms.trouble import Trouble

__all__ = ["KeyFileUnread", "key_file"]

LARGEST: Final = 1_000_000
"""Bytes of a key file; one with a long chain has some ten thousand."""


class KeyFileUnread(Trouble):
    """The file is not there, too large, or may not be opened."""

    template = "{name} was not opened: {why}. Choose the .p12 or .pfx file again; nothing was changed."


def key_file(path: Path) -> bytes:
    """The bytes of a file with a key; raises KeyFileUnread for one over 1 MB, for what is no file or unreadable."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise KeyFileUnread(name=path.name, why="it is no file")
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as fault:
        why = os.strerror(fault.errno).lower() if fault.errno else "the disk did not answer"
        raise KeyFileUnread(name=path.name, why=why) from fault
    if len(data) > LARGEST:
        raise KeyFileUnread(name=path.name, why="it is larger than 1 MB, which no such file is")
    return data
