"""What is read off a look at breasts or chest: a place in words, and what asks for attention."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, Final

from forms.answers import Absent, Conflicted, Given, Quantity, Side, every
from forms.ask import Path, ask_of
from forms.breast import BreastAssessment, BreastFinding
from forms.form import is_open
from forms.units import shown

__all__ = ["IN_THE_LINE", "of_concern", "place_words"]

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
