"""Bringing an older database up to date, on a copy of the real migrations with an invented one after them."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from storage import keys, upgrade
from storage.engine import Database
from storage.folder import Folder
from storage.keys import derived
from storage.schema import SCHEMA, metadata
from tests.helpers.stores import FAMILY
from tests.storage.conftest import Made, open_with

NOW = datetime(2026, 3, 3, tzinfo=UTC)
BEFORE, AFTER = f"{SCHEMA:04}", f"{SCHEMA + 1:04}"
NEXT = """
import sqlalchemy as sa
from alembic import op
revision, down_revision, branch_labels, depends_on = "{after}", "{before}", None, None

def upgrade():
    op.create_table("shelf", sa.Column("number", sa.Integer, primary_key=True))
    with op.batch_alter_table("setting") as batch:
        batch.add_column(sa.Column("note", sa.Text))
    {last}
"""


def next_one(last: str) -> str:
    """A migration that follows the newest one and ends with a statement."""
    return NEXT.format(before=BEFORE, after=AFTER, last=last)


@pytest.fixture
def scripts(tmp_path: Path) -> Path:
    folder = tmp_path / "scripts"
    shutil.copytree(upgrade.MIGRATIONS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    return folder


def _database(made: Made, master: bytes) -> Database:
    return Database(made.folder / "record.db", derived(master, "database"))


def test_the_number_of_the_schema_is_that_of_the_newest_migration() -> None:
    assert upgrade.newest() == SCHEMA


def test_the_migrations_make_exactly_the_tables_the_code_uses(closed: Made, master: bytes) -> None:
    database = _database(closed, master)
    with database.transaction() as c:
        assert compare_metadata(MigrationContext.configure(c), metadata) == []
    database.close()


def test_a_copy_that_opens_is_made_before_an_upgrade(closed: Made, master: bytes, scripts: Path) -> None:
    (scripts / "versions" / f"v{AFTER}_next.py").write_text(next_one("pass"))
    database = _database(closed, master)
    upgrade.upgrade(database, Folder(closed.folder), NOW, wanted=SCHEMA + 1, scripts=scripts)
    with database.transaction() as c:
        assert c.exec_driver_sql("SELECT version_num FROM alembic_version").scalar() == AFTER
        assert c.exec_driver_sql("SELECT count(*) FROM shelf").scalar() == 0
        assert c.exec_driver_sql("SELECT count(*) FROM operation").scalar_one() > 0
    database.close()
    (copy,) = (closed.folder / "copies").glob(f"before-upgrade-{BEFORE}-*.db")
    shutil.copy(copy, closed.folder / "record.db")
    store = open_with(closed.folder, master)
    assert store.chart(FAMILY).by_id(FAMILY) is not None
    assert store.check() == ()
    store.close()


def test_a_failing_upgrade_leaves_the_database_as_it_was(closed: Made, master: bytes, scripts: Path) -> None:
    (scripts / "versions" / f"v{AFTER}_next.py").write_text(next_one("raise RuntimeError('power')"))
    database = _database(closed, master)
    with database.transaction() as c:
        before = c.exec_driver_sql("SELECT name, sql FROM sqlite_master ORDER BY name").fetchall()
    with pytest.raises(RuntimeError, match="power"):
        upgrade.upgrade(database, Folder(closed.folder), NOW, wanted=SCHEMA + 1, scripts=scripts)
    with database.transaction() as c:
        assert c.exec_driver_sql("SELECT name, sql FROM sqlite_master ORDER BY name").fetchall() == before
        assert c.exec_driver_sql("SELECT version_num FROM alembic_version").scalar() == BEFORE
    database.close()
    store = open_with(closed.folder, master)
    assert store.check() == ()
    store.close()


def test_the_master_key_of_the_copy_is_the_same(closed: Made, master: bytes) -> None:
    assert keys.recovery_slot_opened(closed.folder / "keys" / "recovery.slot", keys.read_words(closed.words)) == master
