"""Reading a file that holds a key: bounded first, since whatever she picks is opened."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Final

from forms.trouble import Trouble

__all__ = ["MOST_ROUNDS", "KeyFileUnread", "key_file", "opening_rounds"]

LARGEST: Final = 1_000_000
"""Bytes of a key file; one with a long chain has some ten thousand."""
MOST_ROUNDS: Final = 5_000_000
"""Rounds of a file's lock; programs write thousands to a million, and each million takes about half a second."""
_LOCKED_KEY: Final = "pkcs8_shrouded_key_bag"


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


def opening_rounds(data: bytes) -> int | None:
    """How many rounds opening a PKCS#12 file takes at most; None for bytes that are no such file, or a spoilt one."""
    try:
        return _rounds(data)
    except (ValueError, TypeError, LookupError, AttributeError, OverflowError):
        return None


def _rounds(data: bytes) -> int:
    from asn1crypto.pkcs12 import Pfx, SafeContents

    held = Pfx.load(data, strict=True)
    found = [held["mac_data"]["iterations"].native] if held["mac_data"].native is not None else []
    for part in held.authenticated_safe:
        if part["content_type"].native == "encrypted_data":
            found.append(part["content"]["encrypted_content_info"]["content_encryption_algorithm"].kdf_iterations)
            continue
        locked = (bag for bag in SafeContents.load(part["content"].native) if bag["bag_id"].native == _LOCKED_KEY)
        found.extend(bag["bag_value"]["encryption_algorithm"].kdf_iterations for bag in locked)
    return max(found, default=0)
