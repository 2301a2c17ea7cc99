"""Brings the database to the shape this version knows. A copy is made before each upgrade; a newer shape is refused."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import inspect, text

from forms.trouble import Trouble
from storage.engine import Database, telling
from storage.folder import FILE_MODE, PARTLY, Folder, flush, flush_folder
from storage.rebuilding import rebuild
from storage.schema import SCHEMA
from storage.troubles import NewerSchema

if TYPE_CHECKING:
    from alembic.config import Config

__all__ = ["MIGRATIONS", "newest", "upgrade"]

MIGRATIONS = Path(__file__).parent / "migrations"


def _config(scripts: Path) -> Config:
    from alembic.config import Config  # loaded only when there is something to do: it is a tenth of a second

    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    return config


def newest(scripts: Path = MIGRATIONS) -> int:
    """The number of the newest migration; revisions are called "0001", "0002" ..."""
    from alembic.script import ScriptDirectory  # as above

    return int(ScriptDirectory.from_config(_config(scripts)).get_current_head() or "0")


def _current(database: Database) -> int:
    with database.transaction() as c:
        if not inspect(c).has_table("alembic_version"):
            return 0
        return int(c.execute(text("SELECT version_num FROM alembic_version")).scalar() or "0")


def upgrade(
    database: Database, folder: Folder, now: datetime, *, wanted: int = SCHEMA, scripts: Path = MIGRATIONS
) -> None:
    """Runs the migrations that are missing, all in one transaction, after a copy was made; does nothing when none is.

    Raises NewerSchema before anything is touched when the database is ahead of this version.
    """
    current = _current(database)
    if current > wanted:
        raise NewerSchema
    if current == wanted:
        return
    copy = folder.free_name(f"before-upgrade-{current:04}", now) if current else None
    if copy is not None:
        _copy(database, folder, copy)
    from alembic import command  # as above

    config = _config(scripts)
    try:
        with database.transaction() as c:
            config.attributes["connection"] = c
            command.upgrade(config, "head")
            if current:  # what follows from the log is never a migration's to fill: the code that reads it does
                rebuild(c)
    except Trouble:
        if copy is not None:
            copy.unlink(missing_ok=True)  # nothing changed; on a full disk every try would leave one more
        raise


def _copy(database: Database, folder: Folder, copy: Path) -> None:
    """Copies the database; the file has its name only once it is whole and on the disk."""
    folder.sweep_copies()
    partly = copy.with_name(copy.name + PARTLY)
    quoted = str(partly).replace("'", "''")
    try:
        with telling(folder.path):
            database.pragma(f"VACUUM INTO '{quoted}'")
            partly.chmod(FILE_MODE)
            flush(partly)
            partly.replace(copy)
            flush_folder(copy.parent)
    except Trouble:
        folder.sweep_copies()
        raise
