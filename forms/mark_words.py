"""A mark as it is said: one sentence for the list, for papers and, with units in words, for a screen reader."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from forms.answers import Absent, Conflicted, Given, Quantity, every
from forms.ask import ask_of
from forms.body_mark import DAMAGE, BodyMark
from forms.units import alone, shown

__all__ = ["IN_THE_SENTENCE", "direction", "mark_words", "place_said", "spoken_mark"]

IN_THE_SENTENCE: Final = (
    "outline", "side", "photo", "x", "y", "clock", "on_chest", "from_nipple", "on_mouth", "on_body", "on_head",
    "placed", "kind", "depth", "longest", "across", "tender", "words",
)  # fmt: skip
"""What `mark_words` says of a mark: all of it."""

TWO: Final = "two answers stand"

_UP: Final = {11: "above", 12: "above", 1: "above", 5: "below", 6: "below", 7: "below"}
# On the parent's right 3 o'clock is toward the breastbone, on the left it is the outer side: the parent is faced.
_TOWARD: Final = {"right": (1, 2, 3, 4, 5), "left": (7, 8, 9, 10, 11)}
_SPOKEN: Final = {"mm": ("millimetre", "millimetres"), "cm": ("centimetre", "centimetres"), "in": ("inch", "inches")}


def direction(side: str, clock: str) -> str:
    """Where an hour points on that side of a parent who is faced: "toward the breastbone", "outer side", "above".

    `side` is "left" or "right", the parent's own; `clock` is a code ("hour_3"). "" for anything else.
    """
    if side not in _TOWARD or not clock.startswith("hour_"):
        return ""
    hour = int(clock.removeprefix("hour_"))
    across = "" if hour in (6, 12) else "toward the breastbone" if hour in _TOWARD[side] else "outer side"
    return ", ".join(filter(None, (_UP.get(hour, ""), across)))


def _code(given: Given[Any]) -> Any:
    """The one value, or None for none and for two."""
    return None if given is None or isinstance(given, Absent | Conflicted) else given


def _said(mark: BodyMark, field: str, *, spoken: bool = False) -> str:
    given: Given[Any] = getattr(mark, field)
    if isinstance(given, Conflicted):
        label = ask_of(BodyMark, field).label
        return f"{label[:1].lower()}{label[1:]}: {TWO}"
    value = _code(given)
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return _spoken_amount(value) if spoken else shown(value.base, value.unit)
    return ask_of(BodyMark, field).options.get(value, str(value))


def _spoken_amount(amount: Quantity) -> str:
    figure, _, _symbol = alone(amount.base, amount.unit).partition(" ")
    one, many = _SPOKEN.get(amount.unit, (amount.unit, amount.unit))
    return f"{figure} {one if figure in ('1', '1.0') else many}"


def _size(mark: BodyMark, *, spoken: bool = False) -> str:
    longest, across = _said(mark, "longest", spoken=spoken), _said(mark, "across", spoken=spoken)
    return f"{longest} by {across}" if longest and across else longest


def _distance(mark: BodyMark, *, spoken: bool = False) -> str:
    away = _said(mark, "from_nipple", spoken=spoken)
    if not away or isinstance(mark.from_nipple, Conflicted):
        return away
    # What was read off an outline is said no finer than it was read.
    if "told" not in every(mark.placed) and isinstance(mark.from_nipple, Quantity) and not spoken:
        return f"about {mark.from_nipple.typed} {mark.from_nipple.unit} from the nipple"
    return f"{'' if 'told' in every(mark.placed) else 'about '}{away} from the nipple"


def _region(mark: BodyMark) -> str:
    """The named region of an outline that is no chest, the person's side before it: "left thigh"."""
    fields = ("on_mouth", "on_body", "on_head")
    if any(isinstance(getattr(mark, field), Conflicted) for field in fields):
        return f"{_said(mark, 'outline').lower()}, where: {TWO}"
    words = next(filter(None, (_said(mark, field) for field in fields)), "")
    part, _, side = words.partition(", own ")
    return f"{side} {part[:1].lower()}{part[1:]}" if side else words


def _where(mark: BodyMark, name: str) -> str:
    """Whose, which side and which part."""
    whose = f"{name}’s " if name else ""
    outline = _code(mark.outline)
    if isinstance(mark.outline, Conflicted):
        return f"{whose}{_said(mark, 'outline')}" if name else _said(mark, "outline")
    if outline == "photo":
        return f"{whose}photo" if name else "On a photo"
    if outline == "chest":
        side, part = _said(mark, "side"), _said(mark, "on_chest").lower()
        side = TWO_SIDES if isinstance(mark.side, Conflicted) else side.removeprefix("Own ") or "side not said"
        return f"{whose}{side} {part}".strip()
    region = _region(mark)
    if name and region.startswith("Under"):
        return f"{name}, {region[:1].lower()}{region[1:]}"
    return f"{whose}{region[:1].lower()}{region[1:]}" if region else f"{whose}{_said(mark, 'outline').lower()}"


TWO_SIDES: Final = f"side ({TWO})"


def place_said(mark: BodyMark, name: str = "") -> str:
    """Where a mark is, whose it is first: "Mara’s right nipple, 3 o'clock, toward the breastbone"."""
    side, clock = _code(mark.side), _code(mark.clock)
    on_chest = _code(mark.outline) == "chest"
    parts = (
        _where(mark, name),
        _said(mark, "clock") if on_chest else "",
        direction(side, clock) if on_chest and isinstance(side, str) and isinstance(clock, str) else "",
        _distance(mark) if on_chest else "",
    )
    return _begun(parts)


def _begun(parts: Iterable[str]) -> str:
    said = ", ".join(filter(None, parts))
    return said[:1].upper() + said[1:]


def mark_words(mark: BodyMark, name: str = "") -> str:
    """One mark in a line, whose it is first: "Mara’s right nipple, 3 o'clock, toward the breastbone, crack, 4 mm".

    What is not said is left out, but for what it is; where two answers stand, that is said in place of either.
    """
    return _begun((place_said(mark, name), _kind(mark), _size(mark), *_besides(mark)))


def _kind(mark: BodyMark) -> str:
    return _said(mark, "kind").lower() if mark.kind is not None else "not said what"


def _besides(mark: BodyMark) -> tuple[str, ...]:
    tender = _said(mark, "tender")
    return (
        _said(mark, "depth").lower(),
        f"tender {tender} of 10" if tender and not isinstance(mark.tender, Conflicted) else tender,
        _said(mark, "words"),
    )


def spoken_mark(mark: BodyMark) -> str:
    """One mark as a screen reader says it: "Right nipple, damage, crack, 3 o'clock, 4 millimetres"."""
    on_chest = _code(mark.outline) == "chest"
    parts = (
        _where(mark, ""),
        "damage" if _code(mark.kind) in DAMAGE else "",
        _kind(mark),
        _said(mark, "clock") if on_chest else "",
        _distance(mark, spoken=True) if on_chest else "",
        _size(mark, spoken=True),
        *_besides(mark),
    )
    return _begun(parts)
