"""Until when expressed milk is kept, for a baby born at term, well and at home.

Fresh milk 4 hours at 25 °C or cooler, 4 days in a fridge at 4 °C, in a freezer at -18 °C 6 months at its best and 12
months at most; thawed milk 24 hours in a fridge and 1 to 2 hours out of it, never frozen again (CDC and ABM protocol 8,
2017, as quoted, S2); what a baby leaves in a bottle 2 hours after the feed (CDC, S). Some hospitals say 1 hour or 6 to
8 hours at room temperature; 4 hours is the house choice. For a preterm or ill baby the unit's own rules hold.

Hours are elapsed time. Days and months end at the same time of the clock; where a month has no such day, on the next
day, as for every due date.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from forms.answers import Given, Moment
from forms.clinical.result import NoFigure, one
from forms.days import DAYS, MONTHS, clock

__all__ = ["PLACES", "SOURCE", "UNIT_RULES", "Kept", "UseBy", "months_later", "use_by"]

SOURCE = "CDC and ABM protocol 8, 2017, as quoted (S2); left in a bottle: CDC (S)"
UNIT_RULES = "born early or ill: the unit's own rules hold"
ROOM_HOURS, FRIDGE_DAYS = 4, 4  # h at 25 °C or cooler; d at 4 °C (S2)
FREEZER_BEST, FREEZER_LAST = 6, 12  # months at -18 °C (S2)
THAWED_HOURS, THAWED_ROOM_HOURS = 24, (1, 2)  # h in the fridge; h out of it, from good to at most (S2)
BOTTLE_HOURS = 2  # h after the feed (CDC, S)
PLACES = (
    ("Fresh, at 25 °C or cooler", f"{ROOM_HOURS} hours"),
    ("Fresh, in a fridge at 4 °C", f"{FRIDGE_DAYS} days"),
    ("Fresh, in a freezer at −18 °C", f"{FREEZER_BEST} months best, {FREEZER_LAST} months at most"),
    ("Thawed, in the fridge", f"{THAWED_HOURS} hours; never frozen again"),
    ("Thawed, out of the fridge", f"{THAWED_ROOM_HOURS[0]} to {THAWED_ROOM_HOURS[1]} hours"),
    ("Left in the bottle", f"{BOTTLE_HOURS} hours after the feed"),
)
"""Where milk is and until when, in words."""


class Kept(StrEnum):
    """Where milk is, and whether it was frozen before."""

    ROOM = "room"
    FRIDGE = "fridge"
    FREEZER = "freezer"
    THAWED_FRIDGE = "thawed_fridge"
    THAWED_ROOM = "thawed_room"
    BOTTLE = "bottle"


@dataclass(frozen=True, slots=True)
class UseBy:
    """The last moment to use milk. `best`: it is at its best, or surely good, until then; None where there is one."""

    kept: Kept
    until: Moment
    best: Moment | None = None

    @property
    def text(self) -> str:
        """In words: "use by Fri 6 Mar 2026, 09:00"; the freezer names both ends."""
        if self.best is None:
            return f"use by {_words(self.until)}"
        if self.kept is Kept.FREEZER:
            return f"best by {_day(self.best)}, use by {_day(self.until)}"
        return f"use by {clock(self.best.local())}, at most until {_words(self.until)}"


def _day(moment: Moment) -> str:
    on = moment.local()
    return f"{DAYS[on.weekday()][:3]} {on.day} {MONTHS[on.month - 1][:3]} {on.year}"


def _words(moment: Moment) -> str:
    return f"{_day(moment)}, {clock(moment.local())}"


def months_later(on: date, months: int) -> date:
    """The same day of the month so many months on; where that month has no such day, the day after its last."""
    year, month = divmod(on.year * 12 + on.month - 1 + months, 12)
    following = date(year + (month == 11), (month + 1) % 12 + 1, 1)
    return min(date(year, month + 1, 1) + timedelta(days=on.day - 1), following)


def _on(since: Moment, day: date) -> Moment:
    return Moment.of(datetime.combine(day, since.local().time()), since.zone)


def _after(since: Moment, hours: int) -> Moment:
    return Moment(since.at + timedelta(hours=hours), since.zone)


def use_by(since: Given[Moment], kept: Kept, kept_for: Given[str]) -> UseBy | NoFigure:
    """Until when to use milk kept `since`: expressed, thawed, or for BOTTLE the end of the feed.

    Times: see the head of this module (S2; a bottle's, S).
    `kept_for` is "term_home" or "early_or_ill", as asked of each session. No figure for a preterm or ill baby, and none
    while it is not known for whom the milk is.
    """
    start, whom = one(since, "time"), one(kept_for, "baby it is kept for")
    if isinstance(whom, NoFigure):
        return whom
    if whom != "term_home":
        return NoFigure(UNIT_RULES)
    if isinstance(start, NoFigure):
        return start
    today = start.local().date()
    match kept:
        case Kept.ROOM:
            return UseBy(kept, _after(start, ROOM_HOURS))
        case Kept.FRIDGE:
            return UseBy(kept, _on(start, today + timedelta(days=FRIDGE_DAYS)))
        case Kept.FREEZER:
            best, last = months_later(today, FREEZER_BEST), months_later(today, FREEZER_LAST)
            return UseBy(kept, _on(start, last), _on(start, best))
        case Kept.THAWED_FRIDGE:
            return UseBy(kept, _after(start, THAWED_HOURS))
        case Kept.THAWED_ROOM:
            return UseBy(kept, _after(start, THAWED_ROOM_HOURS[1]), _after(start, THAWED_ROOM_HOURS[0]))
        case Kept.BOTTLE:
            return UseBy(kept, _after(start, BOTTLE_HOURS))
