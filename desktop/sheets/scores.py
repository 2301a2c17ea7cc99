"""Published scored tools about a baby: the tool is picked, its own numbers open in place, and the total stands by."""

from __future__ import annotations

from collections.abc import Callable

from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Compose, Listed, Section
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.scores import said
from forms.newer import choice_words
from forms.scores import Score

__all__ = ["SCORES"]

_RATERS = "Raters of such tools often disagree; a total says little without what was seen and felt."


def _score(c: Compose) -> None:
    c.ask("tool")
    c.row("version", "scored_at")
    c.row("scored_by", "feeder")
    c.ask("incomplete_why")


def _scores(c: Compose) -> None:
    c.note(f"None has to be used. {_RATERS} Have the tool’s own sheet at hand; its wording is not shown here.")
    c.entries(Score, _score, Listed(add="A scored tool", empty="None used.", line=_line, more=_band, concerns=True))


def _line(entry: Entry[Score], name: Callable[[str], str]) -> str:
    del name  # a score says itself what it is
    kept = entry.answers
    if not isinstance(kept.tool, str):
        return "Tool not chosen yet"
    tool = choice_words(ask_of(Score, "tool"), kept.tool)
    return f"{tool.partition(',')[0]}: {said(kept).words}"


def _band(home: OpenChart, entry: Entry[Score]) -> str:
    del home  # a score says itself what is published about it
    told = said(entry.answers)
    return " ".join(part for part in (f"{told.band}. " * bool(told.band), told.caution) if part.strip())


SCORES = Section("look.scores", "Scores", Score, _scores, "Scored tools for {name}")
"""Optional, and about a baby; the mood screens stand with the parent's private story."""
