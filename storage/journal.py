"""The audit journal: an append-only chain of who opened, signed and let go of what. It never holds a clinical value."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

import orjson
from sqlalchemy import Connection, insert, select

from storage.log import canonical, digest
from storage.schema import journal

__all__ = ["JournalEnd", "Line", "add", "broken", "end_of", "lines"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its number, when, what kind of event, who, and details (ids, counts and hashes only)."""

    number: int
    at: str
    kind: str
    by: str
    about: dict[str, str]


@dataclass(frozen=True, slots=True)
class JournalEnd:
    """Where the chain ends."""

    count: int = 0
    last: str = ""


def end_of(c: Connection) -> JournalEnd:
    """The end of the chain in the database."""
    row = c.execute(select(journal.c.number, journal.c.hash).order_by(journal.c.number.desc()).limit(1)).first()
    return JournalEnd() if row is None else JournalEnd(row.number, row.hash)


def add(c: Connection, end: JournalEnd, at: datetime, kind: str, by: str, about: dict[str, str]) -> JournalEnd:
    """Appends one line and gives the new end."""
    number = end.count + 1
    body = {
        "number": number,
        "prev": end.last,
        "at": at.astimezone(UTC).isoformat(),
        "kind": kind,
        "by": by,
        "about": about,
    }
    raw = canonical(body)
    c.execute(insert(journal).values(number=number, hash=digest(raw), bytes=raw))
    return JournalEnd(number, digest(raw))


def lines(c: Connection) -> Iterator[Line]:
    """Every line, oldest first."""
    for row in c.execute(select(journal.c.bytes).order_by(journal.c.number)):
        body = orjson.loads(row.bytes)
        yield Line(body["number"], body["at"], body["kind"], body["by"], body["about"])


def broken(c: Connection) -> int | None:
    """The number of the first line that does not follow from the one before it, or None when the chain holds."""
    last, expected = "", 1
    for row in c.execute(select(journal).order_by(journal.c.number)):
        body = orjson.loads(row.bytes)
        if row.number != expected or body["number"] != expected or body["prev"] != last:
            return expected
        if digest(row.bytes) != row.hash:
            return expected
        last, expected = row.hash, expected + 1
    return None
