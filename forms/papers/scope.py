"""The scope line at the foot of a paper: what the writer is and is not. It can be reworded, never thinned out.

What each line must say is common practice (no source); the wording is ours until a practice writes its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from forms.answers import Conflicted
from forms.ask import Paper, ask_of
from forms.chart import Chart
from forms.phrases.catalogue import Catalogue
from forms.phrases.english import ENGLISH
from forms.phrases.languages import CATALOGUES
from forms.scope_wording import ScopeWording
from forms.trouble import Trouble, Unresolved

__all__ = ["SCOPE", "ScopeLine", "ScopeTooThin", "has_to_say", "holds", "left_out", "scope_line"]

SHORTEST: Final = 60
LONGEST: Final = 400
"""Characters a reworded line may have, so that it says something and leaves the page to the plan. House rule."""


@dataclass(frozen=True, slots=True)
class ScopeLine:
    """What the writer is and is not; every paper carries the one of its kind."""

    text: str


class ScopeTooThin(Trouble):
    """A practice's own scope line leaves out something it has to say."""

    template = (
        "Your own scope line for the family’s plan {fault}. Write that in under Practice, Scope lines, or strike your "
        "wording out; no paper leaves with it as it is."
    )


SCOPE: Final[Mapping[Paper, ScopeLine]] = MappingProxyType({
    Paper.FAMILY_PLAN: ScopeLine(ENGLISH.sentences["plan.scope"].text),
    Paper.CALL_NOW: ScopeLine(
        "This page is about feeding. It does not take the place of your own or your baby’s doctor or midwife. "
        "When you are worried, call: do not wait for the next visit."
    ),
    Paper.REFERRAL: ScopeLine(
        "Observations and a feeding assessment by a lactation consultant, within the certification and any licence "
        "held. It names no illness: what to test, name, prescribe or operate on is for the licensed provider."
    ),
    Paper.REPORT: ScopeLine(
        "Observations and a feeding assessment by a lactation consultant, within the certification and any licence "
        "held; not a medical diagnosis. Decisions on diagnosis, tests, prescriptions and procedures rest with the "
        "licensed provider."
    ),
    Paper.CLOSING: ScopeLine(
        "This letter is about feeding care that has come to its end. It names no illness and takes no doctor’s, "
        "midwife’s or other provider’s place: when worried, call them."
    ),
    Paper.RECEIPT: ScopeLine(
        "From a lactation consultant. The codes tell a payer the reason for the visit, for billing; they are not a "
        "diagnosis and take no provider’s place."
    ),
    Paper.SUMMARY: ScopeLine(
        "From the record of a lactation consultant: what was seen, weighed and told about feeding. It names no illness "
        "and takes no provider’s place."
    ),
    Paper.PACKAGE: ScopeLine(
        "The index of what a lactation consultant’s record holds about one person on feeding, as it was asked for. It "
        "names no illness, and adds nothing to the papers it lists."
    ),
    Paper.FIGURES: ScopeLine(
        "Counts from the record of a lactation consultant’s practice, of no one person. They tell how care went here "
        "and compare no practices."
    ),
})  # fmt: skip
"""The line of each paper, in English, as it stands until a practice rewords it."""

_MUST_SAY: Final[Mapping[str, tuple[tuple[str, str], ...]]] = MappingProxyType({
    "en": (
        ("that it is about feeding", r"\b(?:feeding|breastfeeding|chestfeeding|nursing)\b"),
        ("that it takes no doctor’s or midwife’s place", r"\bnot\b.*\b(?:doctor|midwife|provider)"),
        ("who decides on medicines", r"\bmedicines?\b"),
        ("to call when worried", r"\bcall\b"),
    ),
    "es": (
        ("that it is about feeding", r"\b(?:alimentación|lactancia|dar pecho|amamantar)\b"),
        ("that it takes no doctor’s or midwife’s place", r"\bno\b.*\b(?:médic[oa]|doctora?|partera|pediatra)"),
        ("who decides on medicines", r"\b(?:medicinas?|medicamentos?)\b"),
        ("to call when worried", r"\bllam[ea]\b"),
    ),
})  # fmt: skip
"""What the family's line has to say in each language: in words for the consultant, and how it is looked for."""


def has_to_say() -> tuple[str, ...]:
    """What the family's line has to say in any language, each as the rest of "it says"."""
    return tuple(what for what, _pattern in _MUST_SAY[ENGLISH.tag])


def left_out(text: str, language: str) -> str:
    """What a wording of the family's line still lacks, as the rest of a sentence; "" for one that may stand."""
    bare = " ".join(text.split())
    if not SHORTEST <= len(bare) <= LONGEST:
        return f"has to have {SHORTEST} to {LONGEST} characters"
    if language not in _MUST_SAY:
        return "can be reworded in English and Spanish only"
    lacking = [what for what, pattern in _MUST_SAY[language] if not re.search(pattern, bare, re.IGNORECASE)]
    return f"does not say {' or '.join(lacking)}" if lacking else ""


def holds(kind: Paper, language: str, line: ScopeLine) -> bool:
    """Whether this line may stand at the foot of that paper: the usual one, or a wording that says as much."""
    if line == SCOPE.get(kind):
        return language == ENGLISH.tag
    if kind is not Paper.FAMILY_PLAN or language not in CATALOGUES:
        return False
    return line.text == CATALOGUES[language].sentences["plan.scope"].text or not left_out(line.text, language)


def scope_line(chart: Chart, kind: Paper, catalogue: Catalogue) -> ScopeLine:
    """The practice's own wording of the family's line in a language, else the usual one.

    Raises ScopeTooThin for a wording that leaves something out, Unresolved when two stand for the same.
    """
    own = [
        kept
        for entry in chart.all(ScopeWording)
        if (kept := entry.answers).paper == kind and kept.language == catalogue.tag and kept.words is not None
    ]
    if len(own) > 1 or any(isinstance(kept.words, Conflicted) for kept in own):
        raise Unresolved(label=ask_of(ScopeWording, "words").label)
    if not own or not isinstance(own[0].words, str) or not own[0].words.strip():
        return ScopeLine(catalogue.sentences["plan.scope"].text)
    fault = left_out(own[0].words, catalogue.tag)
    if fault:
        raise ScopeTooThin(fault=fault)
    return ScopeLine(" ".join(own[0].words.split()))
