"""Taking a whole record in: a folder is looked over first, and then goes in as one or not at all."""

from __future__ import annotations

from base64 import b64decode, b64encode
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, func, insert, select, update
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage import registers, state_sum
from storage.log import Operation, digest
from storage.projections import refresh
from storage.rights import note_not_signed
from storage.schema import act, attachment, change_file, operation, setting
from storage.whole_folder import ACTS, OPERATIONS, README, TABLES, NotImported, Proved, attachment_name
from storage.whole_log import gaps, one_device, read_lines
from storage.whole_out import ALL
from storage.writing import Writing

__all__ = ["Checked", "checked", "must_be_empty", "take"]

_LONGEST_KIND: Final = 200  # characters of a media type; house bound


@dataclass(frozen=True)
class Checked:
    """A folder that is a whole record, with nothing written yet."""

    proved: Proved
    operations: tuple[Operation, ...]
    acts: tuple[bytes, ...]
    attachments: Mapping[str, str]
    uncounted: frozenset[str]
    digest: str


def checked(proved: Proved) -> Checked:
    """The whole record that a folder holds; raises NotImported for anything else. Nothing is written."""
    index = proved.index
    if index.get("scope") != ALL:
        raise NotImported(
            why="the folder holds what concerns one person, not a whole record. Name one that was exported whole."
        )
    attachments: Any = index.get("attachments")
    told: Any = index.get("signatures_not_counted")
    orphans: Any = index.get("operations_without_predecessor")
    if not _kinds(attachments) or not _texts(told) or not _texts(orphans) or not isinstance(index.get("digest"), str):
        raise _damaged()
    names = {README, OPERATIONS, ACTS, *(attachment_name(name, kind) for name, kind in attachments.items())}
    files: Mapping[str, Any] = index["files"]
    if {name for name in files if not name.startswith(f"{TABLES}/")} != names:
        raise _damaged()
    if any(files[attachment_name(name, kind)]["sha256"] != name for name, kind in attachments.items()):
        raise _damaged()
    operations, acts = read_lines(proved.whole(OPERATIONS), frozenset(orphans)), _acts(proved.whole(ACTS))
    if not {one.hash for one in operations}.issuperset(told) or index.get("operations_missing") != _gaps(operations):
        raise _damaged()
    counts = {"operations": len(operations), "acts": len(acts), "attachments": len(attachments)}
    if not isinstance(index.get("counts"), dict) or not counts.items() <= index["counts"].items():
        raise _damaged()
    return Checked(proved, operations, acts, attachments, frozenset(told), index["digest"])


def _damaged() -> NotImported:
    return NotImported(why="the index does not fit what is in the folder. Copy the whole folder again.")


def _kinds(kept: Any) -> bool:
    return isinstance(kept, dict) and all(
        isinstance(kind, str) and kind.isprintable() and len(kind) <= _LONGEST_KIND for kind in kept.values()
    )


def _gaps(operations: Iterable[Operation]) -> dict[str, list[list[int]]]:
    chains: defaultdict[str, set[int]] = defaultdict(set)
    for one in operations:
        chains[one.chain].add(one.seq)
    return gaps(chains)


def _texts(kept: Any) -> bool:
    return isinstance(kept, list) and all(isinstance(one, str) for one in kept)


def _acts(data: bytes) -> tuple[bytes, ...]:
    try:
        found = tuple(b64decode(line, validate=True) for line in data.split(b"\n")[:-1])
    except ValueError:
        raise _damaged() from None
    if b"".join(b64encode(raw) + b"\n" for raw in found) != data:
        raise _damaged()
    names = [digest(raw) for raw in found]
    if names != sorted(set(names)):
        raise _damaged()
    return found


def take(writing: Writing, found: Checked, by: str) -> str:
    """Takes it in, within a transaction; gives the device as which the store goes on, or "". Raises NotImported."""
    device = "" if found.acts else one_device(found.operations)
    c = writing.c
    must_be_empty(c)
    note_not_signed(c, found.uncounted)
    writing.receive(sorted(found.operations, key=lambda one: (one.millis, one.tick, one.chain, one.seq)))
    if found.acts:
        c.execute(insert(act), [{"hash": digest(raw), "bytes": raw} for raw in found.acts])
    for name, kind in sorted(found.attachments.items()):
        data = found.proved.whole(attachment_name(name, kind))
        c.execute(insert_or(attachment), {"sha256": name, "kind": kind, "data": data})
        writing.note("attached", by, {"sha256": name, "kind": kind})
    if device:
        c.execute(update(setting).where(setting.c.name == "device").values(value=device))
        writing.chain = registers.chain_of(c, device)
    writing.note("record imported", by, {
        "operations": str(len(found.operations)), "attachments": str(len(found.attachments)),
        "digest": found.digest,
    })  # fmt: skip
    writing.result()
    for family in registers.families_of(c, {one.entity for one in found.operations}):
        refresh(c, family)  # what is in conflict now counts in the family's line, whatever the log says of it
    if state_sum.shown(c) != found.digest:
        raise NotImported(why="the log does not come to the record that the index tells of. Export it again.")
    return device


def must_be_empty(c: Connection) -> None:
    """Raises NotImported for a store that holds or shares anything."""
    tables = (operation, attachment, act, change_file)
    held = any(c.execute(select(func.count()).select_from(one)).scalar() for one in tables)
    shared = c.execute(select(setting.c.name).where(setting.c.name.startswith("sync ")).limit(1)).first()
    if held or shared is not None:
        raise NotImported(why="the store already holds something. Name a folder for a new store.")
