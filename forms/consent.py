"""Consent, one row per purpose (trade line C15): who gave it, for whom, within which limits, how, and for how long."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from forms.answers import Absent, Given, Moment, every
from forms.ask import (
    Coded,
    Need,
    NotCoded,
    NotPrinted,
    Paper,
    Printed,
    When,
    choice,
    codes,
    day,
    line,
    many,
    moment,
    ref,
    text,
    yes_no,
)
from forms.chart import Chart, Entry
from forms.form import About, Form, declared

__all__ = [
    "PHOTO_PARTS", "PURPOSES", "TOLD_ONCE", "TO_THE_VISITS_END", "CareConsent", "Consent", "Release", "TouchConsent",
    "consent_for", "refused", "release_for", "stands_on", "valid_on",
]  # fmt: skip

RECORD = Printed((Paper.SUMMARY,))
ON_FILE = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
CONSENT = Coded("http://loinc.org", "59284-0")
PART = NotCoded("part of the consent, handed over with it")
EVIDENCE = NotPrinted("who may decide for a child is kept with the chart")
MUST: Mapping[str, Any] = MappingProxyType({"need": Need.MUST, "paper": RECORD, "code": PART})

AGREED = codes(yes="Yes", limited="Yes, with limits", no="No")
RELATIONS = codes(self="This person", parent="Parent", guardian="Legal guardian", other="Someone else")
FORM = codes(spoken="Spoken", signed="Signed")
SPOKEN = When("how", one_of=("spoken",))
WORDING: Mapping[str, Any] = MappingProxyType({
    "when": When("how", answered=True), "paper": RECORD, "code": PART,
    "help": "The version or date at the foot of the wording that was read out or signed.",
})  # fmt: skip
LIMITED = When("agreed", one_of=("limited",))


@declared("care_consent", "Consent to feeding care", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class CareConsent(Form):
    """Consent to care of the parent, or of one baby, until it ends or is withdrawn."""

    agreed: Given[str] = choice("Agrees to care", AGREED, need=Need.MUST, paper=RECORD, code=CONSENT)
    limits: Given[str] = text("Within which limits", need=Need.WHEN_OPEN, when=LIMITED, paper=RECORD, code=PART)
    given_by: Given[str] = line("Who gives it", **MUST)
    relation: Given[str] = choice("Who they are to this person", RELATIONS, **MUST)
    may_consent: Given[str] = choice(
        "May consent for the baby", {"yes": "Yes", "shared": "Yes, together with another", "unsure": "Not sure"},
        need=Need.WHEN_OPEN, when=When("relation", one_of=("parent", "guardian", "other")), paper=EVIDENCE, code=PART,
    )  # fmt: skip
    evidence_seen: Given[str] = line(
        "What shows it", need=Need.WHEN_OPEN, when=When("relation", one_of=("guardian", "other")),
        paper=EVIDENCE, code=PART,
    )  # fmt: skip
    how: Given[str] = choice("Given how", FORM, **MUST)
    witness: Given[str] = line("Who heard it", need=Need.WHEN_OPEN, when=SPOKEN, paper=RECORD, code=PART)
    given_at: Given[Moment] = moment("Given at", **MUST)
    valid_until: Given[date] = day("Ends", paper=RECORD, code=PART, help="Empty: until care ends.")
    withdrawn_at: Given[Moment] = moment("Withdrawn at", paper=RECORD, code=PART)
    wording: Given[str] = line("Version of the wording", **WORDING)


@declared("touch_consent", "Consent to touch", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class TouchConsent(Form):
    """Consent to touch, asked again at each visit; it ends with the visit."""

    agreed: Given[str] = choice("Agrees to be touched", AGREED, need=Need.MUST, paper=RECORD, code=CONSENT)
    scope: Given[tuple[str, ...]] = many(
        "What may be touched",
        {"breast": "Breast or chest", "mouth": "Baby's mouth", "body": "Baby's body", "expressing": "Hand expression"},
        need=Need.WHEN_OPEN, when=When("agreed", one_of=("yes", "limited")), paper=RECORD, code=PART,
    )  # fmt: skip
    limits: Given[str] = text("Within which limits", need=Need.WHEN_OPEN, when=LIMITED, paper=RECORD, code=PART)
    given_by: Given[str] = line("Who gives it", **MUST)
    how: Given[str] = choice("Given how", FORM, **MUST)
    witness: Given[str] = line("Who heard it", need=Need.WHEN_OPEN, when=SPOKEN, paper=RECORD, code=PART)
    given_at: Given[Moment] = moment("Given at", **MUST)
    withdrawn_at: Given[Moment] = moment("Withdrawn at", paper=RECORD, code=PART)
    wording: Given[str] = line("Version of the wording", **WORDING)


@declared("release", "Release", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Release(Form):
    """Leave to send one person's record to one recipient, for a time."""

    recipient: Given[str] = ref("To whom", ("provider",), need=Need.MUST, paper=ON_FILE, code=CONSENT)
    scope: Given[tuple[str, ...]] = many(
        "What may be sent",
        {
            "referral": "Referral letters",
            "report": "Visit reports",
            "weights": "Weights",
            "plan": "The plan",
            "whole": "The whole record",
        },
        **MUST,
    )
    limits: Given[str] = text("What may not be sent", paper=RECORD, code=PART)
    both_ways: Given[bool] = yes_no("They may answer and send theirs", **MUST)
    given_by: Given[str] = line("Who gives it", **MUST)
    relation: Given[str] = choice("Who they are to this person", RELATIONS, **MUST)
    evidence_seen: Given[str] = line(
        "What shows that they may", need=Need.WHEN_OPEN, when=When("relation", one_of=("guardian", "other")),
        paper=EVIDENCE, code=PART,
    )  # fmt: skip
    how: Given[str] = choice("Given how", FORM, **MUST)
    witness: Given[str] = line("Who heard it", need=Need.WHEN_OPEN, when=SPOKEN, paper=RECORD, code=PART)
    given_at: Given[Moment] = moment("Given at", need=Need.MUST, paper=ON_FILE, code=PART)
    valid_from: Given[date] = day("Valid from", need=Need.MUST, paper=ON_FILE, code=PART)
    valid_until: Given[date] = day("Valid until", need=Need.MUST, paper=ON_FILE, code=PART)
    withdrawn_at: Given[Moment] = moment("Withdrawn at", paper=ON_FILE, code=PART)
    wording: Given[str] = line("Version of the wording", **WORDING)


PURPOSES = codes(
    photo_record="Photo or drawing for the record",
    photo_teaching="Photo or drawing for teaching",
    photo_publication="Photo or drawing for publication",
    phone="Talking by phone",
    text="Text messages",
    video="Talking by video",
    student_present="A student in the room",
    student_hands_on="A student’s hands",
    interpreter="An interpreter",
    terms="Fees, payer and missed visits",
    privacy_notice="Privacy notice given",
)
PHOTO = ("photo_record", "photo_teaching", "photo_publication")
PHOTO_PARTS = codes(
    breast="Breast or chest",
    nipple="Nipple",
    latch="Baby at the breast or chest",
    mouth="Inside the mouth",
    face="Face",
    head="Head",
    body="Body",
    diaper_area="Diaper area",
    diaper="A used diaper",
    equipment="Equipment, and nobody",
)
"""What a photo shows, and what a consent to photos covers."""
REMOTE = ("phone", "text", "video")
STUDENT = ("student_present", "student_hands_on")
TO_THE_VISITS_END = (*STUDENT, "interpreter")
"""Purposes whose consent ends with the visit it was given at."""
TOLD_ONCE = ("terms", "privacy_notice")
"""What every family is told once, before care or at its first visit."""


def _of(*purposes: str) -> Mapping[str, Any]:
    """A question opened by these purposes and due then."""
    return MappingProxyType({
        "need": Need.WHEN_OPEN, "when": When("purpose", one_of=purposes), "paper": RECORD, "code": PART,
    })  # fmt: skip


@declared("consent", "Consent", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Consent(Form):
    """One answer of one person for one purpose other than care, touch and release; a new answer is a new row."""

    purpose: Given[str] = choice("For what", PURPOSES, need=Need.MUST, paper=RECORD, code=CONSENT)
    agreed: Given[str] = choice(
        "Agrees", AGREED, need=Need.MUST, paper=RECORD, code=CONSENT,
        help="For the privacy notice: yes when it was given and taken.",
    )  # fmt: skip
    limits: Given[str] = text("Within which limits", need=Need.WHEN_OPEN, when=LIMITED, paper=RECORD, code=PART)
    regions: Given[tuple[str, ...]] = many(
        "Which parts may be shown", PHOTO_PARTS, help="A part that is not picked here is not photographed.",
        **_of(*PHOTO),
    )  # fmt: skip
    region: Given[str] = line("What is shown, in words", when=When("purpose", one_of=PHOTO), paper=RECORD, code=PART)
    recognisable: Given[bool] = yes_no("The person can be recognised", **_of(*PHOTO))
    kept_where: Given[str] = line("Where the picture is kept", **_of(*PHOTO))
    risks_told: Given[bool] = yes_no("Told that others may read or hear it", **_of(*REMOTE))
    numbers: Given[str] = line("Which number or address", **_of(*REMOTE))
    student: Given[str] = line("Student’s name", **_of(*STUDENT))
    interpreter: Given[str] = line("Interpreter’s name or number", **_of("interpreter"))
    interpreter_mode: Given[str] = choice(
        "Interpreter is", codes(in_room="In the room", phone="By phone", video="By video"), **_of("interpreter")
    )
    interpreter_is: Given[str] = choice(
        "Who interprets",
        codes(trained="A trained interpreter", adult="A grown relative or friend, by own choice", minor="Under 18"),
        help="Never a child. A trained interpreter is preferred.",
        source="interpreters review 2020, safety-net survey (S); 18 years from memory (M)", **_of("interpreter"),
    )  # fmt: skip
    minor_why: Given[str] = text(
        "Why a minor had to interpret", need=Need.WHEN_OPEN, when=When("interpreter_is", one_of=("minor",)),
        help="Without a reason this row does not hold.", paper=RECORD, code=PART,
    )  # fmt: skip
    payer: Given[str] = line("Who pays", **_of("terms"))
    given_by: Given[str] = line("Who gives it", **MUST)
    relation: Given[str] = choice("Who they are to this person", RELATIONS, **MUST)
    evidence_seen: Given[str] = line(
        "What shows that they may", need=Need.WHEN_OPEN, when=When("relation", one_of=("guardian", "other")),
        paper=EVIDENCE, code=PART,
    )  # fmt: skip
    how: Given[str] = choice("Given how", FORM, **MUST)
    witness: Given[str] = line("Who heard it", need=Need.WHEN_OPEN, when=SPOKEN, paper=RECORD, code=PART)
    given_at: Given[Moment] = moment("Given at", **MUST)
    valid_until: Given[date] = day(
        "Ends", paper=RECORD, code=PART, help="Empty: until withdrawn; a student’s and an interpreter’s with the visit."
    )
    withdrawn_at: Given[Moment] = moment("Withdrawn at", paper=RECORD, code=PART)
    wording: Given[str] = line("Version of the wording", need=Need.WHEN_OPEN, **WORDING)


def stands_on(row: Consent, today: date) -> bool:
    """Whether a row is a yes (perhaps within limits) that certainly holds on a day.

    A withdrawal ends it on its own day; a student's or an interpreter's holds on the day it was given only, and a minor
    interprets only with a reason beside it. Anything untouched, absent or disputed that decides it does not hold.
    """
    given, until, withdrawn = row.given_at, row.valid_until, row.withdrawn_at
    if row.agreed not in ("yes", "limited") or not isinstance(row.purpose, str) or not isinstance(given, Moment):
        return False
    if withdrawn is not None and not isinstance(withdrawn, Absent):
        return False
    if row.purpose == "interpreter" and not _may_interpret(row):
        return False
    first = given.local().date()
    last = first if row.purpose in TO_THE_VISITS_END else until
    if last is None or isinstance(last, Absent):
        return first <= today
    return isinstance(last, date) and first <= today <= last


def _may_interpret(row: Consent) -> bool:
    if row.interpreter_is == "minor":
        return isinstance(row.minor_why, str) and bool(row.minor_why.strip())
    return isinstance(row.interpreter_is, str)


def consent_for(chart: Chart, person: str, purpose: str, today: date) -> Entry[Consent] | None:
    """The newest row of that person for that purpose if it holds today; None if it says no, has ended or is in doubt.

    The newest row decides: a later "no" is never passed over for an earlier "yes".
    """
    rows = (entry for entry in chart.all(Consent, person) if purpose in every(entry.answers.purpose))
    newest = max(rows, key=lambda entry: entry.entered, default=None)
    return newest if newest is not None and stands_on(newest.answers, today) else None


def valid_on(release: Release, today: date) -> bool:
    """Whether a release certainly holds on a day: both ends included, a withdrawal ends it on its own day.

    An untouched, absent or conflicted beginning or end does not hold, and neither does any withdrawal in doubt.
    """
    start, end, withdrawn = release.valid_from, release.valid_until, release.withdrawn_at
    if (
        not isinstance(start, date)
        or not isinstance(end, date)
        or not (withdrawn is None or isinstance(withdrawn, Absent))
    ):
        return False
    return start <= today <= end


def release_for(chart: Chart, person: str, provider: str, what: str, today: date) -> Entry[Release] | None:
    """The newest release of that person to that provider which holds today for `what` (a code of its scope), or None.

    A release of the whole record covers everything; one whose scope is disputed covers nothing.
    """
    held = (
        entry
        for entry in chart.all(Release, person)
        if entry.answers.recipient == provider
        and isinstance(entry.answers.scope, tuple)
        and {what, "whole"} & set(entry.answers.scope)
        and valid_on(entry.answers, today)
    )
    return max(held, key=lambda entry: entry.entered, default=None)


def refused(chart: Chart, person: str) -> tuple[str, ...]:
    """The purposes whose newest row for that person says no, or was withdrawn, as the options name them.

    An answer that stands twice counts as refused if either says so: what was declined is never out of sight.
    """
    newest: dict[str, Entry[Consent]] = {}
    for entry in sorted(chart.all(Consent, person), key=lambda one: one.entered):
        newest |= dict.fromkeys(every(entry.answers.purpose), entry)
    said = {
        purpose
        for purpose, entry in newest.items()
        if "no" in every(entry.answers.agreed) or every(entry.answers.withdrawn_at)
    }
    return tuple(words for purpose, words in PURPOSES.items() if purpose in said)
