"""Every picture there is of a person, in the order they are shown."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from forms.chart import Chart
from forms.pictures.early_percent import early_percent
from forms.pictures.maker import Maker
from forms.pictures.weight_lines import weight_lines

__all__ = ["pictures"]

_EACH: tuple[Callable[[Chart, str, datetime], Maker | None], ...] = (early_percent, weight_lines)
"""Each gives its maker for a parent or a baby, or None while there is nothing of it to show."""


def pictures(chart: Chart, person: str, now: datetime) -> tuple[Maker, ...]:
    """The pictures that have something to show of a parent or a baby, as charted by `now`."""
    return tuple(made for each in _EACH if (made := each(chart, person, now)) is not None)
