"""What is asked when the answer to a letter is written down."""

from __future__ import annotations

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Compose, Section
from forms.form import Form
from forms.letter_answer import LetterAnswer

__all__ = ["ANSWER", "WRITTEN"]

WRITTEN = frozenset({
    (LetterAnswer, name) for name in ("letter", "file", "media", "called", "told_whom", "told_at")
})  # fmt: skip
"""What the page writes itself: which letter it answers, the file that is kept, and whom the answer was told to."""


def _named(home: OpenChart, form: type[Form], which: str) -> EntryBinding:
    """The entry whose id is given."""
    return home.binding(form, entity=which)


def _answer(c: Compose) -> None:
    c.row("came", "from_whom")
    c.ask("outcome", "words")


ANSWER = Section("letters.answer", "Answer", LetterAnswer, _answer, "What they answered", bind=_named)
