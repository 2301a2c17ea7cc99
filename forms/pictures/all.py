"""Every picture there is of a person, in the order they are shown."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from forms.chart import Chart
from forms.pictures.day_round import day_round
from forms.pictures.diapers import diapers
from forms.pictures.early_percent import early_percent
from forms.pictures.feed_lanes import feed_lanes
from forms.pictures.maker import Maker
from forms.pictures.marked import MARKED
from forms.pictures.milk_sides import milk_sides
from forms.pictures.pain import pain
from forms.pictures.supplement_share import supplement_share
from forms.pictures.weight_lines import weight_lines

__all__ = ["pictures"]

_EACH: tuple[Callable[[Chart, str, datetime], Maker | None], ...] = (
    early_percent,
    weight_lines,
    diapers,
    day_round,
    supplement_share,
    milk_sides,
    pain,
    *MARKED,
)
"""Each gives its maker for a parent or a baby, or None while there is nothing of it to show."""


def pictures(chart: Chart, person: str, now: datetime) -> tuple[Maker, ...]:
    """The pictures that have something to show of a parent or a baby, as charted by `now`."""
    feeds = feed_lanes(chart, person, now)
    return (*feeds, *(made for each in _EACH if (made := each(chart, person, now)) is not None))
