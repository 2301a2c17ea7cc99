"""Real stores for tests: a ticking clock, numbered ids, and a small invented family."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from forms.answers import Moment, Quantity
from forms.ask import Path as At
from forms.chart import Place
from storage.changes import Begin, Change, Put
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import SetUp, set_up, unlock

PASSPHRASE = "orchard lantern kettle nine"
AUTHOR = "a" * 32
FAMILY, PARENT, BABY, TWIN, VISIT = "f" * 32, "1" * 32, "2" * 32, "3" * 32, "5" * 32


@dataclass
class Clock:
    """A clock that moves on by one second each time it is read."""

    at: datetime = datetime(2026, 3, 3, 14, 2, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


@dataclass
class Ids:
    """Ids that are told apart by counting."""

    made: int = field(default=0)

    def __call__(self) -> str:
        self.made += 1
        return hashlib.sha256(f"id {self.made}".encode()).hexdigest()[:32]


def new_store(folder: Path, clock: Clock | None = None) -> SetUp:
    return set_up(folder, PASSPHRASE, clock=clock or Clock(), ids=Ids(), argon=FLOOR)


def opened(folder: Path, clock: Clock | None = None) -> Store:
    return unlock(folder, PASSPHRASE, clock=clock or Clock(datetime(2026, 3, 4, 9, tzinfo=UTC)), ids=Ids())


def put(entity: str, path: str, value: object, **more: object) -> Put:
    return Put(entity, At.read(path), value, **more)  # type: ignore[arg-type]


def grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def moment(day: int, hour: int = 10) -> Moment:
    return Moment(datetime(2026, 3, day, hour, tzinfo=UTC), "Europe/London")


def small_family() -> list[Change]:
    """The Quillfeather-Ode family: one parent, twins, one visit."""
    return [
        Begin(FAMILY, Place("family", FAMILY)),
        put(FAMILY, "family_name", "Quillfeather-Ode"),
        Begin(PARENT, Place("parent", FAMILY)),
        put(PARENT, "full_name", "Maren Quillfeather"),
        put(PARENT, "phone", "+44 7700 900123"),
        Begin(BABY, Place("infant", FAMILY)),
        put(BABY, "legal_name", "Ida Quillfeather"),
        put(BABY, "called_name", "Idå"),
        Begin(TWIN, Place("infant", FAMILY)),
        put(TWIN, "called_name", "Juno"),
        Begin(VISIT, Place("visit", FAMILY)),
        put(VISIT, "kind", "home"),
        put(VISIT, "start", moment(3)),
    ]


def answers(store: Store, entity: str) -> Any:
    """The answers of an entry as they stand."""
    found = store.entry(entity)
    assert found is not None
    return found.answers


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file under a folder with its bytes."""
    return {str(file.relative_to(folder)): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()}
