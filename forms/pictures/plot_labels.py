"""Where the figures of a plot stand in millimetres, and where words find room among its points and lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Final

from forms.pictures.dots import SIDE
from forms.pictures.measure import wide_of
from forms.pictures.plot import Dot, Level, Line, Mark, Picture

__all__ = ["FINE", "GAP", "LEAD", "TALL", "Box", "Field", "Label", "field_of", "labels", "level_box", "line_names"]

TALL: Final = 3.7  # mm: the type of a plot
LEAD: Final = 4.6  # mm from line to line
FINE: Final = 1.05
GAP: Final = 2.1
BAR: Final = 2.1  # mm: how thick a bar is
EDGE_OF_THIN: Final = 0.53  # mm: a bar laid over others, or one without a figure

POINT: Final = 100  # what covering a point weighs against covering a stretch of a line

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, in mm."""

    left: float
    top: float
    wide: float
    tall: float

    @property
    def right(self) -> float:
        """Its right side."""
        return self.left + self.wide

    @property
    def foot(self) -> float:
        """Its lower side."""
        return self.top + self.tall

    def meets(self, other: Box) -> bool:
        """Whether they overlap."""
        return self.left < other.right and other.left < self.right and self.top < other.foot and other.top < self.foot

    def holds(self, at: Spot, near: float = 0.0) -> bool:
        """Whether a place lies in it, or so near."""
        return self.left - near <= at[0] <= self.right + near and self.top - near <= at[1] <= self.foot + near

    def away(self, at: Spot) -> float:
        """How far a place is from its nearest edge, in mm; 0 within."""
        return hypot(max(self.left - at[0], 0.0, at[0] - self.right), max(self.top - at[1], 0.0, at[1] - self.foot))

    def crossed(self, one: Spot, other: Spot) -> bool:
        """Whether the straight line between two places passes through it."""
        begin, end = 0.0, 1.0
        for way, low, high in ((0, self.left, self.right), (1, self.top, self.foot)):
            run = other[way] - one[way]
            if not run:
                if not low <= one[way] <= high:
                    return False
                continue
            near, far = sorted(((low - one[way]) / run, (high - one[way]) / run))
            begin, end = max(begin, near), min(end, far)
        return begin <= end


@dataclass(frozen=True, slots=True)
class Field:
    """Where the figures of a picture stand: inside the words of both axes and the names of the lines."""

    picture: Picture
    box: Box
    wide: float

    def x(self, at: float) -> float:
        """The place of a figure along the foot."""
        low, high = self.picture.x
        return self.box.left + (at - low) / (high - low) * self.box.wide

    def y(self, at: float) -> float:
        """The place of a figure up the side."""
        low, high = self.picture.y
        return self.box.foot - (at - low) / (high - low) * self.box.tall

    def of(self, mark: Mark) -> Spot:
        """A mark's middle; one without a figure stands just over the foot."""
        return self.x(mark.x), self.box.foot - 3.2 if mark.y is None else self.y(mark.y)

    def bar(self, mark: Mark) -> Box | None:
        """What a mark that reaches from one time to another covers; None for a point."""
        if mark.span is None:
            return None
        left, right = (self.x(end) for end in mark.span)
        tall = EDGE_OF_THIN if mark.thin or mark.y is None else BAR
        return Box(left, self.of(mark)[1] - tall / 2, max(right - left, 0.8), tall)


def field_of(picture: Picture, wide: float, tall: float) -> Field:
    """The field of a picture that is so wide and so tall in all."""
    left = max((wide_of(tick.words, TALL) for tick in picture.y_ticks), default=0.0) + GAP + SIDE / 2 + FINE
    names = [wide_of(line.words, TALL, strong=True) for line in picture.lines]
    right, above, below = max([*names, SIDE / 2]) + GAP, LEAD + GAP, 2.5 * LEAD + GAP
    return Field(picture, Box(left, above, wide - left - right, tall - above - below), wide)


def line_names(field: Field) -> Iterator[tuple[Line, float]]:
    """Each line with the height of its name: at its right end, or as far from it as the names need."""
    found = sorted(((line, field.y(line.at[-1][1])) for line in field.picture.lines if line.at), key=lambda of: of[1])
    heights = [height for _, height in found]
    for place in range(1, len(heights)):
        heights[place] = max(heights[place], heights[place - 1] + LEAD)
    if heights and heights[-1] > field.box.foot:
        for place in range(len(heights) - 1, -1, -1):
            limit = field.box.foot if place == len(heights) - 1 else heights[place + 1] - LEAD
            heights[place] = min(heights[place], limit)
    yield from zip((line for line, _ in found), heights, strict=True)


def level_box(field: Field, level: Level) -> Box:
    """Where the words of a level stand: on it, at its right end, or where fewer points are in their way."""
    wide, top = wide_of(level.words, TALL), field.y(level.y) - LEAD - 0.5
    room = field.box.wide - wide
    places = [Box(field.box.left + room * part, top, wide, LEAD) for part in (1, 0, 0.5)]
    return min(places, key=lambda box: _covered(field, box, None))


@dataclass(frozen=True, slots=True)
class Label:
    """A few words beside the mark at `place`."""

    place: int
    box: Box


def labels(field: Field) -> Iterator[Label]:
    """A few words beside the marks that have some, each where it covers least.

    The newest comes first, then the lowest; one for which no place is free, or only one nearer to another mark than
    to its own, is left to the table. No shape stands before the words: it would be read as one more point.
    """
    marks = field.picture.marks
    labelled = [place for place in range(len(marks) - 1, -1, -1) if marks[place].label]
    heights = [y for place in labelled if (y := marks[place].y) is not None]
    newest, lowest = labelled[:1], min(heights, default=0.0)
    labelled.sort(key=lambda place: (marks[place].y is None, place not in newest, marks[place].y != lowest))
    taken = [level_box(field, level) for level in field.picture.levels]
    for place in labelled:
        mark = marks[place]
        box = _free(field, mark, wide_of(mark.label, TALL, strong=True) + 2 * FINE, taken)
        if box is not None:
            taken.append(box)
            yield Label(place, box)


def _free(field: Field, mark: Mark, wide: float, taken: Sequence[Box]) -> Box | None:
    """Where a label so wide covers no other label and no point, and the least of lines; None for nowhere."""
    x, y = field.of(mark)
    off = 3.2 if mark.dot is Dot.BAR else SIDE / 2 + FINE
    limit = field.box.right if field.picture.lines else field.wide
    best: tuple[int, Box] | None = None
    for right, down in ((0, -1), (0, 1), (1, -1), (1, 1), (-1, 1), (-1, -1)):
        left = min(max(x - wide / 2 + right * wide / 2, field.box.left), limit - wide)
        box = Box(left, y + down * (off + LEAD / 2) - LEAD / 2, wide, LEAD)
        if box.top < 0 or box.foot > field.box.foot or any(box.meets(one) for one in taken):
            continue
        if _nearer_to_another(field, box, mark):
            continue
        covered = _covered(field, box, mark)
        if covered < POINT and (best is None or covered < best[0]):
            best = covered, box
    return best[1] if best is not None else None


def _nearer_to_another(field: Field, box: Box, mark: Mark) -> bool:
    """Whether words there would be read as those of another point, in which the mark's own rivals are not counted."""
    own = box.away(field.of(mark))
    return any(
        other is not mark and other.span is None and not (mark.group and other.group == mark.group)
        and box.away(field.of(other)) <= own
        for other in field.picture.marks
    )  # fmt: skip


def _covered(field: Field, box: Box, mark: Mark | None) -> int:
    """How many points, each weighing POINT, stretches of the joining lines, and curves a slip would cover."""
    marks = field.picture.marks
    others = [other for other in marks if other is not mark]
    points = sum(box.holds(field.of(other), SIDE / 2) for other in others)
    points += sum(bar is not None and box.meets(bar) for bar in map(field.bar, others))
    stretches = sum(
        box.crossed(field.of(marks[one]), field.of(marks[other]))
        for trace in field.picture.traces
        for one, other in pairwise(trace)
    )
    curves = sum(
        any(box.crossed(one, other) for one, other in pairwise((field.x(x), field.y(y)) for x, y in line.at))
        for line in field.picture.lines
    )
    return POINT * points + stretches + curves
