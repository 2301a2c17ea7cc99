"""A line of the finish list: the place that still needs something, what is the matter, and how much it matters."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from forms.ask import Path
from forms.chart import Place

__all__ = ["Blank", "Level", "Step", "Why"]


class Step(StrEnum):
    """The moments of a visit, in the order of its thread."""

    ARRIVE = "arrive"
    STORY = "story"
    WEIGH = "weigh"
    FEED = "feed"
    LOOK = "look"
    PLAN = "plan"
    LEAVE = "leave"


class Level(StrEnum):
    """Whether a blank keeps the note from being signed."""

    MUST = "must"
    SHOULD = "should"


class Why(StrEnum):
    """What is the matter with a place on the list."""

    BLANK = "blank"  # not answered
    MISSING = "missing"  # a whole entry is missing
    CONFLICT = "conflict"  # more than one value stands
    WRONG = "wrong"  # answered, but it cannot be so at this kind of visit
    UNFILED = "unfiled"  # a jot that stands in no form
    UNFILLED = "unfilled"  # words that still hold a phrase's blank
    CARRIED = "carried"  # brought forward from an earlier visit and not gone through today


@dataclass(frozen=True, slots=True)
class Blank:
    """One line of the finish list.

    `entry` is the id of the entry, begun or not; None for an entry of a list that is still to be begun. `path` is None
    when the whole entry is meant. `label` is the question, or a sentence; it never carries an answer.
    """

    place: Place
    entry: str | None
    path: Path | None
    step: Step
    level: Level
    why: Why
    label: str

    @property
    def form(self) -> str:
        """The name of the form."""
        return self.place.form

    @property
    def subjects(self) -> tuple[str, ...]:
        """The people it is about: one, a feeder and a baby, or nobody in particular."""
        return self.place.subjects
