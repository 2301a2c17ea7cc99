"""Fills pages with pieces from the top; the same rules whether the pages are drawn or only counted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sync.handoff.pieces import Pen, Piece

__all__ = ["FOOTER", "Pages", "TooMany"]

FOOTER: Final = 14.0


class TooMany(Exception):  # noqa: N818 - no fault: it ends counting that has its answer
    """More pages than whoever counts wants to know of."""


@dataclass(slots=True)
class Pages:
    """Turns to a new page when a piece does not fit. Without a `pen` nothing is drawn, and pages are counted.

    `turn` is called at the end of each page but the last; over `most` pages counting ends with TooMany.
    """

    tall: float
    margin: float
    turn: Callable[[], None]
    pen: Pen | None = None
    most: int | None = None
    low: float = 0
    count: int = 1
    fresh: bool = True

    def __post_init__(self) -> None:
        self.low = self.tall - self.margin

    @property
    def floor(self) -> float:
        """The lowest point words may reach."""
        return self.margin + FOOTER - 10

    def next(self) -> None:
        """Goes on at the top of a new page. Raises TooMany."""
        if self.count == self.most:
            raise TooMany
        self.turn()
        if self.pen is not None:
            self.pen.tags.turned()
        self.low, self.fresh, self.count = self.tall - self.margin, True, self.count + 1

    def put(self, chain: list[Piece]) -> None:
        """Draws pieces that must begin together: headings and the piece they head."""
        needed = sum(p.height + p.gap for p in chain)
        first, last = chain[:-1], chain[-1]
        before = sum(p.height + p.gap for p in first) - (chain[0].gap if self.fresh else 0)
        room = self.low - self.floor - before - last.gap
        if needed > self.low - self.floor and not self.fresh and (needed < self.tall * 0.5 or not last.split(room)):
            self.next()
        for piece in first:
            self._draw(piece)
        while last.height + (0 if self.fresh else last.gap) > self.low - self.floor + 0.01:
            parts = last.split(self.low - self.floor - (0 if self.fresh else last.gap))
            if parts is None:
                if self.fresh:
                    break
                self.next()
                continue
            self._draw(parts[0])
            self.next()
            last = parts[1]
        self._draw(last)

    def _draw(self, piece: Piece) -> None:
        self.low -= 0 if self.fresh else piece.gap
        if self.pen is not None:
            piece.draw(self.pen, self.margin, self.low)
        self.low, self.fresh = self.low - piece.height, False

    def rest_on_floor(self, piece: Piece) -> None:
        """Draws the foot at the bottom of the page, or of a new one."""
        if self.low - piece.gap - piece.height < self.floor:
            self.next()
        self.low = self.floor + piece.height
        if self.pen is not None:
            piece.draw(self.pen, self.margin, self.low)
