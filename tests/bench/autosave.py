"""An autosave commit against an empty commit of the same database engine, on a file beside it."""

from __future__ import annotations

import secrets
from itertools import count
from pathlib import Path

import sqlcipher3.dbapi2 as sqlcipher

from demo_db.build import new_store
from demo_db.charting import Charting
from forms.ask import Path as At
from forms.people import ParentIdentity
from storage.changes import Put
from tests.bench.pairs import Ratio, in_turn

__all__ = ["autosave"]


def autosave(folder: Path, rounds: int = 200) -> Ratio:
    """One answer written with log, registers, projections and tail, and an empty transaction made durable."""
    store, _clock, ids = new_store(folder / "store")
    desk = Charting(store, ids(), ids, family=ids())
    person = desk.fill(ParentIdentity, entity=ids(), full_name="Timed Person")
    numbers = count()

    def write() -> None:
        store.write((Put(person, At("called_name"), f"name {next(numbers)}"),), author=desk.author)

    bare = sqlcipher.connect(str(folder / "bare.db"), isolation_level=None)
    bare.execute(f"PRAGMA key = \"x'{secrets.token_hex(32)}'\"")
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE mark (at INTEGER)")
    bare.execute("INSERT INTO mark VALUES (0)")

    def commit() -> None:
        # An update of one row is the least that makes the engine flush; a transaction without any writes nothing.
        bare.execute("BEGIN IMMEDIATE")
        bare.execute("UPDATE mark SET at = at + 1")
        bare.execute("COMMIT")

    try:
        return in_turn("autosave of one answer", write, "an empty commit", commit, rounds)
    finally:
        bare.close()
        store.close()
