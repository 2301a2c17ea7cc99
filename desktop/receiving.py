"""A file from elsewhere on its way in: read whole beside the store, within bounds; what was read is only ever shown."""

from __future__ import annotations

import os
import stat
from datetime import datetime
from pathlib import Path
from typing import Final

from forms.trouble import Trouble
from sync.handoff.reading.opening import LARGEST_PAPER
from sync.handoff.reading.read import read_file
from sync.handoff.taking import CameIn

__all__ = ["FileUnread", "bytes_of", "read_bytes"]

_SIGNATURE: Final = ".p7s"
_LARGEST_SIGNATURE: Final = 100_000
"""Bytes of a signature that is looked at; ours have some 1,500."""


class FileUnread(Trouble):
    """The file is not there, is no file, or may not be opened."""

    template = "{name} could not be read: {why}. Check that it is there, and choose it again."


def bytes_of(place: Path) -> tuple[bytes, bytes | None]:
    """The bytes of a file, and of the signature that lies beside it under the same name and ".p7s", if one does.

    Raises FileUnread. One byte more than a hand-over may have is read, and no more.
    """
    try:
        if not stat.S_ISREG(place.stat().st_mode):  # a pipe would never end
            raise FileUnread(name=place.name, why="it is no file")
        data = _read(place, LARGEST_PAPER)
        beside = place.with_name(place.name + _SIGNATURE)
        return data, _read(beside, _LARGEST_SIGNATURE) if beside.is_file() else None
    except OSError as fault:
        why = os.strerror(fault.errno).lower() if fault.errno else "the disk did not answer"
        raise FileUnread(name=place.name, why=why) from fault


def _read(place: Path, most: int) -> bytes:
    with place.open("rb") as file:
        return file.read(most + 1)


def read_bytes(
    data: bytes, signature: bytes | None, called: str, *, zone: str, now: datetime, roots: tuple[bytes, ...],
    password: str | None = None,
) -> CameIn:  # fmt: skip
    """What a file holds. Raises what `read_file` raises."""
    found = read_file(data, zone=zone, now=now, signature=signature, roots=roots, password=password)
    return CameIn(found, data, signature, called)
