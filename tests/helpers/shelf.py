"""A target in memory for the tests of rounds, and devices with real stores that meet there.

The engines themselves are tried in tests/sync/transport; here only what a round does with a well-behaved place.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from storage.keys import FLOOR
from storage.store import Store
from storage.vault import SetUp, set_up
from sync.exchange.practice import Practice, enter, let_in, own_member, practice_of
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.membership.acts import Role
from sync.transport.port import Listed, Target, sorted_out
from sync.transport.troubles import Forked
from tests.helpers.stores import PASSPHRASE, Clock

__all__ = ["Shelf", "device", "joined", "meet"]


@dataclass
class Shelf:
    """Names and bytes. `requests` counts what was asked."""

    label: str = "the shelf"
    held: dict[str, bytes] = field(default_factory=dict)
    requests: int = 0
    laid: set[str] = field(default_factory=set)

    def put(self, name: str, data: bytes) -> None:
        """Write a name; other bytes under it are a fault of the round, unless a write was cut short there."""
        self.requests += 1
        fits = data.startswith(self.held.get(name, b""))
        if not fits and name in self.laid:
            raise Forked(place=self.label, name=name)
        assert fits, f"{name} is written over"
        self.held[name] = data

    def replace(self, name: str, data: bytes) -> None:
        """Write a sign of life over, or what does not read."""
        self.requests += 1
        assert name.startswith("h/") or name in self.held, name
        self.held[name] = data

    def get(self, name: str) -> bytes | None:
        """The bytes, or None."""
        self.requests += 1
        return self.held.get(name)

    def lay(self, name: str, data: bytes) -> None:
        """Writes past all rules, as another program does."""
        self.held[name] = data
        self.laid.add(name)

    def get_all(self, names: Iterable[str]) -> Iterator[tuple[str, bytes | None]]:
        """Many names in turn."""
        for name in names:
            yield name, self.get(name)

    def size(self, name: str) -> int | None:
        """How many bytes."""
        there = self.get(name)
        return None if there is None else len(there)

    def part(self, name: str, start: int, length: int) -> bytes | None:
        """Some of the bytes."""
        there = self.get(name)
        return None if there is None else there[start : start + length]

    def listed(self, folder: str) -> Listed:
        """What lies right below, by whose it is."""
        return sorted_out(*self.names(folder))

    def stray(self, path: str) -> bytes | None:
        """The bytes, whatever the name."""
        return self.get(path)

    def sweep(self, chain: str) -> int:
        """Nothing is ever half written here."""
        return 0 * len(chain)

    def close(self) -> None:
        """Nothing to let go of."""

    def names(self, folder: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What lies right below."""
        self.requests += 1
        prefix = f"{folder}/" if folder else ""
        rest = [name.removeprefix(prefix) for name in self.held if name.startswith(prefix)]
        folders = sorted({prefix + name.split("/")[0] for name in rest if "/" in name})
        return tuple(sorted(prefix + name for name in rest if "/" not in name)), tuple(folders)


def device(folder: Path, name: str, *, at: datetime | None = None) -> SetUp:
    """A new store of its own."""
    import secrets

    clock = Clock(at or datetime(2026, 3, 3, 14, 2, tzinfo=UTC))
    return set_up(folder / name, PASSPHRASE, clock=clock, ids=lambda: secrets.token_hex(16), argon=FLOOR)


def joined(owner: Store, other: Store, label: str, role: Role = Role.CONSULTANT) -> Practice:
    """Let another store in as joining does it: its keys are added, and it is given the acts and what it may open."""
    practice = practice_of(owner)
    assert practice is not None
    after = let_in(owner, practice, own_member(other, label, role), Clock())
    return enter(other, after.acts, after.founding, {})


def meet(store: Store, shelf: Target, **more: bool) -> Told:
    """One round."""
    return sync_round(store, shelf, clock=Clock(), **more)  # type: ignore[arg-type]


def copied(folder: Path, to: Path) -> Path:
    """A closed store's folder, copied."""
    shutil.copytree(folder, to)
    return to
