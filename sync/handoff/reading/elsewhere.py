"""Facts out of a plain FHIR record of another program: who a baby is, and measurements whose code is known.

A measurement becomes an answer only through the tables below; every other one is offered in its own words and stands
as no answer. Units are taken by their open code; without one only those whose letters can mean nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Quantity
from forms.ask import Path, ask_of
from forms.days import short_day
from forms.form import Form
from forms.people import InfantIdentity
from forms.trouble import Refused
from forms.units import quantity_of
from forms.weight import WeightReading
from sync.handoff.reading.dates import another_day, day_told, moment_told
from sync.handoff.reading.held import Offer
from sync.handoff.reading.shapes import Resource
from sync.handoff.record.codes import LOINC, UCUM

__all__ = ["in_the_future", "names_of", "offers_of_observation", "offers_of_patient", "unusual_birth_weight"]

_CODED: Final[Mapping[str, tuple[str, str]]] = MappingProxyType({
    "kg": ("kg", ""), "g": ("g", ""), "[lb_av]": ("lb_oz", " lb"), "[oz_av]": ("lb_oz", " oz"), "cm": ("cm", ""),
    "[in_i]": ("in", ""), "mm": ("mm", ""),
})  # fmt: skip
"""An open unit: ours, and what stands behind the number when it is typed here."""
_BY_LETTERS: Final = frozenset({"kg", "g", "cm", "mm"})
_DAYS: Final[Mapping[str, int]] = MappingProxyType({"wk": 7, "d": 1})
_SIZES: Final[Mapping[str, tuple[type[Form], str]]] = MappingProxyType({
    "29463-7": (WeightReading, "weight"), "8339-4": (InfantIdentity, "birth_weight"),
    "89269-5": (InfantIdentity, "birth_length"),
})  # fmt: skip
_GESTATION: Final = "11884-4"
_SEX: Final[Mapping[str, str]] = MappingProxyType({"female": "f", "male": "m"})
# 400 to 6,500 g: house bound, no source. It asks for a second look and refuses nothing.
_USUAL_BIRTH_WEIGHT: Final = (400, 6_500)


def names_of(resource: Resource) -> tuple[str, ...]:
    """Every name of a person, as one line each."""
    found = []
    for name in resource.get("name", []):
        text = name.get("text") or " ".join((*name.get("given", []), name.get("family", ""))).strip()
        if text and text not in found:
            found.append(text)
    return tuple(found)


def in_the_future(told: str, today: date) -> tuple[str, ...]:
    """A doubt about a date, whole or partial, that lies after today."""
    ahead = told[:10] > today.isoformat()[: len(told[:10])]
    day = day_told(told[:10])
    return (f"The file says {short_day(day) if day else told[:10]}, which has not come yet.",) if ahead else ()


def unusual_birth_weight(weight: Quantity) -> tuple[str, ...]:
    """A doubt about a weight at birth that few babies have."""
    low, high = _USUAL_BIRTH_WEIGHT
    usual = low <= weight.base <= high
    return () if usual else ("Few babies weigh this at birth. Look at it again before you take it.",)


def offers_of_patient(resource: Resource, *, entry: str, author: str, today: date, why: str) -> Iterator[Offer]:
    """Name, birth day and sex. A birth day without its day or month is offered in words and stands as no answer."""

    def offer(field: str, value: Any, words: str, *doubts: str, only: str = "") -> Offer:
        return Offer(
            f"{entry}/{field}", entry, entry, InfantIdentity, Path(field), value, ask_of(InfantIdentity, field).label,
            words, author=author, doubts=doubts, only_shown=why or only, barred=bool(why),
        )  # fmt: skip

    names = names_of(resource)
    if names:
        yield offer("legal_name", names[0], ", ".join(names))
    born = resource.get("birthDate")
    if born:
        day = day_told(born)
        only = "" if day is not None else "The file gives no whole day of birth."
        yield offer("born_day", day, born, *in_the_future(born, today), only=only)
    sex = resource.get("gender")
    if sex:
        only = "" if sex in _SEX else "The growth tables have no row for it."
        yield offer("sex", _SEX.get(sex), sex, only=only)


def _digits(number: Any) -> str:
    return f"{number:f}" if isinstance(number, Decimal) else str(number)


def _size(amount: Resource) -> Quantity | None:
    """The amount in a unit of ours; None outside the table."""
    number, unit, code = amount.get("value"), amount.get("unit"), amount.get("code")
    coded = code if amount.get("system") == UCUM else unit if code is None and unit in _BY_LETTERS else None
    if number is None or coded is None or coded not in _CODED or number < 0:
        return None
    ours, behind = _CODED[coded]
    try:
        return quantity_of(_digits(number) + behind, ours)
    except Refused:
        return None


def _weeks(amount: Resource) -> tuple[int, int | None] | None:
    """Full weeks, and days over where the file counts in days."""
    number, code = amount.get("value"), amount.get("code") or amount.get("unit")
    if code not in _DAYS or number is None or number != int(number) or number < 0:
        return None
    return (int(number), None) if code == "wk" else divmod(int(number), 7)


def _code(resource: Resource) -> str:
    for coding in resource.get("code", {}).get("coding", []):
        if coding.get("system") == LOINC:
            return str(coding.get("code", ""))
    return ""


def _label(resource: Resource) -> str:
    concept = resource.get("code", {})
    shown = [coding.get("display") or coding.get("code", "") for coding in concept.get("coding", [])]
    return str(concept.get("text") or (shown[0] if shown else "A measurement without a name"))


def _unit(amount: Resource) -> str:
    return str(amount.get("unit") or amount.get("code", ""))


def _words(resource: Resource) -> str:
    amount = resource.get("valueQuantity")
    if amount is not None:
        return f"{amount.get('comparator', '')}{_digits(amount.get('value', ''))} {_unit(amount)}".strip()
    for name, value in resource.items():
        if name.startswith("value"):
            text = value.get("text", "") if isinstance(value, dict) else value
            return str(text)
    parts = (
        f"{_label(one)} {_words(one)}" for one in resource.get("component", []) if isinstance(one.get("code"), dict)
    )
    return ", ".join(parts)


def _why_not(code: str, amount: Resource, value: Any, at: str, also: tuple[Any, ...]) -> str:
    if "comparator" in amount:
        return "The sender says only that it is more or less than this."
    if code not in _SIZES and code != _GESTATION:
        return "No question here asks for it."
    if value is None:
        return "Its unit has no code that is known here."
    if code == "29463-7" and not also:
        return f"It has no time of day ({at})." if at else "It has no time."
    return ""


def offers_of_observation(
    resource: Resource, *, entry: str, person: str, author: str, zone: str, today: date, why: str, document: str
) -> Iterator[Offer]:
    """One measurement as a fact; `document` says in words which file it was read in."""
    code, at, amount = _code(resource), resource.get("effectiveDateTime", ""), resource.get("valueQuantity", {})
    form, field = _SIZES.get(code, (None, ""))
    value: Any = None
    also: tuple[tuple[Path, Any], ...] = ()
    doubts = in_the_future(at, today) if at else ()
    if code == _GESTATION:
        form, field, weeks = InfantIdentity, "gestation_weeks", _weeks(amount)
        if weeks is not None:
            value = weeks[0]
            also = ((Path("gestation_days"), weeks[1]),) if weeks[1] is not None else ()
    elif form is not None:
        value = _size(amount)
    if form is WeightReading:
        taken = moment_told(at, zone)
        doubts = (*doubts, *another_day(at, taken))
        also = (
            (Path("taken"), taken), (Path("source"), "document"), (Path("document"), document),
        ) if taken is not None else ()  # fmt: skip
    no_size = bool(amount) and (code in _SIZES or code == _GESTATION) and value is None
    if code == "8339-4" and value is not None:
        doubts = (*doubts, *unusual_birth_weight(value))
    yield Offer(
        f"{entry}/{field or 'value'}", entry, person, form, Path(field) if field else None, value, _label(resource),
        _words(resource), at, author, also=also, doubts=doubts,
        only_shown=why or _why_not(code, amount, value, at, also),
        barred=bool(why) or "comparator" in amount or no_size, unit=_unit(amount),
    )  # fmt: skip
