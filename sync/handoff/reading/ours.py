"""Facts out of the answers of our own forms, as another practice with this program hands them over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import chain
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Absence, Absent, Quantity
from forms.ask import Ask, Kind, asks, paths
from forms.form import Form, catalog
from forms.trouble import Refused
from forms.units import UNITS, quantity_of
from sync.handoff.reading.dates import another_day, day_told, moment_told
from sync.handoff.reading.held import Offer
from sync.handoff.reading.shapes import Resource, Resources
from sync.handoff.record.asked import TAKEN_FROM
from sync.handoff.record.codes import BASE

__all__ = ["form_of", "offers_of_answers"]

_CANONICAL: Final = re.compile(re.escape(f"{BASE}/Questionnaire/") + r"([a-z0-9_]+)\|[0-9a-f]{12}")
_NO_ANSWER: Final = f"{BASE}/StructureDefinition/deliberate-non-answer"
_ABSENCES: Final[Mapping[str, Absence]] = MappingProxyType({str(one).replace("_", "-"): one for one in Absence})
_TYPED: Final = re.compile(r"(.*) \(([^()]*)\)", re.DOTALL)
_BY_SYMBOL: Final[Mapping[str, str]] = MappingProxyType({unit.symbol: unit.name for unit in UNITS.values()})
_BY_CODE: Final[Mapping[str, str]] = MappingProxyType({
    "g": "g", "kg": "kg", "mL": "mL", "Cel": "C", "mm": "mm", "cm": "cm", "min": "min", "h": "h", "%": "percent",
})  # fmt: skip
_NOT_OURS: Final = "It is not written as this version’s question takes it."


def form_of(resource: Resource) -> type[Form] | None:
    """The form whose answers these are; None for a form that is not ours or not known to this version."""
    found = _CANONICAL.fullmatch(resource.get("questionnaire", ""))
    return catalog().get(found[1]) if found else None


def _parts(extension: Any) -> Iterator[tuple[str, Any]]:
    for one in extension if isinstance(extension, list) else ():
        if isinstance(one, dict) and isinstance(one.get("url"), str):
            yield one["url"], one


def _absent(item: Resource) -> Absent | None:
    """The deliberate non-answer of an item, if it is one."""
    for url, mark in _parts(item.get("extension")):
        if url == _NO_ANSWER:
            held = dict(_parts(mark.get("extension")))
            kind = _ABSENCES.get(str(held.get("kind", {}).get("valueCode")))
            why = held.get("why", {}).get("valueString", "")
            return Absent(kind, why) if kind is not None and isinstance(why, str) else None
    return None


def _source(item: Resource) -> tuple[str, str]:
    """Of an answer the sender took over itself: who wrote it first, and when; nothing of any other."""
    held = dict(_parts(dict(_parts(item.get("extension"))).get(TAKEN_FROM, {}).get("extension")))
    author, at = (held.get(name, {}).get("valueString") for name in ("author", "at"))
    return author if isinstance(author, str) else "", at if isinstance(at, str) else ""


def _typed(answer: Resource) -> str:
    for inner in answer.get("item", []) if isinstance(answer.get("item"), list) else ():
        for told in (
            inner.get("answer", []) if isinstance(inner, dict) and isinstance(inner.get("answer"), list) else ()
        ):
            if isinstance(told, dict) and isinstance(told.get("valueString"), str):
                return str(told["valueString"])
    return ""


def _as_said(typed: str) -> str:
    """A reading as it was typed, for a person: its unit is not said twice."""
    found = _TYPED.fullmatch(typed)
    if found is None or found[2] not in _BY_SYMBOL:
        return typed
    if found[1].endswith(found[2]):
        return found[1]
    return typed if any(letter.isalpha() for letter in found[1]) else f"{found[1]} {found[2]}"


def _quantity(answer: Resource) -> Quantity | None:
    """The amount, from the reading as it was typed where that came along."""
    given = answer.get("valueQuantity")
    if not isinstance(given, dict) or "comparator" in given:
        return None
    number, unit = given.get("value"), _BY_CODE.get(str(given.get("code")))
    if isinstance(number, bool) or not isinstance(number, int | Decimal) or unit is None:
        return None
    found = _TYPED.fullmatch(_typed(answer))
    typed, symbol = (found[1], _BY_SYMBOL.get(found[2])) if found else ("", None)
    try:
        base = quantity_of(f"{number:f}" if isinstance(number, Decimal) else str(number), unit)
        if symbol is None:
            return base
        read = quantity_of(typed, symbol)
    except Refused:
        return Quantity(typed, symbol, base.base) if symbol is not None else None
    return read if abs(read.base - base.base) <= 1 else None


def _one(ask: Ask, answer: Resource, zone: str) -> Any:
    """One value of an answer as this question keeps it; None where it is not written so."""
    match ask.kind:
        case Kind.YES_NO:
            told = answer.get("valueBoolean")
            return told if isinstance(told, bool) else None
        case Kind.SCALE | Kind.COUNT:
            told = answer.get("valueInteger")
            return told if isinstance(told, int) and not isinstance(told, bool) else None
        case Kind.QUANTITY:
            return _quantity(answer)
        case Kind.MOMENT:
            return moment_told(answer.get("valueDateTime"), zone)
        case Kind.DAY:
            return day_told(answer.get("valueDate"))
    coded = answer.get("valueCoding")
    told = coded.get("code") if ask.options and isinstance(coded, dict) else answer.get("valueString")
    return told if isinstance(told, str) else None


def _words(answer: Resource, at: Resources) -> str:
    """An answer in the file's own words."""
    for name, value in answer.items():
        if name == "valueQuantity" and isinstance(value, dict):
            compared = f"{value['comparator']} " if "comparator" in value else ""
            return _as_said(_typed(answer)) or f"{compared}{value.get('value', '')} {value.get('unit', '')}".strip()
        if name == "valueCoding" and isinstance(value, dict):
            return str(value.get("display") or value.get("code") or "")
        if name == "valueReference" and isinstance(value, dict):
            return _named(at.at(value.get("reference")))
        if name == "valueBoolean":
            return "Yes" if value is True else "No"
        if name.startswith("value"):
            return str(value)
    return ""


def _named(resource: Resource | None) -> str:
    """What a resource is called, for an answer that points to it."""
    if resource is None:
        return "something that is not in this file"
    names = resource.get("name")
    first = names[0] if isinstance(names, list) and names else names
    text = first.get("text") if isinstance(first, dict) else first
    return str(text) if text else f"{resource['resourceType']} {resource.get('id', '')}".strip()


def _value(ask: Ask, answers: list[Resource], zone: str) -> Any:
    values = [_one(ask, one, zone) for one in answers]
    if not values or any(one is None for one in values):
        return None
    if ask.kind in (Kind.MANY, Kind.REFS):
        return tuple(values)
    return values[0] if len(values) == 1 else None


def _compared(answer: Resource) -> bool:
    """Whether an amount is only said to be more or less."""
    return isinstance(answer.get("valueQuantity"), dict) and "comparator" in answer["valueQuantity"]


def _why_not(ask: Ask, value: Any, answers: list[Resource]) -> str:
    if any(map(_compared, answers)):
        return "The sender says only that it is more or less than this."
    if value is None:
        return _NOT_OURS
    given = value if isinstance(value, tuple) else (value,)
    if ask.options and not isinstance(value, Absent) and any(one not in ask.options for one in given):
        return "It is an answer that this version does not offer."
    return ""


def offers_of_answers(
    resource: Resource, form: type[Form], at: Resources, *, entry: str, person: str, author: str, zone: str, why: str
) -> Iterator[Offer]:
    """Each answer as a fact. `entry` names the resource, `zone` is where times are lived here, `why` bars them all."""
    places = {str(path): path for path in paths(form)}
    for item in resource.get("item", []):
        path = places.get(item.get("linkId", ""))
        ask = asks(form)[path.field] if path is not None else None
        absent, answers = _absent(item), [one for one in item.get("answer", []) if isinstance(one, dict)]
        refers = tuple(
            str(one["valueReference"].get("reference", "")) for one in answers
            if isinstance(one.get("valueReference"), dict)
        )  # fmt: skip
        value = absent if ask is None or absent is not None else _value(ask, answers, zone)
        barred = why or ("It is not a question of this version." if ask is None else "")
        if not barred and refers:
            barred = "It points to somebody or something in the sender’s own records."
        words = ", ".join(filter(None, (_words(one, at) for one in answers)))
        if absent is not None:
            words = str(absent.kind).replace("_", " ").capitalize() + (f": {absent.why}" if absent.why else "")
        first, when = _source(item)
        doubts = (another_day(one.get("valueDateTime"), value) for one in answers)
        yield Offer(
            f"{entry}/{item.get('linkId', '')}", entry, person, form, path, value, item.get("text", ""), words,
            when or resource.get("authored", ""), first or author, refers,
            only_shown=barred or (_why_not(ask, value, answers) if ask is not None else ""),
            barred=bool(why) or any(map(_compared, answers)), doubts=tuple(chain.from_iterable(doubts)),
        )  # fmt: skip
