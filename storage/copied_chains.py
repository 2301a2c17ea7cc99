"""The chains of which a number stands twice, since their device was copied: kept as operations come, never sought anew.

Asking the whole log each time something arrives for a signed visit would cost more with every visit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Final

from sqlalchemy import Connection, delete, func, select
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage.log import Operation
from storage.schema import operation, setting

__all__ = ["copied", "count_copied", "note_copied"]

_COPIED: Final = "copied "


def copied(c: Connection) -> tuple[tuple[str, int], ...]:
    """Each such chain, with the lowest number that stands twice."""
    rows = c.execute(
        select(setting.c.name, setting.c.value).where(setting.c.name.startswith(_COPIED)).order_by(setting.c.name)
    )
    return tuple((row.name.removeprefix(_COPIED), int(row.value)) for row in rows)


def note_copied(c: Connection, arrived: Iterable[Operation]) -> None:
    """Keeps which of the chains that these operations belong to hold a number twice now."""
    numbers: defaultdict[str, list[int]] = defaultdict(list)
    for one in arrived:
        numbers[one.chain].append(one.seq)
    known = dict(copied(c)) if numbers else {}
    for chain, of_chain in sorted(numbers.items()):
        lowest = c.execute(
            select(operation.c.seq)
            .where(operation.c.chain == chain, operation.c.seq.between(min(of_chain), max(of_chain)))
            .group_by(operation.c.seq)
            .having(func.count() > 1)
            .order_by(operation.c.seq)
            .limit(1)
        ).scalar()
        if lowest is not None:
            _keep(c, chain, min(lowest, known.get(chain, lowest)))


def count_copied(c: Connection) -> None:
    """Works it out anew from the whole log."""
    twice = (
        select(operation.c.chain, operation.c.seq)
        .group_by(operation.c.chain, operation.c.seq)
        .having(func.count() > 1)
        .subquery()
    )
    c.execute(delete(setting).where(setting.c.name.startswith(_COPIED)))
    for row in c.execute(select(twice.c.chain, func.min(twice.c.seq)).group_by(twice.c.chain)).all():
        _keep(c, row[0], row[1])


def _keep(c: Connection, chain: str, lowest: int) -> None:
    put = insert_or(setting).values(name=_COPIED + chain, value=str(lowest))
    c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"value": str(lowest)}))
