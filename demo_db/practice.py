"""The invented practice, its one consultant, the student who learns with her, and its address book."""

from __future__ import annotations

from dataclasses import dataclass

from demo_db.charting import Charting
from demo_db.ticking import ZONE
from forms.phrase import Phrase, question_key
from forms.plan import Plan
from forms.practice import Practice, Practitioner, Provider

__all__ = ["STUDENT", "AddressBook", "found_practice"]

STUDENT = "Tam Orrel"


@dataclass(frozen=True, slots=True)
class AddressBook:
    """Ids of the providers the demo families see, and of the student who comes along on some visits."""

    paediatrician: str
    midwife: str
    throat: str
    family_doctor: str
    student: str


def found_practice(desk: Charting) -> AddressBook:
    """Write the practice and its providers; the consultant's own entry has the author's id."""
    desk.fill(
        Practice,
        practice_name="Tallow Lane Feeding Visits",
        address="14 Tallow Lane, Brackwater",
        country="us",
        locality="Brackwater",
        emergency_number="911",
        crisis_line="988",
        weight_unit="g",
        volume_unit="mL",
        temperature_unit="C",
        paper_size="letter",
        time_zone=ZONE,
        scale_name="Balance no. 2",
        scale_step="2 g",
        hours="8 to 18, every day",
    )
    desk.fill(
        Practitioner,
        entity=desk.author,
        full_name="Rowan Vale",
        credentials="RN, lactation consultant",
        phone="555 0190",
        practice_role="consultant",
        licence_role="nurse",
        credential_number="LC-00417",
        credential_expiry="2028-06-30",
    )
    _phrases(desk)
    return _address_book(desk)


def _phrases(desk: Charting) -> None:
    """Two of her own phrases, each where it fits."""
    desk.fill(
        Phrase,
        shortcut="Cool after feeds",
        words="Cool for [? minutes] after feeds on the [? side] side, a cloth between.",
        fits=(question_key(Plan, "comfort_care"),),
    )
    desk.fill(
        Phrase,
        shortcut="Hand expression first",
        words="Hand expression for [? minutes] before each pump session, both sides.",
        fits=(question_key(Plan, "expressing"),),
    )


def _address_book(desk: Charting) -> AddressBook:
    return AddressBook(
        paediatrician=desk.fill(
            Provider,
            full_name="Dr Ifeoma Brandreth",
            profession="primary_infant",
            practice="Brackwater Children's Practice",
            phone="555 0134",
            secure_route="letters at brackwater children's, by secure mail",
            address="2 Mill Rise, Brackwater",
        ),
        midwife=desk.fill(
            Provider,
            full_name="Solveig Marsh",
            profession="midwife",
            practice="Harbour Midwives",
            phone="555 0177",
        ),
        throat=desk.fill(
            Provider,
            full_name="Dr Tamsin Okell",
            profession="ent",
            practice="Brackwater General",
            phone="555 0152",
            fax="555 0153",
            address="Brackwater General, East Wing",
        ),
        family_doctor=desk.fill(
            Provider,
            full_name="Dr Leopold Quennell",
            profession="primary_adult",
            practice="Quay Street Doctors",
            phone="555 0166",
        ),
        student=desk.fill(
            Practitioner,
            full_name=STUDENT,
            credentials="student of lactation consulting",
            phone="555 0190",
            practice_role="student",
            supervisor="Rowan Vale",
            licence_role="none",
        ),
    )
