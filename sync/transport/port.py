"""What a round may ask of a place, and nothing more: each engine does these the same way, and no other thing alike.

No create-only, no conditional put, no rename and no delete: sticks and WebDAV servers lack them or do them wrongly. No
listing from an offset and none of all that lies below: servers refuse it or cut it short. See `sync/PROTOCOL.md`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Protocol

from sync.wire.names import is_folder, is_ours

__all__ = ["LARGEST", "WIDTH", "Listed", "Target", "copied_name", "sorted_out"]

LARGEST: Final = 65 * 1024 * 1024
"""Bytes of the largest file that is read; whatever is larger nobody here wrote."""

WIDTH: Final = 16
"""Requests under way at once, at most."""


@dataclass(frozen=True, slots=True)
class Listed:
    """What lies right below a folder, every name whole from the root of the place.

    `names` and `folders` are ours by their grammar. `copies` are pairs of a name of ours and the name under which a
    program that keeps folders in step set a second version of it beside: they may hold the good bytes. `foreign` is all
    the rest, left alone.
    """

    names: tuple[str, ...] = ()
    folders: tuple[str, ...] = ()
    copies: tuple[tuple[str, str], ...] = ()
    foreign: tuple[str, ...] = ()


class Target(Protocol):
    """A place. Every call may raise a Trouble of `sync.transport.troubles`; what is absent is None and no trouble.

    A name that is none of ours raises ValueError before anything is asked, except in `stray`.
    """

    @property
    def label(self) -> str:
        """What to call it, without credentials."""

    def put(self, name: str, data: bytes) -> None:
        """Write a name of this device's own, and read it back. The same bytes again change nothing.

        What was cut short is completed. Raises Forked, and writes nothing, when other bytes lie there.
        """

    def replace(self, name: str, data: bytes) -> None:
        """Write a name over and read it back: for signs of life, and for own files proved not to read any more."""

    def get(self, name: str) -> bytes | None:
        """The bytes under a name, None when it is absent; empty bytes when a writer got no further than the name."""

    def get_all(self, names: Iterable[str]) -> Iterator[tuple[str, bytes | None]]:
        """Many names, at most WIDTH at once, told in the order asked for."""

    def size(self, name: str) -> int | None:
        """How many bytes lie under a name."""

    def part(self, name: str, start: int, length: int) -> bytes | None:
        """Up to `length` bytes from `start` on; empty from the end on."""

    def names(self, folder: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Our names and folders right below a folder ("" for the root), in order."""

    def listed(self, folder: str) -> Listed:
        """The same, with what is not ours."""

    def stray(self, path: str) -> bytes | None:
        """The bytes of a conflict copy that `listed` told of."""

    def sweep(self, chain: str) -> int:
        """Remove what broken-off writes of this device left behind beside its names; tells how many."""

    def close(self) -> None:
        """Let go of connections."""


_CUT = re.compile(r"[ (._~-]")


def copied_name(path: str) -> str | None:
    """The name of ours that a path looks like a second version of, or None.

    Programs mark one as in "00000007 (conflicted copy)", "00000007 2" or "repo (1).json": behind the name, or before
    its ending.
    """
    folder, slash, last = path.rpartition("/")
    for cut in reversed(list(_CUT.finditer(last))):
        stem = folder + slash + last[: cut.start()]
        for name in (stem, f"{stem}.json"):
            if is_ours(name):
                return name
    return None


def sorted_out(names: Iterable[str], folders: Iterable[str]) -> Listed:
    """A listing by whose each name is."""
    found: list[str] = []
    copies: list[tuple[str, str]] = []
    foreign: list[str] = []
    for name in sorted(names):
        like = copied_name(name)
        if is_ours(name):
            found.append(name)
        elif like is not None:
            copies.append((like, name))
        else:
            foreign.append(name)
    ours: list[str] = []
    for folder in sorted(folders):
        (ours if is_folder(folder) else foreign).append(folder)
    return Listed(tuple(found), tuple(ours), tuple(copies), tuple(foreign))
