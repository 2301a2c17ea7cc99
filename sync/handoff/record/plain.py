"""The small parts of which every resource is made: names, times, amounts, references and running text.

Plain dicts in a fixed order. What is unknown is left out by `tidy`, never written as zero or as an empty list. Numbers
are `Decimal` with the digits as they were written; nothing here is ever a float.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from html import escape
from types import MappingProxyType
from typing import Any, Final, TypeAlias
from uuid import NAMESPACE_URL, UUID, uuid5

from forms.answers import Moment, Quantity
from forms.trouble import Refused
from forms.units import UNITS, Dimension, to_exact
from sync.handoff.record.codes import BASE, LOINC, LOINC_NAMES, UCUM

__all__ = [
    "Resource", "amount", "as_json", "codeable", "coding", "concept", "count_of", "div", "fixed_id", "grams_or_cm",
    "made", "points_to", "tidy", "when", "written",
]  # fmt: skip

Resource: TypeAlias = dict[str, Any]

_NAMESPACE: Final[UUID] = uuid5(NAMESPACE_URL, BASE)

_AS_TYPED: Final[Mapping[str, str]] = MappingProxyType({
    "g": "g", "kg": "kg", "mL": "mL", "C": "Cel", "mm": "mm", "cm": "cm", "min": "min", "h": "h", "percent": "%",
})  # fmt: skip
"""The units of ours that are open ones, under their open names: an amount typed in one goes out as it was typed."""
_BASE: Final[Mapping[Dimension, tuple[str, int]]] = MappingProxyType({
    Dimension.MASS: ("g", 0), Dimension.VOLUME: ("mL", 0), Dimension.TEMPERATURE: ("Cel", 1),
    Dimension.LENGTH: ("mm", 0), Dimension.TIME: ("min", 0), Dimension.SHARE: ("%", 1),
})  # fmt: skip
"""The open unit of the record's own figure, and how many decimals of it that counts."""
_DIGITS: Final = re.compile(r"\d+(?:[.,]\d+)?")


def fixed_id(*parts: str) -> str:
    """The id of a resource: always the same for the same entry, and nothing of the entry can be read off it."""
    return str(uuid5(_NAMESPACE, "/".join(parts)))


def points_to(resource: Resource) -> Resource:
    """A reference to another resource of the same document."""
    return {"reference": f"urn:uuid:{resource['id']}"}


def tidy(value: Any) -> Any:
    """The same without what is unknown: None, empty text, empty lists and empty objects; False and 0 stay."""
    if isinstance(value, dict):
        kept = {name: tidy(inner) for name, inner in value.items()}
        return {name: inner for name, inner in kept.items() if inner not in (None, "", [], {})}
    if isinstance(value, list | tuple):
        return [inner for inner in map(tidy, value) if inner not in (None, "", [], {})]
    return value


def made(kind: str, *parts: str, **fields: Any) -> Resource:
    """A resource of a kind with the id derived from `parts`; a trailing underscore is dropped from a field's name."""
    named = {name.rstrip("_"): value for name, value in fields.items()}
    resource: Resource = tidy({"resourceType": kind, "id": fixed_id(kind, *parts), **named})
    return resource


def when(value: Moment | date) -> str:
    """A time with its zone, or a day and no more."""
    return value.local().isoformat() if isinstance(value, Moment) else value.isoformat()


def coding(code: str) -> Resource:
    """A LOINC code of our table with its name."""
    return {"system": LOINC, "code": code, "display": LOINC_NAMES[code]}


def concept(text: str) -> Resource:
    """A concept that has words and no code."""
    return {"text": text}


def codeable(code: str, text: str = "") -> Resource:
    """A concept with a LOINC code of our table, and the words of the question."""
    return tidy({"coding": [coding(code)], "text": text or LOINC_NAMES[code]})  # type: ignore[no-any-return]


def count_of(value: int, unit: str) -> Resource:
    """So many of an open unit."""
    return {"value": Decimal(value), "unit": unit, "system": UCUM, "code": unit}


def amount(quantity: Quantity) -> Resource:
    """An amount in an open unit: the digits as typed where it was typed in one, else the record's own figure."""
    digits = _as_typed(quantity)
    if digits is not None:
        unit = _AS_TYPED[quantity.unit]
        return {"value": digits, "unit": unit, "system": UCUM, "code": unit}
    unit, places = _BASE[UNITS[quantity.unit].dimension]
    return {"value": Decimal(quantity.base).scaleb(-places), "unit": unit, "system": UCUM, "code": unit}


def _as_typed(quantity: Quantity) -> Decimal | None:
    """The digits as they were typed, if they alone stand for the amount in an open unit."""
    found = _DIGITS.search(quantity.typed) if quantity.typed.isascii() else None
    if found is None or quantity.unit not in _AS_TYPED:
        return None
    digits, unit = Decimal(found[0].replace(",", ".")), UNITS[quantity.unit]
    try:
        same = (Fraction(digits) - unit.zero) * unit.per == to_exact(quantity.typed, quantity.unit)
    except Refused:
        return None
    return digits if same else None


def grams_or_cm(quantity: Quantity) -> Resource:
    """A weight in g or kg, a length in cm: the only units a vital sign may have; millimetres become centimetres."""
    told = amount(quantity)
    if told["code"] != "mm":
        return told
    return {"value": told["value"].scaleb(-1), "unit": "cm", "system": UCUM, "code": "cm"}


def written(quantity: Quantity) -> str:
    """The reading as it was typed, with its unit, where it goes out converted; "" where it goes out as typed."""
    symbol = UNITS[quantity.unit].symbol
    return "" if _as_typed(quantity) is not None else f"{quantity.typed} ({symbol})"


def div(lines: Iterable[str]) -> Resource:
    """A narrative: one paragraph for each line, as plain text."""
    told = "".join(f"<p>{escape(line, quote=False)}</p>" for line in lines)
    return {"status": "generated", "div": f'<div xmlns="http://www.w3.org/1999/xhtml">{told}</div>'}


def as_json(value: Any) -> str:
    """Compact JSON in the order given, each decimal with the digits it has. Raises TypeError for a float."""
    match value:
        case None:
            return "null"
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case Decimal():
            return f"{value:f}"
        case str():
            return _text(value)
        case dict():
            return "{" + ",".join(f"{_text(name)}:{as_json(inner)}" for name, inner in value.items()) + "}"
        case list() | tuple():
            return "[" + ",".join(map(as_json, value)) + "]"
    raise TypeError(f"{type(value).__name__} has no place in a record")


_ESCAPED: Final[Mapping[str, str]] = MappingProxyType({
    '"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t",
    **{chr(n): f"\\u{n:04x}" for n in (*range(9), 11, 12, *range(14, 32))},
})  # fmt: skip
_TO_ESCAPE: Final = re.compile('["\\\\\x00-\x1f]')


def _text(value: str) -> str:
    return '"' + _TO_ESCAPE.sub(lambda found: _ESCAPED[found[0]], value) + '"'
