"""Words a paper waits for: what she wrote, and a box beside each for the same in the family's language."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from desktop.controls.layouts import Stack
from desktop.controls.question import Question
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.theme.tokens import Role, Size, Space
from forms.family_language import FamilyLanguage, wording_id
from forms.papers.tongue import WordsMissing
from forms.phrases.languages import language_name

__all__ = ["WordsWanted"]


class WordsWanted(Stack):
    """One box for each stretch of words that has no wording yet: `boxes`, by the words as she wrote them."""

    def __init__(self, home: OpenChart, trouble: WordsMissing) -> None:
        super().__init__(between=Space.PAD)
        self._tag, name = trouble.tag, language_name(trouble.tag)
        self.boxes: dict[str, Question] = {}
        helping = f"Put in {name} by you or by somebody who speaks it. Nothing here is translated by the program."
        self.add(Words(helping, size=Size.SMALL, ink=Role.SOFT_INK))
        for written in trouble.missing:
            box = Question(_wording(home, trouble.tag, written), "words", heading=f"In {name}")
            self.boxes[written] = box
            self.add(Rule(), Words(written), box)

    def holds(self, trouble: WordsMissing) -> bool:
        """Whether all of these words have their box here already, so that what is being typed stays where it is."""
        return trouble.tag == self._tag and set(trouble.missing) <= set(self.boxes)


def _wording(home: OpenChart, tag: str, written: str) -> EntryBinding:
    """The entry that words this in that language, begun with the first answer."""
    binding = home.binding(FamilyLanguage, entity=wording_id(home.chart.visit or "", tag, written))

    def told(_answers: Any, path: str, _value: Any) -> Mapping[str, Any]:
        return {"language": tag, "english": written} if path == "words" else {}

    binding.goes_with = told
    return binding
