"""The key of a picture: a sign and what it means, side by side as long as there is room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

from forms.answers import Side
from forms.pictures.drawing import Area, Filling, Ink, Line, Part, Step, Weave, Word, arc, box
from forms.pictures.measure import wide_of, wrapped

__all__ = ["Sign", "dash", "half_moon", "key", "swatch"]

Sign: TypeAlias = Callable[[float, float], tuple[Part, ...]]
"""Draws a sign of 6 mm around a middle (x, y)."""

TALL = 3.7
_ROW = 5.8
_SIGN = 6.0
_APART = 5.0
_EDGE = 0.4  # mm, so that the edge of a sign is not cut


def swatch(ink: Ink, filling: Filling) -> Sign:
    """A patch of a filling."""
    return lambda x, y: (Area(box(x - 3, y - 1.6, 6, 3.2), ink, filling, edge=0.3),)


def dash(ink: Ink, wide: float, weave: Weave = Weave.WHOLE) -> Sign:
    """A stretch of a line."""
    return lambda x, y: (Line(((x - 3, y), (x + 3, y)), ink, wide, weave),)


def half_moon(x: float, y: float, side: Side, radius: float, *, apart: float = 0.15) -> tuple[Step, ...]:
    """A half disc whose flat side stands at x: the person's own left to the left of it, the right to the right."""
    left = side is Side.LEFT
    return (*arc(x - apart if left else x + apart, y, radius, 0.5 if left else 0.0, 0.5), ())


def key(items: Sequence[tuple[Sign, str]], left: float, top: float, wide: float) -> tuple[tuple[Part, ...], float]:
    """The signs with their words from `top` on, and the height they take."""
    parts: list[Part] = []
    left, wide = left + _EDGE, wide - _EDGE
    x, y = left, top
    for sign, words in items:
        lines = wrapped(words, wide - _SIGN - 2, TALL)
        needs = _SIGN + 2 + max(wide_of(line, TALL) for line in lines)
        if x > left and x + needs > left + wide:
            x, y = left, y + _ROW
        parts += sign(x + _SIGN / 2, y + _ROW / 2)
        for place, line in enumerate(lines):
            parts.append(Word(x + _SIGN + 2, y + _ROW / 2 + TALL * 0.36 + place * TALL * 1.3, line, TALL, Ink.SOFT))
        x += needs + _APART
        if len(lines) > 1:
            x, y = left, y + _ROW + (len(lines) - 1) * TALL * 1.3
    return tuple(parts), (y - top) + (_ROW if x > left else 0.0)
