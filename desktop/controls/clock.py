"""Days and times in words, the same on every machine."""

from __future__ import annotations

from datetime import date, datetime

from forms.answers import Moment

__all__ = ["clock", "day_words", "moment_words"]

# Own tables: the C library's month names follow the machine's language, not the window's.
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(on: date) -> str:
    """A day: "3 Mar 2026"."""
    return f"{on.day} {_MONTHS[on.month - 1]} {on.year}"


def clock(at: datetime) -> str:
    """A time of day: "14:02"."""
    return f"{at.hour:02}:{at.minute:02}"


def moment_words(moment: Moment) -> str:
    """A moment in its own zone: "Tue 3 Mar 2026 14:02". A time the clocks showed twice says which."""
    local = moment.local()
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    which = (" second" if local.fold else " first") if twice else ""
    return f"{_DAYS[local.weekday()]} {day_words(local)} {clock(local)}{which}"
