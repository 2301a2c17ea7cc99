"""Names of days and months, and the time of day, the same on every machine.

Own tables: the C library's names follow the machine's language, not the program's.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from forms.answers import Moment

__all__ = ["DAYS", "MONTHS", "clock", "moment_words", "short_day"]

DAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def short_day(on: date) -> str:
    """A day as the window writes it: "3 Mar 2026"."""
    return f"{on.day} {MONTHS[on.month - 1][:3]} {on.year}"


def clock(at: datetime) -> str:
    """A time of day: "14:02"."""
    return f"{at.hour:02}:{at.minute:02}"


def moment_words(moment: Moment) -> str:
    """A moment in its own zone: "Tue 3 Mar 2026 14:02". A time the clocks showed twice says which."""
    local = moment.local()
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    which = (" second" if local.fold else " first") if twice else ""
    return f"{DAYS[local.weekday()][:3]} {short_day(local)} {clock(local)}{which}"
