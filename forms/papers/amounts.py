"""Amounts of milk as a family reads them: their own unit first, the other small in brackets.

What was typed stands as it was typed; only the other unit is rounded, to a whole number where that is close.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from forms.answers import Quantity
from forms.people import Family
from forms.practice import Practice
from forms.units import UNITS, decimal, exact

__all__ = ["milk", "unit_first"]

_CLOSE: Final = Fraction(1, 20)
"""A whole number may stand for an amount within this share of it; else one decimal is shown. House rule, no source."""

_MOST_PLACES: Final = 3
"""Decimals of an amount whose typed form has more; nobody measures milk more finely. House rule."""

_PLAIN: Final = {"mL": "mL", "fl_oz": "oz"}


def unit_first(family: Family, practice: Practice, typed: str) -> str:
    """The unit to lead with: what the family speaks, else what the practice shows, else what was typed."""
    spoken = {"us": "fl_oz", "metric": "mL"}.get(family.units_spoken if isinstance(family.units_spoken, str) else "")
    set_here = practice.volume_unit if isinstance(practice.volume_unit, str) else None
    return spoken or (set_here if set_here in _PLAIN else None) or typed


def _in(base: Fraction, unit: str, *, typed: bool) -> str:
    value = base / UNITS[unit].per
    if typed:
        places = next((n for n in range(_MOST_PLACES) if (value * 10**n).denominator == 1), _MOST_PLACES)
        return f"{decimal(value, places)} {_PLAIN[unit]}"
    whole = Fraction(int(value + Fraction(1, 2)))
    close = whole > 0 and abs(whole - value) <= value * _CLOSE
    return f"{decimal(value, 0 if close else 1)} {_PLAIN[unit]}"


def milk(each: Quantity, first: str, times: int = 1) -> tuple[str, str]:
    """An amount of milk, `times` over, as (main, other): ("30 mL", "1 oz"). Worked out from what was typed."""
    other = "fl_oz" if first == "mL" else "mL"
    base = exact(each) * times
    return _in(base, first, typed=each.unit == first), _in(base, other, typed=each.unit == other)
