"""Impression: what the findings add up to, in words within the consultant's scope; of one person or of a pair."""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given
from forms.ask import Need, NotCoded, NotPrinted, Paper, Printed, When, choice, line, many, refs, scale, text
from forms.form import About, Form, declared

__all__ = ["URGENT", "Impression"]

CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
BILLING = NotPrinted("stands on bills only")
PART = NotCoded("an impression in scope words; handed over as text, never as a condition")

URGENT = ("same_day", "emergency")
"""Levels of concern at which a note cannot be signed without an urgent contact."""


@declared("impression", "Impression", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Impression(Form):
    """An assessment of feeding, not a medical one. `findings` names answers as "entry id/path"."""

    findings: Given[tuple[str, ...]] = refs(
        "Findings that matter", ("answer",), need=Need.MUST, paper=CLINICAL, code=PART,
        help="Picked from the answers, so that nothing is written twice.",
    )  # fmt: skip
    strengths: Given[str] = text(
        "Strengths", need=Need.MUST, paper=Printed((Paper.FAMILY_PLAN, Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY)),
        code=PART,
    )  # fmt: skip
    kinds: Given[tuple[str, ...]] = many(
        "In short",
        {
            "going_well": "Feeding is going well",
            "pain_shallow": "Pain with a shallow latch",
            "pain_other": "Pain, latch as hoped for",
            "transfer_low": "Transfer below what baby needs now",
            "supply_low": "Signs of too little milk",
            "supply_high": "Signs of more milk than baby can use",
            "weight": "Weight below what is hoped for",
            "sleepy": "Too sleepy to feed well",
            "suck_swallow": "Sucking and swallowing not yet coordinated",
            "mouth_movement": "Limited movement of tongue or mouth",
            "nipple_damage": "Nipple damage",
            "breast_inflamed": "Signs of inflammation in a breast",
            "asymmetry": "Head turned or held to one side",
            "other": "Something else, in words below",
        },
        need=Need.MUST, paper=CLINICAL, code=PART,
    )  # fmt: skip
    words: Given[str] = text(
        "Impression", need=Need.MUST, paper=CLINICAL, code=PART, help="Signs seen, and what they are consistent with."
    )
    change: Given[str] = choice(
        "Since the last visit", {"better": "Better", "same": "The same", "worse": "Worse"},
        paper=CLINICAL, code=PART, help="Needed from the second visit on.",
    )  # fmt: skip
    change_score: Given[int] = scale(
        "How much of a problem it is now", ends=("none at all", "as bad as it gets"), need=Need.WHEN_OPEN,
        when=When("change", answered=True), paper=CLINICAL, code=PART,
    )  # fmt: skip
    change_words: Given[str] = text(
        "Each problem since the last visit", need=Need.WHEN_OPEN, when=When("change", answered=True),
        paper=CLINICAL, code=PART,
    )  # fmt: skip
    risk: Given[str] = choice(
        "Level of concern",
        {"routine": "Routine", "watch": "Watch", "same_day": "Same day", "emergency": "Emergency"},
        need=Need.MUST, paper=CLINICAL, code=PART,
    )  # fmt: skip
    risk_why: Given[str] = text(
        "Why", need=Need.WHEN_OPEN, when=When("risk", one_of=("watch", "same_day", "emergency")),
        paper=CLINICAL, code=PART,
    )  # fmt: skip
    billing_codes: Given[str] = line(
        "Billing codes", paper=BILLING, code=NotCoded("typed by the consultant, never worked out from words")
    )
