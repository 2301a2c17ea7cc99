"""One number for everything that stands, moved on with each write instead of worked out from all registers.

Each operation that stands for a register is spread to 2048 bits (SHAKE-256 of entity, field and hash), and all are
added modulo 2**2048: what comes to stand is added, what is replaced is subtracted, whatever the order. The digest shown
is SHA-256 of the sum. Two devices with the same set show the same digest. It is a check among members, who could as
well write what they like, and proves nothing to or against anybody else.

The sum of independent digests is AdHash (Bellare and Micciancio, "A New Paradigm for Collision-Free Hashing:
Incrementality at Reduced Cost", 1997). Its width is for the generalised birthday attack (Wagner, 2002): many lists find
another set with the same sum in about 2**(2 * sqrt(n)) steps, so that 256 bits would fall to 2**32 and 2048 take 2**90.
Both from memory.

The sum is kept beside the length of the log it is of. One that is of another length is not believed but worked out anew
from the registers, once: that of a store which never had one, or in which an older version wrote.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from hashlib import sha256, shake_256

from sqlalchemy import Connection, bindparam, delete, func, select, update
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage.log import canonical
from storage.schema import operation, register, setting

__all__ = ["Standing", "disagreement", "forget", "move_on", "shown", "summed"]

Standing = tuple[str, str, str]
"""Entity, field and hash of an operation that stands."""

_NAME = "state sum"
_BYTES = 256
_MODULUS = 1 << (8 * _BYTES)
_KEPT = select(setting.c.value).where(setting.c.name == _NAME)
_MOVE = update(setting).where(setting.c.name == _NAME).values(value=bindparam("moved"))


def summed(standing: Iterable[Standing]) -> int:
    """The sum of these."""
    return sum(int.from_bytes(shake_256(canonical(one)).digest(_BYTES)) for one in standing) % _MODULUS


def move_on(c: Connection, before: int, more: int, moved: int) -> None:
    """Moves the kept sum on by `moved` and `more` operations, if it is of the log's first `before`."""
    kept = _kept(c)
    if kept is not None and kept[0] == before:
        c.execute(_MOVE, {"moved": _written(before + more, (kept[1] + moved) % _MODULUS)})


def forget(c: Connection) -> None:
    """Forgets the kept sum, because the registers were made anew."""
    c.execute(delete(setting).where(setting.c.name == _NAME))


def shown(c: Connection) -> str:
    """The digest, 64 hex digits. Reads all registers only when no sum is kept for the log as it is."""
    kept, length = _kept(c), _length(c)
    if kept is None or kept[0] != length:
        kept = length, _anew(c)
        put = insert_or(setting).values(name=_NAME, value=_written(*kept))
        c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"value": _written(*kept)}))
    return sha256(kept[1].to_bytes(_BYTES)).hexdigest()


def disagreement(c: Connection) -> Iterator[str]:
    """A sentence when the kept sum is not that of the registers."""
    kept = _kept(c)
    if kept is not None and kept[0] == _length(c) and kept[1] != _anew(c):
        yield "The kept figure by which devices are compared differs from the record."


def _kept(c: Connection) -> tuple[int, int] | None:
    value = c.execute(_KEPT).scalar()
    if value is None:
        return None
    length, total = value.split()
    return int(length), int(total, 16)


def _written(length: int, total: int) -> str:
    return f"{length} {total:x}"


def _length(c: Connection) -> int:
    return c.execute(select(func.max(operation.c.position))).scalar() or 0


def _anew(c: Connection) -> int:
    rows = c.execute(select(register.c.entity, register.c.field, register.c.hash))
    return summed((row[0], row[1], row[2]) for row in rows)
