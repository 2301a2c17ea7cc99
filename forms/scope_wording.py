"""The practice's own wording of the line at the foot of the family's plan, one for each language."""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given
from forms.ask import NotCoded, NotPrinted, choice, text
from forms.form import About, Form, declared

__all__ = ["ScopeWording"]

SETTING = NotPrinted("a setting of the practice; what it says stands at the foot of a paper")
OWN = NotCoded("a setting of the practice, not handed over")


@declared("scope_wording", "Scope line", About.PRACTICE, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeWording(Form):
    """One line in the practice's own words. It says everything the usual one says, or no paper leaves with it."""

    paper: Given[str] = choice("On which paper", {"family_plan": "Family’s plan"}, paper=SETTING, code=OWN)
    language: Given[str] = choice("In which language", {"en": "English", "es": "Spanish"}, paper=SETTING, code=OWN)
    words: Given[str] = text(
        "The line in your own words", paper=SETTING, code=OWN,
        help="It has to say that it is about feeding, takes no doctor’s or midwife’s place, who decides on medicines, "
        "and to call when worried.",
    )  # fmt: skip
