"""What a plot shows, as plain figures and words: its ends, ticks, lines, levels and points."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from forms.pictures.whose import TagShape

__all__ = ["Dot", "Level", "Line", "Mark", "Picture", "Tick", "Weave"]


class Dot(Enum):
    """The shape of a point: where its figure is known from, and whether another one stands beside it."""

    FULL = "full"
    RING = "ring"
    PAGE = "page"
    EYED = "eyed"  # a ring with a dot in it
    CROSS = "cross"
    NOTCHED = "notched"  # unresolved, as the moons show it
    BAR = "bar"  # from one time to another


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis and its words."""

    at: float
    words: str


class Weave(Enum):
    """How a line is drawn."""

    STRONG = "strong"
    FINE = "fine"
    DASHED = "dashed"


@dataclass(frozen=True, slots=True)
class Line:
    """A line through (x, y), named at its right end."""

    at: tuple[tuple[float, float], ...]
    words: str
    weave: Weave = Weave.FINE


@dataclass(frozen=True, slots=True)
class Level:
    """A line across at one height, with words on it that say whose it is. `watch`: past it something is asked for."""

    y: float
    words: str
    watch: bool = True


@dataclass(frozen=True, slots=True)
class Mark:
    """One point. `words` are its whole figures, shown and spoken when it is stepped to; `label` a few beside it.

    `y` is None where there is no figure. `span` is from when to when a BAR reaches; `thin` is one laid over others.
    `group` names points of which only one can hold: they are tied to each other.
    """

    x: float
    y: float | None
    dot: Dot
    words: str
    label: str = ""
    span: tuple[float, float] | None = None
    group: str = ""
    thin: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """One plot, from `x[0]` to `x[1]` along the foot and from `y[0]` up to `y[1]`.

    `foot` and `head` say what the foot and the names of the lines are. `traces` hold the places of the marks that one
    line joins; `upright` is a place along the foot where a line stands; with `zero` the foot's line stands at 0.
    """

    name: str
    summary: str
    x: tuple[float, float]
    y: tuple[float, float]
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    foot: str
    marks: tuple[Mark, ...]
    lines: tuple[Line, ...] = ()
    levels: tuple[Level, ...] = ()
    traces: tuple[tuple[int, ...], ...] = ()
    tag: TagShape = TagShape.CIRCLE
    upright: float | None = None
    head: str = ""
    zero: bool = False
