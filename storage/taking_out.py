"""An export from an open store: the folder, and the line of the audit journal without which nothing leaves."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from storage.store import Store
from storage.whole import Exported
from storage.whole_folder import part_of

__all__ = ["EVENT", "take_out"]

EVENT = "record exported"


def take_out(store: Store, dest: Path, *, purpose: str, by: str, now: datetime, person: str | None = None) -> Exported:
    """Writes the whole record, or what concerns one person, into a new folder. `purpose`: a code of `PURPOSES`.

    The journal's line stands before the folder has its name. Raises NotExported and what a store raises, and then
    leaves no folder.
    """
    with part_of(dest, store.folder) as part:
        whole = store.whole()
        done = whole.write(part) if person is None else whole.write_person(part, person, now)
        counts = {name: str(count) for name, count in done.counts.items()}
        about = {"what": "everything" if person is None else person, "purpose": purpose, "index": done.index, **counts}
        store.note(EVENT, by=by, about=about)
    return done
