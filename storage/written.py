"""The log of one family read as what it left behind: after each operation, the entry it was written to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, or_, select

from forms.clinical.prompt_trace import Written
from forms.practice import Practice
from forms.thresholds import Thresholds
from storage.charts import entry_of, of_family
from storage.log import Operation, canonical
from storage.schema import entry, operation

__all__ = ["written"]

OF_PRACTICE = (Practice.name, Thresholds.name)
"""The practice's own entries that a prompt can rest on: its time zone and its limits."""


@dataclass(frozen=True, slots=True)
class _Head:
    """An operation as a row of the registers: what `entry_of` reads."""

    hash: str
    value: bytes
    author: str
    chain: str
    millis: int
    tick: int


def written(c: Connection, family: str) -> Iterator[Written]:
    """Everything ever written about a family, and to the practice's settings, oldest first."""
    rows: dict[str, Any] = {}
    standing: defaultdict[str, dict[str, list[Any]]] = defaultdict(dict)
    log = c.execute(
        select(operation.c.bytes, entry)
        .join(entry, entry.c.entity == operation.c.entity)
        .where(or_(of_family(family), entry.c.form.in_(OF_PRACTICE)))
        .order_by(operation.c.position)
    )
    read = ((Operation.read(row.bytes), row) for row in log)
    # By the clocks they tell, since what lies behind a snapshot arrives the newest first.
    for made, row in sorted(read, key=lambda one: (one[0].millis, one[0].tick)):
        rows.setdefault(made.entity, row)
        registers = standing[made.entity]
        heads = [head for head in registers.get(made.field, []) if head.hash not in made.parents]
        heads.append(_Head(made.hash, canonical(made.value), made.author, made.chain, made.millis, made.tick))
        registers[made.field] = sorted(heads, key=lambda head: (head.millis, head.tick, head.hash))
        yield Written(made.at, made.field, entry_of(rows[made.entity], registers))
