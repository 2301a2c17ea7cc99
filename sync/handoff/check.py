"""What would be wrong with an open record, before it leaves: a check of our own that must find nothing.

It looks at what the common readers of FHIR let pass: references that lead nowhere or to the wrong kind, units and codes
outside our tables, LOINC check digits, the rules of a document, narratives that could run something, days that do not
exist and times without a zone. It takes any JSON value and never raises.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Final

from sync.handoff.record.codes import LOINC, LOINC_NAMES, MEASURED, UCUM, UNITS_OUT, check_digit_holds

__all__ = ["problems"]

_ID: Final = re.compile(r"[A-Za-z0-9\-.]{1,64}")
_DAY: Final = re.compile(r"\d{4}(-\d{2}(-\d{2})?)?")
_TIME: Final = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[+-]\d{2}:\d{2})")
_ZONE: Final = re.compile(r"(Z|[+-]\d{2}:\d{2})$")
_TAG: Final = re.compile(r"<\s*/?\s*([A-Za-z0-9]+)([^>]*)>")
_HARMLESS: Final = frozenset(
    {"div", "p", "br", "b", "i", "ul", "ol", "li", "table", "tr", "td", "th", "tbody", "thead"}
)
_XHTML: Final = 'xmlns="http://www.w3.org/1999/xhtml"'

_DAYS: Final = frozenset({"birthDate", "valueDate"})
_TIMES: Final = frozenset({
    "timestamp", "recorded", "effectiveDateTime", "valueDateTime", "authored", "authoredOn", "dateTime", "created",
})  # fmt: skip
"""Names that stand for a time wherever they occur; `date`, `start` and `end` are times or days too."""
_EITHER: Final = frozenset({"date", "start", "end"})
_INSTANTS: Final = frozenset({"timestamp", "recorded"})

_OF_A_PERSON: Final = frozenset({"Patient"})
_WHO: Final = frozenset({"Practitioner", "Organization", "Patient", "RelatedPerson"})
_LEADS_TO: Final[Mapping[str, frozenset[str]]] = MappingProxyType({
    "subject": _OF_A_PERSON, "patient": _OF_A_PERSON, "encounter": frozenset({"Encounter"}), "author": _WHO,
    "custodian": frozenset({"Organization"}), "individual": frozenset({"Practitioner"}), "requester": _WHO,
    "performer": _WHO, "other": frozenset({"Patient", "RelatedPerson"}), "who": _WHO, "reference": _WHO,
    "goal": frozenset({"Goal"}), "supportingInfo": frozenset({"QuestionnaireResponse", "Observation"}),
    "source": _WHO, "derivedFrom": frozenset({"QuestionnaireResponse"}),
})  # fmt: skip
"""What a reference of that name may lead to; one whose name is not here may lead to anything in the document."""

_Where = tuple[str, ...]


def _walk(value: Any, where: _Where = ()) -> Iterator[tuple[_Where, str, Any, Any]]:
    """Every named value of a document with where it stands, its name and the object that holds it."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield (*where, name), name, inner, value
            yield from _walk(inner, (*where, name))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from _walk(inner, (*where, str(place)))


def _said(where: _Where) -> str:
    return ".".join(where)


def _day_is_real(text: str) -> bool:
    if not _DAY.fullmatch(text):
        return False
    year, month, day = (*map(int, text.split("-")), 1, 1)[:3]
    try:
        date(year, month, day)
    except ValueError:
        return False
    return True


def _time_is_real(text: str) -> bool:
    if not _TIME.fullmatch(text):
        return False
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


def _time(where: _Where, name: str, value: Any) -> Iterator[str]:
    if name not in _DAYS | _TIMES | _EITHER or isinstance(value, dict | list):
        return
    if not isinstance(value, str):
        yield f"{_said(where)} is no date"
    elif "T" in value:
        if not _ZONE.search(value):
            yield f"{_said(where)} is a time without its zone"
        elif name in _DAYS or not _time_is_real(value):
            yield f"{_said(where)} is no real time"
    elif name in _INSTANTS or not _day_is_real(value):
        yield f"{_said(where)} is no real date"


def _coding(where: _Where, value: Mapping[str, Any]) -> Iterator[str]:
    code = value.get("code")
    if value.get("system") == LOINC:
        if not isinstance(code, str) or not check_digit_holds(code):
            yield f"{_said(where)} has a LOINC code whose check digit does not hold"
        elif code not in LOINC_NAMES:
            yield f"{_said(where)} has a LOINC code that is not in our table"


def _quantity(where: _Where, value: Mapping[str, Any]) -> Iterator[str]:
    if "value" not in value:
        return
    if value.get("system") != UCUM or value.get("code") not in UNITS_OUT or value.get("unit") != value.get("code"):
        yield f"{_said(where)} is in a unit that is not in our table"
    number = value["value"]
    if isinstance(number, bool) or not isinstance(number, int | Decimal):
        yield f"{_said(where)} is no exact number"
    elif isinstance(number, Decimal) and not number.is_finite():
        yield f"{_said(where)} is no number"


def _narrative(where: _Where, value: Any) -> Iterator[str]:
    if not isinstance(value, str) or not value.startswith(f"<div {_XHTML}>") or not value.endswith("</div>"):
        yield f"{_said(where)} is no narrative"
        return
    inside = value.replace(f" {_XHTML}", "", 1)
    if any(tag.lower() not in _HARMLESS or rest.strip(" /") for tag, rest in _TAG.findall(inside)):
        yield f"{_said(where)} holds something that does more than show words"
    elif inside.count("<") != len(_TAG.findall(inside)):
        yield f"{_said(where)} is not closed"


def _value(where: _Where, name: str, value: Any, holder: Mapping[str, Any]) -> Iterator[str]:
    """What is wrong with one named value by itself."""
    if isinstance(value, float):
        yield f"{_said(where)} is no exact number"
    if value is None or value in ("", [], {}):
        yield f"{_said(where)} is there and empty"
    elif isinstance(value, str) and not value.strip():
        yield f"{_said(where)} is there and blank"
    if name == "id" and not (isinstance(value, str) and _ID.fullmatch(value)):
        yield f"{_said(where)} is not of the form an id has"
    if name == "div":
        yield from _narrative(where, value)
    if isinstance(value, dict) and "system" in value and name in ("coding", "class", "valueCoding", "code"):
        yield from _coding(where, value)
    if name in ("coding", "code") and isinstance(value, list):
        for place, one in enumerate(value):
            if isinstance(one, dict):
                yield from _coding((*where, str(place)), one)
    if name == "valueQuantity" and isinstance(value, dict):
        yield from _quantity(where, value)
    yield from _time(where, name, value)
    if "dataAbsentReason" in holder and name.startswith("value"):
        yield f"{_said(where)} is given and said to be missing"


def _references(bundle: Mapping[str, Any], resources: Mapping[str, Any]) -> Iterator[str]:
    for where, name, value, _holder in _walk(bundle):
        if name != "reference" or not isinstance(value, str):
            continue
        found = resources.get(value)
        by = next(part for part in reversed(where[:-1]) if not part.isdecimal())
        may = _LEADS_TO.get(by)
        if found is None:
            yield f"{_said(where)} leads nowhere"
        elif may is not None and found.get("resourceType") not in may:
            yield f"{_said(where)} leads to a {found.get('resourceType')}"


def _measured(resource: Mapping[str, Any]) -> Iterator[str]:
    """A coded measurement must be in one of the units of its code."""
    code, value = resource.get("code"), resource.get("valueQuantity")
    codings = code.get("coding", ()) if isinstance(code, dict) else ()
    for one in codings if isinstance(codings, list) and isinstance(value, dict) else ():
        units = MEASURED.get(str(one.get("code"))) if isinstance(one, dict) else None
        if units is not None and isinstance(value, dict) and value.get("code") not in units:
            yield f"an Observation of {LOINC_NAMES[one['code']]} is in none of its units"


def _canonicals(resources: Mapping[str, Any]) -> Iterator[str]:
    """Every form that is answered stands in the document, in the version that was answered."""
    forms = {
        f"{r.get('url')}|{r.get('version')}" for r in resources.values() if r.get("resourceType") == "Questionnaire"
    }
    for one in resources.values():
        if one.get("resourceType") == "QuestionnaireResponse" and one.get("questionnaire") not in forms:
            yield "a form was answered that is not in the document"


def _document(bundle: Mapping[str, Any], entries: list[Any]) -> Iterator[str]:
    """The rules of a document."""
    if bundle.get("resourceType") != "Bundle" or bundle.get("type") != "document":
        yield "it is no document"
    identifier = bundle.get("identifier")
    if not isinstance(identifier, dict) or not identifier.get("system") or not identifier.get("value"):
        yield "the document has no identifier"
    if "timestamp" not in bundle:
        yield "the document has no time of making"
    first = entries[0].get("resource") if entries and isinstance(entries[0], dict) else None
    if not isinstance(first, dict) or first.get("resourceType") != "Composition":
        yield "the document does not begin with its Composition"
    else:
        for wanted in ("status", "type", "date", "author", "title", "subject", "section"):
            if wanted not in first:
                yield f"the Composition has no {wanted}"


def _named(entries: list[Any]) -> tuple[dict[str, Any], list[str]]:
    """The resources by the name under which they are referred to, and what is wrong with those names."""
    found: dict[str, Any] = {}
    wrong = []
    for place, one in enumerate(entries):
        resource = one.get("resource") if isinstance(one, dict) else None
        url = one.get("fullUrl") if isinstance(one, dict) else None
        if not isinstance(resource, dict) or not isinstance(url, str):
            wrong.append(f"entry.{place} holds no resource with a name")
        elif url != f"urn:uuid:{resource.get('id')}":
            wrong.append(f"entry.{place} is not named by its id")
        elif url in found:
            wrong.append(f"entry.{place} stands twice")
        else:
            found[url] = resource
    return found, wrong


def problems(bundle: Any) -> tuple[str, ...]:
    """What is wrong with a document, each a few words with where it stands and no clinical value; () for a good one."""
    if not isinstance(bundle, dict) or not isinstance(bundle.get("entry"), list):
        return ("it is no document",)
    resources, wrong = _named(bundle["entry"])
    wrong += _document(bundle, bundle["entry"])
    for where, name, value, holder in _walk(bundle):
        wrong += _value(where, name, value, holder)
    wrong += _references(bundle, resources)
    for resource in resources.values():
        if resource.get("resourceType") == "Observation":
            wrong += _measured(resource)
    wrong += _canonicals(resources)
    return tuple(dict.fromkeys(wrong))
