"""What a worked-out figure is when it cannot be worked out: the reason in words, and whether a conflict is to blame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

from forms.answers import Conflicted, Given, known

__all__ = ["NoFigure", "one"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class NoFigure:
    """No figure: `why` says in a few words what is missing. `unresolved`: two values stand for one of its inputs."""

    why: str
    unresolved: bool = False


def one(given: Given[T], label: str) -> T | NoFigure:
    """The one value of an answer, or why there is none; a conflict is never settled here."""
    if isinstance(given, Conflicted):
        return NoFigure(f"unresolved: two values stand for the {label}", unresolved=True)
    value: Any = known(given)
    return NoFigure(f"the {label} is not known") if value is None else value
