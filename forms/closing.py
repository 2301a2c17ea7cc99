"""Closing or handing over an episode of care (trade line C14): why, how each baby is, and who owns what is still open.

An episode may be closed outside a visit, so its entries stand with the family. Each row of `Loop` says who owns one
open referral, task or next step from now on; `forms.loops` finds what is open and what still keeps care from closing.
"""

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
    many,
    moment,
    quantity,
    ref,
    refs,
    scale,
    text,
    yes_no,
)
from forms.form import About, Form, declared
from forms.infant_history import MILK_DAY
from forms.weight import HIGHEST, LOWEST

__all__ = ["OWNERS", "Closing", "Loop", "StateAtEnd"]

RECORD = Printed((Paper.REPORT, Paper.SUMMARY, Paper.CLOSING))
KEPT = NotPrinted("for the practice's own work; no paper needs it")
PART = NotCoded("part of the closing of an episode, handed over with it as text")
SAID: Mapping[str, Any] = MappingProxyType({"paper": RECORD, "code": PART})
MUST: Mapping[str, Any] = MappingProxyType({**SAID, "need": Need.MUST})
OPENED: Mapping[str, Any] = MappingProxyType({**SAID, "need": Need.WHEN_OPEN})
OWN: Mapping[str, Any] = MappingProxyType({"paper": KEPT, "code": PART})

REASONS = codes(
    goal_met="The goal is met",
    family_choice="The family’s choice",
    moved="Moved away",
    referred_on="Handed over or referred on",
    no_answer="No answer after several tries",
    other="Another reason",
)
OWNERS = codes(
    family="The family",
    provider="A provider",
    next_consultant="The next consultant",
    practice="This practice still",
    settled="Settled: nothing is left to do",
)
NO_ANSWER = When("reason", one_of=("no_answer",))
HANDED_ON = When("reason", one_of=("moved", "referred_on"))


@declared("closing", "Closing of care", About.FAMILY, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Closing(Form):
    """One closing of one episode. It is finished when `closed_at` stands and nothing keeps it from closing."""

    reason: Given[str] = choice("Why care ends", REASONS, **MUST)
    reason_words: Given[str] = text("Which reason", when=When("reason", one_of=("other",)), **OPENED)
    tries: Given[int] = count(
        "How many tries", low=1, high=50, when=NO_ANSWER, source="house bound, no source", **OPENED
    )  # fmt: skip
    risk_open: Given[bool] = yes_no("A risk is still open", when=NO_ANSWER, **OPENED)
    provider_told: Given[str] = line(
        "Provider told: who, when", when=When("risk_open", one_of=(True,)), **OPENED
    )  # fmt: skip
    goal_words: Given[str] = text("The goal and what came of it, in the family’s own words", **MUST)
    goal_reached: Given[int] = scale("How far the goal was reached", ends=("not", "fully"), **MUST)
    covers: Given[tuple[str, ...]] = refs("Whose care ends", ("parent", "infant"), **MUST)
    given_family: Given[tuple[str, ...]] = many(
        "Given to the family",
        codes(summary="A summary", numbers="Numbers to call", come_back="When to come back", nothing="Nothing"),
        alone=("nothing",), **MUST,
    )  # fmt: skip
    given_why_not: Given[str] = text(
        "Why nothing was given", when=When("given_family", one_of=("nothing",)), **OPENED
    )  # fmt: skip
    next_consultant: Given[str] = line("Next consultant: name, how reached", when=HANDED_ON, **OPENED)
    release: Given[tuple[str, ...]] = refs("Under which release", ("release",), when=HANDED_ON, **OPENED)
    bundle_sent: Given[Moment] = moment("Record sent at", when=HANDED_ON, **OPENED)
    receipt: Given[str] = line("Receipt: who confirmed, when", when=HANDED_ON, **OPENED)
    kept: Given[str] = choice(
        "Records are kept",
        codes(rule="By the practice’s rule shown here", longer="Longer than the rule", hold="On hold, until released"),
        need=Need.MUST, **OWN,
    )  # fmt: skip
    kept_until: Given[date] = day("Kept until", need=Need.WHEN_OPEN, when=When("kept", one_of=("longer",)), **OWN)
    kept_why: Given[str] = text(
        "Why longer, or why on hold", need=Need.WHEN_OPEN, when=When("kept", one_of=("longer", "hold")), **OWN
    )  # fmt: skip
    closed_at: Given[Moment] = moment("Closed at", **MUST)
    closed_by: Given[str] = ref("Closed by", ("practitioner",), **MUST)


@declared("state_at_end", "Baby at the end of care", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class StateAtEnd(Form):
    """How one baby was fed and grew when care ended: told or measured, never worked out."""

    closing: Given[str] = ref("Of which closing", ("closing",), need=Need.MUST, **OWN)
    recall_day: Given[date] = day("Day recalled", help="The day before.", **MUST)
    recall: Given[tuple[str, ...]] = many("Baby had on that day", MILK_DAY, **MUST)
    # The limits of a weight: house bounds, no source; it never joins the weights that were taken.
    weight: Given[Quantity] = quantity(
        "Last weight", ("g", "kg", "lb_oz"), low=LOWEST, high=HIGHEST, source="house bound, no source", **MUST
    )  # fmt: skip
    weighed_at: Given[Moment] = moment("That weight was taken at", when=When("weight", answered=True), **OPENED)
    supplement: Given[bool] = yes_no("Still gets more milk", **MUST)
    supplement_amount: Given[Quantity] = quantity(
        "More milk in 24 hours", ("mL", "fl_oz"), low=0, high=2_000, when=When("supplement", one_of=(True,)),
        source="house bound, no source", **OPENED,
    )  # fmt: skip
    pain: Given[int] = scale("Feeder’s pain with this baby", ends=("none", "worst"), **MUST)


@declared("loop", "Open loop", About.FAMILY, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Loop(Form):
    """Who owns one open referral, task, urgent contact or next step once care has ended."""

    closing: Given[str] = ref("Of which closing", ("closing",), need=Need.MUST, **OWN)
    of: Given[str] = ref("What is open", ("referral", "plan", "plan_task", "contact", "urgent_contact"), **MUST)
    owner: Given[str] = choice("Who owns it now", OWNERS, **MUST)
    owner_name: Given[str] = line(
        "Their name", when=When("owner", one_of=("provider", "next_consultant", "practice")), **OPENED
    )  # fmt: skip
    told: Given[bool] = yes_no(
        "They know, and have taken it", when=When("owner", one_of=("family", "provider", "next_consultant")), **OPENED
    )
    settled_how: Given[str] = text("How it was settled", when=When("owner", one_of=("settled",)), **OPENED)
