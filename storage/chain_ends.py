"""How far each chain's change files are here without a hole: kept, and moved on as files come, never counted over all.

What is kept can only lag behind, since no file is ever let go of; a store that keeps nothing yet is counted once.
"""

from __future__ import annotations

from sqlalchemy import Connection, func, select
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage.schema import change_file, setting

__all__ = ["end_of", "ends"]


def end_of(c: Connection, chain: str) -> tuple[int, str]:
    """Number and hash of the last file of a chain with none missing before it; 0 and "" for none.

    Of two files under that number the hash that sorts first, so that every device names the same.
    """
    name = f"end {chain}"
    kept = int(c.execute(select(setting.c.value).where(setting.c.name == name)).scalar() or "0")
    number = kept
    beyond = c.execute(
        select(change_file.c.number)
        .where(change_file.c.chain == chain, change_file.c.number > kept)
        .order_by(change_file.c.number)
    ).scalars()
    for one in beyond:
        if one > number + 1:
            break
        number = one
    beyond.close()
    if number != kept:
        put = insert_or(setting).values(name=name, value=str(number))
        c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"value": str(number)}))
    of_number = (change_file.c.chain == chain, change_file.c.number == number)
    return number, c.execute(select(func.min(change_file.c.hash)).where(*of_number)).scalar() or ""


def ends(c: Connection) -> dict[str, tuple[int, str]]:
    """The end of every chain of which a file is here without a hole, by chain."""
    found = {chain: end_of(c, chain) for chain in _chains(c)}
    return {chain: end for chain, end in found.items() if end[0]}


def _chains(c: Connection) -> list[str]:
    """Every chain there is a file of, each found from the one before by the index."""
    first = select(func.min(change_file.c.chain).label("chain")).cte("chains", recursive=True)
    beyond = select(func.min(change_file.c.chain)).where(change_file.c.chain > first.c.chain).scalar_subquery()
    chains = first.union_all(select(beyond).where(first.c.chain.is_not(None)))
    return list(c.execute(select(chains.c.chain).where(chains.c.chain.is_not(None))).scalars())
