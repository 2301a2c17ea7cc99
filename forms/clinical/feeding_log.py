"""What a baby's log comes to in any chosen 24 hours: feeds, gaps by elapsed time, minutes, milk, diapers.

Time is elapsed time, whatever the clocks did in between. A gap runs from the beginning of one feed to the beginning of
the next, since an end is often not written. A line without a time, or one that ends before it begins, is counted
nowhere and told. Nothing unwritten is taken for nothing: a sum says how many lines had no amount.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

from forms.answers import Conflicted, Given, Moment, Quantity
from forms.clinical.result import NoFigure, one
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, PUMPED, LogLine

__all__ = ["DAY", "NIGHT", "SHORTEST_DAY", "DayLog", "LeftOut", "Sum", "TimedLine", "day_log", "gap_words"]

DAY = timedelta(hours=24)
SHORTEST_DAY = timedelta(hours=22)  # a log that covers less is no log of a day (rule of the trade, P)
NIGHT = (22, 6)  # hours of the clock: night runs from 22:00 to 06:00 (house choice, no source)
ONE_SITTING = timedelta(minutes=30)  # a feed that begins so soon may be the same one going on (house choice, no source)

_READ = (
    "kind", "starts", "ends", "milk", "amount", "minutes_left", "minutes_right", "minutes_together", "pumped_left",
    "pumped_right", "pumped_together", "wet", "stool", "stool_small",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TimedLine:
    """A line with the entry it is, and when it began and ended (UTC; no end written: None)."""

    entry: str
    line: LogLine
    began: datetime
    ended: datetime | None

    @property
    def last(self) -> datetime:
        """The latest instant the line speaks of."""
        return self.ended or self.began

    @property
    def is_feed(self) -> bool:
        """Whether milk was taken: at the breast or chest, or given otherwise."""
        return self.line.kind in (*AT_BREAST, *GIVEN_OTHERWISE)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A line that is counted nowhere, and why."""

    entry: str
    why: str


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of what is written, and how many lines that belong to it have no amount written."""

    total: int
    lines: int
    unwritten: int = 0


@dataclass(frozen=True)
class DayLog:
    """24 hours of a log from `start` (aware, UTC); `every` holds all lines with a time, `left_out` those without."""

    start: datetime
    zone: str
    every: tuple[TimedLine, ...]
    left_out: tuple[LeftOut, ...] = ()

    @property
    def end(self) -> datetime:
        """The end of the 24 hours; what begins then belongs to the next."""
        return self.start + DAY

    @cached_property
    def lines(self) -> tuple[TimedLine, ...]:
        """The lines that begin in these 24 hours, by time."""
        return tuple(line for line in self.every if self.start <= line.began < self.end)

    @property
    def outside(self) -> int:
        """How many lines with a time lie outside these 24 hours."""
        return len(self.every) - len(self.lines)

    @cached_property
    def feeds(self) -> tuple[TimedLine, ...]:
        """The feeds among the lines."""
        return tuple(line for line in self.lines if line.is_feed)

    @property
    def at_night(self) -> int:
        """How many feeds began at night, by the clock of the place."""
        return sum(1 for feed in self.feeds if self._is_night(feed.began))

    def _is_night(self, at: datetime) -> bool:
        hour = at.astimezone(ZoneInfo(self.zone)).hour
        return hour >= NIGHT[0] or hour < NIGHT[1]

    @property
    def soon_after(self) -> int:
        """How many feeds began within 30 minutes of the last written time of the feed before: perhaps one and the same.

        They are counted as they are written; this is said beside the count.
        """
        return sum(1 for first, then in pairwise(self.feeds) if then.began - first.last <= ONE_SITTING)

    @cached_property
    def gaps(self) -> tuple[tuple[TimedLine, TimedLine], ...]:
        """Neighbouring feeds of the log of which at least one lies in these 24 hours, so that no edge hides a gap."""
        feeds = [line for line in self.every if line.is_feed]
        inside = set(self.feeds)
        return tuple((first, then) for first, then in pairwise(feeds) if first in inside or then in inside)

    @property
    def longest(self) -> tuple[TimedLine, TimedLine] | None:
        """The two feeds with the longest elapsed time between their beginnings; None with fewer than two."""
        return max(self.gaps, key=lambda pair: pair[1].began - pair[0].began, default=None)

    @property
    def longest_gap(self) -> timedelta | None:
        """The longest elapsed time from the beginning of a feed to the beginning of the next."""
        return self.longest[1].began - self.longest[0].began if self.longest else None

    @property
    def median_gap(self) -> timedelta | None:
        """The median of these times."""
        seconds = [(then.began - first.began).total_seconds() for first, then in self.gaps]
        return timedelta(seconds=median(seconds)) if seconds else None

    def minutes(self, side: str) -> Sum:
        """Minutes at the feeder's left or right. Where a line is of one side only, its times stand in for minutes."""
        total = lines = unwritten = 0
        for feed in self.feeds:
            if feed.line.kind not in (side, "both", "tube_breast"):
                continue
            lines += 1
            written = getattr(feed.line, f"minutes_{side}")
            if isinstance(written, int):
                total += written
            elif feed.line.kind == side and feed.ended is not None:
                total += (feed.ended - feed.began) // timedelta(minutes=1)
            else:
                unwritten += 1
        return Sum(total, lines, unwritten)

    @property
    def minutes_together(self) -> Sum:
        """Minutes of lines that do not tell the two sides apart; they are in no side's own sum."""
        written = [feed.line.minutes_together for feed in self.feeds]
        found = [minutes for minutes in written if isinstance(minutes, int)]
        return Sum(sum(found), len(found))

    def milk(self) -> Mapping[str, Sum]:
        """Millilitres given other than at the breast or chest, by kind of milk ("" where the kind is not written)."""
        found: dict[str, list[Given[Quantity]]] = {}
        for feed in self.feeds:
            if feed.line.kind in GIVEN_OTHERWISE:
                kind = feed.line.milk if isinstance(feed.line.milk, str) else ""
                found.setdefault(kind, []).append(feed.line.amount)
        return {kind: _sum(amounts) for kind, amounts in found.items()}

    def pumped(self, side: str) -> Sum:
        """Millilitres expressed from the feeder's left or right."""
        return _sum([getattr(line.line, f"pumped_{side}") for line in self.lines if line.line.kind == PUMPED])

    @property
    def pumped_together(self) -> Sum:
        """Millilitres of lines that do not tell the two sides apart; they are in no side's own sum."""
        lines = [line.line for line in self.lines if line.line.kind == PUMPED]
        return _sum([line.pumped_together for line in lines if isinstance(line.pumped_together, Quantity)])

    @property
    def wets(self) -> int | None:
        """Wet diapers; None where no line says anything of wet diapers."""
        said = [line.line.wet for line in self.lines if isinstance(line.line.wet, bool)]
        return sum(said) if said else None

    @property
    def stools(self) -> int | None:
        """Stools, without those written as smaller than about 2.5 cm (S); None where no line says anything of them."""
        said = [line.line for line in self.lines if isinstance(line.line.stool, str)]
        return sum(1 for line in said if line.stool != "none" and line.stool_small is not True) if said else None

    @property
    def stool_colours(self) -> Mapping[str, int]:
        """How often each colour was written, small stools too."""
        written = (line.line.stool for line in self.lines)
        return Counter(stool for stool in written if isinstance(stool, str) and stool not in ("none", "not_seen"))

    @property
    def covered(self) -> timedelta:
        """How much of these 24 hours lies between the log's first and its last written time."""
        if not self.every:
            return timedelta(0)
        first, last = self.every[0].began, max(line.last for line in self.every)
        return max(min(last, self.end) - max(first, self.start), timedelta(0))

    @property
    def is_a_day(self) -> bool:
        """Whether the log covers at least 22 of the 24 hours; a shorter one is never called a day."""
        return self.covered >= SHORTEST_DAY


def _sum(amounts: Iterable[Given[Quantity]]) -> Sum:
    written = list(amounts)
    known = [amount.base for amount in written if isinstance(amount, Quantity)]
    return Sum(sum(known), len(written), len(written) - len(known))


def day_log(lines: Iterable[tuple[str, LogLine]], window: Given[Moment], zone: str) -> DayLog | NoFigure:
    """The 24 hours of a log from the chosen start, or from its first line with a time. `zone` is the place's.

    Lines come as (entry id, answers). No figure without a timed line, and none while two values stand for anything that
    is counted.
    """
    timed: list[TimedLine] = []
    left_out: list[LeftOut] = []
    for entry, line in lines:
        if any(isinstance(getattr(line, name), Conflicted) for name in _READ):
            return NoFigure("unresolved: two values stand in a line of the log", unresolved=True)
        began, ended = one(line.starts, "time"), one(line.ends, "end")
        if isinstance(began, NoFigure):
            left_out.append(LeftOut(entry, "without a time"))
            continue
        end = None if isinstance(ended, NoFigure) else ended.at
        if end is not None and end < began.at:
            left_out.append(LeftOut(entry, "ends before it begins"))
        else:
            timed.append(TimedLine(entry, line, began.at, end))
    if isinstance(window, Conflicted):
        return NoFigure("unresolved: two values stand for the start of the 24 hours", unresolved=True)
    timed.sort(key=lambda line: (line.began, line.last, line.entry))
    if not timed:
        return NoFigure("no line of the log has a time" if left_out else "the log has no line")
    chosen = one(window, "start of the 24 hours")
    return DayLog(timed[0].began if isinstance(chosen, NoFigure) else chosen.at, zone, tuple(timed), tuple(left_out))


def gap_words(gap: timedelta) -> str:
    """A gap in hours and minutes: "4 h 20 min"; hours are not turned into days."""
    hours, minutes = divmod(gap // timedelta(minutes=1), 60)
    return f"{hours} h {minutes} min" if hours and minutes else f"{hours} h" if hours else f"{minutes} min"
