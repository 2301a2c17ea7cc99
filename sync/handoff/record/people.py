"""Who is who in a record: each person it is about, the family around a baby, who wrote it, and to whom it goes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Moment
from forms.chart import Entry
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner, Provider
from sync.handoff.record.codes import BASE, TERMS
from sync.handoff.record.plain import Resource, fixed_id, made, points_to, when
from sync.handoff.record.telling import Telling

__all__ = ["baby", "organization", "parent", "patient_id", "practitioner", "provider", "related"]

_BIRTH_TIME: Final = "http://hl7.org/fhir/StructureDefinition/patient-birthTime"
_GENDER: Final[Mapping[str, str]] = MappingProxyType({"f": "female", "m": "male"})
_KIN: Final[Mapping[str, tuple[str, str]]] = MappingProxyType({
    "birth_parent": ("NPRN", "natural parent"), "non_birth_parent": ("PRN", "parent"),
    "adoptive_parent": ("ADOPTP", "adoptive parent"), "foster_parent": ("PRNFOST", "foster parent"),
    "surrogate": ("GESTM", "gestational mother"), "grandparent": ("GRPRN", "grandparent"),
})  # fmt: skip
"""The role codes for ours; where a family's role has no neutral code, its words alone go out."""


def patient_id(person: str) -> str:
    """The id of the Patient of a person."""
    return fixed_id("Patient", person)


def _identifier(entry: str) -> list[Resource]:
    return [{"system": f"{BASE}/person", "value": fixed_id("person", entry)}]


def _names(telling: Telling, person: InfantIdentity | ParentIdentity, full: str) -> list[Resource]:
    official, called = telling.words(person, full), telling.words(person, "called_name")
    return [
        {"use": "official", "text": official},
        {"use": "usual", "text": called if called != official else ""},
    ] if official else [{"use": "usual", "text": called}]  # fmt: skip


def _phones(telling: Telling, answers: Any) -> list[Resource]:
    number = telling.words(answers, "phone")
    return [{"system": "phone", "value": number}] if number else []


def _addresses(telling: Telling) -> list[Resource]:
    return [{"text": telling.words(telling.family, "address")}]


def _birth(born: Any, born_day: Any) -> dict[str, Any]:
    """The birth day, and the time too where one is known."""
    if isinstance(born, Moment):
        time = {"extension": [{"url": _BIRTH_TIME, "valueDateTime": when(born)}]}
        return {"birthDate": born.local().date().isoformat(), "_birthDate": time}
    return {"birthDate": born_day.isoformat()} if isinstance(born_day, date) else {}


def baby(telling: Telling, entry: Entry[InfantIdentity]) -> Resource:
    """A baby the record is about."""
    who = entry.answers
    several = (telling.value(who, "plurality") or 1) > 1
    return made(
        "Patient", entry.id, identifier=_identifier(entry.id), name=[
            *_names(telling, who, "legal_name"), {"use": "old", "text": telling.words(who, "earlier_names")},
        ],
        gender=_GENDER.get(telling.value(who, "sex") or ""),
        **_birth(telling.value(who, "born"), telling.value(who, "born_day")),
        address=_addresses(telling),
        multipleBirthInteger=telling.value(who, "birth_order") if several else None,
    )  # fmt: skip


def parent(telling: Telling, entry: Entry[ParentIdentity], kin: Iterable[Resource]) -> Resource:
    """A parent the record is about; `kin` are the RelatedPersons that are this same person."""
    who = entry.answers
    language = telling.words(who, "language")
    return made(
        "Patient", entry.id, identifier=_identifier(entry.id), name=_names(telling, who, "full_name"),
        telecom=_phones(telling, who), **_birth(None, telling.value(who, "born_day")), address=_addresses(telling),
        communication=[{"language": {"text": language}}] if language else [],
        link=[{"other": points_to(one), "type": "seealso"} for one in kin],
    )  # fmt: skip


def related(telling: Telling, entry: Entry[ParentIdentity], of: Entry[InfantIdentity]) -> Resource:
    """A parent or carer as the one around a baby."""
    who = entry.answers
    roles = telling.value(who, "roles") or ()
    coded = [{"system": f"{TERMS}/v3-RoleCode", "code": _KIN[r][0], "display": _KIN[r][1]} for r in roles if r in _KIN]
    words = telling.words(who, "roles")
    return made(
        "RelatedPerson", entry.id, of.id, identifier=_identifier(entry.id),
        patient={"reference": f"urn:uuid:{patient_id(of.id)}"},
        relationship=[{"coding": coded, "text": words}], name=_names(telling, who, "full_name"),
        telecom=_phones(telling, who),
    )  # fmt: skip


def practitioner(telling: Telling, entry: Entry[Practitioner]) -> Resource:
    """Someone who wrote what is told."""
    who = entry.answers
    credentials = telling.words(who, "credentials")
    return made(
        "Practitioner", entry.id, identifier=_identifier(entry.id), name=[{"text": telling.words(who, "full_name")}],
        telecom=_phones(telling, who),
        qualification=[{"code": {"text": credentials}}] if credentials else [],
    )  # fmt: skip


def provider(telling: Telling, entry: Entry[Provider]) -> Resource:
    """Someone a family's care is shared with."""
    who = entry.answers
    fax, work = telling.words(who, "fax"), ", ".join(
        filter(None, (telling.words(who, "profession"), telling.words(who, "practice")))
    )  # fmt: skip
    return made(
        "Practitioner", entry.id, identifier=_identifier(entry.id), name=[{"text": telling.words(who, "full_name")}],
        telecom=[*_phones(telling, who), *([{"system": "fax", "value": fax}] if fax else [])],
        address=[{"text": telling.words(who, "address")}],
        qualification=[{"code": {"text": work}}] if work else [],
    )  # fmt: skip


def organization(telling: Telling) -> Resource | None:
    """The practice, or None while it has no name."""
    practice = telling.chart.one(Practice)
    name = telling.words(practice, "practice_name")
    if not name:
        return None
    where = ", ".join(filter(None, (telling.words(practice, "address"), telling.words(practice, "locality"))))
    return made("Organization", name, name=name, address=[{"text": where}])
