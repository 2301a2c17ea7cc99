"""A pack: a hundred change files of one device in a row, so that a new device asks once instead of a hundred times.

    0    8  magic "HSPACK01"          then for each file, in order: 4 bytes of length, and its bytes as they lie alone

A pack proves nothing by itself: each file in it is signed and named inside, and is checked as if it had come alone. The
files stay where they are; a pack that is missing or does not read costs requests and nothing else.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from sync.wire.troubles import BadFile

__all__ = ["COUNT", "MOST", "pack_of", "packed_files", "range_of"]

COUNT: Final = 100
"""Files in a pack."""
MOST: Final = 4 * 1024 * 1024
"""A longer pack is not written: larger uploads are what places refuse. Its files are fetched one by one."""

_MAGIC, _LENGTH = b"HSPACK01", 4


def range_of(number: int) -> tuple[int, int]:
    """First and last number of the pack in which a file belongs."""
    first = (number - 1) // COUNT * COUNT + 1
    return first, first + COUNT - 1


def pack_of(files: Sequence[bytes]) -> bytes | None:
    """The bytes of a pack, or None when they would be too many."""
    data = _MAGIC + b"".join(len(raw).to_bytes(_LENGTH, "big") + raw for raw in files)
    return data if len(data) <= MOST else None


def packed_files(data: bytes) -> tuple[bytes, ...]:
    """The files of a pack, unchecked; raises BadFile for bytes that are no pack."""
    if data[: len(_MAGIC)] != _MAGIC or len(data) > MOST:
        raise BadFile(why="it is no pack")
    at, found = len(_MAGIC), list[bytes]()
    while at < len(data) and len(found) <= COUNT:
        length = int.from_bytes(data[at : at + _LENGTH], "big")
        at += _LENGTH
        if at + length > len(data):
            raise BadFile(why="it ends in the middle of a file")
        found.append(data[at : at + length])
        at += length
    if len(found) != COUNT:
        raise BadFile(why="it does not hold the files its name tells")
    return tuple(found)
