"""Twenty faults, one to a document: each takes a good one and spoils it in exactly one way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from types import MappingProxyType
from typing import Any

__all__ = ["FAULTS", "first", "spoiled"]

Bundle = dict[str, Any]


def first(bundle: Bundle, kind: str) -> dict[str, Any]:
    """The first resource of a kind."""
    found: dict[str, Any] = next(e["resource"] for e in bundle["entry"] if e["resource"]["resourceType"] == kind)
    return found


def _weight(bundle: Bundle) -> dict[str, Any]:
    found: dict[str, Any] = next(
        e["resource"] for e in bundle["entry"]
        if e["resource"].get("code", {}).get("coding", [{}])[0].get("code") == "29463-7"
    )  # fmt: skip
    return found


def _baby(bundle: Bundle) -> dict[str, Any]:
    return first(bundle, "Patient")


def _composition_last(bundle: Bundle) -> None:
    bundle["entry"].append(bundle["entry"].pop(0))


def _id_with_space(bundle: Bundle) -> None:
    _weight(bundle)["id"] = "weight one"


FAULTS: Mapping[str, Callable[[Bundle], object]] = MappingProxyType({
    "required missing": lambda b: _weight(b).pop("status"),
    "list where one is allowed": lambda b: _weight(b).update(status=["final"]),
    "month thirteen": lambda b: _baby(b).update(birthDate="2026-13-06"),
    "30 February": lambda b: _baby(b).update(birthDate="2026-02-30"),
    "gender girl": lambda b: _baby(b).update(gender="girl"),
    "status finished": lambda b: _weight(b).update(status="finished"),
    "dangling reference": lambda b: _weight(b)["subject"].update(
        reference="urn:uuid:00000000-0000-4000-8000-000000000000"
    ),
    "unit grams": lambda b: _weight(b)["valueQuantity"].update(code="grams"),
    "number as text": lambda b: _weight(b)["valueQuantity"].update(value="2680"),
    "extra field": lambda b: _weight(b).update(shoeSize="four"),
    "two values": lambda b: _weight(b).update(valueString="heavy"),
    "no Composition first": _composition_last,
    "reference to the wrong type": lambda b: _weight(b)["subject"].update(
        reference=f"urn:uuid:{first(b, 'Encounter')['id']}"
    ),
    "LOINC typo": lambda b: _weight(b)["code"]["coding"][0].update(code="29463-8"),
    "script in narrative": lambda b: first(b, "Composition")["section"][0]["text"].update(
        div='<div xmlns="http://www.w3.org/1999/xhtml"><script>alert(1)</script></div>'
    ),
    "value and absent reason": lambda b: _weight(b).update(dataAbsentReason={"text": "not done"}),
    "time without zone": lambda b: _weight(b).update(effectiveDateTime="2026-03-03T10:05:00"),
    "id with a space": _id_with_space,
    "empty list": lambda b: _weight(b).update(note=[]),
    "document without timestamp": lambda b: b.pop("timestamp"),
})  # fmt: skip


def spoiled(good: Bundle) -> dict[str, Bundle]:
    """The document with each fault, by the fault's name."""
    made = {}
    for name, spoil in FAULTS.items():
        made[name] = deepcopy(good)
        spoil(made[name])
    return made
