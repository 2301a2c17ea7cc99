"""Referral: one question about one person to one provider; and the papers that were issued."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from forms.answers import Given, Moment
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
from forms.form import About, Form, declared

__all__ = ["CONTENT", "PURPOSES_OF_LEAVING", "URGENCIES", "PaperIssued", "Referral"]

LETTER = Printed((Paper.REFERRAL, Paper.SUMMARY))
RECORD = Printed((Paper.SUMMARY,))
LOOP = NotPrinted("what became of the letter is followed in the chart")
OPEN = Printed((Paper.REFERRAL, Paper.SUMMARY, Paper.CLOSING))
"""What an open referral is named by when care ends."""
PART = NotCoded("part of the referral, handed over with it as text")
ITEM: Mapping[str, Any] = MappingProxyType({"need": Need.MUST, "paper": LETTER, "code": PART})

URGENCIES = codes(
    emergency="Emergency, now",
    same_day="The same day",
    this_week="This week",
    two_weeks="Within one to two weeks",
    routine="Routine",
)
CONTENT = (
    "opening_reason", "associated_symptoms", "collateral_history", "psychosocial", "results", "management_so_far",
    "expected",
)  # fmt: skip
"""The content items of a good letter that no other form holds; the others are read from the chart (S:REF-TOOL)."""


@declared("referral", "Referral", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Referral(Form):
    """One letter about the person it stands under. An item that is deliberately not answered prints as "not known"."""

    to: Given[str] = ref("To", ("provider",), need=Need.MUST, paper=OPEN, code=Coded("http://loinc.org", "57133-1"))
    question: Given[str] = text(
        "The question", need=Need.MUST, paper=LETTER, code=PART, help="One question, ending in a question mark."
    )
    urgency: Given[str] = choice("How soon", URGENCIES, need=Need.MUST, paper=LETTER, code=PART)
    urgency_why: Given[str] = text(
        "Why so soon", need=Need.WHEN_OPEN, when=When("urgency", one_of=("emergency", "same_day")), paper=LETTER,
        code=PART,
    )  # fmt: skip
    reply_by: Given[date] = day("Answer hoped for by", need=Need.MUST, paper=LETTER, code=PART)
    reply_to: Given[str] = line("Answer to: phone or secure route", need=Need.MUST, paper=LETTER, code=PART)
    opening_reason: Given[str] = text("Why this letter, in one sentence", **ITEM)
    associated_symptoms: Given[str] = text("What else goes with it", **ITEM)
    collateral_history: Given[str] = text("What others told", **ITEM)
    psychosocial: Given[str] = text(
        "Home and support, as far as it may be told", help="Nothing from the private questions.", **ITEM
    )
    results: Given[str] = text("Results of tests so far", **ITEM)
    management_so_far: Given[str] = text("What has been done so far, and what it did", **ITEM)
    expected: Given[str] = text("What is asked of the reader", **ITEM)
    attachments: Given[tuple[str, ...]] = many(
        "Sent with it",
        {
            "none": "Nothing",
            "weights": "Weights",
            "feed": "Feed observation",
            "chest": "Breast or chest, as seen",
            "oral": "Oral assessment",
            "infant": "Look at the baby",
            "output": "Diapers and feeds",
            "plan": "The plan",
            "other": "Something else",
        },
        alone=("none",), **ITEM,
    )  # fmt: skip
    attachments_words: Given[str] = line(
        "What else is sent", need=Need.WHEN_OPEN, when=When("attachments", one_of=("other",)), paper=LETTER, code=PART
    )
    parent_has_copy: Given[bool] = yes_no("The parent has a copy", **ITEM)
    state: Given[str] = choice(
        "Where it stands",
        {
            "drafted": "Drafted",
            "sent": "Sent",
            "received": "Received",
            "booked": "Booked",
            "seen": "Seen",
            "answered": "Answer is in",
            "told_family": "Family told",
            "closed": "Closed",
            "declined": "Declined by the provider",
            "lapsed": "Lapsed",
            "family_chose_not": "The family chose not to",
        },
        need=Need.MUST, paper=Printed((Paper.CLOSING,)), code=PART,
    )  # fmt: skip
    state_why: Given[str] = text(
        "Why", need=Need.WHEN_OPEN, when=When("state", one_of=("declined", "lapsed", "family_chose_not")),
        paper=LOOP, code=PART,
    )  # fmt: skip
    sent_how: Given[str] = line("Sent how", paper=LOOP, code=PART)
    sent_at: Given[Moment] = moment("Sent at", paper=LOOP, code=PART)


PURPOSES_OF_LEAVING = codes(
    care="Care by whoever reads it",
    urgent="Urgent care, now",
    family="The family’s own copy",
    payment="Payment or a claim",
    request="A request to see the record",
    law="The law asks for it",
    other="Something else",
)
"""What a paper may leave for. Papers of older versions were not asked."""


@declared("paper_issued", "Paper issued", About.VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class PaperIssued(Form):
    """One paper that left: which, its fingerprint, for whom, what for, how and when. Written by the program."""

    paper: Given[str] = choice(
        "Which paper",
        {
            "family_plan": "Family care plan",
            "referral": "Referral letter",
            "call_now": "Call-now page",
            "report": "Provider report",
            "summary": "Visit summary",
            "closing": "Closing letter",
            "receipt": "Receipt",
            "package": "Release package",
        },
        need=Need.MUST, paper=RECORD, code=PART,
    )  # fmt: skip
    sha256: Given[str] = line("Fingerprint of the file", need=Need.MUST, paper=LOOP, code=PART)
    for_whom: Given[str] = line("For whom", need=Need.MUST, paper=RECORD, code=PART)
    concerns: Given[str] = ref("About", ("parent", "infant"), paper=RECORD, code=PART)
    language: Given[str] = line("In which language, as a tag", paper=RECORD, code=PART)
    referral: Given[str] = ref("Of which referral", ("referral",), paper=LOOP, code=PART)
    release: Given[str] = ref("Under which release", ("release",), paper=LOOP, code=PART)
    purpose: Given[str] = choice("What for", PURPOSES_OF_LEAVING, paper=RECORD, code=PART)
    purpose_words: Given[str] = line(
        "What for, in words", need=Need.WHEN_OPEN, when=When("purpose", one_of=("other",)), paper=RECORD, code=PART
    )
    left_how: Given[str] = choice(
        "Left how",
        {
            "printed": "Printed",
            "file": "As a file",
            "sent": "Sent",
            "password": "As a file locked with a password",
            "plain": "As an open file, by a secure way",
            "insisted": "Open, as the person insists on after a warning",
        },
        need=Need.MUST, paper=RECORD, code=PART,
    )  # fmt: skip
    at: Given[Moment] = moment("When", need=Need.MUST, paper=RECORD, code=PART)
    before_finished: Given[bool] = yes_no("Given before the note was finished", need=Need.MUST, paper=RECORD, code=PART)
