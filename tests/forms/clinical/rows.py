"""How a row of the edge tables reads: the rule, its level, the chart at its edge and the chart just beside it.

Both charts are arguments of `charted`.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any, TypeAlias

from forms.chart import Chart
from forms.clinical.prompts import Level, Prompt, prompts
from tests.forms.clinical.charted import NOW, charted

Case: TypeAlias = tuple[str, Level, dict[str, Any], dict[str, Any]]

E, S, P, F, N = Level.EMERGENCY, Level.SAME_DAY, Level.PROMPT, Level.FOLLOW_UP, Level.NOTE
DAY = 24


def fired(chart: Chart, now: datetime = NOW) -> dict[str, Level]:
    """The level of each prompt, by its rule."""
    return {prompt.rule: prompt.level for prompt in prompts(chart, now)}


def prompt_of(rule: str, **chart: Any) -> Prompt:
    """The prompt of one rule."""
    return next(prompt for prompt in prompts(charted(**chart), NOW) if prompt.rule == rule)


def fires_only_at_its_edge(case: Case) -> bool:
    """Whether the rule fires at its level at the edge, and not at all beside it."""
    rule, level, edge, beside = case
    return fired(charted(**edge)).get(rule) is level and rule not in fired(charted(**beside))
