"""What was taken over from another practice or program: facts in the sender's own words, and the files they stand in.

A fact goes here when no question of ours asks for it, or when its question is answered already: it then stands beside
that answer and never in its place. Nothing is worked out from it. The file is kept whole as an attachment, known by its
SHA-256, so that what no version understands yet can be read later.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from forms.answers import Given, Moment, every
from forms.ask import Need, NotCoded, NotPrinted, choice, codes, line, moment, text
from forms.form import About, Form, declared

__all__ = ["MEDIA", "STANDINGS", "ReceivedFact", "ReceivedFile", "fact_words", "source_words"]

AS_IT_CAME: Mapping[str, Any] = MappingProxyType({
    "paper": NotPrinted("another practice said it; it goes on to others in that practice’s own file"),
    "code": NotCoded("kept in the words of whoever said it"),
})  # fmt: skip
OF_THE_FILE: Mapping[str, Any] = MappingProxyType({
    "paper": NotPrinted("about a file that is kept, not about the family"), "code": NotCoded("about a file"),
})  # fmt: skip

MEDIA = codes(pdf="PDF", fhir="FHIR record", csv="CSV", xml="XML, kept as text")
STANDINGS = codes(
    known="Unchanged, sender known",
    stranger="Unchanged, sender not known",
    expired="The seal did not hold",
    changed="Changed since it was sealed",
    unsigned="Signed by nobody",
    sheet="The family’s sheet, not sealed",
)


@declared("received_fact", "Received from elsewhere", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ReceivedFact(Form):
    """One fact about one person that somebody else wrote, taken by hand from a file."""

    what: Given[str] = line("What", need=Need.MUST, **AS_IT_CAME)
    value: Given[str] = text("As it was written", need=Need.MUST, **AS_IT_CAME)
    unit: Given[str] = line("Unit", **AS_IT_CAME)
    at: Given[str] = line("When", help="With the precision it came with: a day, a month, a time.", **AS_IT_CAME)
    from_whom: Given[str] = line("From whom", need=Need.MUST, **AS_IT_CAME)
    doubt: Given[str] = text("What to know about it", **AS_IT_CAME)
    file: Given[str] = line("File", help="The SHA-256 of the file it was taken from.", need=Need.MUST, **AS_IT_CAME)
    place: Given[str] = line("Where in the file", need=Need.MUST, **AS_IT_CAME)


@declared("received_file", "File received from elsewhere", About.FAMILY, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ReceivedFile(Form):
    """A file from elsewhere that is kept whole, and what could be said of its sender on the day it came."""

    file: Given[str] = line("File", help="Its SHA-256.", need=Need.MUST, **OF_THE_FILE)
    media: Given[str] = choice("Kind", MEDIA, need=Need.MUST, **OF_THE_FILE)
    called: Given[str] = line("What it is called", **OF_THE_FILE)
    sender: Given[str] = line("Signed by", **OF_THE_FILE)
    standing: Given[str] = choice("How it stood", STANDINGS, need=Need.MUST, **OF_THE_FILE)
    root: Given[str] = line("Root fingerprint", **OF_THE_FILE)
    sealed: Given[Moment] = moment("Signed at", **OF_THE_FILE)
    beside: Given[str] = line("Signature beside it", help="The SHA-256 of the signature file.", **OF_THE_FILE)
    came: Given[Moment] = moment("Kept since", need=Need.MUST, **OF_THE_FILE)


def _said(given: Given[str]) -> str:
    return " or ".join(value.strip() for value in every(given))


def fact_words(fact: ReceivedFact) -> str:
    """The fact in one line: "Temperature: 37.1 Cel"."""
    value = " ".join(filter(None, (_said(fact.value), _said(fact.unit))))
    return f"{_said(fact.what) or 'A fact'}: {value or 'nothing written'}"


def source_words(fact: ReceivedFact, when_told: Callable[[str], str] = str) -> str:
    """When it was so, who said it, what there is to know: the small line under a fact. `when_told` writes a time."""
    when, whom = " or ".join(map(when_told, every(fact.at))), _said(fact.from_whom)
    said = ", ".join(filter(None, (when, f"from {whom}" if whom else "")))
    return ". ".join(part.removesuffix(".") for part in (said, _said(fact.doubt)) if part)
