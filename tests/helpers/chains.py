"""Chains of operations written by devices that know one another only through what they were given."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from storage.log import PLACE, Chain, Operation

__all__ = ["BEGINS", "Writer", "device_id"]

BEGINS = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def device_id(name: str) -> str:
    """An id of 32 hex digits that tells the device's name."""
    return name.encode().hex().ljust(32, "0")[:32]


class Writer:
    """One device's chain. What it replaces is told to it: it holds no registers of its own."""

    def __init__(self, name: str, *, clock: datetime = BEGINS) -> None:
        self.chain = Chain(device_id(name))
        self.clock = clock
        self.written: list[Operation] = []

    def put(
        self, entity: str, field: str, value: object, parents: tuple[str, ...] = (), *, author: str = "a" * 32,
        reason: str = "",
    ) -> Operation:  # fmt: skip
        """One operation, a second after the one before."""
        self.clock += timedelta(seconds=1, microseconds=137)
        made, self.chain = self.chain.next(entity, field, value, parents, author, self.clock, reason)
        self.written.append(made)
        return made

    def begin(self, entity: str, form: str, *, family: str | None = None, visit: str | None = None) -> Operation:
        """The operation that says where an entry stands."""
        place: Mapping[str, object] = {"form": form, "family": family, "visit": visit, "subjects": []}
        return self.put(entity, PLACE, dict(place))
