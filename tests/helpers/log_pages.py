"""What stands in a baby's log on an open page, for tests of how it comes in."""

from __future__ import annotations

from typing import Any

from desktop.pages.visit import VisitPage
from forms.answers import Moment
from forms.ask import asks
from forms.chart import Entry
from forms.feeding_log import LogLine
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["said_by", "standing"]


def standing(page: VisitPage, twins: TwinVisit) -> tuple[Entry[LogLine], ...]:
    settled(twins)
    return page.home.chart.all(LogLine, twins.ida)


def said_by(entry: Entry[LogLine]) -> dict[str, Any]:
    """The answers of a line, its times as the clock of the place shows them."""
    found = {name: getattr(entry.answers, name) for name in asks(LogLine)}
    times = {k: v.local().isoformat()[:16] for k, v in found.items() if isinstance(v, Moment)}
    return {name: value for name, value in (found | times).items() if value is not None}
