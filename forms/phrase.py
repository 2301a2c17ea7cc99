"""The practice's own phrases: words she writes often, with blanks that have to be filled before a note is signed.

A blank is `[?]`, or `[? which side]` with a word on what belongs there: a square bracket opened by a question mark.
Other brackets, as in "[sic]", are ordinary words. A phrase enters an answer only when she picks it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from forms.answers import Given
from forms.ask import Ask, Kind, NotCoded, NotPrinted, line, refs, text
from forms.form import About, Form, declared

__all__ = ["Phrase", "blank_spans", "fits", "question_key", "takes_phrases"]

KEPT = NotPrinted("a help for writing; what it says stands on a paper once it stands in an answer")
OWN = NotCoded("the practice's own help for writing, not handed over")

_BLANK: Final = re.compile(r"\[\?[^\[\]\n]*\]")


@declared("phrase", "Phrase", About.PRACTICE, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase(Form):
    """One phrase. `fits` names questions as "form.field"; with none it is offered at every question for text."""

    shortcut: Given[str] = line("Short name", help="A word or two to find it by.", paper=KEPT, code=OWN)
    words: Given[str] = text(
        "The phrase", paper=KEPT, code=OWN,
        help="Write [?] for each blank, or [? side] with a word on what goes there. "
        "Other brackets, like [sic], are ordinary words.",
    )  # fmt: skip
    fits: Given[tuple[str, ...]] = refs(
        "Where it fits", ("question",), help="Nothing picked: offered wherever text is written.", paper=KEPT, code=OWN
    )


def blank_spans(words: str) -> tuple[tuple[int, int], ...]:
    """Where each unfilled blank stands in a text: (start, end) in characters, from the left."""
    return tuple(found.span() for found in _BLANK.finditer(words))


def question_key(form: type[Form], field: str) -> str:
    """The name by which a phrase says that it fits a question: "plan.comfort_care"."""
    return f"{form.name}.{field}"


def takes_phrases(form: type[Form], ask: Ask) -> bool:
    """Whether phrases are offered at this question: every one for running text, but those of a phrase itself."""
    return ask.kind is Kind.TEXT and form is not Phrase


def fits(phrase: Phrase, key: str) -> bool:
    """Whether a phrase is offered at the question of that key. One with two texts, or none, is offered nowhere."""
    if not isinstance(phrase.words, str) or not phrase.words.strip():
        return False
    return not isinstance(phrase.fits, tuple) or not phrase.fits or key in phrase.fits
