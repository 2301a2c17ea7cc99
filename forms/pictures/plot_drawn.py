"""A plot as lines, areas and words in millimetres: the same for the window, which steps through it, and for papers."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from forms.pictures.dots import EDGE, SIDE, dot_parts
from forms.pictures.drawing import Anchor, Area, Drawing, Ink, Line, Part, Table, Weave, Word, box
from forms.pictures.measure import wide_of
from forms.pictures.plot import Dot
from forms.pictures.plot import Weave as Woven
from forms.pictures.plot_labels import FINE, GAP, LEAD, TALL, Box, Field, field_of, labels, level_box, line_names
from forms.pictures.weights import View
from forms.pictures.whose import TAG_INKS

__all__ = ["drawn", "plot_parts"]

HAIR: Final = 0.26  # mm
RISE: Final = 0.35  # of its size, a word's middle lies over its foot


def drawn(view: View, wide: float) -> Drawing:
    """A view of growth as a drawing `wide` mm across, its first table as the twin, its shapes explained below."""
    picture, table = view.picture, view.tables[0]
    twin = Table(table.heads, table.rows)
    if not picture.marks:
        return Drawing(picture.name, picture.summary, wide, 0.0, (), twin, view.sources)
    tall = min(max(wide * 0.5, 62.0), 84.0)
    field = field_of(picture, wide, tall)
    keys, more = _keys(view, wide, tall + GAP)
    parts = (*plot_parts(field), *keys)
    return Drawing(picture.name, picture.summary, wide, tall + more, parts, twin, view.sources)


def plot_parts(field: Field) -> Iterator[Part]:
    """A plot from the ground up: axes, lines, levels, joining lines, points, labels."""
    yield from _ground(field)
    yield from _lines(field)
    yield from _levels(field)
    yield from _traces(field)
    yield from _marks(field)
    yield from _labels(field)


def _middle(y: float) -> float:
    """The foot of a word whose middle stands at y."""
    return y + TALL * RISE


def _ground(field: Field) -> Iterator[Part]:
    """Ticks of both axes: uprights thin as thread, words under and beside them, and the foot."""
    picture, inner = field.picture, field.box
    for tick in picture.x_ticks:
        x = field.x(tick.at)
        yield Line(((x, inner.foot - 1.2), (x, inner.foot)), Ink.EDGE, HAIR)
    foot = field.y(0) if picture.zero else inner.foot
    yield Line(((inner.left, foot), (inner.right, foot)), Ink.SOFT, HAIR * 1.5)
    if picture.zero and foot < inner.foot - 0.1:
        yield Line(((inner.left, inner.foot), (inner.right, inner.foot)), Ink.EDGE, HAIR)
    free = 0.0
    for tick in picture.x_ticks:
        half = wide_of(tick.words, TALL) / 2
        x = min(max(field.x(tick.at), half), field.wide - half)
        if x - half >= free:
            yield Word(x, inner.foot + LEAD * 1.3, tick.words, TALL, Ink.SOFT, Anchor.MIDDLE)
            free = x + half + FINE
    for tick in picture.y_ticks:
        yield Word(inner.left - GAP - SIDE / 2, _middle(field.y(tick.at)), tick.words, TALL, Ink.SOFT, Anchor.END)
    left = max(min(inner.left, field.wide - wide_of(picture.foot, TALL)), 0.0)
    yield Word(left, inner.foot + LEAD * 2.45, picture.foot, TALL, Ink.SOFT)


def _lines(field: Field) -> Iterator[Part]:
    top, foot = field.box.top, field.box.foot
    for line in field.picture.lines:
        steps = tuple((field.x(x), field.y(y)) for x, y in line.at)
        inside = tuple(step for step in steps if top - 0.01 <= step[1] <= foot + 0.01)
        strong = line.weave is Woven.STRONG
        weave = Weave.DASHED if line.weave is Woven.DASHED else Weave.WHOLE
        yield Line(inside, Ink.SOFT if strong else Ink.EDGE, EDGE if strong else HAIR, weave)
    right = field.box.right + FINE
    for line, y in line_names(field):
        strong = line.weave is Woven.STRONG
        yield Word(right, _middle(y), line.words, TALL, Ink.SOFT, strong=strong)
    if field.picture.head:
        yield Word(right, LEAD * 0.8, field.picture.head, TALL, Ink.SOFT)


def _slip(of: Box) -> Area:
    return Area(box(of.left, of.top, of.wide, of.tall), Ink.CARD)


def _levels(field: Field) -> Iterator[Part]:
    for level in field.picture.levels:
        y, slip = field.y(level.y), level_box(field, level)
        if level.watch:
            yield Line(((field.box.left, y), (field.box.right, y)), Ink.WELD, HAIR * 1.5, Weave.DASHED)
        yield _slip(slip)
        middle = slip.left + slip.wide / 2
        yield Word(middle, _middle(slip.top + slip.tall / 2), level.words, TALL, Ink.INK, Anchor.MIDDLE)
    if field.picture.upright is not None:
        x = field.x(field.picture.upright)
        yield Line(((x, field.box.top), (x, field.box.foot)), Ink.SOFT, EDGE, Weave.DOTTED)


def _traces(field: Field) -> Iterator[Part]:
    """The lines from point to point, and the dashes that tie values of which only one can hold."""
    marks, ink = field.picture.marks, TAG_INKS[field.picture.tag]
    for trace in field.picture.traces:
        yield Line(tuple(field.of(marks[place]) for place in trace), ink, EDGE)
    for one, other in pairwise(marks):
        if one.group and one.group == other.group:
            yield Line((field.of(one), field.of(other)), Ink.WELD, EDGE, Weave.DASHED)


def _marks(field: Field) -> Iterator[Part]:
    ink = TAG_INKS[field.picture.tag]
    for row, mark in enumerate(field.picture.marks):
        x, y = field.of(mark)
        bar = field.bar(mark)
        if bar is None or mark.dot is not Dot.BAR:
            yield from dot_parts(mark.dot, x, y, ink, row)
        elif mark.y is None:
            yield Line(((bar.left, y), (bar.right, y)), Ink.WELD, EDGE, Weave.DOTTED, row)
        else:
            yield Area(box(bar.left, bar.top, bar.wide, bar.tall), ink, row=row)


def _labels(field: Field) -> Iterator[Part]:
    for label in labels(field):
        slip, mark = label.box, field.picture.marks[label.place]
        yield _slip(slip)
        middle = _middle(slip.top + slip.tall / 2)
        yield Word(slip.left + FINE, middle, mark.label, TALL, strong=True, row=label.place)


def _keys(view: View, wide: float, top: float) -> tuple[tuple[Part, ...], float]:
    """What each shape in the picture means, in as many lines as it takes, and their height."""
    parts: list[Part] = []
    left, line = 0.0, top + LEAD / 2
    for dot, words in view.keys:
        if dot is Dot.BAR:
            continue
        need = SIDE + FINE * 1.5 + wide_of(words, TALL)
        if left and left + need > wide:
            left, line = 0.0, line + LEAD * 1.25
        parts += dot_parts(dot, left + SIDE / 2, line, TAG_INKS[view.picture.tag])
        parts.append(Word(left + SIDE + FINE * 1.5, _middle(line), words, TALL, Ink.SOFT))
        left += need + GAP * 2
    return tuple(parts), (line + LEAD * 0.75 - (top - GAP)) if parts else 0.0
