"""The calmer prompts on the finish list: what could still be closed before the visit is signed, and need not be."""

from __future__ import annotations

from collections import Counter
from datetime import datetime

from forms.blank import Blank, Level, Step, Why
from forms.chart import Chart, Place
from forms.clinical.prompts import unclosed
from forms.clinical.rule import Level as Rung
from forms.prompted import PromptClosed

__all__ = ["prompts_left"]


def prompts_left(chart: Chart, now: datetime) -> tuple[Blank, ...]:
    """One line for each person and rung, PROMPT and FOLLOW-UP, with nothing written down about it; `now` is aware.

    They never keep a visit from being signed. A NOTE is for the record alone and stands on no list. As everywhere on
    the list, no line carries an answer.
    """
    waits = Counter((prompt.person, prompt.level) for prompt in unclosed(chart, now) if prompt.level > Rung.NOTE)
    return tuple(
        Blank(
            Place(PromptClosed.name, chart.family, chart.visit, (person,)), None, None, Step.PLAN, Level.SHOULD,
            Why.MISSING, f"{'A prompt' if count == 1 else f'{count} prompts'} to close: {rung.words.lower()}",
        )
        for (person, rung), count in waits.items()
    )  # fmt: skip
