"""Whose picture it is: the name the person is called by, the shape that goes with it, and who wrote a thing down."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from forms.answers import every
from forms.chart import Chart
from forms.people import InfantIdentity, ParentIdentity
from forms.pictures.drawing import Ink
from forms.practice import Practitioner

__all__ = ["TAG_INKS", "TagShape", "Whose", "author_of", "called", "infants_of", "tag_of", "whose"]


class TagShape(StrEnum):
    """The shape that goes with a person's name: four for babies, a cross for a parent."""

    CIRCLE = "circle"
    SQUARE = "square"
    TRIANGLE = "triangle"
    DIAMOND = "diamond"
    PARENT = "parent"


TAG_INKS: Mapping[TagShape, Ink] = MappingProxyType({
    TagShape.CIRCLE: Ink.ELDER,
    TagShape.SQUARE: Ink.WOAD,
    TagShape.TRIANGLE: Ink.ALDER,
    TagShape.DIAMOND: Ink.WELD,
    TagShape.PARENT: Ink.INK,
})  # fmt: skip
"""The colour of each shape, which never speaks alone."""


@dataclass(frozen=True, slots=True)
class Whose:
    """Whose growth it is: the name, the tag's shape, and who a practitioner's id stands for ("" for nobody known)."""

    name: str
    tag: TagShape
    author: Callable[[str], str]

    @property
    def own(self) -> str:
        """The name as an owner: "Ida’s"."""
        return f"{self.name}’s"


def called(chart: Chart, person: str) -> str:
    """The name this person is called by, or what stands in for it while none is written."""
    entry = chart.by_id(person)
    identity: Any = entry.answers if entry is not None else None
    for field in ("called_name", "full_name", "legal_name"):
        value = getattr(identity, field, None)
        if isinstance(value, str) and value.strip():
            return value.strip().split()[0] if field == "full_name" else value.strip()
    return "Baby" if isinstance(identity, InfantIdentity) else "Parent"


def infants_of(chart: Chart) -> tuple[str, ...]:
    """Ids of the family's babies, in birth order where known."""
    found = chart.all(InfantIdentity)
    order = {e.id: e.answers.birth_order if isinstance(e.answers.birth_order, int) else 99 for e in found}
    return tuple(sorted(order, key=lambda one: order[one]))


def tag_of(chart: Chart, person: str) -> TagShape:
    """The person's shape: a cross for a parent, a baby's own once it is chosen, else the next free one."""
    if any(entry.id == person for entry in chart.all(ParentIdentity)):
        return TagShape.PARENT
    shapes = [shape for shape in TagShape if shape is not TagShape.PARENT]
    chosen = {one: _chosen(chart, one) for one in infants_of(chart)}
    own = chosen.get(person)
    if own is not None:
        return own
    free = [shape for shape in shapes if shape not in chosen.values()] or shapes
    waiting = [one for one in chosen if chosen[one] is None]
    return free[waiting.index(person) % len(free)] if person in waiting else free[0]


def _chosen(chart: Chart, baby: str) -> TagShape | None:
    kept = chart.person(InfantIdentity, baby).tag_shape
    return TagShape(kept) if isinstance(kept, str) and kept in {str(shape) for shape in TagShape} else None


def author_of(chart: Chart, practitioner: str) -> str:
    """The name of a practitioner; "" for one the practice does not list."""
    names = every(chart.person(Practitioner, practitioner).full_name)
    return names[0] if names else ""


def whose(chart: Chart, person: str) -> Whose:
    """The person as a picture names them."""
    return Whose(called(chart, person), tag_of(chart, person), lambda one: author_of(chart, one))
