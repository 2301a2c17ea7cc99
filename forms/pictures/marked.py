"""An outline with the marks on it, as a picture: a sign and a number for each, and its sentence in the table beside it.

It prints in black and white: signs differ by their shape, and the outline has no tint.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final

from forms.answers import Absent, Conflicted, Given, every
from forms.body_mark import OUTLINES, BodyMark
from forms.chart import Chart, Entry
from forms.mark_place import spots
from forms.mark_words import mark_words
from forms.pictures.drawing import Anchor, Area, Drawing, Ink, Line, Part, Step, Table, Word
from forms.pictures.maker import Maker
from forms.pictures.mark_signs import hollow, number_at, sign_of
from forms.pictures.outlines import OF_BABY, OF_PARENT, BodyOutline, left_is_right, outline_of
from forms.pictures.whose import called

__all__ = [
    "COLUMNS", "FOOT", "MARKED", "Numbered", "labels", "marked", "numbered", "on_outline", "place_words",
    "side_labels", "signs_of",
]  # fmt: skip

COLUMNS: Final = ("Number", "What was seen")
_LABEL: Final = 3.7
FOOT: Final = 7.0
_APART: Final = 4.0
_CLOSE: Final = 3.0


@dataclass(frozen=True, slots=True)
class Numbered:
    """A mark with the number it has on every outline and in the list; numbers stay when another is struck out."""

    number: int
    entry: Entry[BodyMark]


def numbered(chart: Chart, person: str, visit: str | None = None) -> tuple[Numbered, ...]:
    """The marks of a person at a visit (default: the chart's), oldest first, struck ones counted and left out."""
    at = visit or chart.visit
    found = [
        entry
        for entry in chart.entries
        if isinstance(entry.answers, BodyMark) and entry.place.subjects == (person,) and entry.place.visit == at
    ]
    return tuple(Numbered(n, entry) for n, entry in enumerate(found, 1) if entry.struck is None)  # type: ignore[arg-type]


def on_outline(marks: Iterable[Numbered], code: str, side: str = "") -> tuple[Numbered, ...]:
    """Those that stand on an outline; a mark of which the outline or the side is in conflict stands on each of them."""
    return tuple(
        one
        for one in marks
        if code in every(one.entry.answers.outline) and (not side or side in every(one.entry.answers.side))
    )


def _one(given: Given[Any]) -> Any:
    return None if given is None or isinstance(given, Absent | Conflicted) else given


def side_labels(code: str, side: str, name: str) -> tuple[str, ...]:
    """Whose side is where: one line under a chest, else the words for the left and the right of the picture."""
    if code == "chest":
        return (f"{name}’s {side}",)
    both = (f"{name}’s right", f"{name}’s left")
    return both if left_is_right(code) else both[::-1]


def labels(outline: BodyOutline, name: str) -> tuple[Word, ...]:
    """The words at the foot of an outline that say whose side is where."""
    foot = outline.tall + FOOT - 2.0
    said = side_labels(outline.code, outline.side, name)
    if len(said) == 1:
        return (Word(outline.wide / 2, foot, said[0], _LABEL, Ink.INK, Anchor.MIDDLE, True),)
    return (
        Word(2.0, foot, said[0], _LABEL, Ink.SOFT),
        Word(outline.wide - 2.0, foot, said[1], _LABEL, Ink.SOFT, Anchor.END),
    )


def _signs(outline: BodyOutline, marks: Sequence[Numbered], rows: Mapping[str, int]) -> tuple[Part, ...]:
    found: list[Part] = []
    stacked: dict[tuple[int, int], int] = {}
    for one in marks:
        found += [replace(part, row=rows[one.entry.id]) for part in signs_of(outline, one, stacked)]
    return tuple(found)


def signs_of(outline: BodyOutline, one: Numbered, stacked: dict[tuple[int, int], int]) -> tuple[Part, ...]:
    """What is drawn of one mark: its sign and number, or a dashed ring at each of the places that stand.

    `stacked` counts, over the marks of one outline, how many numbers stand at nearly the same place already: the next
    one goes under them.
    """
    places = spots(one.entry.answers)
    found: list[Part] = []
    for spot in places:
        x, y = outline.at(spot)
        cell = round(x / _CLOSE), round(y / _CLOSE)
        under = stacked[cell] = stacked.get(cell, -1) + 1
        sign = sign_of(_one(one.entry.answers.kind))(x, y) if len(places) == 1 else hollow(x, y)
        found += (*sign, number_at(x, y, one.number, outline.wide, outline.tall, under))
    return tuple(found)


def _moved(part: Part, scale: float, across: float, down: float) -> Part:
    """A part somewhere else and of another size; words keep their height where they can."""

    def step(one: Step) -> Step:
        return tuple(value * scale + (down if at % 2 else across) for at, value in enumerate(one))

    match part:
        case Word():
            return replace(part, x=part.x * scale + across, y=part.y * scale + down, tall=part.tall * min(scale, 1.0))
        case Line() | Area():
            return replace(part, steps=tuple(step(one) for one in part.steps))


def place_words(one: Numbered, name: str) -> tuple[str, str]:
    """The row of the table: the number, and the sentence with what keeps the mark off the outline."""
    mark = one.entry.answers
    places = len(spots(mark))
    sideless = every(mark.outline) == ("chest",) and not every(mark.side)
    if not places or sideless:
        also = "; no place on the outline yet"
    else:
        also = f"; {places} places stand, each drawn as a dashed ring" if places > 1 else ""
    return str(one.number), mark_words(mark, name) + also


def marked(marks: Sequence[Numbered], code: str, name: str, wide: float) -> Drawing:
    """An outline of a person with its marks, `wide` mm wide; a chest has its sides beside each other.

    The parent's right stands on the left of the picture, as the parent is faced; where there is no room for two, one
    stands under the other. `marks` are all of the person; those on other outlines are left out.
    """
    found: list[Part] = []
    all_here = on_outline(marks, code)
    rows = {one.entry.id: row for row, one in enumerate(all_here)}
    shown = [outline_of(code, side) for side in (("right", "left") if code in OF_PARENT else ("",))]
    beside = len(shown) * shown[0].wide + (len(shown) - 1) * _APART <= wide
    across, down = 0.0, 0.0
    if beside:
        across = (wide - len(shown) * shown[0].wide - (len(shown) - 1) * _APART) / 2
    for outline in shown:
        scale = min(1.0, wide / outline.wide)
        left = across if beside else max((wide - outline.wide * scale) / 2, 0.0)
        here = on_outline(all_here, code, outline.side)
        parts = (*outline.parts, *labels(outline, name), *_signs(outline, here, rows))
        found += [_moved(part, scale, left, down) for part in parts]
        if beside:
            across += outline.wide + _APART
        else:
            down += (outline.tall + FOOT) * scale + _APART
    table = tuple(place_words(one, name) for one in all_here)
    tall = shown[0].tall + FOOT if beside else down - _APART
    title = f"{name}: {OUTLINES[code].lower()}"
    counted = "1 mark" if len(rows) == 1 else f"{len(rows)} marks"
    sentence = f"{counted} on the outline, each with its number." if rows else "Nothing is drawn on this outline."
    return Drawing(title, sentence, wide, tall, tuple(found), Table(COLUMNS, table))


def _maker(code: str) -> Callable[[Chart, str, datetime], Maker | None]:
    def made(chart: Chart, person: str, now: datetime) -> Maker | None:
        del now
        marks, name = numbered(chart, person), called(chart, person)
        if not on_outline(marks, code):
            return None
        title = f"Drawn: {name}, {OUTLINES[code].lower()}"
        return Maker(f"marks_{code}", title, lambda wide: marked(marks, code, name, wide))

    return made


MARKED: Final = tuple(_maker(code) for code in (*OF_PARENT, *OF_BABY))
"""For each outline, what makes its picture of a person at the chart's visit; None while nothing is drawn on it."""
