"""The vocabulary of a picture: lines, areas and words in millimetres, a role for each colour, and a table beside it.

x grows to the right and y downward from the upper left corner. A picture knows nothing of pixels, points or fonts: the
window and the papers draw the same list. Nothing in it hangs on colour alone: areas differ by their filling, lines by
their weave, points by their shape. `row` ties a mark to the row of the table twin that says the same in words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import cos, pi, sin
from typing import TypeAlias

__all__ = [
    "Anchor", "Area", "Drawing", "Filling", "Ink", "Line", "Part", "Step", "Table", "Weave", "Word", "arc", "box",
    "circle", "rounded", "shape",
]  # fmt: skip


class Ink(StrEnum):
    """What a colour is for: the names of the window's own roles. Papers print them as black and greys."""

    INK = "ink"
    SOFT = "soft_ink"
    EDGE = "edge"
    ELDER = "elder"
    WOAD = "woad"
    WELD = "weld"
    MADDER = "madder"  # urgent, and nothing else
    ALDER = "alder"
    CARD = "card"
    WELL = "well"
    ON_FILL = "on_fill"


class Filling(StrEnum):
    """How an area is filled; each can be told from the others without colour."""

    NONE = "none"
    SOLID = "solid"
    LIGHT = "light"  # a tint of its ink
    HATCH = "hatch"
    CROSS = "cross"
    DOTS = "dots"


class Weave(StrEnum):
    """How a line is drawn."""

    WHOLE = "whole"
    DASHED = "dashed"
    DOTTED = "dotted"


class Anchor(StrEnum):
    """Which end of a word stands at its x."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


Step: TypeAlias = tuple[float, ...]
"""Part of an outline, in mm: (x, y) goes straight there (the first one begins), six numbers are a cubic curve to the
last two, and () closes the figure; what follows begins another."""


@dataclass(frozen=True, slots=True)
class Line:
    """A stroke along `steps`, `wide` mm across."""

    steps: tuple[Step, ...]
    ink: Ink = Ink.INK
    wide: float = 0.35
    weave: Weave = Weave.WHOLE
    row: int | None = None


@dataclass(frozen=True, slots=True)
class Area:
    """A closed outline, filled; `edge` mm across if it has an edge (0: none)."""

    steps: tuple[Step, ...]
    ink: Ink = Ink.INK
    filling: Filling = Filling.SOLID
    edge: float = 0.0
    row: int | None = None


@dataclass(frozen=True, slots=True)
class Word:
    """Words on one line, their foot at (x, y); `tall` is the type size in mm (4.2 mm is 12 pt)."""

    x: float
    y: float
    text: str
    tall: float = 3.7
    ink: Ink = Ink.INK
    anchor: Anchor = Anchor.START
    strong: bool = False
    row: int | None = None


Part: TypeAlias = Line | Area | Word


@dataclass(frozen=True, slots=True)
class Table:
    """The twin of a picture: the same figures in rows of words. `columns` are the headings."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """One picture, drawn from the first part to the last.

    `title` says what it is, `sentence` what it shows, `wide` and `tall` are mm, `table` is its twin, `sources` are the
    sources of every clinical figure in it. A picture with nothing to show has no parts and a sentence that says so.
    """

    title: str
    sentence: str
    wide: float
    tall: float
    parts: tuple[Part, ...]
    table: Table
    sources: tuple[str, ...] = ()

    def words(self) -> Iterator[str]:
        """Every word in it, for a check that a typeface has its letters."""
        yield from (part.text for part in self.parts if isinstance(part, Word))


def shape(*corners: tuple[float, float]) -> tuple[Step, ...]:
    """A closed figure with straight sides."""
    return (*corners, ())


def box(left: float, top: float, wide: float, tall: float) -> tuple[Step, ...]:
    """A rectangle."""
    return shape((left, top), (left + wide, top), (left + wide, top + tall), (left, top + tall))


def arc(x: float, y: float, radius: float, begin: float, share: float) -> tuple[Step, ...]:
    """Part of a circle, clockwise: `begin` and `share` in turns from the top. It begins with its first point."""
    pieces = max(1, int(abs(share) * 8) + 1)
    bend = 4 / 3 * (1 - cos(share * pi / pieces)) / sin(share * pi / pieces) if share else 0.0

    def at(turn: float) -> tuple[float, float]:
        return sin(2 * pi * turn), -cos(2 * pi * turn)

    steps: list[Step] = [(x + radius * at(begin)[0], y + radius * at(begin)[1])]
    for piece in range(pieces):
        (sx, sy), (ex, ey) = at(begin + share * piece / pieces), at(begin + share * (piece + 1) / pieces)
        steps.append((
            x + radius * (sx - bend * sy), y + radius * (sy + bend * sx),
            x + radius * (ex + bend * ey), y + radius * (ey - bend * ex),
            x + radius * ex, y + radius * ey,
        ))  # fmt: skip
    return tuple(steps)


def circle(x: float, y: float, radius: float) -> tuple[Step, ...]:
    """A whole circle."""
    return (*arc(x, y, radius, 0, 1), ())


def rounded(left: float, top: float, wide: float, tall: float, radius: float) -> tuple[Step, ...]:
    """A rectangle with eased corners."""
    r, right, foot = min(radius, wide / 2, tall / 2), left + wide, top + tall
    return (
        (left, top + r), *arc(left + r, top + r, r, 0.75, 0.25)[1:],
        (right - r, top), *arc(right - r, top + r, r, 0, 0.25)[1:],
        (right, foot - r), *arc(right - r, foot - r, r, 0.25, 0.25)[1:],
        (left + r, foot), *arc(left + r, foot - r, r, 0.5, 0.25)[1:],
        (),
    )  # fmt: skip
