"""The sentences of one language, each under its key, with who of that language's clinicians went through it and when.

A blank is `{named}`; words between two pairs of stars are strong. A language is one catalogue and nothing else, so
another one is one more file beside `spanish.py` and one more line in `languages.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Final

__all__ = ["READY", "Catalogue", "Sentence", "sentences"]

READY: Final = ("task.", "often.", "until.", "who.", "care.", "well.", "next.", "hours.")
"""Beginnings of the keys of ready sentences: offered for an answer, and found again in one that was given."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence. `reviewer` is the clinician speaking its language who went through it, `reviewed_on` when."""

    text: str
    reviewer: str = ""
    reviewed_on: date | None = None

    @property
    def reviewed(self) -> bool:
        """Whether somebody named went through it on a day named."""
        return bool(self.reviewer) and self.reviewed_on is not None


def sentences(*parts: Mapping[str, str | Sentence]) -> Mapping[str, Sentence]:
    """The sentences of a catalogue; one written as bare text has not been reviewed. Raises ValueError for a double."""
    made: dict[str, Sentence] = {}
    for part in parts:
        for key, kept in part.items():
            if key in made:
                raise ValueError(f"{key} stands twice")
            made[key] = kept if isinstance(kept, Sentence) else Sentence(kept)
    return MappingProxyType(made)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """One language: its BCP 47 tag, its name in English and its own, its sentences, and how it names days and months.

    Options and labels of questions stand under "option.plan.followup_kind.home" and "label.plan.comfort_care"; English
    has them in the questions themselves.
    """

    tag: str
    english_name: str
    own_name: str
    sentences: Mapping[str, Sentence]
    days: tuple[str, ...]
    months: tuple[str, ...]

    def library(self) -> Mapping[str, Sentence]:
        """The ready sentences that an answer can be chosen from."""
        return {key: kept for key, kept in self.sentences.items() if key.startswith(READY)}
