"""How the picture of milk given another way is drawn: a bar of what is known, and signs for what is not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from forms.figure import NOTHING
from forms.pictures.drawing import Area, Drawing, Filling, Ink, Part, Table, Word, box, circle
from forms.pictures.keys import swatch
from forms.pictures.measure import wide_of, wrapped
from forms.units import alone

__all__ = [
    "COLUMNS", "MEASURED", "UNWRITTEN", "WHOLE_UNKNOWN", "Hours", "Piece", "draw_hours", "mm_per_mL",
]  # fmt: skip

COLUMNS: Final = ("Hours", "Milk", "How much")
MEASURED, WHOLE_UNKNOWN, UNWRITTEN = "measured", "unknown", "unwritten"
_LOOKS: Mapping[str, tuple[Ink, Filling]] = MappingProxyType({
    MEASURED: (Ink.ELDER, Filling.SOLID), "own": (Ink.ELDER, Filling.LIGHT), "donor": (Ink.WOAD, Filling.DOTS),
    "formula": (Ink.WOAD, Filling.HATCH), "mixed": (Ink.WOAD, Filling.CROSS), "other": (Ink.WOAD, Filling.LIGHT),
    "": (Ink.INK, Filling.NONE),
})  # fmt: skip
_BAR: Final = 10.0
_EDGE: Final = 0.4  # mm, so that the edge of a bar is not cut
_HEAD, _WORDS, _LEAD = 3.9, 3.7, 5.8
_SIGN: Final = 1.5  # mm: the radius of the sign of one feed


@dataclass(frozen=True, slots=True)
class Piece:
    """One part of the milk: a kind, its words, and its mL; None for feeds of which only their `count` is known."""

    kind: str
    words: str
    amount: int | None
    count: int = 0
    gap: str = ""

    @property
    def said(self) -> str:
        """How much, in words."""
        if self.gap:
            return self.gap
        if self.amount is not None:
            return alone(self.amount, "mL")
        return f"{self.count} {'feed' if self.count == 1 else 'feeds'}, amount not known"


@dataclass(frozen=True, slots=True)
class Hours:
    """Some hours of a log: when, the pieces, and the share in words."""

    when: str
    pieces: tuple[Piece, ...]
    share: str
    unresolved: bool = False

    @property
    def known(self) -> int:
        """ML of all pieces of known amount."""
        return sum(piece.amount or 0 for piece in self.pieces if not piece.gap)

    def cells(self) -> tuple[tuple[str, ...], ...]:
        """Its pieces as rows of the table, the share last."""
        rows = tuple((self.when, piece.words, piece.said) for piece in self.pieces)
        return (*rows, (self.when, "in all", self.share))


def mm_per_mL(hours: Sequence[Hours], wide: float) -> float:  # noqa: N802 - the unit as it is written
    """Mm of bar for each mL, the same in all bars."""
    return (wide - 2 * _EDGE) / max([1, *(one.known for one in hours)])


def draw_hours(title: str, sentence: str, hours: Sequence[Hours], sources: tuple[str, ...], wide: float) -> Drawing:
    """The picture `wide` mm across: for each log its hours, its bar with what each part is, and what is not known."""
    unit, parts = mm_per_mL(hours, wide), list[Part]()
    top, row = 0.0, 0
    for place, one in enumerate(hours):
        top += 5.0 if place else 0.0
        drawn, top = _hours(one, row, wide, top, unit)
        parts += drawn
        row += len(one.pieces) + 1
    table = Table(COLUMNS, tuple(cells for one in hours for cells in one.cells()))
    return Drawing(title, sentence, wide, top, tuple(parts), table, sources)


def _hours(hours: Hours, row: int, wide: float, top: float, unit: float) -> tuple[list[Part], float]:
    parts, top = _words(
        f"{hours.when[:1].upper()}{hours.when[1:]}", row + len(hours.pieces), wide, top, _HEAD, strong=True
    )
    said, top = _words(f"{hours.share[:1].upper()}{hours.share[1:]}.", row + len(hours.pieces), wide, top, _WORDS)
    parts += said
    top += 1.5
    x = _EDGE
    for number, piece in enumerate(hours.pieces, row):
        if piece.amount and not piece.gap:
            ink, filling = _LOOKS[piece.kind]
            parts.append(Area(box(x, top, piece.amount * unit, _BAR), ink, filling, 0.4, number))
            x += piece.amount * unit
    top += _BAR + 3.5 if x > _EDGE else 0.0
    for number, piece in enumerate(hours.pieces, row):
        drawn, top = _piece(piece, number, wide, top)
        parts += drawn
    return parts, top


def _words(
    text: str, row: int, wide: float, top: float, tall: float, *, strong: bool = False
) -> tuple[list[Part], float]:
    parts: list[Part] = []
    for line in wrapped(text, wide, tall, strong=strong):
        parts.append(Word(0, top + tall, line, tall, strong=strong, row=row))
        top += tall * 1.38
    return parts, top


def _piece(piece: Piece, row: int, wide: float, top: float) -> tuple[list[Part], float]:
    """One part: its patch and its amount; of what is not known a ring for each feed."""
    parts: list[Part] = []
    if piece.amount is None:
        lines = wrapped(f"{piece.count} {'feed' if piece.count == 1 else 'feeds'} {piece.words}", wide, _WORDS)
    else:
        parts += swatch(*_LOOKS[piece.kind])(3 + _EDGE, top + _LEAD / 2)
        amount = NOTHING if piece.gap else piece.said
        parts.append(Word(8, top + _LEAD / 2 + 1.3, amount, _WORDS, strong=True, row=row))
        beside = 8 + wide_of(amount, _WORDS, strong=True) + 2
        words = f"{piece.words}; {piece.gap}" if piece.gap else piece.words
        for place, line in enumerate(wrapped(words, wide - beside, _WORDS)):
            parts.append(Word(beside, top + _LEAD / 2 + 1.3 + place * _WORDS * 1.3, line, _WORDS, Ink.SOFT))
            top += _WORDS * 1.3 if place else 0.0
        return parts, top + _LEAD
    top += 1.0
    across = int((wide - 8) / (2 * _SIGN + 1.4))
    for at in range(piece.count):
        x, y = _EDGE + _SIGN + (at % across) * (2 * _SIGN + 1.4), top + _LEAD / 2 + (at // across) * _LEAD
        parts.append(Area(circle(x, y, _SIGN), Ink.INK, Filling.NONE, 0.35, row))
    top += _LEAD * -(-piece.count // across)
    for line in lines:
        parts.append(Word(0, top + _WORDS, line, _WORDS, Ink.SOFT, row=row))
        top += _WORDS * 1.38
    return parts, top + 1.5
