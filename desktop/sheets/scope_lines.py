"""The practice's own wording of the line at the foot of the family's plan, one for each language."""

from __future__ import annotations

from collections.abc import Callable

from desktop.sheets.sheet import Compose, Listed, Section
from forms.ask import ask_of
from forms.chart import Entry
from forms.papers.scope import has_to_say, left_out
from forms.phrases.languages import CATALOGUES
from forms.scope_wording import ScopeWording

__all__ = ["SCOPE_LINES", "line_of"]


def _wording(c: Compose) -> None:
    c.ask("paper", "language", "words")


def line_of(entry: Entry[ScopeWording], name: Callable[[str], str] = str) -> str:
    """Which line it is, and what it still leaves out."""
    del name
    kept = entry.answers
    if not isinstance(kept.language, str) or not isinstance(kept.words, str):
        return "A scope line without its language or its words yet"
    language = ask_of(ScopeWording, "language").options.get(kept.language, kept.language)
    fault = left_out(kept.words, kept.language)
    return f"{language}: {fault}" if fault else f"{language}: {kept.words}"


def _scope(c: Compose) -> None:
    c.note(
        "Every plan ends with a line on what you are and are not. You may put it in your own words; it cannot be left "
        "out, and no plan leaves with one that says less than the usual line."
    )
    c.note(f"Whatever the words, it says {'; '.join(has_to_say())}.")
    for language, label in ask_of(ScopeWording, "language").options.items():
        c.note(f"The usual line in {label}: “{CATALOGUES[language].sentences['plan.scope'].text}”")
    c.entries(ScopeWording, _wording, Listed(add="A wording", empty="The usual lines stand.", line=line_of))


SCOPE_LINES = Section("practice.scope", "Scope lines", ScopeWording, _scope, "The line at the foot of the plan")
