"""What was done about the calmer prompts of the ladder: PROMPT, FOLLOW-UP and NOTE.

SAME DAY and EMERGENCY ask for more and have the urgent contact (`forms.contact`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from forms.answers import Given, Moment
from forms.ask import Need, NotCoded, Paper, Printed, When, choice, line, moment, refs, text
from forms.form import About, Form, declared

__all__ = ["PromptClosed"]

CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
PART = NotCoded("part of a communication, handed over with it as text")
DONE = When("outcome", one_of=("done",))
SET_ASIDE = When("outcome", one_of=("override",))
OPENED: Mapping[str, Any] = MappingProxyType({"need": Need.WHEN_OPEN, "paper": CLINICAL, "code": PART})


@declared("prompt_closed", "Prompt closed", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class PromptClosed(Form):
    """What closed one or more prompts about one person: an action with a person and a time, or a reason to set aside.

    `covers` holds the ids of the prompt rules.
    """

    covers: Given[tuple[str, ...]] = refs("About which prompts", ("prompt",), need=Need.MUST, paper=CLINICAL, code=PART)
    outcome: Given[str] = choice(
        "How it is closed", {"done": "Something is done about it", "override": "Set aside, for a reason"},
        need=Need.MUST, paper=CLINICAL, code=PART,
    )  # fmt: skip
    action: Given[str] = text("What is done about it", when=DONE, **OPENED)
    by_whom: Given[str] = line("Who does it", when=DONE, help="A name, or the person's part: the parent.", **OPENED)
    at: Given[Moment] = moment("When", when=DONE, help="When it was done, or is to be done.", **OPENED)
    override_reason: Given[str] = text("The consultant's reason", when=SET_ASIDE, **OPENED)
