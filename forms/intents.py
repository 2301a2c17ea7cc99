"""Where answers may stand and how they are handed over, said once for the forms that share it.

Each name is a bundle of the `paper` and `code` that a question states, to be spread into its declaration:
`line("Phone", **WITH_THE_PERSON)`. A question with a code of its own passes `code` beside `paper` instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from forms.ask import Coded, NotCoded, NotPrinted, Paper, Printed

__all__ = [
    "BILLED", "EVERY_PAPER", "FOR_PROVIDERS", "IN_HOUSE", "LOINC", "NO_CODE", "ON_EVERY_PAPER", "PRIVATE",
    "SUMMARY_ANSWER", "TO_PROVIDERS", "loinc",
]  # fmt: skip

LOINC: Final = "http://loinc.org"

NO_CODE: Final = NotCoded("no open code was found for it; handed over as text inside its form")

EVERY_PAPER: Final = Printed(tuple(Paper))
"""Who someone is: it stands at the head of every paper."""

TO_PROVIDERS: Final = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
"""Findings and history: only to somebody with a release, about that one person, and never on the family plan."""

BILLED: Final = Printed((*TO_PROVIDERS.on, Paper.RECEIPT))
"""Who someone is, as far as a payer has to know it too."""

_BEHIND_A_TAP: Final = NotPrinted("mood, safety and loss are private; no paper carries them")


def _bundle(**more: Any) -> Mapping[str, Any]:
    return MappingProxyType(more)


def loinc(code: str) -> Coded:
    """A LOINC code; a test holds every one against the list of those seen in open sources, and its check digit."""
    return Coded(LOINC, code)


ON_EVERY_PAPER: Final = _bundle(paper=EVERY_PAPER, code=NO_CODE)
FOR_PROVIDERS: Final = _bundle(paper=TO_PROVIDERS, code=NO_CODE)
IN_HOUSE: Final = _bundle(paper=NotPrinted("for the practice's own work; no paper needs it"), code=NO_CODE)
PRIVATE: Final = _bundle(paper=_BEHIND_A_TAP, code=NO_CODE, private=True)
SUMMARY_ANSWER: Final = _bundle(
    paper=NotPrinted("each answer it wrote is printed at its own line, marked as a summary answer"), code=NO_CODE
)
