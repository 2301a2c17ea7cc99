"""Whether a value from a file is built as FHIR R4 builds it, asked before anything of it is used."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from html import unescape
from types import MappingProxyType
from typing import Any, Final

from sync.handoff.reading.troubles import WrongShape

__all__ = ["Resource", "Resources", "fits", "narrative", "resources", "why_only_shown"]

Resource = dict[str, Any]

_NUMBER: Final = (int, Decimal)
_NAME: Final = {"text": str, "use": str, "family": str, "given": [str]}
_CONCEPT: Final = {"coding": [{"system": str, "code": str, "display": str}], "text": str}
_POINTS: Final = {"reference": str, "display": str}
_DIV: Final = {"div": str}
_AMOUNT: Final = {"value": _NUMBER, "unit": str, "code": str, "system": str, "comparator": str}
_SHAPES: Final[Mapping[str, Mapping[str, Any]]] = MappingProxyType({
    "Patient": {"name": [_NAME], "birthDate": str, "gender": str},
    "Practitioner": {"name": [_NAME]},
    "Observation": {
        "status": str, "code": _CONCEPT, "subject": _POINTS, "effectiveDateTime": str, "valueQuantity": _AMOUNT,
        "performer": [_POINTS], "component": [{}], "derivedFrom": [_POINTS],
    },
    "QuestionnaireResponse": {
        "status": str, "questionnaire": str, "subject": _POINTS, "author": _POINTS, "authored": str,
        "item": [{"linkId": str, "text": str, "answer": [{}], "extension": [{}]}],
    },
    "Composition": {"author": [_POINTS], "date": str, "title": str, "section": [{"title": str, "text": _DIV}]},
})  # fmt: skip
"""What is read of a kind, and how it must be built; a name that is not here is not looked at."""

_COMMON: Final = {"id": str, "text": _DIV, "implicitRules": str}


def _is(value: Any, shape: Any) -> bool:
    if isinstance(shape, Mapping):
        return isinstance(value, dict) and all(
            _is(value[name], inner) for name, inner in shape.items() if name in value
        )
    if isinstance(shape, list):
        return isinstance(value, list) and all(_is(one, shape[0]) for one in value)
    return isinstance(value, shape) and not isinstance(value, bool)


def fits(resource: Resource) -> bool:
    """Whether what is read of a resource is built as its kind is; kinds that are not read only need a plain head."""
    return _is(resource, {**_COMMON, **_SHAPES.get(resource["resourceType"], {})})


@dataclass(frozen=True)
class Resources:
    """The resources of a bundle in their order, and how they name each other."""

    all: tuple[Resource, ...]
    named: Mapping[str, Resource] = field(default_factory=dict)

    def at(self, reference: Any) -> Resource | None:
        """The resource a reference leads to, if it is in the file."""
        return self.named.get(reference) if isinstance(reference, str) else None


def resources(bundle: Any) -> Resources:
    """The resources of a bundle; raises WrongShape for anything that is none."""
    if not isinstance(bundle, dict) or bundle.get("resourceType") != "Bundle" or "implicitRules" in bundle:
        raise WrongShape
    entries = bundle.get("entry", [])
    if not isinstance(entries, list):
        raise WrongShape
    found: list[Resource] = []
    named: dict[str, Resource] = {}
    for entry in entries:
        held = entry.get("resource") if isinstance(entry, dict) else None
        if not isinstance(held, dict) or not isinstance(held.get("resourceType"), str):
            raise WrongShape
        found.append(held)
        if isinstance(entry.get("fullUrl"), str):
            named.setdefault(entry["fullUrl"], held)
        if isinstance(held.get("id"), str):
            named.setdefault(f"{held['resourceType']}/{held['id']}", held)
    return Resources(tuple(found), named)


def _modified(value: Any) -> bool:
    if isinstance(value, dict):
        return "modifierExtension" in value or any(map(_modified, value.values()))
    return isinstance(value, list) and any(map(_modified, value))


def why_only_shown(resource: Resource) -> str:
    """Why nothing of a resource may be used, however plain it looks; "" where nothing stands against it."""
    if resource.get("status") == "entered-in-error":
        return "The sender marked this as entered in error."
    if "implicitRules" in resource:
        return "The sender says that rules of its own change what this means."
    if _modified(resource):
        return "The sender added a mark that changes what this means, and the mark is not known here."
    return ""


_TAG: Final = re.compile(r"<[^<>]*>")


def _plain(markup: str) -> str:
    lines = (" ".join(unescape(line).split()) for line in _TAG.sub("\n", markup).split("\n"))
    return "\n".join(line for line in lines if line)


def _divs(resource: Resource) -> Iterator[str]:
    text = resource.get("text")
    if isinstance(text, dict) and isinstance(text.get("div"), str):
        yield text["div"]
    sections = resource.get("section")
    for section in sections if isinstance(sections, list) else ():
        if isinstance(section, dict):
            if isinstance(section.get("title"), str):
                yield section["title"]
            yield from _divs(section)


def narrative(resource: Resource) -> str:
    """The words of a resource for a person to read, its tags stripped; markup is never drawn."""
    return "\n".join(filter(None, map(_plain, _divs(resource))))
