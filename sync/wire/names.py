"""The names of everything on a target. Each folder below a chain is written by that chain's device alone."""

from __future__ import annotations

import re
from typing import Final

__all__ = [
    "BEATS", "CHANGES", "MEMBERS", "REPOSITORY", "SNAPSHOTS", "act", "answer_to_joining", "beat", "blob", "change",
    "folder_of_acts", "folder_of_snapshots", "is_folder", "is_ours", "pack", "request_to_join", "snapshot",
    "snapshot_numbered",
]  # fmt: skip

REPOSITORY: Final = "repo.json"
MEMBERS, CHANGES, BEATS, SNAPSHOTS = "m", "c", "h", "s"
_IN_A_FOLDER = 1_000

_OURS = re.compile(
    r"repo\.json|m/[0-9a-f]{32}/\d{8}|c/[0-9a-f]{32}/\d{5}/\d{8}|p/[0-9a-f]{32}/\d{8}-\d{8}"
    r"|s/[0-9a-f]{32}/\d{8}(?:\.\d{4})?|b/[0-9a-f]{32}/[0-9a-f]{2}/[0-9a-f]{64}(?:\.\d{4})?"
    r"|[hja]/[0-9a-f]{32}",
    re.ASCII,
)
_FOLDER = re.compile(r"[mcpsbhja]|[mcpsb]/[0-9a-f]{32}|c/[0-9a-f]{32}/\d{5}|b/[0-9a-f]{32}/[0-9a-f]{2}", re.ASCII)


def folder_of_acts(chain: str) -> str:
    """Where the acts of one device lie."""
    return f"{MEMBERS}/{chain}"


def act(chain: str, seq: int) -> str:
    """One act of membership."""
    return f"{folder_of_acts(chain)}/{seq:08}"


def change(chain: str, number: int) -> str:
    """One change file; never more than a thousand in a folder."""
    return f"{CHANGES}/{chain}/{number // _IN_A_FOLDER:05}/{number:08}"


def blob(chain: str, made: str, part: int | None = None) -> str:
    """An attachment, or one part of a large one."""
    return f"b/{chain}/{made[:2]}/{made}" + ("" if part is None else f".{part:04}")


def beat(chain: str) -> str:
    """A device's sign of life: the only name that is written over."""
    return f"{BEATS}/{chain}"


def pack(chain: str, first: int, last: int) -> str:
    """Many change files of one device in one."""
    return f"p/{chain}/{first:08}-{last:08}"


def folder_of_snapshots(chain: str) -> str:
    """Where the snapshots of one device lie."""
    return f"{SNAPSHOTS}/{chain}"


def snapshot(chain: str, number: int, part: int | None = None) -> str:
    """The head of a snapshot, or one of its parts."""
    return f"{folder_of_snapshots(chain)}/{number:08}" + ("" if part is None else f".{part:04}")


def snapshot_numbered(name: str) -> int | None:
    """The number of the snapshot whose head has this name; None for a part."""
    last = name.rpartition("/")[2]
    return int(last) if last.isdecimal() else None


def request_to_join(made: str) -> str:
    """What a new device asks; `made` follows from its code."""
    return f"j/{made}"


def answer_to_joining(made: str) -> str:
    """What an owner says to a new device; `made` follows from its code."""
    return f"a/{made}"


def is_ours(name: str) -> bool:
    """Whether a name is one that Hearthside writes; others on a target are left alone."""
    return _OURS.fullmatch(name) is not None


def is_folder(path: str) -> bool:
    """Whether a path is that of a folder in which names of Hearthside lie."""
    return _FOLDER.fullmatch(path) is not None
