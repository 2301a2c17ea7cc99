"""Contacts between and during visits: the log, and the urgent contacts without which an urgent note is not signed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from forms.answers import Given, Moment, Quantity
from forms.ask import (
    Need,
    NotCoded,
    NotPrinted,
    Paper,
    Printed,
    When,
    choice,
    codes,
    count,
    day,
    line,
    moment,
    quantity,
    ref,
    refs,
    text,
    yes_no,
)
from forms.form import About, Form, declared
from forms.weight import HIGHEST, LOWEST

__all__ = ["Contact", "UrgentContact"]

RECORD = Printed((Paper.SUMMARY,))
OPEN = Printed((Paper.SUMMARY, Paper.CLOSING))
"""What may still be open when care ends."""
CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
KEPT = NotPrinted("guards the family's privacy on the phone")
PART = NotCoded("part of a communication, handed over with it as text")

MISSED = codes(
    no_show="Nobody was there, and it was not called off",
    family="The family called it off",
    practice="The practice called it off",
)
"""Why a visit that was agreed for the time of a contact was not made."""


@declared("contact", "Contact", About.FAMILY, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Contact(Form):
    """One call, message or meeting outside a visit."""

    channel: Given[str] = choice(
        "By",
        {"phone": "Phone", "text": "Text message", "mail": "E-mail", "video": "Video", "letter": "Letter",
         "met": "In person"},
        need=Need.MUST, paper=RECORD, code=PART,
    )  # fmt: skip
    direction: Given[str] = choice(
        "Who began it", {"in": "They did", "out": "The practice did"}, need=Need.MUST, paper=RECORD, code=PART
    )
    at: Given[Moment] = moment("When", need=Need.MUST, paper=RECORD, code=PART)
    minutes: Given[int] = count(
        "Minutes", low=0, high=60, paper=RECORD, code=PART, source="house bound, no source",
        help="For a longer talk, begin a visit by phone.",
    )  # fmt: skip
    who: Given[str] = line("With whom", need=Need.MUST, paper=RECORD, code=PART)
    concerns: Given[tuple[str, ...]] = refs("About whom", ("parent", "infant"), paper=OPEN, code=PART)
    identity_checked: Given[str] = choice(
        "How it was made sure who it is",
        {
            "voice": "Voice known",
            "number": "Number on file",
            "details": "Name and birth date given",
            "seen": "Seen",
            "wrong_person": "It was the wrong person",
        },
        need=Need.MUST, paper=KEPT, code=PART,
    )  # fmt: skip
    wrong_person: Given[str] = text(
        "What was said before it was noticed", need=Need.WHEN_OPEN, paper=KEPT, code=PART,
        when=When("identity_checked", one_of=("wrong_person",)),
    )  # fmt: skip
    consent_covers: Given[bool] = yes_no("Consent covers this way of talking", need=Need.MUST, paper=KEPT, code=PART)
    safe_to_reply: Given[bool] = yes_no("Safe to reply this way", need=Need.MUST, paper=KEPT, code=PART)
    said: Given[str] = text("What was said", need=Need.MUST, paper=RECORD, code=PART, help="Paste a message whole.")
    told_about: Given[str] = ref("Numbers told are about", ("infant", "parent"), paper=RECORD, code=PART)
    # The limits of a weight, house bounds, no source; told, so it never joins the weights that were seen.
    told_weight: Given[Quantity] = quantity(
        "Weight told", ("g", "kg", "lb_oz"), low=LOWEST, high=HIGHEST, paper=RECORD, code=PART,
        source="house bound, no source",
    )  # fmt: skip
    told_weight_at: Given[Moment] = moment(
        "That weight was taken at",
        need=Need.WHEN_OPEN,
        when=When("told_weight", answered=True),
        paper=RECORD,
        code=PART,
    )
    # 0 to 30 feeds or diapers and 0 to 2,000 mL in a day: house bounds, no source.
    told_feeds: Given[int] = count(
        "Feeds in 24 hours, told", high=30, paper=RECORD, code=PART, source="house bound, no source"
    )
    told_wets: Given[int] = count(
        "Wet diapers in 24 hours, told", high=30, paper=RECORD, code=PART, source="house bound, no source"
    )
    told_milk: Given[Quantity] = quantity(
        "Milk in 24 hours, told", ("mL", "fl_oz"), low=0, high=2_000, paper=RECORD, code=PART,
        source="house bound, no source",
    )  # fmt: skip
    advice: Given[str] = text("Advice given", need=Need.MUST, paper=RECORD, code=PART)
    plan_changed: Given[bool] = yes_no("The plan changes", need=Need.MUST, paper=RECORD, code=PART)
    plan_sent_how: Given[str] = line(
        "How the changed plan was sent", need=Need.WHEN_OPEN, when=When("plan_changed", one_of=(True,)),
        paper=RECORD, code=PART,
    )  # fmt: skip
    missed: Given[str] = choice("An agreed visit did not happen", MISSED, paper=RECORD, code=PART)
    provider: Given[str] = ref("Provider spoken to", ("provider",), paper=RECORD, code=PART)
    provider_name: Given[str] = line(
        "Who answered there", need=Need.WHEN_OPEN, when=When("provider", answered=True), paper=RECORD, code=PART
    )
    read_back: Given[bool] = yes_no(
        "The message was read back", need=Need.WHEN_OPEN, when=When("provider", answered=True), paper=RECORD, code=PART
    )
    instruction: Given[str] = text(
        "What the provider said to do", need=Need.WHEN_OPEN, when=When("provider", answered=True),
        paper=RECORD, code=PART,
    )  # fmt: skip
    next_step: Given[str] = text("Next step", need=Need.MUST, paper=OPEN, code=PART)
    next_owner: Given[str] = line("Whose step it is", need=Need.MUST, paper=RECORD, code=PART)
    next_due: Given[date] = day("By when", need=Need.MUST, paper=RECORD, code=PART)


REACHED = When("outcome", one_of=("reached",))
NOT_REACHED = When("outcome", one_of=("tried_not_reached",))
REFUSED = When("outcome", one_of=("family_refused",))
OVERRIDE = When("outcome", one_of=("override",))
OPENED: Mapping[str, Any] = MappingProxyType({"need": Need.WHEN_OPEN, "paper": CLINICAL, "code": PART})


@declared("urgent_contact", "Urgent contact", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class UrgentContact(Form):
    """What was done about one or more urgent signs of one person. `covers` holds the ids of the prompt rules."""

    covers: Given[tuple[str, ...]] = refs("About which signs", ("prompt",), need=Need.MUST, paper=CLINICAL, code=PART)
    outcome: Given[str] = choice(
        "What happened",
        {
            "reached": "Reached someone",
            "tried_not_reached": "Tried, nobody reached",
            "family_refused": "The family did not want it",
            "override": "Not called, for a reason",
        },
        need=Need.MUST, paper=Printed((*CLINICAL.on, Paper.CLOSING)), code=PART,
    )  # fmt: skip
    at: Given[Moment] = moment("When", need=Need.MUST, paper=CLINICAL, code=PART)
    who: Given[str] = line("Who was reached: name and role", when=REACHED, **OPENED)
    provider: Given[str] = ref("In the address book", ("provider",), when=REACHED, paper=CLINICAL, code=PART)
    read_back: Given[bool] = yes_no("They read the message back", when=REACHED, **OPENED)
    instruction: Given[str] = text("What they said to do", when=REACHED, **OPENED)
    tries: Given[str] = text("Each try: whom, at what time, how", when=NOT_REACHED, **OPENED)
    told_family_now: Given[str] = text("What the family was told to do now", when=NOT_REACHED, **OPENED)
    who_tries_next: Given[str] = line("Who tries next", when=NOT_REACHED, **OPENED)
    next_when: Given[Moment] = moment("When they try next", when=NOT_REACHED, **OPENED)
    family_words: Given[str] = text("The family's own words", when=REFUSED, **OPENED)
    family_told: Given[str] = text("What the family was told may happen", when=REFUSED, paper=CLINICAL, code=PART)
    override_reason: Given[str] = text("The consultant's reason", when=OVERRIDE, **OPENED)
