"""A weight typed for the wrong twin: moved to the other, or swapped with the other's, with the reason on both sides.

Nothing is overwritten: each weight is struck out where it was, saying where it went, and stands anew under the other
baby, saying where it came from. All of it is one step and is taken back as one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from desktop.open_chart import OpenChart
from desktop.sheets.persons import full_name
from forms.answers import Conflicted, Quantity
from forms.ask import Path, paths
from forms.chart import Place
from forms.doubts import Doubt
from forms.form import value_at
from forms.units import alone
from forms.weight import WeightReading, is_around_feed
from storage.changes import Begin, Change, Put, StrikeOut

__all__ = ["Move", "move_for"]

_STAY = frozenset({"kept_after_asking", "moved_here"})
"""What was asked and answered about the baby it was typed for does not go with the weight."""


@dataclass(frozen=True, slots=True)
class _Step:
    """One weight and the baby it goes to."""

    entity: str
    to: str


@dataclass(frozen=True, slots=True)
class Move:
    """One weight that can be moved to its twin, or two that can change places. `words` are for the key that does it."""

    home: OpenChart
    words: str
    steps: tuple[_Step, ...]

    def go(self, why: str, then: Callable[[], None]) -> None:
        """Write the move as one step; `why` is hers and may be empty. What is being typed is written first."""
        home = self.home
        home.save()
        changes = tuple(change for step in self.steps for change in _changes(home, step, why))
        home.lane.run(lambda store: store.write(changes, author=home.author), lambda _done: then())


def _changes(home: OpenChart, step: _Step, why: str) -> Iterator[Change]:
    binding = home.binding(WeightReading, entity=step.entity)
    place, answers = binding.draft.place, binding.answers()
    said = f": {why}" if why else ""
    new, source, target = home.ids(), full_name(home, place.subjects[0]), full_name(home, step.to)
    yield Begin(new, Place(place.form, place.family, place.visit, (step.to,)))
    for path in paths(WeightReading):
        value = value_at(answers, path)
        if value is not None and path.field not in _STAY:
            yield Put(new, path, value)
    yield Put(new, Path("moved_here"), f"Typed for {source}, moved to {target} as theirs{said}.")
    yield StrikeOut(step.entity, f"Typed for {source}, moved to {target}{said}.")


def _movable(home: OpenChart, entity: str) -> bool:
    """Whether a weight may leave its baby: not signed, not in conflict, and no part of a feed, which is a pair's."""
    binding = home.binding(WeightReading, entity=entity)
    answers = binding.answers()
    assert isinstance(answers, WeightReading)
    torn = any(isinstance(value_at(answers, path), Conflicted) for path in paths(WeightReading))
    return not (binding.sealed() or torn or is_around_feed(answers))


def move_for(home: OpenChart, entity: str, doubt: Doubt) -> Move | None:
    """The move that a doubt about a twin's weight offers, or None where there is none to offer."""
    if not doubt.twin or not _movable(home, entity):
        return None
    name, own = full_name(home, doubt.twin), home.binding(WeightReading, entity=entity).draft.place.subjects[0]
    there = home.chart.by_id(doubt.partner) if doubt.partner else None
    if there is None:
        return Move(home, f"Move it to {name}", (_Step(entity, doubt.twin),))
    weight = there.answers.weight if isinstance(there.answers, WeightReading) else None
    if not _movable(home, there.id) or not isinstance(weight, Quantity):
        return None
    words = f"Swap it with {name}’s {alone(weight.base, weight.unit)}"
    return Move(home, words, (_Step(entity, doubt.twin), _Step(there.id, own)))
