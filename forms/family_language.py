"""What the consultant wrote herself, in the family's language: typed by her or by who speaks it, never by a machine."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from forms.answers import Given
from forms.ask import NotCoded, Paper, Printed, line, text
from forms.form import About, Form, declared

__all__ = ["FamilyLanguage", "wording_id"]

PLAN = Printed((Paper.FAMILY_PLAN,))
SAME = NotCoded("the same as an answer handed over, in another language")


@declared("family_language", "Words in the family’s language", About.VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyLanguage(Form):
    """One stretch of words of a visit, and how they read in one language.

    It is found by the English words themselves: once those are changed, nothing stands for them any more.
    """

    language: Given[str] = line("Which language", paper=PLAN, code=SAME, help="As a tag: es.")
    english: Given[str] = text("As written", paper=PLAN, code=SAME)
    words: Given[str] = text("In that language", paper=PLAN, code=SAME)


def wording_id(visit: str, language: str, english: str) -> str:
    """The id (32 hex digits) of the entry for these words at this visit; equal on every device."""
    return sha256(f"family_language\n{visit}\n{language}\n{english}".encode()).hexdigest()[:32]
