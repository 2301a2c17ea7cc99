"""What came back for a letter: who answered, what came of it, the file it stands in, and that the family was told.

An answer is a row of its own beside the letter. So two devices that write one down apart keep both, and one that comes
after the visit was signed changes nothing of what was signed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from forms.answers import Given, Moment
from forms.ask import Need, NotCoded, NotPrinted, choice, codes, line, moment, ref, text
from forms.form import About, Form, declared

__all__ = ["FILE_KINDS", "OUTCOMES", "LetterAnswer"]

LOOP: Mapping[str, Any] = MappingProxyType({
    "paper": NotPrinted("what became of a letter is followed in the chart; the answer is its writer’s to pass on"),
    "code": NotCoded("kept in the words of whoever answered"),
})  # fmt: skip

OUTCOMES = codes(
    treats="They treat or take over",
    advice="Advice for us and the family",
    nothing_more="Looked at, nothing more needed",
    onward="Sent on to somebody else",
    again="To be seen again",
    declined="They do not take it on",
    other="Something else, as written",
)
FILE_KINDS = codes(pdf="PDF", jpeg="Photo", png="Picture")


@declared("letter_answer", "Answer to a letter", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class LetterAnswer(Form):
    """One answer to one letter about the person it stands under."""

    letter: Given[str] = ref("To which letter", ("referral",), need=Need.MUST, **LOOP)
    came: Given[Moment] = moment("Came at", need=Need.MUST, **LOOP)
    from_whom: Given[str] = line("From whom", need=Need.MUST, **LOOP)
    outcome: Given[str] = choice("What came of it", OUTCOMES, need=Need.MUST, **LOOP)
    words: Given[str] = text("What they answered", need=Need.MUST, help="In their own words where you can.", **LOOP)
    file: Given[str] = line("File", help="Its SHA-256.", **LOOP)
    media: Given[str] = choice("Kind of file", FILE_KINDS, **LOOP)
    called: Given[str] = line("What the file is called", **LOOP)
    told_whom: Given[str] = line("Told to whom", **LOOP)
    told_at: Given[Moment] = moment("Told at", not_before="came", **LOOP)
