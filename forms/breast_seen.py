"""What is read off a look at breasts or chest: a place in words, what asks for attention, markers that were seen."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, Final

from forms import breast_codes as among
from forms.answers import Absent, Conflicted, Given, Quantity, Side, every
from forms.ask import Path, ask_of
from forms.breast import BreastAssessment, BreastFinding
from forms.form import is_open
from forms.units import shown

__all__ = ["IN_THE_LINE", "WIDE_GAP", "markers_seen", "of_concern", "place_words"]

WIDE_GAP: Final = 38
"""Millimetres: a gap wider than 3.8 cm (1.5 in) is one marker (S2: Huggins 2000, as quoted by Arbour 2013)."""

_PLAIN: Final = {
    "armpit": ("none", "full"),
    "lump": ("none",),
    "bleb": ("none",),
}
_PLAIN_SIGNS: Final = {
    "skin": {"usual"},
    "skin_conditions": {"none"},
    "shape_after": {"round", "longer"},
    "damage": {"none"},
    "colour_changes": {"none"},
    "discharge": {"none", "milk"},
}
_PAINS: Final = ("tender", "pain_rest", "pain_touch")
SORE: Final = 4  # clinical reference, parent: 4 of 10 or more asks for follow-up (M)
_LACKING: Final = ("inner_lacking", "lower_lacking", "tube")
_TIGHT: Final = ("mark_5", "mark_6")


IN_THE_LINE: Final = ("side", "where", "kind", "clock", "from_nipple", "longest", "across", "depth", "feel")
"""What `place_words` says of a place."""


def of_concern(answers: BreastAssessment, side: Side, fields: Collection[str] = ()) -> bool:
    """Whether anything but the plain answer stands on a side: what its half-moon shows as a notch, and no more.

    With `fields` only these are looked at. Looks at every value of a conflicted answer: one of them is enough.
    """

    def stand(field: str) -> tuple[Any, ...]:
        meant = not fields or field in fields
        return every(getattr(answers, field).on(side)) if meant and is_open(answers, Path(field, side)) else ()

    odd = any(code not in plain for field, plain in _PLAIN.items() for code in stand(field))
    signs = any(set(picked) - plain for field, plain in _PLAIN_SIGNS.items() for picked in stand(field))
    sore = any(pain >= SORE for field in _PAINS for pain in stand(field))
    return odd or signs or sore or any(mark in _TIGHT for mark in stand("engorgement"))


def markers_seen(answers: BreastAssessment) -> tuple[str, ...]:
    """The published markers of little gland tissue that were seen, in words; never a name for them, never a sum."""
    found = []
    if any(gap.base > WIDE_GAP for gap in every(answers.gap)):
        found.append("gap of more than 3.8 cm")
    elif "wide" in every(answers.spacing):
        found.append("far apart")
    if any(code in among.MUCH_UNEVEN for code in every(answers.evenness)):
        found.append("one side much larger")
    for side in Side:
        found += [f"{side}: {among.SHAPE[code].lower()}" for code in every(answers.shape.on(side)) if code in _LACKING]
        if any("stretch_marks" in picked for picked in every(answers.surface.on(side))):
            found.append(f"{side}: stretch marks")
    return tuple(found)


def place_words(place: BreastFinding) -> str:
    """One place in a line, as it is said: "Right nipple, crack, 3 o'clock, 4 mm"."""

    def said(field: str, missing: str = "") -> str:
        given: Given[Any] = getattr(place, field)
        if isinstance(given, Conflicted):
            return "two answers stand"
        if given is None or isinstance(given, Absent):
            return missing
        if isinstance(given, Quantity):
            return shown(given.base, given.unit)
        return ask_of(BreastFinding, field).options.get(given, str(given))

    spot = f"{said('side', 'Side not said')} {said('where').lower()}".strip()
    away, longest, across = said("from_nipple"), said("longest"), said("across")
    return ", ".join(
        filter(
            None,
            (
                spot,
                said("kind", "not said what").lower(),
                said("clock"),
                f"{away} from the nipple" if away else "",
                f"{longest} by {across}" if longest and across else longest,
                said("depth").lower(),
                f"{said('feel').lower()} to the touch" if said("feel") else "",
            ),
        )
    )
