"""Records read out into folders, and folders that are spoiled in one way with an index that fits all the same."""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson

from storage.log import canonical
from storage.store import Store
from storage.whole import Exported, checked
from storage.whole_folder import INDEX, OPERATIONS, Proved, part_of

__all__ = ["bring_in", "index_of", "lines_of", "put_index", "read_out", "with_lines"]


def read_out(store: Store, dest: Path) -> Exported:
    """The whole record in a folder."""
    with part_of(dest, store.folder) as part:
        return store.whole().write(part)


def bring_in(folder: Path, store: Store) -> None:
    """A folder into a store."""
    store.whole().take(checked(Proved.read(folder)), "store")


def index_of(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = orjson.loads((folder / INDEX).read_bytes())
    return found


def put_index(folder: Path, change: Callable[[dict[str, Any]], None]) -> None:
    """The index with something changed, written as an index is."""
    index = index_of(folder)
    change(index)
    (folder / INDEX).write_bytes(canonical(index))


def lines_of(folder: Path) -> list[bytes]:
    """The lines of the log."""
    return (folder / OPERATIONS).read_bytes().splitlines()


def with_lines(folder: Path, lines: list[bytes], name: str = OPERATIONS) -> None:
    """Other lines, and an index that says they are the right ones: what only looking into them can find."""
    data = b"".join(line + b"\n" for line in lines)
    (folder / name).write_bytes(data)
    told = {"bytes": len(data), "sha256": sha256(data).hexdigest()}
    put_index(folder, lambda index: index["files"].update({name: told}))
