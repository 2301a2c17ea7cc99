"""Consent: care, touch, and release to a recipient; each row says who gave it, for whom, how, and for how long."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from forms.answers import Absent, Given, Moment
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

__all__ = ["CareConsent", "Release", "TouchConsent", "release_for", "valid_on"]

RECORD = Printed((Paper.SUMMARY,))
ON_FILE = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
CONSENT = Coded("http://loinc.org", "59284-0")
PART = NotCoded("part of the consent, handed over with it")
EVIDENCE = NotPrinted("who may decide for a child is kept with the chart")
MUST: Mapping[str, Any] = MappingProxyType({"need": Need.MUST, "paper": RECORD, "code": PART})

AGREED = codes(yes="Yes", limited="Yes, with limits", no="No")
FORM = codes(spoken="Spoken", signed="Signed")
SPOKEN = When("how", one_of=("spoken",))
LIMITED = When("agreed", one_of=("limited",))


@declared("care_consent", "Consent to feeding care", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class CareConsent(Form):
    """Consent to care of the parent, or of one baby, until it ends or is withdrawn."""

    agreed: Given[str] = choice("Agrees to care", AGREED, need=Need.MUST, paper=RECORD, code=CONSENT)
    limits: Given[str] = text("Within which limits", need=Need.WHEN_OPEN, when=LIMITED, paper=RECORD, code=PART)
    given_by: Given[str] = line("Who gives it", **MUST)
    relation: Given[str] = choice(
        "Who they are to this person",
        {"self": "This person", "parent": "Parent", "guardian": "Legal guardian", "other": "Someone else"},
        **MUST,
    )
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
    relation: Given[str] = choice(
        "Who they are to this person",
        {"self": "This person", "parent": "Parent", "guardian": "Legal guardian", "other": "Someone else"},
        **MUST,
    )
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
