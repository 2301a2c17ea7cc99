"""Which attachments no file has named yet, and which were named and are not here: kept, and moved on by what is new.

Both are worked out from the rows that came since the last look. Neither table ever loses a row, so that the number of
the newest says whether there are any; what is kept can only lag behind, and a store that keeps nothing looks at all.
"""

from __future__ import annotations

from dataclasses import dataclass

import orjson
from sqlalchemy import ColumnElement, Connection, Integer, Table, func, literal_column, select
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage.schema import attachment, blob, setting

__all__ = ["Due", "due"]

_NAME = "attachments due"


@dataclass(frozen=True, slots=True)
class Due:
    """SHA-256 of what is to be sent, ids of what is to be fetched, and the rows of either table that this is from."""

    unsent: frozenset[str] = frozenset()
    wanted: frozenset[str] = frozenset()
    attachments: int = 0
    blobs: int = 0


def due(c: Connection) -> Due:
    """What is due now."""
    kept = _kept(c)
    attachments, blobs = _newest(c, attachment), _newest(c, blob)
    if (kept.attachments, kept.blobs) == (attachments, blobs):
        return kept
    arrived = set(c.execute(select(attachment.c.sha256).where(_row(attachment) > kept.attachments)).scalars())
    named = {row.id: row.sha256 for row in c.execute(select(blob.c.id, blob.c.sha256).where(_row(blob) > kept.blobs))}
    unsent = kept.unsent - set(named.values())
    for one in kept.wanted:
        named[one] = c.execute(select(blob.c.sha256).where(blob.c.id == one)).scalar_one()
    found = Due(
        unsent | (arrived - set(named.values())),
        frozenset(one for one, made in named.items() if not _here(c, made)),
        attachments,
        blobs,
    )
    _keep(c, found)
    return found


def _row(table: Table) -> ColumnElement[int]:
    return literal_column(f"{table.name}.rowid", Integer)


def _newest(c: Connection, table: Table) -> int:
    return c.execute(select(func.max(_row(table))).select_from(table)).scalar() or 0


def _here(c: Connection, made: str) -> bool:
    return c.execute(select(attachment.c.sha256).where(attachment.c.sha256 == made)).first() is not None


def _kept(c: Connection) -> Due:
    value = c.execute(select(setting.c.value).where(setting.c.name == _NAME)).scalar()
    if value is None:
        return Due()
    body = orjson.loads(value)
    return Due(frozenset(body["unsent"]), frozenset(body["wanted"]), body["attachments"], body["blobs"])


def _keep(c: Connection, found: Due) -> None:
    value = orjson.dumps({
        "unsent": sorted(found.unsent), "wanted": sorted(found.wanted), "attachments": found.attachments,
        "blobs": found.blobs,
    }).decode()  # fmt: skip
    put = insert_or(setting).values(name=_NAME, value=value)
    c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"value": value}))
