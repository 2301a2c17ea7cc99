"""Records read out into folders, and folders that are spoiled in one way with an index that fits all the same."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson

from forms.answers import Absence, Absent, Quantity
from forms.chart import Place
from storage.changes import Begin, StrikeOut
from storage.log import canonical
from storage.store import Store
from storage.whole import Exported, checked
from storage.whole_folder import INDEX, OPERATIONS, Proved, part_of
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, grams, put

__all__ = ["HARD", "WEIGHT", "bring_in", "fill", "index_of", "lines_of", "put_index", "read_out", "with_lines"]

HARD = ("=1+1", "@now", "-3", '"quoted", with\r\nlines', "Zoë \N{SNOWMAN} \0 end", " spaces ", "'", "")
WEIGHT = "7" * 32


def fill(store: Store) -> None:
    """Every kind of answer, a strike-out, a change, an undo, a signature, papers, and texts that are hard to carry."""
    store.write(
        [
            put(FAMILY, "address", HARD[0]), put(FAMILY, "access", HARD[3]), put(FAMILY, "pets", HARD[4]),
            put(PARENT, "born_day", datetime(1994, 5, 6, tzinfo=UTC).date()), put(PARENT, "roles", ("birth_parent", "other")),
            put(PARENT, "birth_parent_of", ()), put(PARENT, "safe_to_message", False),
            put(PARENT, "contact_rules", "Only after six, and never the blue phone."),
            put(PARENT, "language", Absent(Absence.NOT_ASKED, "slept")), put(BABY, "gestation_weeks", 39),
            put(BABY, "birth_weight", Quantity("7 lb 6.5", "lb_oz", 3359)),
            Begin(WEIGHT, Place("weight", FAMILY, VISIT, (BABY,))), put(WEIGHT, "weight", grams(3210)),
        ],
        author=AUTHOR,
    )  # fmt: skip
    store.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    store.write([put(PARENT, "phone", "1")], author=AUTHOR)
    store.undo(AUTHOR)
    store.write([StrikeOut(TWIN, "entered twice")], author=AUTHOR)
    store.attach(b"%PDF-1.7 not really", "application/pdf")
    store.attach(b"something else", "application/octet-stream")
    store.sign(VISIT, author=AUTHOR)


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
