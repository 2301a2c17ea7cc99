"""The sign of each kind of mark: a small shape of our own, told from the others without any colour, and its number."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from forms.pictures.drawing import Anchor, Area, Filling, Ink, Line, Part, Step, Weave, Word, box, circle, shape

__all__ = ["SIGN", "hollow", "number_at", "sign_of"]

SIGN: Final = 2.1
"""Half the height of a sign, in mm."""
_EDGE: Final = 0.45
_FINE: Final = 0.3
_TALL: Final = 3.9
_NUMBER: Final = (2.7, -1.2)

_Sign = Callable[[float, float], tuple[Part, ...]]


def _filled(steps: tuple[Step, ...], filling: Filling) -> tuple[Part, ...]:
    """A shape with the ground of the card under its filling, so that the outline's lines do not run through it."""
    return Area(steps, Ink.CARD), Area(steps, Ink.INK, filling, _EDGE)


def _disc(filling: Filling, radius: float = SIGN) -> _Sign:
    return lambda x, y: _filled(circle(x, y, radius), filling)


def _square(filling: Filling) -> _Sign:
    half = SIGN * 0.88
    return lambda x, y: _filled(box(x - half, y - half, 2 * half, 2 * half), filling)


def _diamond(filling: Filling) -> _Sign:
    half = SIGN * 1.2
    return lambda x, y: _filled(shape((x, y - half), (x + half, y), (x, y + half), (x - half, y)), filling)


def _peak(filling: Filling, way: int) -> _Sign:
    """A triangle, its tip up (1) or down (-1)."""
    half = SIGN * 1.1
    return lambda x, y: _filled(
        shape((x, y - way * half), (x + half, y + way * half * 0.8), (x - half, y + way * half * 0.8)), filling
    )


def _strokes(*lines: tuple[tuple[float, float], ...], wide: float = 0.6) -> _Sign:
    """Strokes through points, in shares of a sign's half height."""

    def drawn(x: float, y: float) -> tuple[Part, ...]:
        return tuple(Line(tuple((x + px * SIGN, y + py * SIGN) for px, py in line), Ink.INK, wide) for line in lines)

    return drawn


def _both(*signs: _Sign) -> _Sign:
    return lambda x, y: tuple(part for sign in signs for part in sign(x, y))


def _dot(x: float, y: float) -> tuple[Part, ...]:
    return (Area(circle(x, y, 0.6), Ink.INK),)


def _rash(x: float, y: float) -> tuple[Part, ...]:
    places = ((0.0, -1.5), (1.4, 0.9), (-1.4, 0.9))
    return tuple(Area(circle(x + px, y + py, 0.8), Ink.INK) for px, py in places)


def _unsaid(x: float, y: float) -> tuple[Part, ...]:
    return Area(circle(x, y, SIGN), Ink.CARD), Line(circle(x, y, SIGN), Ink.INK, _EDGE, Weave.DOTTED)


_SIGNS: Final[Mapping[str, _Sign]] = MappingProxyType({
    "crack": _strokes(((-0.5, -1.2), (0.35, -0.4), (-0.35, 0.4), (0.5, 1.2)), wide=0.7),
    "graze": _strokes(((-1.0, 0.6), (0.2, -1.0)), ((-0.5, 1.0), (0.7, -0.6)), ((0.0, 1.3), (1.1, -0.2))),
    "blister": _both(_disc(Filling.NONE), _dot),
    "open": _square(Filling.NONE),
    "scab": _square(Filling.CROSS),
    "crust": _square(Filling.DOTS),
    "bleeding": _peak(Filling.SOLID, -1),
    "colour": _disc(Filling.HATCH),
    "lump": _disc(Filling.SOLID),
    "swelling": _both(_disc(Filling.NONE, SIGN * 1.3), _disc(Filling.NONE, SIGN * 0.6)),
    "spot": _disc(Filling.NONE, SIGN * 0.6),
    "bleb": _both(_disc(Filling.NONE, SIGN * 0.6), _strokes(((-1.1, -1.1), (0.0, -1.5), (1.1, -1.1)), wide=_EDGE)),
    "tender": _strokes(((-1.0, -1.0), (1.0, 1.0)), ((1.0, -1.0), (-1.0, 1.0))),
    "frenulum": _strokes(((-1.1, -1.0), (1.1, -1.0)), ((0.0, -1.0), (0.0, 1.2))),
    "white_patch": _disc(Filling.DOTS),
    "sore": _peak(Filling.NONE, 1),
    "bruise": _disc(Filling.CROSS),
    "rash": _rash,
    "birth_mark": _diamond(Filling.HATCH),
    "scar": _strokes(((-1.3, 0.0), (1.3, 0.0)), ((-0.7, -0.6), (-0.7, 0.6)), ((0.0, -0.6), (0.0, 0.6)),
                     ((0.7, -0.6), (0.7, 0.6)), wide=_EDGE),
    "asymmetry": _strokes(((-1.0, -0.4), (1.0, -0.4)), ((-1.0, 0.4), (1.0, 0.4)), ((-0.5, 1.1), (0.5, -1.1)), wide=0.5),
    "other": _diamond(Filling.NONE),
})  # fmt: skip


def sign_of(kind: str | None) -> _Sign:
    """The sign of a kind of mark, as what draws it at a place in mm; a dotted ring for none and for two."""
    return _SIGNS.get(kind or "", _unsaid)


def hollow(x: float, y: float, row: int | None = None) -> tuple[Part, ...]:
    """One of two places that stand for the same mark: a wide dashed ring with nothing in it."""
    return (Line(circle(x, y, SIGN * 1.3), Ink.INK, _EDGE, Weave.DASHED, row),)


def number_at(x: float, y: float, number: int, wide: float, tall: float, under: int = 0) -> Word:
    """The number beside a sign, on its other side where the picture ends; `under` others that stand there already."""
    across, down = _NUMBER
    beyond = x + across + _TALL * 0.65 * len(str(number)) > wide
    anchor = Anchor.END if beyond else Anchor.START
    foot = min(max(y + down + under * _TALL, _TALL), tall)
    return Word(x - across if beyond else x + across, foot, str(number), _TALL, Ink.INK, anchor, strong=True)
