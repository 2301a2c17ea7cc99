"""Measurements of a record that only repeat answers of it: a fact that is told in two shapes is offered once.

A measurement counts as a repetition where it says so itself, and only with its amounts found among those very answers;
one that differs is offered beside them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Quantity
from forms.ask import Path
from forms.trouble import Refused
from forms.units import UNITS, Dimension, quantity_of
from sync.handoff.reading.held import Offer
from sync.handoff.reading.shapes import Resource

__all__ = ["repeats"]

_SIZES: Final[Mapping[str, str]] = MappingProxyType({
    "g": "g", "kg": "kg", "cm": "cm", "mm": "mm", "Cel": "C", "mL": "mL",
})  # fmt: skip
_COUNTS: Final[Mapping[str, int]] = MappingProxyType({"{score}": 1, "d": 1, "wk": 7})
_WEEKS, _DAYS = Path("gestation_weeks"), Path("gestation_days")

_Figure = tuple[Dimension | None, int]
"""What is measured, None for a number without a unit, and how much in the smallest step this program keeps."""


def repeats(resource: Resource, of: Iterable[Offer]) -> bool:
    """Whether every amount of an Observation stands among these answers, as often as there."""
    amounts = [resource["valueQuantity"]] if "valueQuantity" in resource else [
        part.get("valueQuantity") for part in resource.get("component", [])
    ]  # fmt: skip
    figures = [_figure(one) for one in amounts]
    return bool(figures) and None not in figures and not Counter(figures) - Counter(_answered(of))


def _figure(amount: Any) -> _Figure | None:
    if not isinstance(amount, dict) or "comparator" in amount:
        return None
    number, code = amount.get("value"), str(amount.get("code"))
    if isinstance(number, bool) or not isinstance(number, int | Decimal):
        return None
    if code in _COUNTS:
        return (None, int(number) * _COUNTS[code]) if number == int(number) else None
    try:
        size = quantity_of(f"{number:f}" if isinstance(number, Decimal) else str(number), _SIZES[code])
    except (KeyError, Refused):
        return None
    return UNITS[size.unit].dimension, size.base


def _answered(answers: Iterable[Offer]) -> Iterator[_Figure]:
    weeks: int | None = None
    days = 0
    for one in answers:
        if isinstance(one.value, Quantity):
            yield UNITS[one.value.unit].dimension, one.value.base
        elif isinstance(one.value, int) and not isinstance(one.value, bool):
            if one.path == _WEEKS:
                weeks = one.value
            elif one.path == _DAYS:
                days = one.value
            else:
                yield None, one.value
    if weeks is not None:
        yield None, 7 * weeks + days
