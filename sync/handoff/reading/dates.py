"""Days and times as FHIR writes them; one that is not whole is no value here, and its words are shown instead."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Any, Final
from zoneinfo import ZoneInfoNotFoundError

from forms.answers import Moment
from forms.days import short_day

__all__ = ["another_day", "day_told", "moment_told"]

_FURTHEST: Final = (-12, 14)
"""Hours behind and ahead of UTC of which the zone list has a zone of its own."""
_WHOLE_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


def day_told(told: Any) -> date | None:
    """A whole day, "2026-11-06"; None for a month, a year, or anything else."""
    try:
        return date.fromisoformat(told) if isinstance(told, str) and _WHOLE_DAY.fullmatch(told) else None
    except ValueError:
        return None


def moment_told(told: Any, zone: str) -> Moment | None:
    """A time of a day, lived in `zone`; None for a day alone, or anything else.

    Where the clocks of `zone` stood otherwise, the sender's own clock is kept as far as the offset tells it: whoever
    was born half an hour after midnight there was born on that day, not on the one before. UTC is nobody's clock.
    """
    try:
        moment = Moment(datetime.fromisoformat(told), zone) if isinstance(told, str) and "T" in told else None
        return Moment(moment.at, _clock_of(told, moment)) if moment is not None else None
    except (ValueError, OverflowError, ZoneInfoNotFoundError):
        return None


def another_day(told: Any, moment: Any) -> tuple[str, ...]:
    """A doubt where a time told by another clock lies on another day by the clock kept here.

    None of a time told as UTC by its letter: it says of no day on which it was lived.
    """
    if not isinstance(told, str) or not isinstance(moment, Moment) or told.endswith(("Z", "z")):
        return ()
    said, here = datetime.fromisoformat(told).date(), moment.local().date()
    if said == here:
        return ()
    by_it = f"The file says {short_day(said)}, by a clock that is not kept here"
    return (f"{by_it}; by the clock here it was {short_day(here)}. Ask which day holds.",)


def _clock_of(told: str, moment: Moment) -> str:
    """The zone of the clock by which a time was told: the moment's own, or one of whole hours that fits the offset."""
    offset = datetime.fromisoformat(told).utcoffset()
    hours, rest = divmod(offset or timedelta(), timedelta(hours=1))
    if not offset or offset == moment.local().utcoffset() or rest or not _FURTHEST[0] <= hours <= _FURTHEST[1]:
        return moment.zone
    return f"Etc/GMT{-hours:+d}"  # signed the other way round than offsets are
