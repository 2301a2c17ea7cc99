"""Working everything that follows from the log out anew, and comparing it with what stands."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, delete, select

from storage.engine import Database
from storage.projections import refresh
from storage.registers import refill
from storage.schema import awaited, entry, family_line, late, register
from storage.signing import refill_late

__all__ = ["differences", "rebuild"]

_FOLLOWING = (register, entry, awaited, late, family_line)


def rebuild(c: Connection) -> None:
    """Empties registers, entries and lines and fills them from the log."""
    refill(c)
    refill_late(c)
    c.execute(delete(family_line))
    refresh(c, *c.execute(select(entry.c.entity).where(entry.c.form == "family")).scalars())


def _all(c: Connection) -> dict[str, set[tuple[Any, ...]]]:
    return {table.name: {tuple(row) for row in c.execute(select(table))} for table in _FOLLOWING}


class _PutBack(Exception):  # noqa: N818 - rolls the trial back, is no failure
    """Ends the trial."""


def differences(database: Database) -> tuple[str, ...]:
    """One sentence for each table that differs from what the log gives. The trial is rolled back."""
    found: list[str] = []
    try:
        with database.transaction() as c:
            standing = _all(c)
            rebuild(c)
            made = _all(c)
            for name, rows in made.items():
                count = len(rows ^ standing[name])
                if count:
                    found.append(f"{count} rows of the table “{name}” differ from the log.")
            raise _PutBack  # noqa: TRY301 - the way to roll the trial back
    except _PutBack:
        return tuple(found)
