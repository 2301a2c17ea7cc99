"""The values an answer can have, and how each is written down in the store.

A field that was never touched is `None`. A must-field may instead carry an `Absent`: a deliberate non-answer,
which is not the same as an untouched field and never the same as zero. A field that two devices answered
differently is `Conflicted`, a type of its own, so that no code takes one of the values by accident.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import Any, Generic, TypeAlias, TypeVar, Union
from zoneinfo import ZoneInfo

from forms.trouble import Unresolved

__all__ = [
    "Absence", "Absent", "Conflicted", "Given", "Json", "Moment", "Quantity", "Side", "Sided", "Variant",
    "decode", "encode", "every", "known",
]  # fmt: skip

Json: TypeAlias = Any
"""What orjson can write and read: None, bool, int, str, list, dict with str keys. Never a float."""

T = TypeVar("T")


class Side(StrEnum):
    """A side of the body; always the person's own, never the viewer's."""

    LEFT = "left"
    RIGHT = "right"


class Absence(StrEnum):
    """The four ways in which a must-field can deliberately have no answer."""

    NOT_ASKED = "not_asked"
    NOT_DONE = "not_done"
    DECLINED = "declined"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Absent:
    """A deliberate non-answer; `why` is asked for NOT_DONE and free for the others."""

    kind: Absence
    why: str = ""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured amount: the characters typed, the unit they were typed in, and whole base units.

    `base` is in g, mL, mm, min, tenths of a degree Celsius, or a plain count, by the dimension of `unit`
    (see `forms.units`). `typed` reprints exactly what the consultant entered.
    """

    typed: str
    unit: str
    base: int


@dataclass(frozen=True, slots=True)
class Moment:
    """An instant with the zone in which it was lived, so that its local time can always be shown again."""

    at: datetime
    zone: str

    def __post_init__(self) -> None:
        """Keep the instant in UTC whatever zone it came in; raises ValueError for one without a zone."""
        if self.at.tzinfo is None:
            raise ValueError("a moment needs a zone")
        object.__setattr__(self, "at", self.at.astimezone(UTC))

    def local(self) -> datetime:
        """The wall-clock time in the moment's own zone."""
        return self.at.astimezone(ZoneInfo(self.zone))

    @classmethod
    def of(cls, local: datetime, zone: str) -> Moment:
        """The moment at which the clocks of `zone` show `local` (a naive time)."""
        return cls(local.replace(tzinfo=ZoneInfo(zone)), zone)


@dataclass(frozen=True, slots=True)
class Variant:
    """One of several values that stand for a field: the value, who wrote it, when, where, and its operation."""

    value: Any
    author: str
    at: datetime
    device: str
    operation: str


@dataclass(frozen=True, slots=True)
class Conflicted:
    """A field for which more than one distinct value stands. There is deliberately no way to ask it for "the" value."""

    variants: tuple[Variant, ...]


@dataclass(frozen=True, slots=True)
class Sided(Generic[T]):
    """An answer for each side of the body."""

    left: T
    right: T

    def on(self, side: Side) -> T:
        """The answer for that side."""
        return self.left if side is Side.LEFT else self.right


Given: TypeAlias = Union[T, Absent, Conflicted, None]  # noqa: UP007 - a generic alias needs Union at run time


def known(given: Given[T], label: str = "this field") -> T | None:
    """The value if there is exactly one, else None; raises Unresolved for a conflicted field."""
    if isinstance(given, Conflicted):
        raise Unresolved(label=label)
    return None if given is None or isinstance(given, Absent) else given


def every(given: Given[T]) -> tuple[T, ...]:
    """All values that stand for the field: none, one, or each side of a conflict. What safety rules look at."""
    if given is None or isinstance(given, Absent):
        return ()
    if isinstance(given, Conflicted):
        return tuple(v.value for v in given.variants if v.value is not None and not isinstance(v.value, Absent))
    return (given,)


def encode(value: object) -> Json:
    """The plain form in which a value is kept; raises TypeError for a value that is no answer."""
    match value:
        case None | bool() | int() | str():
            return str(value) if isinstance(value, StrEnum) else value
        case Absent():
            return {"absent": str(value.kind), "why": value.why}
        case Quantity():
            return {"typed": value.typed, "unit": value.unit, "base": value.base}
        case Moment():
            return {"utc": value.at.strftime("%Y-%m-%dT%H:%M:%S.%fZ"), "zone": value.zone}
        case datetime():
            raise TypeError("a datetime without its zone is no answer; use Moment")
        case date():
            return {"date": value.isoformat()}
        case tuple() | list():
            return {"many": [encode(part) for part in value]}
    raise TypeError(f"{type(value).__name__} is no answer")


def _moment(kept: dict[str, Json]) -> Moment:
    return Moment(datetime.strptime(kept["utc"], "%Y-%m-%dT%H:%M:%S.%fZ").replace(tzinfo=UTC), kept["zone"])


_READERS: dict[str, Callable[[dict[str, Json]], object]] = {
    "absent": lambda kept: Absent(Absence(kept["absent"]), kept["why"]),
    "base": lambda kept: Quantity(kept["typed"], kept["unit"], kept["base"]),
    "utc": _moment,
    "date": lambda kept: date.fromisoformat(kept["date"]),
    "many": lambda kept: tuple(decode(part) for part in kept["many"]),
}


def decode(kept: Json) -> Any:
    """The value that `encode` wrote; a shape written by a newer version comes back as it stands, untouched."""
    if isinstance(kept, dict):
        for mark, reader in _READERS.items():
            if mark in kept:
                return reader(kept)
    return kept
