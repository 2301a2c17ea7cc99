"""The figures of a baby's log of feeds and diapers at one visit, for the 24 hours looked at."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from forms.answers import Moment, Quantity, every
from forms.ask import ask_of
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.clinical.feeding_log import DAY, NIGHT, DayLog, Sum, day_log, gap_words
from forms.clinical.result import NoFigure
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, PUMPED, FeedingLog, LogLine
from forms.figure import NOTHING, Figure, no_figure, when
from forms.newer import choice_words
from forms.units import alone, shown

__all__ = ["IN_THE_STRIP", "log_figures", "log_of", "window_words"]

IN_THE_STRIP = ("log_feeds", "log_gap", "log_given")
"""Those of the figures that stand in the strip; all of them stand beside the log itself."""

_SPAN = "a log that covers less than 22 hours is never called a day (rule of the trade, P)"
_GAP = "elapsed time from the beginning of a feed to the beginning of the next, whatever the clocks did (C)"
# 71 exclusively fed babies of 1 to 6 months: 11 feeds with a spread of 3, from 6 to 18 (Kent, Pediatrics 2006, S).
_SCALE = "for scale only: 11 ± 3 feeds (6 to 18) in 24 h, 71 babies of 1 to 6 months (Kent 2006, S)"
_WRITTEN = "added up as written; what is not written is not taken for nothing (C)"


def log_of(chart: Chart, person: str) -> DayLog | NoFigure:
    """The 24 hours of a baby's log at the chart's visit."""
    if chart.visit is None:
        return NoFigure("the log has no line")
    lines = [(entry.id, entry.answers) for entry in chart.all(LogLine, person, visit=chart.visit)]
    return day_log(lines, chart.one(FeedingLog, person).window_start, zone_of(chart))


def window_words(log: DayLog) -> str:
    """The 24 hours with both ends: "from 9 Mar 2026, 06:10 to 10 Mar 2026, 06:10"."""
    return f"from {when(Moment(log.start, log.zone))} to {when(Moment(log.end, log.zone))}"


def log_figures(chart: Chart, person: str) -> Iterator[Figure]:
    """What the log comes to; nothing while there is no log. Not one of them says that a day is enough."""
    if chart.visit is None or not chart.all(LogLine, person, visit=chart.visit):
        return
    found = log_of(chart, person)
    if isinstance(found, NoFigure):
        yield no_figure("log_feeds", "Feeds in the log", found, "the log of this visit", formula=_SPAN)
        return
    yield _feeds(found, _told_incomplete(chart, person))
    yield _gaps(found)
    yield from _minutes(found)
    yield from _milk(found)
    yield from _diapers(found)


def _told_incomplete(chart: Chart, person: str) -> str:
    told = chart.one(FeedingLog, person).complete
    return {"no": "not every feed is in it, as told", "unsure": "whether every feed is in it is not sure"}.get(
        told if isinstance(told, str) else "", ""
    )


def _feeds(log: DayLog, told: str) -> Figure:
    many = len(log.feeds)
    feeds = f"{many} feed" if many == 1 else f"{many} feeds"
    covered = gap_words(log.covered)
    span = " in 24 h" if log.is_a_day else f" in {covered}" if log.covered else ""
    small = [window_words(log), f"{log.at_night} of them at night, {NIGHT[0]}:00 to 0{NIGHT[1]}:00"]
    if not log.is_a_day:
        covers = f"covers {covered}" if log.covered else "has one time only"
        small.insert(0, f"incomplete: the log {covers} and is no log of a day")
    if told:
        small.insert(0, told)
    if log.soon_after:
        small.append(f"{log.soon_after} began within 30 min of the one before: perhaps the same feed going on")
    if log.left_out:
        why = ", ".join(dict.fromkeys(out.why for out in log.left_out))
        small.append(f"{_lines(len(log.left_out))} counted nowhere: {why}")
    if log.outside:
        small.append(f"{_lines(log.outside)} outside these hours")
    return Figure(
        "log_feeds", "Feeds in the log", f"{feeds}{span}", tuple(small), f"counted as written (C); {_SPAN}; {_SCALE}",
        formula="lines at the breast or chest, or with milk given, that begin in these hours",
        inputs=tuple(_line_words(log, feed.entry) for feed in log.feeds),
    )  # fmt: skip


def _lines(number: int) -> str:
    return "1 line" if number == 1 else f"{number} lines"


def _line_words(log: DayLog, entry: str) -> str:
    line = next(one for one in log.every if one.entry == entry)
    kind = line.line.kind if isinstance(line.line.kind, str) else ""
    words = ask_of(LogLine, "kind").options.get(kind, "kind not written")
    return f"{when(Moment(line.began, log.zone))}: {words[:1].lower()}{words[1:]}"


def _gaps(log: DayLog) -> Figure:
    if log.longest is None or log.longest_gap is None or log.median_gap is None:
        return no_figure("log_gap", "Longest time between feeds", NoFigure("fewer than two feeds"), _GAP)
    first, then = (when(Moment(feed.began, log.zone)) for feed in log.longest)
    small = (f"from {first} to {then}", f"median {gap_words(log.median_gap)}")
    return Figure(
        "log_gap", "Longest time between feeds", gap_words(log.longest_gap), small, _GAP,
        formula="the longest of the times between the beginnings of neighbouring feeds, at least one in these hours",
        inputs=(f"feed: {first}", f"next feed: {then}"),
    )  # fmt: skip


def _written(log: DayLog, kinds: Collection[str] | None, fields: tuple[str, ...]) -> tuple[str, ...]:
    """The lines of these kinds (None: of any), each with what is written of these questions; one without is told so.

    Of any kind only the lines that answer one of them.
    """
    found = []
    for timed in log.lines:
        said = [
            f"{ask_of(LogLine, name).label.lower()}: {_value_words(name, value)}"
            for name in fields
            for value in every(getattr(timed.line, name))
        ]
        if said or (kinds is not None and timed.line.kind in kinds):
            found.append(f"{_line_words(log, timed.entry)}; {', '.join(said) or 'nothing written'}")
    return tuple(found)


def _value_words(name: str, value: object) -> str:
    match value:
        case bool():
            return "yes" if value else "no"
        case Quantity():
            return shown(value.base, value.unit)
        case str():
            return choice_words(ask_of(LogLine, name), value)
    return str(value)


def _minutes(log: DayLog) -> Iterator[Figure]:
    left, right = log.minutes("left"), log.minutes("right")
    if left.lines or right.lines:
        yield Figure(
            "log_minutes", "Minutes at each side", f"left {_minutes_of(left)}, right {_minutes_of(right)}",
            (*_lacking("left", left), *_lacking("right", right), *_minutes_together(log.minutes_together)), _WRITTEN,
            formula="minutes written; where only one side was fed and none are written, its end less its beginning",
            inputs=_written(log, (*AT_BREAST, "tube_breast"), ("minutes_left", "minutes_right", "minutes_together")),
        )  # fmt: skip


def _minutes_together(both: Sum) -> tuple[str, ...]:
    return (f"not told apart: {both.total} min in {_lines(both.lines)}, in neither side",) if both.lines else ()


def _minutes_of(side: Sum) -> str:
    return NOTHING if side.lines == side.unwritten else f"{side.total} min"


def _lacking(what: str, side: Sum) -> tuple[str, ...]:
    return (f"{what}: not written for {side.unwritten} of {side.lines}",) if side.unwritten else ()


def _milk(log: DayLog) -> Iterator[Figure]:
    milks = log.milk()
    if milks:
        options = ask_of(LogLine, "milk").options
        total = sum(kind.total for kind in milks.values())
        unwritten = sum(kind.unwritten for kind in milks.values())
        lines = sum(kind.lines for kind in milks.values())
        small = [
            f"{options.get(code, 'milk of a kind not written').lower()}: {alone(kind.total, 'mL')}"
            + (f", not written for {kind.unwritten} of {kind.lines}" if kind.unwritten else "")
            for code, kind in milks.items()
        ]
        big = NOTHING if unwritten == lines else alone(total, "mL")
        yield Figure(
            "log_given", "Milk given in the log", big, (*small, _in_hours(log)), _WRITTEN,
            formula="mL of every line not at the breast or chest, by kind of milk",
            inputs=_written(log, GIVEN_OTHERWISE, ("milk", "amount")),
        )  # fmt: skip
    left, right = log.pumped("left"), log.pumped("right")
    if left.lines:
        sides = [
            f"{side} {NOTHING if of.lines == of.unwritten else alone(of.total, 'mL')}"
            for side, of in (("left", left), ("right", right))
        ]
        yield Figure(
            "log_expressed", "Milk expressed in the log", ", ".join(sides),
            (
                *_lacking("left", left), *_lacking("right", right), *_pumped_together(log.pumped_together),
                _in_hours(log),
            ),
            _WRITTEN, formula="mL of every line of expressing, by the feeder's own side",
            inputs=_written(log, (PUMPED,), ("pumped_left", "pumped_right", "pumped_together")),
        )  # fmt: skip


def _pumped_together(both: Sum) -> tuple[str, ...]:
    if not both.lines:
        return ()
    return (f"not told apart: {alone(both.total, 'mL')} in {_lines(both.lines)}, in neither side",)


def _in_hours(log: DayLog) -> str:
    return "in 24 h" if log.is_a_day else f"in {gap_words(min(log.covered, DAY))}"


def _diapers(log: DayLog) -> Iterator[Figure]:
    if log.wets is None and log.stools is None:
        return
    wet = "wet not written" if log.wets is None else f"{log.wets} wet"
    stool = "stools not written" if log.stools is None else f"{log.stools} {'stool' if log.stools == 1 else 'stools'}"
    ask = ask_of(LogLine, "stool")
    small = [f"{choice_words(ask, code).lower()}: {times}" for code, times in log.stool_colours.items()]
    yield Figure(
        "log_diapers", "Diapers in the log", f"{wet}, {stool}", (*small, _in_hours(log)),
        "counted as written; a stool counts from about 2.5 cm across (Texas WIC chart, S)",
        formula="lines with a wet diaper; lines with a stool that is not written as smaller than about 2.5 cm",
        inputs=_written(log, None, ("wet", "stool", "stool_small")),
    )  # fmt: skip
