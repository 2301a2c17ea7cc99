"""The codes and units a record may use; nothing else goes out, and the check refuses what is not here.

LOINC codes were seen in open value sets and guides of FHIR R4 and IPS 2.0.1, and their check digits tried; the units
are those that two UCUM readers took. Displays are the names of those value sets, or the plain meaning.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = [
    "ABSENT", "BASE", "LOINC", "LOINC_NAMES", "LOINC_NOTICE", "MEASURED", "TERMS", "UCUM", "UNITS_OUT",
    "check_digit_holds",
]  # fmt: skip

BASE: Final = "https://hearthside.example/fhir"
"""Where our own names begin; a name and no address, nothing is ever fetched from it."""
LOINC: Final = "http://loinc.org"
UCUM: Final = "http://unitsofmeasure.org"
TERMS: Final = "http://terminology.hl7.org/CodeSystem"
ABSENT: Final = "http://hl7.org/fhir/StructureDefinition/data-absent-reason"

LOINC_NAMES: Final[Mapping[str, str]] = MappingProxyType({
    "29463-7": "Body weight",
    "9843-4": "Head circumference",
    "8302-2": "Body height",
    "8310-5": "Body temperature",
    "8339-4": "Birth weight Measured",
    "11884-4": "Gestational age Estimated",
    "89269-5": "Body height at birth",
    "72514-3": "Pain 0 to 10, verbal numeric rating",
    "34117-2": "History and physical note",
    "57133-1": "Referral note",
    "11488-4": "Consult note",
    "60591-5": "Patient summary Document",
    "64295-9": "Nurse Plan of care note",
    "18842-5": "Discharge summary",
    "59284-0": "Patient Consent",
    "18776-5": "Plan of care note",
    "10164-2": "History of Present illness",
    "61150-9": "Subjective Narrative",
    "51848-0": "Assessment note",
    "8716-3": "Vital signs",
    "69730-0": "Instructions",
    "10160-0": "Medication use",
    "48765-2": "Allergies and adverse reactions Document",
    "47519-4": "History of Procedures Document",
    "11369-6": "History of Immunization",
    "11450-4": "Problem list",
    "82810-3": "Pregnancy status",
    "10162-6": "Pregnancy history",
})  # fmt: skip

MEASURED: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "29463-7": ("g", "kg"), "8339-4": ("g", "kg"), "9843-4": ("cm",), "8302-2": ("cm",), "89269-5": ("cm",),
    "8310-5": ("Cel",), "11884-4": ("wk", "d"), "72514-3": ("{score}",),
})  # fmt: skip
"""The units in which what has a code is measured."""

UNITS_OUT: Final = frozenset({"g", "kg", "cm", "mm", "wk", "d", "h", "min", "mL", "Cel", "/min", "{score}", "%"})

# From memory: the notice that goes with LOINC's codes.
LOINC_NOTICE: Final = (
    "This material contains content from LOINC (http://loinc.org). LOINC is copyright © Regenstrief Institute, Inc. "
    "and the Logical Observation Identifiers Names and Codes (LOINC) Committee and is available at no cost under the "
    "license at http://loinc.org/license. LOINC® is a registered United States trademark of Regenstrief Institute, Inc."
)


def check_digit_holds(code: str) -> bool:
    """Whether the last digit of a LOINC code is the mod-10 check digit of those before it."""
    digits = code.replace("-", "")
    if not (digits.isascii() and digits.isdecimal()) or code[-2:-1] != "-" or code.count("-") != 1:
        return False
    doubled = (sum(divmod(2 * int(d), 10)) if place % 2 else int(d) for place, d in enumerate(reversed(digits)))
    return sum(doubled) % 10 == 0
