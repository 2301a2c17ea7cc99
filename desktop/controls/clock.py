"""Days and times in words, the same on every machine."""

from __future__ import annotations

from forms.answers import Moment
from forms.days import DAYS, clock
from forms.days import short_day as day_words

__all__ = ["clock", "day_words", "moment_words"]


def moment_words(moment: Moment) -> str:
    """A moment in its own zone: "Tue 3 Mar 2026 14:02". A time the clocks showed twice says which."""
    local = moment.local()
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    which = (" second" if local.fold else " first") if twice else ""
    return f"{DAYS[local.weekday()][:3]} {day_words(local)} {clock(local)}{which}"
