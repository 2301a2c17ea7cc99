"""The times of a typed line: which of its pieces are a beginning, an end, a day, or say that no time is known."""

from __future__ import annotations

import re
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.days import DAYS, MONTHS
from forms.log_times import Spoken
from forms.log_tokens import Token
from forms.reading import read_day
from forms.trouble import Refused

__all__ = ["Clock"]

_FOUR = re.compile(r"(\d{2})(\d{2})")
_COLON = re.compile(r"(\d{1,2}):(\d{2})")
_POINT = re.compile(r"(\d{1,2})\.(\d{2})")
_HOUR = re.compile(r"(\d{1,2})")
_DAYS = tuple(name.casefold() for name in DAYS)
_MONTHS = tuple(name.casefold() for name in MONTHS)


class Clock:
    """Takes the pieces that are of time; the others it leaves. A number is a time only where none stands yet."""

    def __init__(self, zone: str, now: Moment, before: Moment | None) -> None:
        self._zone, self._now, self._before = zone, now, before
        self._began: Spoken | None = None
        self._not_known = False
        self._day: date | None = None
        self._last = ""
        self._to = False
        self._month = False
        self.until: Spoken | None = None
        """When it ended, or None."""

    def began(self) -> Spoken | None:
        """When it began, or None where the line says that it is not known; raises Refused where it says nothing."""
        if self._day is not None or self._to:
            raise Refused(why="A day or “to” stands without its time. Write the time behind it, like mon 0210.")
        if self._began is None and not self._not_known:
            raise Refused(why="Begin with the time, like 0210 or 2:10 pm, or with ? if it is not known.")
        return self._began

    def takes(self, token: Token, opener: str, following: Token | None) -> bool:
        """Whether this piece was one of time. `opener`: a word before it that waits for a number."""
        if token.kind == "sign":
            return self._sign(token, opener)
        if token.kind == "date":
            self._on(read_day(token.text))
            return True
        if token.kind == "number":
            return self._number(token, following)
        return token.kind == "word" and self._word(token)

    def _sign(self, token: Token, opener: str) -> bool:
        if token.text == "?" and not opener and self._began is None and not self._not_known and not self._to:
            self._not_known = True
            return True
        if token.text in "-–—" and self._began is not None and self.until is None:
            self._to = True
            return True
        return False

    def _number(self, token: Token, following: Token | None) -> bool:
        word = following.word if following is not None else None
        if word is not None and word.part == "half":
            found = _COLON.fullmatch(token.text) or _POINT.fullmatch(token.text) or _HOUR.fullmatch(token.text)
            if found is None:
                raise Refused(why=f"“{token.text} {word.code}” is no time. Write it like 2 pm or 2:10 pm.")
            hour = int(found[1])
            if not 1 <= hour <= 12:
                raise Refused(why="With am or pm the hour runs from 1 to 12.")
            self._time(hour % 12 + (12 if word.code == "pm" else 0), int(found[2]) if found.lastindex == 2 else 0)
            return True
        if token.unit:
            return False
        if self._is_month(following):
            self._day_of_month(int(token.text) if token.text.isdecimal() else 0, following)
            return True
        open_ = self._to or (self._began is None and not self._not_known)
        found = _COLON.fullmatch(token.text) or _FOUR.fullmatch(token.text)  # a second one is refused, no amount
        if found is None and open_:
            found = _POINT.fullmatch(token.text)
        if found is None:
            return False
        self._time(int(found[1]), int(found[2]))
        return True

    def _time(self, hour: int, minute: int) -> None:
        if hour > 23 or minute > 59:
            raise Refused(why="There is no such time of day; hours go to 23 and minutes to 59.")
        said = Spoken(hour, minute, self._day)
        self._day = None
        if self._to and self.until is None:
            self.until, self._to, self._last = said, False, "until"
        elif self._began is None and not self._not_known:
            self._began, self._last = said, "began"
        else:
            raise Refused(why="Two times stand in the line. Write “to” before the time it ended, like 0210 to 0225.")

    def _word(self, token: Token) -> bool:
        if self._month and self._is_month(token):  # it went with the number before it
            self._month = False
            return True
        word = token.word
        if word is None:
            return self._weekday(token)
        match word.part:
            case "half":
                if not self._last:
                    raise Refused(why=f"“{word.code}” stands behind an hour, like 2 {word.code}.")
            case "noon" | "midnight":
                self._time(12 if word.part == "noon" else 0, 0)
            case "to":
                if self._not_known:
                    raise Refused(why="An end is kept with its beginning only. Write both times, or leave the end out.")
                if self._began is None or self.until is not None:
                    raise Refused(why="“to” stands between the beginning and the end, like 0210 to 0225.")
                self._to = True
            case "which":
                self._told_apart(word.code)
            case "day":
                self._on(self._named(word.code))
            case _:
                return False
        return True

    def _told_apart(self, which: str) -> None:
        said = self.until if self._last == "until" else self._began
        if said is None or said.which:
            raise Refused(why=f"“{which}” stands behind a time that the clocks showed twice, like 0130 {which}.")
        told = Spoken(said.hour, said.minute, said.day, which)
        if self._last == "until":
            self.until = told
        else:
            self._began = told

    def _on(self, day: date) -> None:
        if self._day is not None or (self._began is not None and not self._to):
            raise Refused(why="Write the day once, in front of its time, like mon 0210.")
        self._day = day

    def _named(self, code: str) -> date:
        today = self._now.at.astimezone(ZoneInfo(self._zone)).date()
        if code == "next":
            if self._before is None:
                raise Refused(why="“next” is the day after the line before, and this is the first. Write its day.")
            return self._before.at.astimezone(ZoneInfo(self._zone)).date() + timedelta(days=1)
        return today - timedelta(days=1) if code == "yesterday" else today

    def _weekday(self, token: Token) -> bool:
        """A day of the week, by its name or the first three letters: the last such day, today included."""
        said = token.plain
        found = [at for at, name in enumerate(_DAYS) if said == name or (len(said) == 3 and name.startswith(said))]
        if not found:
            return False
        today = self._now.at.astimezone(ZoneInfo(self._zone)).date()
        self._on(today - timedelta(days=(today.weekday() - found[0]) % 7))
        return True

    def _is_month(self, token: Token | None) -> bool:
        if token is None or token.kind != "word" or token.word is not None:
            return False
        return any(token.plain == name or token.plain == name[:3] for name in _MONTHS)

    def _day_of_month(self, number: int, month: Token | None) -> None:
        """A day and a month without a year: the last such day."""
        assert month is not None
        at = next(place for place, name in enumerate(_MONTHS, 1) if month.plain in (name, name[:3]))
        today = self._now.at.astimezone(ZoneInfo(self._zone)).date()
        for year in range(today.year, today.year - 5, -1):
            try:
                day = date(year, at, number)
            except ValueError:
                continue
            if day <= today:
                self._on(day)
                self._month = True
                return
        raise Refused(why="There is no such day in the calendar; check the day and the month.")
