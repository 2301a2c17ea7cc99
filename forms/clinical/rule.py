"""What an urgent rule is: a sign, its level on the trade's action ladder, whom to contact now, and its source.

The ladder (trade usage, from memory, M): EMERGENCY call the emergency number or go now; SAME DAY speak to the primary
provider before leaving or the same day and send the written report; PROMPT seen by the provider within 24 to 48 hours;
FOLLOW-UP seen again by the consultant within 24 to 72 hours; NOTE record it. A rule prompts; the consultant decides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from types import MappingProxyType
from typing import Generic, TypeVar

__all__ = ["Level", "Prompt", "Rule"]

E = TypeVar("E")


class Level(IntEnum):
    """The rungs of the action ladder, the highest most urgent."""

    NOTE = 1
    FOLLOW_UP = 2
    PROMPT = 3
    SAME_DAY = 4
    EMERGENCY = 5

    @property
    def words(self) -> str:
        """How the level is said."""
        return _WORDS[self]


_WORDS: Mapping[Level, str] = MappingProxyType({
    Level.NOTE: "Note",
    Level.FOLLOW_UP: "See again in 24 to 72 hours",
    Level.PROMPT: "Provider within 24 to 48 hours",
    Level.SAME_DAY: "Same day",
    Level.EMERGENCY: "Emergency",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rule(Generic[E]):
    """One sign of the ladder.

    `seen` says in words what was seen, or None. `mark` tells how the source was read: S read in the source, S2 as
    quoted by somebody else, C worked out, M from memory, P house rule. `fields` are all the questions it looks at, each
    "form.field", but for the time of the visit; `thresholds` names those of its limits that a practice may set (fields
    of `forms.thresholds`). `over` names weaker rules of the same sign that are not listed beside this one. `also` names
    rules whose contact covers this one too. `by_age`: the rule depends on the baby's age. `private`: rests on answers
    about mood or safety, and stands on no paper the family shares.
    """

    id: str
    level: Level
    seen: Callable[[E], str | None]
    why: str
    contact: str
    source: str
    mark: str
    fields: tuple[str, ...] = ()
    thresholds: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    by_age: bool = False
    private: bool = False

    def __post_init__(self) -> None:
        """Each question is named once, however many of the gathered ones share it."""
        object.__setattr__(self, "fields", tuple(dict.fromkeys(self.fields)))


@dataclass(frozen=True, slots=True)
class Prompt:
    """One rule that fired for one person, as it is shown: what was seen, why it matters, whom to contact, its source.

    `rule` is the rule's id, which an urgent contact or a closing names in `covers`. `stricter` says, when the age is
    not certain, that the stricter possibility was taken; `house` says which limits of the practice's own it rests on.
    Both are empty otherwise.
    """

    rule: str
    person: str
    about: str
    level: Level
    seen: str
    why: str
    contact: str
    source: str
    mark: str
    stricter: str = ""
    private: bool = False
    also: tuple[str, ...] = ()
    house: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """The person and the rule: one prompt of a visit."""
        return self.person, self.rule

    @property
    def urgent(self) -> bool:
        """Whether it keeps the note from being signed until something was done about it."""
        return self.level >= Level.SAME_DAY

    @property
    def text(self) -> str:
        """The whole prompt in words; it asks, and the consultant decides."""
        beside = "".join(f" {words}" for words in (self.stricter, self.house) if words)
        return (
            f"{self.level.words}: {self.seen}.{beside} {self.why} {self.contact} Source: {self.source} ({self.mark})."
        )
