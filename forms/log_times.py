"""Days and times of a family's log as they are read aloud: the log runs forward, past midnight too.

What could lie on another day is asked, never guessed in silence; what the clocks showed twice is told apart or refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.days import DAYS, clock, short_day
from forms.reading import read_moment
from forms.trouble import Refused

__all__ = ["LONGEST_FEED", "NEXT_LINE", "Placed", "Spoken", "ended", "placed"]

NEXT_LINE = timedelta(hours=12)  # a line after midnight follows the line before within these hours (house choice)
LONGEST_FEED = timedelta(minutes=240)  # the bound of minutes at one side (house bound, no source)


@dataclass(frozen=True, slots=True)
class Spoken:
    """A time of day as typed, its day if one was typed, and which of two equal times ("first", "second", or "")."""

    hour: int
    minute: int
    day: date | None = None
    which: str = ""

    def on(self, day: date, zone: str) -> Moment:
        """The moment on that day; raises Refused for a time the clocks skipped, or showed twice and not told apart."""
        which = f" {self.which}" if self.which else ""
        return read_moment(f"{day.isoformat()} {self.hour:02}:{self.minute:02}{which}", zone)


@dataclass(frozen=True, slots=True)
class Placed:
    """The moment of a line, and the question to be answered before it is kept, "" for none."""

    at: Moment
    question: str = ""


def placed(said: Spoken, zone: str, now: Moment, before: Moment | None) -> Placed:
    """The moment of a line's beginning. `before` is when the line before began, in a log read from the top.

    Raises Refused for a time still to come and for one that would leave too wide a gap to be the next day's.
    """
    if said.day is not None:
        return Placed(_past(said.on(said.day, zone), now))
    if before is None:
        return _first(said, zone, now)
    day = before.at.astimezone(ZoneInfo(zone)).date()
    same = said.on(day, zone)
    if same.at >= before.at:
        return Placed(_past(same, now))
    return _after_midnight(said, zone, now, before)


def _first(said: Spoken, zone: str, now: Moment) -> Placed:
    """A first line without a day is put on the last such time, and asked."""
    today = now.at.astimezone(ZoneInfo(zone)).date()
    at = said.on(today, zone)
    if at.at > now.at:
        at = said.on(today - timedelta(days=1), zone)
    return Placed(at, f"This is the first line: {_day_words(at)}? Enter again if so, or {_like(at, said)}.")


def _after_midnight(said: Spoken, zone: str, now: Moment, before: Moment) -> Placed:
    last = before.at.astimezone(ZoneInfo(zone))
    at = said.on(last.date() + timedelta(days=1), zone)
    told = f"{said.hour:02}:{said.minute:02} is before {clock(last)} of the line before"
    if at.at - before.at > NEXT_LINE or at.at > now.at:
        raise Refused(why=f"{told}. Check the time, or {_like(before, said)}.")
    return Placed(at, f"{told}: {_day_words(at)}, the next day? Enter again if so, or {_like(before, said)}.")


def _past(at: Moment, now: Moment) -> Moment:
    if at.at > now.at:
        raise Refused(why=f"{_day_words(at)}, is still to come. Check the time, or type its day in front of it.")
    return at


def _day_words(at: Moment) -> str:
    local = at.local()
    return f"{DAYS[local.weekday()]}, {short_day(local.date())}, {clock(local)}"


def _like(on: Moment, said: Spoken) -> str:
    return f"type the day too, like “{DAYS[on.local().weekday()][:3].lower()} {said.hour:02}{said.minute:02}”"


def ended(said: Spoken, zone: str, began: Moment) -> Moment:
    """The moment of a line's end: the first such time after its beginning, unless a day was typed.

    Raises Refused where that would make it longer than any feed, or where it lies before the beginning.
    """
    if said.day is None:
        day = began.at.astimezone(ZoneInfo(zone)).date()
        at = said.on(day, zone)
        if at.at < began.at:
            at = said.on(day + timedelta(days=1), zone)
        if at.at - began.at > LONGEST_FEED:
            hours = LONGEST_FEED // timedelta(hours=1)
            raise Refused(why=f"The end would lie more than {hours} h after the beginning. Check both times.")
        return at
    at = said.on(said.day, zone)
    if at.at < began.at:
        raise Refused(why="The end lies before the beginning. Check the day and the time of both.")
    return at
