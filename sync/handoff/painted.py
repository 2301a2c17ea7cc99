"""A picture on paper: the list of lines, areas and words of `forms.pictures`, drawn in black, white and greys.

Fillings are strokes and dots and every line is at least half a point, so that a photocopy and a fax keep them; words
are black, or white on black, in the papers' own faces, figures in the one with a plain zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from forms.pictures.drawing import Anchor, Area, Drawing, Filling, Ink, Line, Step, Weave, Word
from forms.pictures.measure import DASHES, DOT, dotted, hatched
from sync.handoff.drawn import say, width_of
from sync.handoff.faces import BOLD, TEXT

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["POINTS", "paint"]

POINTS: Final = 72 / 25.4
"""Points for each mm."""
THINNEST: Final = 0.5  # points
_LIGHT: Final = 0.82  # the grey of a light area; a fax keeps it as a fine screen
_GREYS: Final = {Ink.EDGE: 0.45, Ink.SOFT: 0.25, Ink.CARD: 1.0, Ink.ON_FILL: 1.0, Ink.WELL: 0.9}


def _grey(ink: Ink) -> float:
    return _GREYS.get(ink, 0.0)


class _Page:
    """A canvas on which a picture's mm, counted down from its upper left corner, have their place."""

    def __init__(self, canvas: Canvas, left: float, top: float, scale: float) -> None:
        self.canvas, self._left, self._top, self.scale = canvas, left, top, scale

    def x(self, mm: float) -> float:
        return self._left + mm * self.scale

    def y(self, mm: float) -> float:
        return self._top - mm * self.scale

    def path(self, steps: Sequence[Step]) -> Any:
        path, begun = self.canvas.beginPath(), False
        for step in steps:
            if not step:
                path.close()
                begun = False
                continue
            to = [at for place in range(0, len(step), 2) for at in (self.x(step[place]), self.y(step[place + 1]))]
            if not begun:
                path.moveTo(*to[-2:])
                begun = True
            elif len(to) == 6:
                path.curveTo(*to)
            else:
                path.lineTo(*to)
        return path

    def pen(self, ink: Ink, wide: float) -> None:
        self.canvas.setStrokeGray(_grey(ink))
        self.canvas.setLineWidth(max(wide * self.scale, THINNEST))
        self.canvas.setLineCap(1)
        self.canvas.setLineJoin(1)


def _line(page: _Page, line: Line) -> None:
    page.pen(line.ink, line.wide)
    if line.weave in DASHES:
        if line.weave is Weave.DASHED:
            page.canvas.setLineCap(0)
        page.canvas.setDash([part * page.scale for part in DASHES[line.weave]])
    page.canvas.drawPath(page.path(line.steps), stroke=1, fill=0)


def _area(page: _Page, area: Area) -> None:
    path, canvas = page.path(area.steps), page.canvas
    if area.filling in (Filling.SOLID, Filling.LIGHT):
        canvas.setFillGray(_grey(area.ink) if area.filling is Filling.SOLID else max(_LIGHT, _grey(area.ink)))
        canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
    elif area.filling is not Filling.NONE:
        _fill(page, area)
    if area.edge:
        page.pen(area.ink, area.edge)
        canvas.drawPath(page.path(area.steps), stroke=1, fill=0)


def _fill(page: _Page, area: Area) -> None:
    across = [at for step in area.steps for at in step[::2]]
    down = [at for step in area.steps for at in step[1::2]]
    edges = (min(across), min(down), max(across), max(down))
    page.canvas.saveState()
    page.canvas.clipPath(page.path(area.steps), stroke=0, fill=0, fillMode=0)
    page.pen(area.ink, 0.22)
    for left, top, right, foot in hatched(area.filling, *edges):
        page.canvas.line(page.x(left), page.y(top), page.x(right), page.y(foot))
    if area.filling is Filling.DOTS:
        page.canvas.setFillGray(_grey(area.ink))
        for x, y in dotted(*edges):
            page.canvas.circle(page.x(x), page.y(y), DOT * page.scale, stroke=0, fill=1)
    page.canvas.restoreState()


def _word(page: _Page, word: Word) -> None:
    face, size = BOLD if word.strong else TEXT, word.tall * page.scale
    wide = width_of(word.text, face, size)
    back = {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[word.anchor]
    page.canvas.setFillGray(1.0 if word.ink in (Ink.ON_FILL, Ink.CARD) else 0.0)
    say(page.canvas, page.x(word.x) - back, page.y(word.y), word.text, face, size)


def paint(canvas: Canvas, drawing: Drawing, left: float, top: float, wide: float) -> None:
    """Draws a picture `wide` points across, its upper left corner at (left, top), in points from the page's foot.

    Raises NoSuchLetter for a character that no face of the papers has.
    """
    page = _Page(canvas, left, top, wide / drawing.wide)
    for part in drawing.parts:
        canvas.saveState()
        match part:
            case Line():
                _line(page, part)
            case Area():
                _area(page, part)
            case Word():
                _word(page, part)
        canvas.restoreState()
