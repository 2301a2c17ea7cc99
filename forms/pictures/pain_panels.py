"""How the picture of pain is drawn: one small panel for each feed, all with the same scale of 0 to 10."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from forms.answers import Side
from forms.feed import SORE
from forms.pictures.drawing import Anchor, Area, Drawing, Filling, Ink, Line, Part, Table, Weave, Word, circle
from forms.pictures.keys import Sign, dash, half_moon, key
from forms.pictures.measure import wrapped
from forms.pictures.visits import or_words

__all__ = ["COLUMNS", "TALL", "Panel", "Point", "draw_panels"]

COLUMNS: Final = ("Feed", "Side", "When in the feed", "Pain, 0 to 10")
TALL: Final = 26.0
"""mm from 0 to 10."""
MOON: Final = 1.75
_AXIS, _PANEL, _BETWEEN = 6.5, 36.0, 4.0
_INSET = 3.2
_STAGE_WORDS = ("latch", "30 s", "mid", "end")
_WORDS, _HEAD = 3.7, 3.9


@dataclass(frozen=True, slots=True)
class Point:
    """One time pain was told: its value, or those of which one can hold; `at` is its place along the panel."""

    values: tuple[int, ...]
    unresolved: bool
    side: Side | None
    words: str
    at: float | None


@dataclass(frozen=True, slots=True)
class Panel:
    """One feed: when, whose, who feeds, its points, and the place at the panel's right end."""

    when: str
    who: str
    feeder: str
    points: tuple[Point, ...]
    until: float
    tapped: bool = False

    def cells(self) -> tuple[tuple[str, ...], ...]:
        """Its points as rows of the table."""
        how = f"{self.when}, {self.who}" + (", tapped" if self.tapped else "")
        return tuple(
            (how, f"{self.feeder}’s {point.side}" if point.side else "not told", point.words,
             or_words(point.values) if point.unresolved else str(point.values[0]))
            for point in self.points
        )  # fmt: skip


def draw_panels(title: str, sentence: str, panels: Sequence[Panel], sources: tuple[str, ...], wide: float) -> Drawing:
    """The panels from left to right and on in the next row, the oldest first, `wide` mm in all."""
    across = max(int((wide + _BETWEEN) / (_AXIS + _PANEL + _BETWEEN)), 1)
    pitch = (wide + _BETWEEN) / across
    stretch = min(pitch - _BETWEEN - _AXIS, 1.5 * _PANEL)
    parts: list[Part] = []
    top, row = 0.0, 0
    for start in range(0, len(panels), across):
        chunk = panels[start : start + across]
        heads = [wrapped(panel.who + ", tapped" * panel.tapped, _AXIS + stretch, _WORDS) for panel in chunk]
        head = _HEAD * 1.35 + max(map(len, heads)) * _WORDS * 1.3 + 2.5
        for place, (panel, lines) in enumerate(zip(chunk, heads, strict=True)):
            left = place * pitch
            parts += _title(panel, lines, left, top)
            parts += _panel(panel, left + _AXIS, top + head, stretch, row)
            row += len(panel.points)
        top += head + TALL + 11.0
    words, tall = key(_key(panels), 0, top, wide)
    rows = tuple(cells for panel in panels for cells in panel.cells())
    return Drawing(title, sentence, wide, top + tall, (*parts, *words), Table(COLUMNS, rows), sources)


def _title(panel: Panel, lines: tuple[str, ...], left: float, top: float) -> list[Part]:
    base = top + _HEAD
    parts: list[Part] = [Word(left, base, panel.when, _HEAD, strong=True)]
    for place, line in enumerate(lines, 1):
        parts.append(Word(left, base + place * _WORDS * 1.3, line, _WORDS, Ink.SOFT))
    return parts


def _panel(panel: Panel, left: float, top: float, wide: float, row: int) -> list[Part]:
    foot = top + TALL
    parts = _frame(panel, left, top, wide)

    def x(at: float) -> float:
        return left + _INSET + at / panel.until * (wide - 2 * _INSET)

    def y(value: int) -> float:
        return foot - value * TALL / 10

    for side in (*Side, None):
        line = [point for point in panel.points if point.side is side and point.at is not None]
        for first, then in pairwise(line):
            joined = not (first.unresolved or then.unresolved or panel.tapped)
            if joined and first.at is not None and then.at is not None and then.at - first.at <= 1:
                weave = Weave.DASHED if side is Side.RIGHT else Weave.WHOLE
                ends = ((x(first.at), y(first.values[0])), (x(then.at), y(then.values[0])))
                parts.append(Line(ends, Ink.ELDER, 0.4, weave))
    for number, point in enumerate(panel.points, row):
        if point.at is not None:
            parts += _mark(point, x(point.at), [y(value) for value in point.values], number)
    return parts


def _frame(panel: Panel, left: float, top: float, wide: float) -> list[Part]:
    """The scale at the left, its lines, and the words along the foot."""
    foot, parts = top + TALL, list[Part]()
    for value in (0, 5, 10):
        y = foot - value * TALL / 10
        parts.append(Line(((left, y), (left + wide, y)), Ink.EDGE, 0.18))
        parts.append(Word(left - 1.6, y + 1.2, str(value), _WORDS, Ink.SOFT, Anchor.END))
    y = foot - SORE * TALL / 10
    parts.append(Line(((left, y), (left + wide, y)), Ink.INK, 0.3, Weave.DASHED))
    base = foot + 5.2
    if panel.tapped:
        parts.append(Word(left + _INSET, base, "0", _WORDS, Ink.SOFT, Anchor.MIDDLE))
        parts.append(Word(left + wide, base, f"{panel.until:.0f} min", _WORDS, Ink.SOFT, Anchor.END))
        return parts
    pitch = (wide - 2 * _INSET) / (len(_STAGE_WORDS) - 1)
    for place, words in enumerate(_STAGE_WORDS):
        parts.append(Word(left + _INSET + place * pitch, base, words, _WORDS, Ink.SOFT, Anchor.MIDDLE))
    return parts


def _mark(point: Point, x: float, heights: list[float], row: int) -> list[Part]:
    """A half-moon of its side, or a disc where no side was told; hollow and tied by dots where two values stand."""
    parts: list[Part] = []
    if point.unresolved and len(heights) > 1:
        parts.append(Line(((x, min(heights)), (x, max(heights))), Ink.INK, 0.4, Weave.DOTTED, row))
    for y in heights:
        steps = circle(x, y, MOON * 0.7) if point.side is None else half_moon(x, y, point.side, MOON)
        if point.unresolved:
            parts.append(Area(steps, Ink.CARD, Filling.SOLID))
            parts.append(Area(steps, Ink.INK, Filling.NONE, 0.35, row))
        else:
            parts.append(Area(steps, Ink.ELDER, Filling.SOLID, row=row))
    return parts


def _moon(side: Side, filling: Filling = Filling.SOLID) -> Sign:
    ink, edge = (Ink.ELDER, 0.0) if filling is Filling.SOLID else (Ink.INK, 0.35)
    return lambda x, y: (Area(half_moon(x, y, side, MOON), ink, filling, edge),)


def _key(panels: Sequence[Panel]) -> list[tuple[Sign, str]]:
    points = [(panel.feeder, point) for panel in panels for point in panel.points]
    feeders = list(dict.fromkeys(feeder for feeder, _ in points))
    whose = f"{feeders[0]}’s" if len(feeders) == 1 else "the feeder’s"
    found: list[tuple[Sign, str]] = [
        (_moon(side), f"{whose} {side}") for side in Side if any(point.side is side for _, point in points)
    ]
    if any(point.side is None for _, point in points):
        found.append((lambda x, y: (Area(circle(x, y, MOON * 0.7), Ink.ELDER),), "side not told"))
    if any(point.unresolved for _, point in points):
        found.append((_moon(Side.LEFT, Filling.NONE), "hollow: two values stand, unresolved"))
    found.append((dash(Ink.INK, 0.3, Weave.DASHED), f"{SORE} of 10: a change is tried"))
    return found
