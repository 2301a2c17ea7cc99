"""When a note needs what expressing comes to in a day, and who kept the log (trade lines C7 and C8)."""

from __future__ import annotations

from forms.answers import every
from forms.blank import Level
from forms.chart import Chart
from forms.expressing import Expression
from forms.feeding_log import LogLine
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.taking_part import babies, noted_parents

__all__ = ["expressing_level", "log_level"]


def expressing_level(chart: Chart, parent: str) -> Level | None:
    """A must once this parent told of a pump or of pump sessions, or a session of hers stands at this visit.

    Own milk told for a baby counts where one parent alone could have expressed it; where two could, it is offered for
    both. None: nothing of expressing was told, and nothing is asked. From the trade's form table, as a house rule (P).
    """
    told = chart.one(ParentHistory, parent)
    pumps = {pump for given in every(told.pumps) for pump in given} - {"none"}
    sessions = chart.visit is not None and chart.all(Expression, parent, visit=chart.visit)
    if pumps or every(told.pump_sessions) or sessions:
        return Level.MUST
    milks = {milk for baby in babies(chart) for fed in every(chart.one(InfantHistory, baby).fed_now) for milk in fed}
    if "own_milk" not in milks:
        return None
    return Level.MUST if noted_parents(chart) == (parent,) else Level.SHOULD


def log_level(chart: Chart, baby: str) -> Level | None:
    """A log with lines should say where it is from; without lines nothing is asked of it (house rule, P)."""
    has_lines = chart.visit is not None and chart.all(LogLine, baby, visit=chart.visit)
    return Level.SHOULD if has_lines else None
