"""One number for everything that stands, moved on by what was written since instead of worked out from all registers.

Each operation that stands for a register is spread to 2048 bits (SHAKE-256 of entity, field and hash), and all are
added modulo 2**2048: what comes to stand is added, what is replaced is subtracted, whatever the order. The digest shown
is SHA-256 of the sum. Two devices with the same set show the same digest. It is a check among members, who could as
well write what they like, and proves nothing to or against anybody else.

The sum of independent digests is AdHash (Bellare and Micciancio, "A New Paradigm for Collision-Free Hashing:
Incrementality at Reduced Cost", 1997). Its width is for the generalised birthday attack (Wagner, 2002): many lists find
another set with the same sum in about 2**(2 * sqrt(n)) steps, so that 256 bits would fall to 2**32 and 2048 take 2**90.
Both from memory.

The sum is kept beside the length of the log it is of. Asking for the digest moves it on: of each register that the log
names beyond that length, what stood then is subtracted and what stands now is added. So a write costs nothing more, and
whatever wrote, also a version that knows of no sum, is accounted for. It is worked out from all registers where none is
kept, and where so much was written that reading them is no dearer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from hashlib import sha256, shake_256

from sqlalchemy import Connection, delete, func, select, tuple_
from sqlalchemy.dialects.sqlite import insert as insert_or

from storage.log import Operation, canonical
from storage.schema import operation, register, setting

__all__ = ["Standing", "digest_of", "disagreement", "forget", "shown", "summed"]

Standing = tuple[str, str, str]
"""Entity, field and hash of an operation that stands."""

_NAME = "state sum"
_BYTES = 256
_MODULUS = 1 << (8 * _BYTES)
_KEPT = select(setting.c.value).where(setting.c.name == _NAME)
_MOST = 5_000
"""Operations by which a kept sum is moved on at most; beyond, reading all registers is no dearer."""

_AT_ONCE = 500  # registers in one statement


def summed(standing: Iterable[Standing]) -> int:
    """The sum of these."""
    return sum(int.from_bytes(shake_256(canonical(one)).digest(_BYTES)) for one in standing) % _MODULUS


def digest_of(standing: Iterable[Standing]) -> str:
    """The digest, 64 hex digits, of a record in which these stand and nothing else."""
    return _digest(summed(standing))


def forget(c: Connection) -> None:
    """Forgets the kept sum, because the registers were made anew."""
    c.execute(delete(setting).where(setting.c.name == _NAME))


def shown(c: Connection) -> str:
    """The digest, 64 hex digits; keeps the sum as it is now."""
    kept, length = _kept(c), _length(c)
    total = _now(c, kept, length)
    if kept != (length, total):
        value = f"{length} {total:x}"
        put = insert_or(setting).values(name=_NAME, value=value)
        c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"value": value}))
    return _digest(total)


def disagreement(c: Connection) -> Iterator[str]:
    """A sentence when the kept sum is not that of the registers."""
    kept = _kept(c)
    if kept is not None and _now(c, kept, _length(c)) != _anew(c):
        yield "The kept figure by which devices are compared differs from the record."


def _digest(total: int) -> str:
    return sha256(total.to_bytes(_BYTES)).hexdigest()


def _kept(c: Connection) -> tuple[int, int] | None:
    value = c.execute(_KEPT).scalar()
    if value is None:
        return None
    length, total = value.split()
    return int(length), int(total, 16)


def _length(c: Connection) -> int:
    return c.execute(select(func.max(operation.c.position))).scalar() or 0


def _now(c: Connection, kept: tuple[int, int] | None, length: int) -> int:
    if kept is None or not length - _MOST <= kept[0] <= length:
        return _anew(c)
    return kept[1] if kept[0] == length else (kept[1] + _moved(c, kept[0])) % _MODULUS


def _moved(c: Connection, since: int) -> int:
    """What the operations beyond the first `since` of the log change in the sum."""
    beyond = c.execute(select(operation.c.entity, operation.c.field).where(operation.c.position > since))
    touched = sorted({(row[0], row[1]) for row in beyond})
    before: defaultdict[tuple[str, str], list[Operation]] = defaultdict(list)
    now: defaultdict[tuple[str, str], list[Operation]] = defaultdict(list)
    for at in range(0, len(touched), _AT_ONCE):
        of_some = tuple_(operation.c.entity, operation.c.field).in_(touched[at : at + _AT_ONCE])
        for row in c.execute(select(operation.c.position, operation.c.bytes).where(of_some)):
            one = Operation.read(row.bytes)
            now[one.entity, one.field].append(one)
            if row.position <= since:
                before[one.entity, one.field].append(one)
    return sum(summed(_heads(of_register)) - summed(_heads(before[name])) for name, of_register in now.items())


def _heads(of_register: Iterable[Operation]) -> Iterator[Standing]:
    """Those of a register's operations that none of them replaces."""
    known = {one.hash: one for one in of_register}
    gone = {parent for one in known.values() for parent in one.parents}
    for made in known.keys() - gone:
        yield known[made].entity, known[made].field, made


def _anew(c: Connection) -> int:
    rows = c.execute(select(register.c.entity, register.c.field, register.c.hash))
    return summed((row[0], row[1], row[2]) for row in rows)
