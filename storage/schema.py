"""The tables of the database, and nothing else. The log is the record; what is marked rebuildable follows from it."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Integer, LargeBinary, MetaData, Table, Text

__all__ = [
    "SCHEMA",
    "act",
    "aside",
    "attachment",
    "awaited",
    "blob",
    "change_file",
    "device_key",
    "entry",
    "family_line",
    "journal",
    "late",
    "loss",
    "metadata",
    "operation",
    "practice_key",
    "register",
    "secret",
    "setting",
    "step",
]  # fmt: skip

SCHEMA = 4
"""The number of the newest migration; unlocking compares it before anything is touched."""

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)

step = Table(
    "step",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("author", Text, nullable=False),
    Column("kind", Text, nullable=False),  # write, undo, sign
    Column("undone_by", Integer),  # the step that took this one back
)
"""One call of write, undo or sign on this device; local, what undo walks back through."""

operation = Table(
    "operation",
    metadata,
    Column("position", Integer, primary_key=True),  # 1, 2, 3 ... in the order received by this device
    Column("hash", Text, nullable=False, unique=True),
    Column("entity", Text, nullable=False),
    Column("field", Text, nullable=False),
    Column("chain", Text, nullable=False),
    Column("seq", Integer, nullable=False),
    Column("step", Integer, ForeignKey("step.number")),  # null for what arrived from another device
    Column("restores", Text),  # on this device: the operation whose value undo put back with this one
    Column("bytes", LargeBinary, nullable=False),  # the canonical bytes that the hash is of
    Index("ix_operation_entity_field", "entity", "field"),
    Index("ix_operation_step", "step"),
    Index("ix_operation_chain_seq", "chain", "seq"),
)
"""The log: append-only, never updated."""

register = Table(
    "register",
    metadata,
    Column("entity", Text, primary_key=True),
    Column("field", Text, primary_key=True),
    Column("hash", Text, primary_key=True),
    Column("value", LargeBinary, nullable=False),  # orjson of the encoded answer
    Column("author", Text, nullable=False),
    Column("chain", Text, nullable=False),
    Column("millis", Integer, nullable=False),
    Column("tick", Integer, nullable=False),
    sqlite_with_rowid=False,
)
"""The heads of every register. Rebuildable."""

entry = Table(
    "entry",
    metadata,
    Column("entity", Text, primary_key=True),
    Column("form", Text, nullable=False),
    Column("family", Text),
    Column("visit", Text),
    Column("subjects", Text, nullable=False),  # ids joined by "+"
    Column("author", Text, nullable=False),
    Column("millis", Integer, nullable=False),
    Column("tick", Integer, nullable=False),
    Index("ix_entry_family", "family"),
    Index("ix_entry_visit", "visit"),
    Index("ix_entry_form", "form"),
    sqlite_with_rowid=False,
)
"""Where every entry stands. Rebuildable."""

family_line = Table(
    "family_line",
    metadata,
    Column("family", Text, primary_key=True),
    Column("line", LargeBinary, nullable=False),
    Column("sought", Text, nullable=False),  # folded names and phone digits
    sqlite_with_rowid=False,
)
"""One line of the caseload for each family, with what search looks through. Rebuildable."""

journal = Table(
    "journal",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("hash", Text, nullable=False),
    Column("bytes", LargeBinary, nullable=False),
)
"""The audit chain: append-only, each line naming the hash of the one before."""

loss = Table(
    "loss",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("kind", Text, nullable=False),  # answers, journal, unproven
    Column("count", Integer, nullable=False),
    Column("since", Text, nullable=False),
    Column("copy", Text, nullable=False),
)
"""What was found missing on opening; stays listed."""

attachment = Table(
    "attachment",
    metadata,
    Column("sha256", Text, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("data", LargeBinary, nullable=False),
)
"""Files filed with the record."""

secret = Table(
    "secret",
    metadata,
    Column("name", Text, primary_key=True),
    Column("sealed", LargeBinary, nullable=False),
)
"""Small secrets, each sealed once more under its own key."""

device_key = Table(
    "device_key",
    metadata,
    Column("name", Text, primary_key=True),
    Column("public", LargeBinary, nullable=False),
    Column("sealed", LargeBinary),  # null where only the public half is kept
)
"""The key pairs of this device, and the public half of the recovery member's."""

setting = Table(
    "setting",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)
"""What the store knows of itself: its id and this device's chain."""

awaited = Table(
    "awaited",
    metadata,
    Column("entity", Text, primary_key=True),
    Column("field", Text, primary_key=True),
    Column("hash", Text, primary_key=True),
    sqlite_with_rowid=False,
)
"""Operations that others of their register replaced and that have not arrived: they will not stand when they do."""

late = Table(
    "late",
    metadata,
    Column("hash", Text, primary_key=True),
    Column("entity", Text, nullable=False),
    Column("field", Text, nullable=False),
    Column("visit", Text, nullable=False),
    Index("ix_late_entity", "entity"),
    Index("ix_late_visit", "visit"),
    sqlite_with_rowid=False,
)
"""Operations that arrived for a signed visit and that no signature of it had seen. Rebuildable."""

change_file = Table(
    "change_file",
    metadata,
    Column("chain", Text, primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("hash", Text, primary_key=True),
    Column("first", Integer, nullable=False),  # numbers of the operations in it; 0 and 0 for none
    Column("last", Integer, nullable=False),
    Column("bytes", LargeBinary, nullable=False),
)
"""Every change file this device sent or took in, sealed as it travels, so that any device can put it back."""

blob = Table(
    "blob",
    metadata,
    Column("id", Text, primary_key=True),  # the name under which it travels; tells nothing of the bytes
    Column("chain", Text, nullable=False),  # whose folder it lies in
    Column("epoch", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("length", Integer, nullable=False),
)
"""Attachments as they travel, sent or promised by another device; one is here when `attachment` has its SHA-256."""

act = Table(
    "act",
    metadata,
    Column("hash", Text, primary_key=True),
    Column("bytes", LargeBinary, nullable=False),
)
"""Acts of membership, as signed."""

practice_key = Table(
    "practice_key",
    metadata,
    Column("epoch", Text, primary_key=True),
    Column("sealed", LargeBinary, nullable=False),
)
"""The keys under which files travel, each sealed under this device's own key."""

aside = Table(
    "aside",
    metadata,
    Column("name", Text, primary_key=True),
    Column("hash", Text, primary_key=True),
    Column("why", Text, nullable=False),
    Column("millis", Integer, nullable=False),
    Column("bytes", LargeBinary, nullable=False),
)
"""Files that were not taken in: damaged, foreign, newer, or of a member that was put out. Kept, never deleted."""
