"""What a caller may ask the store to write, and what it is told was written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

from forms.answers import Json
from forms.ask import Path
from forms.chart import Place

__all__ = ["Begin", "Change", "ChangeSet", "Head", "Put", "Restore", "StrikeOut"]


@dataclass(frozen=True, slots=True)
class Begin:
    """Creates an entry. Saying it again for the same place changes nothing."""

    entity: str
    place: Place


@dataclass(frozen=True, slots=True)
class Put:
    """One answer. `replaces`: hashes of the operations the writer saw; None means those that stand now."""

    entity: str
    path: Path
    value: Any
    replaces: tuple[str, ...] | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class StrikeOut:
    """Marks an entry as not counting; it stays readable. The reason is required."""

    entity: str
    reason: str


@dataclass(frozen=True, slots=True)
class Restore:
    """Takes a strike-out back."""

    entity: str
    reason: str


Change: TypeAlias = Begin | Put | StrikeOut | Restore


@dataclass(frozen=True, slots=True)
class Head:
    """One operation of a register: its hash, the decoded value, who wrote it, on which device, when, and why."""

    operation: str
    value: Any
    author: str
    device: str
    at: datetime
    kept: Json = None  # the value as it lies in the store, for what this version cannot decode
    reason: str = ""


@dataclass(frozen=True, slots=True)
class ChangeSet:
    """What one write did: hashes of its operations, the places touched, the families concerned, and when."""

    operations: tuple[str, ...]
    touched: frozenset[tuple[str, Path]]
    families: frozenset[str]
    at: datetime

    def with_(self, later: ChangeSet) -> ChangeSet:
        """One telling of this write and a later one."""
        return ChangeSet(
            self.operations + later.operations, self.touched | later.touched, self.families | later.families, later.at
        )

    def __bool__(self) -> bool:
        """Whether anything was written at all."""
        return bool(self.operations)
