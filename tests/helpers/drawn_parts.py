"""Reading a drawing back: where its parts lie, and whether its words stay inside it and off each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from forms.pictures.drawing import Anchor, Area, Drawing, Line, Part, Step, Word
from forms.pictures.measure import wide_of

__all__ = ["box_of", "middle_of", "overlaps", "parts_of", "span_of", "words_outside"]

Span = tuple[float, float, float, float]


def box_of(steps: tuple[Step, ...]) -> Span:
    """Left, top, right and foot of the points an outline goes through."""
    ends = [step[-2:] for step in steps if step]
    return (min(x for x, _ in ends), min(y for _, y in ends), max(x for x, _ in ends), max(y for _, y in ends))


def span_of(part: Part) -> Span:
    """The same of any part; a word is as wide as it may be at most."""
    if not isinstance(part, Word):
        return box_of(part.steps)
    wide = wide_of(part.text, part.tall, strong=part.strong)
    left = part.x - {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[part.anchor]
    return left, part.y - part.tall * 0.75, left + wide, part.y + part.tall * 0.2


def middle_of(part: Area | Line) -> tuple[float, float]:
    """The middle of an outline."""
    left, top, right, foot = box_of(part.steps)
    return (left + right) / 2, (top + foot) / 2


def parts_of(drawing: Drawing, row: int) -> list[Part]:
    """The parts that a row of the table tells of."""
    return [part for part in drawing.parts if part.row == row]


def words_outside(drawing: Drawing) -> list[str]:
    """Words that reach over an edge of the drawing."""
    spans = [(part.text, span_of(part)) for part in drawing.parts if isinstance(part, Word)]
    return [
        words
        for words, (left, top, right, foot) in spans
        if left < -0.1 or right > drawing.wide + 0.1 or top < -0.1 or foot > drawing.tall + 0.1
    ]


def overlaps(drawing: Drawing) -> Iterator[tuple[str, str]]:
    """Pairs of words that lie on each other."""
    words = [part for part in drawing.parts if isinstance(part, Word)]
    for one, other in combinations(words, 2):
        (left, top, right, foot), (l2, t2, r2, f2) = span_of(one), span_of(other)
        if left < r2 and l2 < right and top < f2 and t2 < foot:
            yield one.text, other.text
