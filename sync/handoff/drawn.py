"""The small pictures of a paper, drawn with lines and areas so that no typeface has to have them.

Black on white, lines of at least half a point: a photocopy and a fax keep them.
"""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING, Final

from forms.papers.outline import Arrow, Beads, Clocks, Cups, Moons, Picture
from forms.phrases.english import ENGLISH
from forms.phrases.languages import CATALOGUES
from sync.handoff.faces import FIGURE_BOLD, TEXT, runs

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["WIDTH", "across", "box", "draw", "moons", "said", "say", "width_of"]

WIDTH: Final = 118.0
"""Points across that a picture beside a task may take."""
_SMALL: Final = 8.5
_MOST_IN_A_ROW: Final = 12
_MOST_FACES: Final = 6
_CUP: Final = 14.0
_FACE: Final = 7.5
_BETWEEN: Final = 5.0


def _sentence(key: str, language: str, **blanks: object) -> str:
    return CATALOGUES.get(language, ENGLISH).sentences[key].text.format(**blanks)


def said(picture: Picture, language: str = "en") -> str:
    """What the picture shows, in words of that language, for those who hear the paper."""
    match picture:
        case Beads():
            return _sentence("picture.beads", language, times=picture.times)
        case Cups():
            return _sentence("picture.cups", language, times=picture.times)
        case Clocks():
            return _sentence("picture.clocks", language, times=picture.times)
        case Arrow():
            return _sentence("picture.arrow", language, start=picture.start, then=picture.then)
        case Moons():
            filled = {(True, True): "both", (True, False): "left", (False, True): "right"}
            return _sentence(f"picture.moons.{filled.get((picture.left, picture.right), 'neither')}", language)


def across(picture: Picture) -> float:
    """How many points a picture beside a task takes across."""
    match picture:
        case Cups() if picture.times <= 4:
            return _CUP * (2 * picture.times - 1)
        case Clocks():
            return _FACE * 2 * min(picture.times, _MOST_FACES) + _BETWEEN * (min(picture.times, _MOST_FACES) - 1)
    return WIDTH


def width_of(text: str, face: str, size: float) -> float:
    """The width in points of one line, each stretch in its own face."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(sum(stringWidth(part, name, size) for name, part in runs(text, face)))


def say(canvas: Canvas, left: float, base: float, text: str, face: str, size: float) -> float:
    """Sets one line of text and returns where it ends."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    for name, part in runs(text, face):
        canvas.setFont(name, size)
        canvas.drawString(left, base, part)
        left += stringWidth(part, name, size)
    return left


def _beads(canvas: Canvas, beads: Beads, left: float, middle: float, language: str) -> None:
    count = min(beads.times, _MOST_IN_A_ROW)
    radius = 4.4
    step = (WIDTH - 2 * radius) / max(count - 1, 1)
    low = middle - 7
    canvas.setLineWidth(1.1)
    canvas.line(left + radius, low, left + WIDTH - radius, low)
    for at in range(count):
        canvas.circle(left + radius + at * step, low, radius, stroke=0, fill=1)
    night = _sentence("night", language)
    say(canvas, left, middle + 5, _sentence("morning", language), TEXT, _SMALL)
    say(canvas, left + WIDTH - width_of(night, TEXT, _SMALL), middle + 5, night, TEXT, _SMALL)


def _cups(canvas: Canvas, cups: Cups, left: float, middle: float) -> None:
    count = min(cups.times, _MOST_IN_A_ROW)
    across, tall = _CUP, 20.0
    gap = min(_CUP, (WIDTH - count * across) / max(count - 1, 1)) if count > 1 else 0.0
    across = min(across, (WIDTH - (count - 1) * 2.5) / count)
    gap = max(gap, 2.5)
    low = middle - tall / 2
    canvas.setLineWidth(1.3)
    for at in range(count):
        x = left + at * (across + gap)
        canvas.roundRect(x, low, across, tall * 0.55, 2.5, stroke=0, fill=1)
        canvas.rect(x, low + tall * 0.3, across, tall * 0.25, stroke=0, fill=1)
        edge = canvas.beginPath()
        edge.moveTo(x, low + tall)
        edge.lineTo(x, low + 2.5)
        edge.curveTo(x, low, x, low, x + 2.5, low)
        edge.lineTo(x + across - 2.5, low)
        edge.curveTo(x + across, low, x + across, low, x + across, low + 2.5)
        edge.lineTo(x + across, low + tall)
        edge.close()
        canvas.drawPath(edge, stroke=1, fill=0)


def _clocks(canvas: Canvas, clocks: Clocks, left: float, middle: float) -> None:
    count = min(clocks.times, _MOST_FACES)
    radius = _FACE
    canvas.setLineWidth(1.2)
    for at in range(count):
        x = left + radius + at * (2 * radius + _BETWEEN)
        canvas.circle(x, middle, radius, stroke=1, fill=0)
        canvas.line(x, middle, x, middle + radius * 0.62)
        canvas.line(x, middle, x + radius * 0.45, middle)


def _arrow(canvas: Canvas, arrow: Arrow, left: float, middle: float) -> None:
    end = say(canvas, left, middle - 6, arrow.start, FIGURE_BOLD, 16)
    start, stop = end + 10, end + 46
    canvas.setLineWidth(1.6)
    canvas.setLineCap(1)
    canvas.line(start, middle, stop, middle)
    canvas.line(stop, middle, stop - 7, middle + 5)
    canvas.line(stop, middle, stop - 7, middle - 5)
    say(canvas, stop + 7, middle - 4, arrow.then, TEXT, 11)


def moons(canvas: Canvas, picture: Moons, left: float, middle: float, radius: float) -> None:
    """Two half-moons with their flat sides to one another; the left one is the parent's own left."""
    gap = radius * 0.1
    canvas.setLineWidth(max(radius * 0.09, 0.9))
    for start, full, centre in ((90, picture.left, left + radius - gap), (270, picture.right, left + radius + gap)):
        half = canvas.beginPath()
        half.moveTo(centre + radius * cos(start * pi / 180), middle + radius * sin(start * pi / 180))
        half.arcTo(centre - radius, middle - radius, centre + radius, middle + radius, startAng=start, extent=180)
        half.close()
        canvas.drawPath(half, stroke=1, fill=int(full))


def box(canvas: Canvas, left: float, base: float, size: float) -> None:
    """An empty box to tick by hand."""
    canvas.setLineWidth(1)
    canvas.rect(left, base, size, size, stroke=1, fill=0)


def draw(canvas: Canvas, picture: Picture, left: float, middle: float, language: str = "en") -> None:
    """Draws a picture from `left` on, its middle at `middle`, its words in that language."""
    canvas.saveState()
    match picture:
        case Beads():
            _beads(canvas, picture, left, middle, language)
        case Cups():
            _cups(canvas, picture, left, middle)
        case Clocks():
            _clocks(canvas, picture, left, middle)
        case Arrow():
            _arrow(canvas, picture, left, middle)
        case Moons():
            moons(canvas, picture, left, middle, 12)
    canvas.restoreState()
