"""Words over the moments they name: each on a stem, higher up where the next one stands too near."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from forms.pictures.drawing import Area, Ink, Line, Part, Word, box
from forms.pictures.measure import wide_of

__all__ = ["ROW", "Named", "Occasion", "named_over", "stem_parts"]

TALL: Final = 3.3
ROW: Final = 4.3
"""mm from a row of words to the next."""
MOST: Final = 3  # rows; a word that would need a fourth is left to the table
APART: Final = 1.2


@dataclass(frozen=True, slots=True)
class Occasion:
    """A moment with its word, at x mm, told of in a row of the table; `told`: from memory."""

    x: float
    word: str
    row: int | None = None
    told: bool = False


@dataclass(frozen=True, slots=True)
class Named:
    """A moment whose word stands in a row, counted upward from 0; None where it found no room."""

    moment: Occasion
    word: str
    level: int | None
    left: float


def _runs(moments: Sequence[Occasion]) -> Iterator[list[Occasion]]:
    """Occasion of one kind, so near each other that one word stands for them."""
    run: list[Occasion] = []
    for moment in moments:
        near = run and run[-1].word == moment.word and moment.x - run[0].x < wide_of(moment.word, TALL) + 6
        if run and not near:
            yield run
            run = []
        run.append(moment)
    if run:
        yield run


def named_over(moments: Sequence[Occasion], right: float) -> tuple[Named, ...]:
    """Where each moment's word stands, given how far words may reach. One word, with a number, names a whole run."""
    found: list[Named] = []
    placed: list[tuple[float, int]] = []
    ordered = sorted(moments, key=lambda one: one.x)
    for run in reversed(list(_runs(ordered))):
        first = run[0]
        word = first.word if len(run) == 1 else f"{first.word} ×{len(run)}"
        wide = wide_of(word, TALL)
        left = first.x + 0.7 if first.x + 0.7 + wide <= right else max(first.x - 0.7 - wide, 0.0)
        over = [level for x, level in placed if x < left + wide + APART]
        level = max(over, default=-1) + 1
        placed += [(min(moment.x, left), level if level < MOST else 0) for moment in run]
        found += [Named(moment, "", 0 if level < MOST else None, left) for moment in run[1:]]
        found.append(Named(first, word if level < MOST else "", level if level < MOST else None, left))
    return tuple(reversed(found))


def stem_parts(named: Sequence[Named], foot: float) -> Iterator[Part]:
    """The stems up from `foot`, then the words, each on a slip of card so that no stem runs through one."""
    for one in named:
        level = one.level if one.level is not None else 0
        top = foot - (level + 1) * ROW + 1.0 if one.word else foot - 1.8
        x, row = one.moment.x, one.moment.row
        if one.moment.told:
            yield Area(box(x - 0.45, foot - 1.8, 0.9, 1.8), Ink.CARD, row=row)
            yield Line((*box(x - 0.45, foot - 1.8, 0.9, 1.8),), Ink.INK, 0.22, row=row)
            yield Line(((x, top), (x, foot - 1.8)), Ink.SOFT, 0.26, row=row)
        else:
            yield Line(((x, top), (x, foot)), Ink.INK, 0.35, row=row)
    for one in named:
        if one.word and one.level is not None:
            base = foot - one.level * ROW - 1.1
            yield Area(box(one.left, base - TALL * 0.78, wide_of(one.word, TALL), TALL), Ink.CARD)
            yield Word(one.left, base, one.word, TALL, Ink.INK, row=one.moment.row)
