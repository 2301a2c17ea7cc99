"""The operation: the one thing that is ever written about a family, and the chain it stands in.

An operation's id is the SHA-256 of its canonical bytes, which name by hash the operations it replaces and the one
before it on the same device. So no operation can be changed, dropped from the middle or slipped in unseen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import lru_cache
from hashlib import sha256
from typing import Any

import orjson

from forms.answers import Json
from forms.ask import Path
from storage.troubles import CannotBeKept

__all__ = ["OP_VERSION", "PLACE", "SIGNED", "STRUCK", "Chain", "Operation", "canonical", "digest", "instant", "path_of"]

OP_VERSION = 1
PLACE = "@place"
STRUCK = "@struck"
SIGNED = "@signed"
_AHEAD = 24 * 60 * 60 * 1000


def canonical(value: Json) -> bytes:
    """The one way in which a plain value is written as bytes: sorted keys, no spaces.

    Raises CannotBeKept for text holding half of a surrogate pair.
    """
    try:
        return orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    except orjson.JSONEncodeError as error:
        if "surrogate" in str(error):
            raise CannotBeKept from None
        raise


def digest(data: bytes) -> str:
    """SHA-256, 64 hex digits."""
    return sha256(data).hexdigest()


@lru_cache(maxsize=4096)
def path_of(field: str) -> Path:
    """The path of a register name; the store's own registers begin with @ and have no side."""
    return Path(field) if field.startswith("@") else Path.read(field)


def instant(millis: int) -> datetime:
    """The UTC instant of a clock reading in milliseconds since 1970."""
    return datetime.fromtimestamp(millis / 1000, UTC)


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation, with the bytes it was read from or written as."""

    hash: str
    entity: str
    field: str
    value: Json
    parents: tuple[str, ...]
    author: str
    chain: str
    seq: int
    prev: str
    millis: int
    tick: int
    wall: str
    reason: str
    raw: bytes

    @property
    def at(self) -> datetime:
        """When it was written, by the hybrid clock: for display, never to choose between values."""
        return instant(self.millis)

    @classmethod
    def read(cls, raw: bytes) -> Operation:
        """The operation that these bytes are; its hash is worked out anew. Raises ValueError or KeyError for others."""
        body: dict[str, Any] = orjson.loads(raw)
        return cls(
            hash=digest(raw),
            entity=body["entity"],
            field=body["field"],
            value=body["value"],
            parents=tuple(body["parents"]),
            author=body["author"],
            chain=body["chain"],
            seq=body["seq"],
            prev=body["prev"],
            millis=body["hlc"][0],
            tick=body["hlc"][1],
            wall=body["wall"],
            reason=body["reason"],
            raw=raw,
        )


@dataclass(frozen=True, slots=True)
class Chain:
    """Where the log of this device stands: its id, last number and hash, clock reading, and counts of all.

    `answers` leaves out the operations that only say where an entry stands; `newest` is the hash of the operation that
    was received last, its own or another device's.
    """

    id: str
    seq: int = 0
    last: str = ""
    millis: int = 0
    tick: int = 0
    count: int = 0
    answers: int = 0
    newest: str = ""

    def next(
        self, entity: str, field: str, value: Json, parents: tuple[str, ...], author: str, now: datetime, reason: str
    ) -> tuple[Operation, Chain]:
        """The next operation, and the chain with it appended."""
        wall = int(now.timestamp() * 1000)
        millis, tick = (wall, 0) if wall > self.millis else (self.millis, self.tick + 1)
        raw = canonical(
            {
                "v": OP_VERSION,
                "entity": entity,
                "field": field,
                "value": value,
                "parents": sorted(parents),
                "author": author,
                "chain": self.id,
                "seq": self.seq + 1,
                "prev": self.last,
                "hlc": [millis, tick],
                "wall": now.astimezone(UTC).isoformat(),
                "reason": reason,
            }
        )
        made = Operation.read(raw)
        answers = self.answers + (field != PLACE)
        return made, Chain(self.id, self.seq + 1, made.hash, millis, tick, self.count + 1, answers, made.hash)

    def received(self, came: Sequence[Operation], now: datetime) -> Chain:
        """The chain after other devices' operations came in, in this order.

        Its clock goes on from theirs, so that what is written next shows later, but at most a day ahead of this
        device's own clock (house bound, no source): a wrong clock elsewhere must not carry this one along.
        """
        if not came:
            return self
        most = int(now.timestamp() * 1000) + _AHEAD
        told = ((one.millis, one.tick) for one in came if one.millis <= most)
        millis, tick = max((self.millis, self.tick), max(told, default=(0, 0)))
        answers = self.answers + sum(one.field != PLACE for one in came)
        count = self.count + len(came)
        return replace(self, millis=millis, tick=tick, count=count, answers=answers, newest=came[-1].hash)
