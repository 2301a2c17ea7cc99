"""Measures that a picture needs before anybody draws it: how wide words get at most, and the strokes of a filling.

A picture knows no typeface, so widths are counted by classes of letters, in ems, each at least as wide as in either of
the bundled faces; a test holds them against both painters.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil, floor
from types import MappingProxyType
from typing import Final

from forms.pictures.drawing import Anchor, Filling, Ink, Weave, Word

__all__ = ["DASHES", "DOT", "Stroke", "dotted", "hatched", "paragraph", "wide_of", "wrapped"]

_EMS: Final = (
    ("'’|`;ijl.:,·", 0.30), (' !"()[]f{}-', 0.37), ("Irt_/\\", 0.44), ("aceksvxyzJLF*–", 0.555), ("0123456789+=", 0.64),
    ("wDGHNOQU#", 0.73), ("m&@MX", 0.85), ("W%", 0.97),
)  # fmt: skip
_USUAL: Final = 0.6
_CAPITAL: Final = 0.72
_STRONG: Final = 1.08

APART: Final = 1.7  # mm between the strokes of a filling, and between its dots
DOT: Final = 0.42  # mm: the radius of a dot of a filling

DASHES: Final[Mapping[Weave, tuple[float, float]]] = MappingProxyType(
    {Weave.DASHED: (2.4, 1.5), Weave.DOTTED: (0.1, 1.3)}
)
"""mm on and mm off along a line; dashes have flat ends, dots are round."""

Stroke = tuple[float, float, float, float]
"""From (x, y) to (x, y), in mm."""


def _em(letter: str) -> float:
    for letters, wide in _EMS:
        if letter in letters:
            return wide
    return _CAPITAL if letter.isupper() or ord(letter) > 0x17F else _USUAL


def wide_of(text: str, tall: float, *, strong: bool = False) -> float:
    """The width in mm that these words take at most, set `tall` mm high."""
    return sum(map(_em, text)) * tall * (_STRONG if strong else 1.0)


def wrapped(text: str, wide: float, tall: float, *, strong: bool = False) -> tuple[str, ...]:
    """The words in lines of at most `wide` mm; one word that alone is wider keeps a line of its own."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and wide_of(longer, tall, strong=strong) <= wide:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def paragraph(
    text: str, left: float, top: float, wide: float, *, tall: float = 3.7, ink: Ink = Ink.SOFT,
    anchor: Anchor = Anchor.START,
) -> tuple[tuple[Word, ...], float]:  # fmt: skip
    """Words in lines under `top`, and the height they take."""
    lines, lead = wrapped(text, wide, tall), tall * 1.32
    words = tuple(
        Word(left, top + tall * 0.95 + place * lead, line, tall, ink, anchor) for place, line in enumerate(lines)
    )
    return words, lead * len(lines)


def hatched(filling: Filling, left: float, top: float, right: float, foot: float) -> Iterator[Stroke]:
    """The strokes of HATCH or CROSS that pass through this box, the same net over the whole picture; else none."""
    if filling in (Filling.HATCH, Filling.CROSS):  # x + y = a number of steps
        for at in range(ceil((left + top) / (APART * 2**0.5)), floor((right + foot) / (APART * 2**0.5)) + 1):
            sum_ = at * APART * 2**0.5
            begin, end = max(left, sum_ - foot), min(right, sum_ - top)
            yield begin, sum_ - begin, end, sum_ - end
    if filling is Filling.CROSS:  # y - x = a number of steps
        for at in range(ceil((top - right) / (APART * 2**0.5)), floor((foot - left) / (APART * 2**0.5)) + 1):
            less = at * APART * 2**0.5
            begin, end = max(left, top - less), min(right, foot - less)
            yield begin, begin + less, end, end + less


def dotted(left: float, top: float, right: float, foot: float) -> Iterator[tuple[float, float]]:
    """The middles of the dots of DOTS that may touch this box: rows set off by half a step."""
    high = APART * 0.9
    for row in range(floor((top - DOT) / high), ceil((foot + DOT) / high) + 1):
        off = APART / 2 if row % 2 else 0.0
        for column in range(floor((left - DOT - off) / APART), ceil((right + DOT - off) / APART) + 1):
            yield column * APART + off, row * high
