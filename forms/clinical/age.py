"""Age: elapsed real time since birth, whatever the clocks did in between.

Both ends are instants (`Moment` keeps UTC), so a night in which clocks change counts the hours it had. Calendar days,
which the growth standards count, are a figure of their own and never mixed with elapsed time.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from forms.answers import Conflicted, Given, Moment, every
from forms.clinical.result import NoFigure, one

__all__ = ["Age", "age", "age_in_days", "elapsed_words", "possible_births"]

HOURS_UNTIL_DAYS = 7  # below 7 days an age is said in hours (house rule, P)
DAYS_UNTIL_WEEKS = 28  # below 28 days in days (same, P)
WEEKS_UNTIL_MONTHS = 13  # below 13 weeks in weeks, then in months (house choice, no source)


@dataclass(frozen=True, slots=True)
class Age:
    """Time from `born` to `at` (aware, UTC).

    `hours`: elapsed hours, exact. `days`: whole elapsed days, 0 for the first 24 hours. `day_of_life`: 1 for hours
    0 to 23, as output tables count. `calendar_days`: days between the two dates in the birth's zone (day of birth 0),
    as the WHO standards count.
    """

    born: Moment
    at: datetime

    @property
    def elapsed(self) -> timedelta:
        """Real time since birth."""
        return self.at - self.born.at

    @property
    def hours(self) -> Fraction:
        """Elapsed hours."""
        return Fraction(self.elapsed // timedelta(seconds=1), 3600)

    @property
    def days(self) -> int:
        """Whole elapsed days."""
        return self.elapsed.days

    @property
    def day_of_life(self) -> int:
        """The day of life: hours 0 to 23 are day 1."""
        return self.days + 1

    @property
    def calendar_days(self) -> int:
        """Days between the calendar dates in the zone of birth."""
        return (self.at.astimezone(ZoneInfo(self.born.zone)).date() - self.born.local().date()).days

    @property
    def words(self) -> str:
        """The whole age in words, "7 d 2 h 20 min" below 28 days, then weeks and days, then months and days."""
        if self.days < DAYS_UNTIL_WEEKS:
            return elapsed_words(self.elapsed)
        return self.spoken

    @property
    def spoken(self) -> str:
        """The age as it is said: hours below 7 days, days below 28, then weeks, then calendar months."""
        if self.days < HOURS_UNTIL_DAYS:
            return f"{int(self.hours)} h"
        if self.days < DAYS_UNTIL_WEEKS:
            return f"{self.days} days"
        if self.days < WEEKS_UNTIL_MONTHS * 7:
            weeks, rest = divmod(self.days, 7)
            return f"{weeks} weeks" + (f" {_days(rest)}" if rest else "")
        months, rest = _months(self.born.local().date(), self.at.astimezone(ZoneInfo(self.born.zone)).date())
        return f"{months} {'month' if months == 1 else 'months'}" + (f" {_days(rest)}" if rest else "")


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _months(start: date, end: date) -> tuple[int, int]:
    """Whole calendar months between two dates, and the days left over; a month ends on the same day of the month.

    Where a month has no such day the next day counts, as for due dates (29 February gives 1 March).
    """
    months = (end.year - start.year) * 12 + end.month - start.month
    if end.day < start.day:
        months -= 1
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    first_of_next = date(year + (month == 11), (month + 1) % 12 + 1, 1)
    anchor = min(date(year, month + 1, 1) + timedelta(days=start.day - 1), first_of_next)
    return months, (end - anchor).days


def elapsed_words(elapsed: timedelta) -> str:
    """A stretch of time in words, empty parts left out: "7 d 2 h 20 min", "5 d 4 h", "0 min"."""
    minutes = elapsed // timedelta(minutes=1)
    parts = ((minutes // 1440, "d"), (minutes // 60 % 24, "h"), (minutes % 60, "min"))
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 min"


def age(born: Given[Moment], at: datetime) -> Age | NoFigure:
    """Age at `at` (aware), elapsed real time. Source: arithmetic (C). No figure without a birth time or before it."""
    known_born = one(born, "birth time")
    if isinstance(known_born, NoFigure):
        return known_born
    if at < known_born.at:
        return NoFigure("the time asked for is before the birth")
    return Age(known_born, at.astimezone(UTC))


def age_in_days(born: Given[Moment], born_day: Given[date], at: datetime, zone: str) -> int | NoFigure:
    """Whole days between the dates of birth and of `at` (day of birth 0), as the WHO standards count (S).

    Where only a birth day is known it is counted in `zone`. No figure without either, or before the birth.
    """
    with_time = one(born, "birth date")
    if isinstance(with_time, Moment):
        days = Age(with_time, at).calendar_days
    else:
        on = with_time if with_time.unresolved else one(born_day, "birth date")
        if isinstance(on, NoFigure):
            return on
        days = (at.astimezone(ZoneInfo(zone)).date() - on).days
    return days if days >= 0 else NoFigure("the time asked for is before the birth")


def possible_births(born: Given[Moment], born_day: Given[date], zone: str) -> tuple[datetime, ...]:
    """The earliest and the latest birth that the record allows (aware, UTC); one when they are the same.

    Without a time of day the whole birth day in `zone` is possible; of a conflict, each value is. Empty when nothing
    is known of the birth.
    """
    births = [moment.at for moment in every(born)]
    if not births or isinstance(born_day, Conflicted):
        for on in every(born_day):
            start = datetime.combine(on, time(), ZoneInfo(zone))
            next_day = datetime.combine(on + timedelta(days=1), time(), ZoneInfo(zone))
            births += [start.astimezone(UTC), next_day.astimezone(UTC) - timedelta(minutes=1)]
    return tuple(sorted({min(births), max(births)})) if births else ()
