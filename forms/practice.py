"""The practice itself, the people who chart in it, and its address book of providers.

Nothing here is guessed: `LOCAL` only offers first values for a place, which are shown and can be changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from forms.answers import Given, Moment, Quantity
from forms.ask import (
    Need,
    NotCoded,
    NotPrinted,
    Paper,
    Printed,
    choice,
    count,
    day,
    line,
    moment,
    quantity,
    text,
    yes_no,
)
from forms.form import About, Form, declared

__all__ = [
    "COUNTRIES",
    "CURRENCIES",
    "LOCAL",
    "PROFESSIONS",
    "Local",
    "Practice",
    "Practitioner",
    "Provider",
    "is_zone",
]

ALL_PAPERS = Printed(tuple(Paper))
LETTERS = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY, Paper.CLOSING))
FAMILY = Printed((Paper.FAMILY_PLAN, Paper.CALL_NOW))
BILLED = Printed((*LETTERS.on, Paper.RECEIPT))
OF_A_VISIT = Printed((*LETTERS.on, *FAMILY.on, Paper.RECEIPT))
FOR_PAYERS = Printed((Paper.RECEIPT,))
SETTING = NotPrinted("a setting of the practice, not part of a record")
ADDRESS = NotCoded("an address-book fact; handed over as part of the sender or receiver, not as a finding")
OWN = NotCoded("a setting of the program, never handed over")

CURRENCIES: Mapping[str, str] = MappingProxyType({
    "usd": "US dollars", "cad": "Canadian dollars", "gbp": "pounds sterling", "eur": "euros",
    "aud": "Australian dollars", "nzd": "New Zealand dollars",
})  # fmt: skip
"""Currencies by their ISO 4217 codes, written small (M)."""

COUNTRIES: Mapping[str, str] = MappingProxyType({
    "us": "United States", "ca": "Canada", "gb": "United Kingdom", "ie": "Ireland", "au": "Australia",
    "nz": "New Zealand", "other": "Another country",
})  # fmt: skip
PROFESSIONS: Mapping[str, str] = MappingProxyType(
    {
        "primary_infant": "Baby's primary provider or paediatrician",
        "primary_adult": "Family doctor or primary provider",
        "midwife": "Midwife",
        "obstetric": "Obstetrics and gynaecology",
        "ent": "Ear, nose and throat",
        "dentist": "Paediatric dentist",
        "feeding_therapy": "Speech-language or feeding therapist",
        "physical_therapy": "Physical therapy or bodywork",
        "breast": "Breast surgeon or breast imaging",
        "mental_health": "Mental health service",
        "skin": "Skin clinic",
        "endocrine": "Genetics or endocrine clinic",
        "social": "Food programme or social service",
        "milk_bank": "Donor milk bank",
        "supplier": "Pump or equipment supplier",
        "home_nurse": "Home-visiting nurse",
        "peer": "Peer group or doula",
        "emergency": "Emergency department",
        "consultant": "Another lactation consultant",
        "other": "Another profession",
    }
)


@dataclass(frozen=True, slots=True)
class Local:
    """What is offered first for a country; every value is shown at first launch and can be changed there.

    `weight` and `volume` name units of `forms.units`; an empty crisis line means that none is offered.
    """

    emergency: str
    crisis: str
    weight: str
    volume: str
    paper: str


# Emergency and crisis numbers, usual units and paper sizes: M (from memory); shown to be confirmed, see SOURCES.md.
LOCAL: Mapping[str, Local] = MappingProxyType({
    "us": Local("911", "988", "lb_oz", "fl_oz", "letter"),
    "ca": Local("911", "988", "lb_oz", "mL", "letter"),
    "gb": Local("999", "111", "g", "mL", "a4"),
    "ie": Local("112", "", "g", "mL", "a4"),
    "au": Local("000", "13 11 14", "g", "mL", "a4"),
    "nz": Local("111", "1737", "g", "mL", "a4"),
})  # fmt: skip


def is_zone(name: object) -> bool:
    """Whether this is the name of a zone of the IANA list."""
    if not isinstance(name, str):
        return False
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


@declared("practice", "The practice", About.PRACTICE)
@dataclass(frozen=True, slots=True, kw_only=True)
class Practice(Form):
    """The practice as its papers name it, and the settings that papers and boxes start from."""

    practice_name: Given[str] = line("Practice name as printed", need=Need.MUST, paper=ALL_PAPERS, code=ADDRESS)
    address: Given[str] = text("Address as printed", paper=BILLED, code=ADDRESS)
    country: Given[str] = choice("Country", COUNTRIES, need=Need.MUST, paper=SETTING, code=ADDRESS)
    locality: Given[str] = line("Place: town, county or state", paper=LETTERS, code=ADDRESS)
    emergency_number: Given[str] = line(
        "Emergency number", need=Need.MUST, paper=FAMILY, code=ADDRESS,
        help="What a family here dials when a life may be in danger. No paper leaves without it.",
    )  # fmt: skip
    crisis_line: Given[str] = line(
        "Crisis line", need=Need.MUST, paper=FAMILY, code=ADDRESS,
        help="The number to call or text here for someone who may harm themselves.",
    )  # fmt: skip
    weight_unit: Given[str] = choice(
        "Weights shown in", {"g": "grams", "kg": "kilograms", "lb_oz": "pounds and ounces"},
        need=Need.MUST, paper=SETTING, code=OWN,
    )  # fmt: skip
    volume_unit: Given[str] = choice(
        "Milk shown in", {"mL": "millilitres", "fl_oz": "fluid ounces"}, need=Need.MUST, paper=SETTING, code=OWN
    )
    temperature_unit: Given[str] = choice(
        "Temperatures shown in", {"C": "degrees Celsius", "F": "degrees Fahrenheit"}, paper=SETTING, code=OWN
    )
    paper_size: Given[str] = choice(
        "Paper size", {"a4": "A4", "letter": "Letter"}, need=Need.MUST, paper=SETTING, code=OWN
    )
    time_zone: Given[str] = line(
        "Time zone", need=Need.MUST, paper=SETTING, code=OWN, help="A zone of the IANA list, such as Europe/London."
    )
    scale_name: Given[str] = line("Usual scale", paper=Printed((Paper.REPORT, Paper.REFERRAL)), code=OWN)
    # 1 to 100 g: house bound, no source. A 2 g step is widely quoted for test weighing (S:TW-STEP).
    scale_step: Given[Quantity] = quantity(
        "Smallest step of the usual scale", ("g",), low=1, high=100, paper=LETTERS, code=OWN,
        help="The smallest change it shows; it decides how far a before-and-after weight can be trusted.",
        source="house bound, no source",
    )  # fmt: skip
    time_stamp_address: Given[str] = line(
        "Time stamps: web address of a service", paper=SETTING, code=OWN,
        help="Empty: nobody is asked. Otherwise each paper that is sealed online carries the service’s word on when. "
        "It learns a hash, and when and from which network it was asked; nothing of the paper.",
    )  # fmt: skip
    hours: Given[str] = line("Hours when the family can reach you", paper=ALL_PAPERS, code=ADDRESS)
    tax_number: Given[str] = line("Tax number", paper=FOR_PAYERS, code=ADDRESS)
    provider_number: Given[str] = line("Provider number", paper=FOR_PAYERS, code=ADDRESS)
    taxonomy_code: Given[str] = line(
        "Taxonomy code", paper=FOR_PAYERS, code=ADDRESS,
        help="For a lactation consultant without a nursing licence it is 174N00000X.", source="public taxonomy list",
    )  # fmt: skip
    currency: Given[str] = choice("Fees are in", CURRENCIES, paper=FOR_PAYERS, code=OWN)
    # 0 to 100 years: house bound, no source. Which years hold is the law of the place; the practice sets them.
    keep_rule: Given[str] = line(
        "Name of the rule for keeping records", paper=SETTING, code=OWN, help="As a lawyer of the place confirmed it."
    )
    keep_child_age: Given[int] = count(
        "Keep a child’s record until this age, in years", high=100, paper=SETTING, code=OWN,
        source="house bound, no source",
    )  # fmt: skip
    keep_years: Given[int] = count(
        "Keep every record this many years after care ends", high=100, paper=SETTING, code=OWN,
        help="The longer of the two holds for a child.", source="house bound, no source",
    )  # fmt: skip
    keep_parent_with_child: Given[bool] = yes_no(
        "Keep a parent’s record as long as the child’s", paper=SETTING, code=OWN
    )


@declared("practitioner", "Practitioner", About.PRACTICE, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Practitioner(Form):
    """Someone who charts and signs in this practice."""

    full_name: Given[str] = line("Name as printed", need=Need.MUST, paper=ALL_PAPERS, code=ADDRESS)
    credentials: Given[str] = line(
        "Credentials as printed", need=Need.MUST, paper=ALL_PAPERS, code=ADDRESS, help="The letters after the name."
    )
    phone: Given[str] = line("Phone as printed", need=Need.MUST, paper=ALL_PAPERS, code=ADDRESS)
    practice_role: Given[str] = choice(
        "Role in the practice",
        {"consultant": "Consultant", "student": "Student", "locum": "Locum", "assistant": "Assistant"},
        paper=LETTERS, code=ADDRESS,
    )  # fmt: skip
    licence_role: Given[str] = choice(
        "Health licence also held",
        {
            "none": "None",
            "nurse": "Nurse",
            "midwife": "Midwife",
            "dietitian": "Dietitian",
            "physician": "Physician",
            "therapist": "Speech or occupational therapist",
            "other": "Another licence",
        },
        need=Need.MUST, paper=LETTERS, code=ADDRESS,
        help="With a licence the scope line of a letter names both roles.",
    )  # fmt: skip
    credential_number: Given[str] = line("Credential number", paper=BILLED, code=ADDRESS)
    credential_expiry: Given[date] = day("Credential valid until", paper=SETTING, code=ADDRESS)
    supervisor: Given[str] = line("Supervised by, for a student", paper=OF_A_VISIT, code=ADDRESS)
    student_until: Given[date] = day(
        "Was a student here until", paper=SETTING, code=ADDRESS,
        help="For somebody who is no student any more: what was charted till then goes on being told as a student’s. "
        "For whoever never was one: a day before the first visit.",
    )  # fmt: skip


@declared("provider", "Provider", About.PRACTICE, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Provider(Form):
    """One line of the address book: someone a family's care is shared with."""

    full_name: Given[str] = line("Name", need=Need.MUST, paper=ALL_PAPERS, code=ADDRESS)
    profession: Given[str] = choice("Profession", PROFESSIONS, need=Need.MUST, paper=LETTERS, code=ADDRESS)
    practice: Given[str] = line("Their practice or clinic", paper=ALL_PAPERS, code=ADDRESS)
    phone: Given[str] = line("Phone", need=Need.MUST, paper=ALL_PAPERS, code=ADDRESS)
    secure_route: Given[str] = line("Secure route for letters", paper=LETTERS, code=ADDRESS)
    fax: Given[str] = line("Fax", paper=LETTERS, code=ADDRESS)
    address: Given[str] = text("Address", paper=LETTERS, code=ADDRESS)
    accepts: Given[str] = text("What they accept", paper=SETTING, code=ADDRESS)
    no_longer: Given[bool] = yes_no("No longer in use", paper=SETTING, code=ADDRESS)
    confirmed: Given[Moment] = moment("Details last confirmed", paper=SETTING, code=ADDRESS)
