"""Brings the database to the shape this version knows. A copy is made before each upgrade; a newer shape is refused."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from storage.engine import Database
from storage.folder import Folder
from storage.troubles import NewerSchema

__all__ = ["MIGRATIONS", "newest", "upgrade"]

MIGRATIONS = Path(__file__).parent / "migrations"


def _config(scripts: Path) -> Config:
    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    return config


def newest(scripts: Path = MIGRATIONS) -> int:
    """The number of the newest shape this version knows; revisions are called "0001", "0002" ..."""
    head = ScriptDirectory.from_config(_config(scripts)).get_current_head()
    return int(head or "0")


def upgrade(database: Database, folder: Folder, now: datetime, scripts: Path = MIGRATIONS) -> int:
    """Runs what is missing, all in one transaction, and gives the number the database now has.

    Raises NewerSchema before anything is touched when the database is ahead of this version.
    """
    config = _config(scripts)
    known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
    wanted = newest(scripts)
    with database.transaction() as c:
        current = MigrationContext.configure(c).get_current_revision()
    if current is not None and current not in known:
        raise NewerSchema
    if int(current or "0") == wanted:
        return wanted
    if current is not None:
        copy = folder.free_name(f"before-upgrade-{current}", now)
        quoted = str(copy).replace("'", "''")
        database.pragma(f"VACUUM INTO '{quoted}'")
        copy.chmod(0o600)
    with database.transaction() as c:
        config.attributes["connection"] = c
        command.upgrade(config, "head")
    return wanted
