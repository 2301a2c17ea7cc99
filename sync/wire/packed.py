"""Operations packed for travel: a stretch of one chain without what the stretch itself says again.

Each operation names the chain, its number and the one before it; all three follow from the first, and parents that lie
in the same stretch are named by their place in it. Unpacking makes the canonical bytes anew and gives the very same
hashes: packing proves it for each operation, and one that would not come back equal (written by a newer version)
travels whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from storage.log import OP_VERSION, Operation, canonical, digest

__all__ = ["pack", "unpack"]

_WHOLE = "whole"


def pack(operations: Sequence[Operation]) -> dict[str, Any]:
    """A stretch of one chain as a plain JSON value. Raises ValueError for a stretch with a hole or of two chains."""
    first = operations[0]
    for before, after in pairwise(operations):
        if (after.chain, after.seq, after.prev) != (first.chain, before.seq + 1, before.hash):
            raise ValueError("a stretch is of one chain, without holes")
    entities = sorted({one.entity for one in operations})
    fields = sorted({one.field for one in operations})
    authors = sorted({one.author for one in operations})
    known = {one.hash: place for place, one in enumerate(operations)}
    at_entity, at_field, at_author = (
        {name: place for place, name in enumerate(names)} for names in (entities, fields, authors)
    )
    rows: list[Any] = []
    millis, wall = first.millis, ""
    for place, one in enumerate(operations):
        parents = [known[p] if known.get(p, place) < place else p for p in one.parents]
        row = [
            at_entity[one.entity], at_field[one.field], one.value, parents, at_author[one.author],
            one.millis - millis, one.tick, "" if one.wall == wall else one.wall, one.reason,
        ]  # fmt: skip
        while len(row) > 4 and row[-1] in ("", 0):
            row.pop()
        millis, wall = one.millis, one.wall
        rows.append(row)
    packed = {
        "chain": first.chain, "seq": first.seq, "prev": first.prev, "millis": first.millis,
        "entities": entities, "fields": fields, "authors": authors, "rows": rows,
    }  # fmt: skip
    for place, (one, again) in enumerate(zip(operations, _read(packed), strict=True)):
        if again != one.raw:
            rows[place] = [_WHOLE, one.raw.decode()]
    return packed


def unpack(packed: dict[str, Any]) -> tuple[Operation, ...]:
    """The operations of a stretch. Raises ValueError, KeyError, TypeError or IndexError for what is none."""
    found = tuple(Operation.read(raw) for raw in _read(packed))
    prev, seq = packed["prev"], packed["seq"]
    for one in found:
        if (one.chain, one.seq, one.prev) != (packed["chain"], seq, prev):
            raise ValueError("an operation does not follow the one before it")
        prev, seq = one.hash, seq + 1
    return found


def _read(packed: dict[str, Any]) -> list[bytes]:
    """The canonical bytes of each row."""
    entities, fields, authors = packed["entities"], packed["fields"], packed["authors"]
    prev, seq, millis, wall = packed["prev"], packed["seq"], packed["millis"], ""
    found: list[bytes] = []
    hashes: list[str] = []
    row: list[Any]
    for row in packed["rows"]:
        if row[0] == _WHOLE:
            raw = row[1].encode()
            whole = Operation.read(raw)
            millis, wall = whole.millis, whole.wall
        else:
            entity, field, value, parents, author, later, tick, clock, reason = (*row, *_EMPTY[len(row) - 4 :])
            millis, wall = millis + later, clock or wall
            raw = canonical({
                "v": OP_VERSION,
                "entity": entities[entity],
                "field": fields[field],
                "value": value,
                "parents": sorted(hashes[p] if isinstance(p, int) else p for p in parents),
                "author": authors[author],
                "chain": packed["chain"],
                "seq": seq,
                "prev": prev,
                "hlc": [millis, tick],
                "wall": wall,
                "reason": reason,
            })  # fmt: skip
        prev, seq = digest(raw), seq + 1
        hashes.append(prev)
        found.append(raw)
    return found


_EMPTY: tuple[Any, ...] = (0, 0, 0, "", "")
"""What stands where a row ends early: the first author, no time since the row before, tick 0, its clock, no reason."""
