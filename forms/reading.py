"""What was typed or chosen, read into an answer; or one plain sentence that says what to do instead.

Nothing is corrected in silence: an amount keeps its typed characters, a text keeps every character, and what could
mean two things is refused rather than guessed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from forms.answers import Moment, Quantity
from forms.ask import Ask, Kind
from forms.days import MONTHS
from forms.trouble import Refused
from forms.units import number, shown, to_base, unit_typed

__all__ = ["read", "read_day", "read_moment"]

_ID = re.compile(r"[0-9a-f]{32}")
_NAMED = ("prompt", "answer")  # references that are no entries: a rule's id, or "entry id/path"
_MONTHS = tuple(month[:3].lower() for month in MONTHS)
_ISO_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_WORD_DAY = re.compile(r"(?:[a-z]+\.?,?\s+)?(\d{1,2})\.?\s+([a-z]{3})[a-z]*\.?,?\s+(\d{4})")
_WORD_FIRST_DAY = re.compile(r"([a-z]{3})[a-z]*\.?\s+(\d{1,2}),?\s+(\d{4})")
_FIGURE_DAY = re.compile(r"(\d{1,2})[/.](\d{1,2})[/.](\d{4})")
_TIME = re.compile(r"(\d{1,2})[:.](\d{2})\s*(am|pm)?")
_WHICH: Mapping[str, int] = MappingProxyType({"first": 0, "second": 1})


def read(ask: Ask, typed: str | tuple[str, ...], unit: str | None = None, zone: str | None = None) -> Any:
    """The answer to `ask` for what was typed (or the code or codes chosen); None for an empty box.

    `unit` is the unit picked beside the box; a unit typed after the number goes before it. `zone` is the time zone of
    the place, needed for a date with a time. Raises Refused with one plain sentence; nothing is then to be written.
    """
    if isinstance(typed, tuple):
        return _several(ask, typed)
    if not typed:
        return None
    if ask.kind is Kind.QUANTITY:
        return _quantity(ask, typed, unit)
    if ask.kind is Kind.MOMENT:
        return read_moment(typed, zone)
    return _READERS[ask.kind](ask, typed)


def _within(ask: Ask, base: int, unit: str | None = None) -> None:
    """Raises Refused for a number outside the bounds of the question."""
    if (ask.low is None or base >= ask.low) and (ask.high is None or base <= ask.high):
        return

    def bound(edge: int) -> str:
        return str(edge) if unit is None else shown(edge, unit)

    if ask.low is None or ask.high is None:
        edge = f"from {bound(ask.low)}" if ask.low is not None else f"up to {bound(ask.high or 0)}"
        raise Refused(why=f"“{ask.label}” takes {edge}; check what was typed.")
    unit_words = " and the unit" if unit is not None else ""
    raise Refused(why=f"“{ask.label}” takes from {bound(ask.low)} to {bound(ask.high)}; check the number{unit_words}.")


def _quantity(ask: Ask, typed: str, unit: str | None) -> Quantity:
    chosen = unit_typed(typed, ask.units) or unit or (ask.units[0] if len(ask.units) == 1 else None)
    if chosen is None:
        if not any(c.isdecimal() for c in typed):
            number(typed)  # says that digits are wanted
        raise Refused(why="Say which unit this is in; a number alone could be any of them.")
    if chosen not in ask.units:
        raise Refused(why=f"“{ask.label}” is not taken in that unit; choose one of those beside the box.")
    base = to_base(typed, chosen)
    _within(ask, base, chosen)
    return Quantity(typed, chosen, base)


def _whole(ask: Ask, typed: str) -> int:
    value = number(typed)
    if value.denominator != 1 or not typed.strip().lstrip("+-\N{MINUS SIGN}").isdecimal():
        raise Refused(why=f"“{ask.label}” takes a whole number.")
    _within(ask, int(value))
    return int(value)


def _choice(ask: Ask, typed: str) -> str:
    if typed in ask.options:
        return typed
    spoken = typed.strip().casefold()
    for code, words in ask.options.items():
        if words.casefold() == spoken:
            return code
    raise Refused(why=f"“{ask.label}” has no such answer; choose one of those shown.")


def _several(ask: Ask, typed: tuple[str, ...]) -> Any:
    """Codes or ids, each once; codes in declared order. Raises Refused for an unknown one or a broken `alone`."""
    if not typed:
        return None
    if ask.kind is Kind.REFS:
        return tuple(dict.fromkeys(_reference(ask, each) for each in typed))
    if ask.kind is not Kind.MANY:
        if len(typed) > 1:
            raise Refused(why=f"“{ask.label}” takes one answer.")
        return read(ask, typed[0])
    chosen = {_choice(ask, each) for each in typed}
    if len(chosen) > 1 and (alone := next((code for code in ask.alone if code in chosen), None)):
        raise Refused(why=f"“{ask.options[alone]}” stands alone; take it off, or take off the others.")
    return tuple(code for code in ask.options if code in chosen)


def _yes_no(ask: Ask, typed: str) -> bool:
    spoken = typed.strip().casefold()
    if spoken not in ("yes", "no"):
        raise Refused(why=f"“{ask.label}” takes yes or no.")
    return spoken == "yes"


def _reference(ask: Ask, typed: str) -> str:
    if not _ID.fullmatch(typed) and not (set(ask.of) & set(_NAMED) and typed.strip()):
        raise Refused(why=f"“{ask.label}” takes one of the people or entries on the list.")
    return typed


def _text(ask: Ask, typed: str) -> str:
    """Every character as typed; only what cannot be written down anywhere is refused."""
    if any(c == "\0" or unicodedata.category(c) == "Cs" for c in typed):
        raise Refused(why=f"“{ask.label}” holds a broken character from a copied text; delete it and type it again.")
    return typed


def _line(ask: Ask, typed: str) -> str:
    if not typed.strip():
        raise Refused(why=f"“{ask.label}” holds only spaces; type at least one letter, or leave it empty.")
    if len(typed.splitlines()) > 1:
        raise Refused(why=f"“{ask.label}” takes one line; put longer text in a notes box.")
    return _text(ask, typed)


def _dated(year: str, month: int, day_of_month: str) -> date:
    try:
        return date(int(year), month, int(day_of_month))
    except ValueError:
        raise Refused(why="There is no such day in the calendar; check the day and the month.") from None


def read_day(typed: str) -> date:
    """A calendar day: "2026-03-02", "2 Mar 2026", "Mar 2, 2026", or figures that can be read in one way only.

    Raises Refused for anything else, and for figures in which day and month could change places.
    """
    plain = typed.strip().casefold()
    if found := _ISO_DAY.fullmatch(plain):
        return _dated(found[1], int(found[2]), found[3])
    worded = _WORD_DAY.fullmatch(plain)
    if worded and worded[2] in _MONTHS:
        return _dated(worded[3], _MONTHS.index(worded[2]) + 1, worded[1])
    worded = _WORD_FIRST_DAY.fullmatch(plain)
    if worded and worded[1] in _MONTHS:
        return _dated(worded[3], _MONTHS.index(worded[1]) + 1, worded[2])
    if found := _FIGURE_DAY.fullmatch(plain):
        first, second = int(found[1]), int(found[2])
        if first <= 12 and second <= 12 and first != second:
            raise Refused(why="Day and month could change places here; write the month as a word, like 2 Mar 2026.")
        day_of_month, month = (first, second) if first > 12 else (second, first)
        return _dated(found[3], month, str(day_of_month))
    raise Refused(why="Write the date like 2 Mar 2026 or 2026-03-02.")


def read_moment(typed: str, zone: str | None) -> Moment:
    """A date and a time of day in `zone`: "2026-03-05 14:00", "5 Mar 2026 2:00 pm", "1 Nov 2026 01:30 second".

    Raises Refused for a time that the clocks skipped, and for one they showed twice unless "first" or "second" stands
    after it.
    """
    if not zone:
        raise Refused(why="Set the place's time zone first; without it this time could be any of several.")
    try:
        clock = ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise Refused(why="This time zone is not known; choose the place again in the practice's settings.") from None
    plain = typed.strip().casefold().replace("t", " ", 1) if _ISO_T.match(typed.strip()) else typed.strip().casefold()
    words, _, last = plain.rpartition(" ")
    which = _WHICH.get(last)
    body = plain if which is None else words.strip()
    found = re.fullmatch(rf"(.+?),?\s+{_TIME.pattern}", body)
    if not found:
        raise Refused(why="Write the date and the time of day, like 5 Mar 2026 14:00.")
    hour, minute = _hour(int(found[2]), found[4]), int(found[3])
    if hour > 23 or minute > 59:
        raise Refused(why="There is no such time of day; hours go to 23 and minutes to 59.")
    on = read_day(found[1])
    return _placed(datetime(on.year, on.month, on.day, hour, minute, fold=which or 0, tzinfo=clock), zone, which)


_ISO_T = re.compile(r"\d{4}-\d{1,2}-\d{1,2}T\d", re.IGNORECASE)


def _hour(hour: int, half: str | None) -> int:
    """The hour of the 24-hour day; raises Refused for a clock half that does not fit it."""
    if half is None:
        return hour
    if not 1 <= hour <= 12:
        raise Refused(why="With am or pm the hour runs from 1 to 12.")
    return hour % 12 + (12 if half == "pm" else 0)


def _placed(local: datetime, zone: str, which: int | None) -> Moment:
    back = local.astimezone(UTC).astimezone(ZoneInfo(zone))
    if back.replace(tzinfo=None) != local.replace(tzinfo=None):
        raise Refused(why="The clocks went forward and skipped this time; write what the clock showed.")
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    if twice and which is None:
        raise Refused(why="The clocks went back and showed this time twice; add “first” or “second” after it.")
    if which is not None and not twice:
        raise Refused(why="The clock showed this time once; take off “first” or “second”.")
    return Moment(local, zone)


_READERS: Mapping[Kind, Callable[[Ask, str], Any]] = MappingProxyType(
    {
        Kind.CHOICE: _choice,
        Kind.MANY: lambda ask, typed: _several(ask, (typed,)),
        Kind.SCALE: _whole,
        Kind.COUNT: _whole,
        Kind.DAY: lambda _ask, typed: read_day(typed),
        Kind.LINE: _line,
        Kind.TEXT: _text,
        Kind.YES_NO: _yes_no,
        Kind.REF: _reference,
        Kind.REFS: lambda ask, typed: _several(ask, (typed,)),
    }
)
