"""A baby's 24 hours as a ring: midnight at the top, feeds and expressing in lanes, diapers, the longest gap named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import Final

from forms.answers import Moment
from forms.chart import Chart
from forms.clinical.day_ring import LANES, DayRing, day_ring
from forms.clinical.feeding_log import NIGHT, DayLog, gap_words
from forms.clinical.result import NoFigure
from forms.days import clock, moment_words
from forms.feeding_log import LogLine
from forms.figures_log import log_figures, log_of, window_words
from forms.log_words import besides, what_was
from forms.pictures.dial import FILLINGS, INKS, dial_of, dial_parts, gap_sign, stool_sign, wet_sign
from forms.pictures.drawing import Area, Drawing, Filling, Ink, Line, Part, Table, Weave, Word, box
from forms.pictures.keys import Sign, key, swatch
from forms.pictures.maker import Maker
from forms.pictures.measure import paragraph
from forms.pictures.whose import called

__all__ = ["COLUMNS", "LANE_WORDS", "day_round", "gap_row", "line_row", "round_name"]

COLUMNS: Final = ("Began", "What it was", "Beside it")
LANE_WORDS: Final = {
    "left": "outermost: the feeder’s left", "right": "second: the feeder’s right",
    "given": "third: milk given another way", "expressed": "innermost: milk expressed",
}  # fmt: skip
SOURCE: Final = f"Night: {NIGHT[0]}:00 to 0{NIGHT[1]}:00 by the clock of the place (house choice, no source)."
BESIDE: Final = 140.0  # mm: from here on the key stands beside the ring


def day_round(chart: Chart, baby: str, _now: datetime) -> Maker | None:
    """The ring of a baby's log at the chart's visit; where two values stand it says so instead. None without a log."""
    if chart.visit is None or not chart.all(LogLine, baby, visit=chart.visit):
        return None
    title, log = f"{called(chart, baby)}’s 24 hours", log_of(chart, baby)
    if isinstance(log, NoFigure):
        said = f"No ring: {log.why}."
        return Maker("day_round", title, lambda wide: Drawing(title, said, wide, 0.0, (), Table(COLUMNS, ())))
    said = _sentence(chart, baby, log)
    return Maker("day_round", title, lambda wide: _drawn(chart, title, said, log, wide))


def round_name(log: DayLog) -> str:
    """How many feeds, in which hours, and the longest gap with its figure."""
    feeds = len(log.feeds)
    gap = f"; longest time between feeds {_gap_words(log)}" if log.longest is not None else ""
    return f"{feeds} {'feed' if feeds == 1 else 'feeds'} {window_words(log)}{gap}"


def _gap_words(log: DayLog) -> str:
    assert log.longest is not None
    assert log.longest_gap is not None
    first, then = (clock(Moment(feed.began, log.zone).local()) for feed in log.longest)
    return f"{gap_words(log.longest_gap)}, from {first} to {then}"


def _sentence(chart: Chart, baby: str, log: DayLog) -> str:
    """What the ring shows, and what of the log it lacks, in the words of the log's own figures."""
    figures = {figure.id: figure for figure in log_figures(chart, baby)}
    said = [f"{round_name(log)}."]
    if not log.is_a_day:
        covers = f"covers {gap_words(log.covered)}" if log.covered else "has one time only"
        said.append(f"This log {covers} and is no log of a day.")
    if "log_diapers" in figures:
        said.append(f"Diapers: {figures['log_diapers'].big}.")
    if log.left_out:
        why = ", ".join(dict.fromkeys(out.why for out in log.left_out))
        lines = "1 line is" if len(log.left_out) == 1 else f"{len(log.left_out)} lines are"
        said.append(f"{lines} not drawn: {why}.")
    if log.outside:
        lines = "1 line lies" if log.outside == 1 else f"{log.outside} lines lie"
        said.append(f"{lines} outside these hours.")
    return " ".join(said)


def line_row(chart: Chart, log: DayLog, place: int) -> tuple[str, str, str]:
    """The row of the table that tells of one line of the log."""
    line = log.lines[place]
    began = moment_words(Moment(line.began, log.zone))
    return began, what_was(line.line, lambda one: called(chart, one)), besides(line.line)


def gap_row(log: DayLog) -> tuple[tuple[str, str, str], ...]:
    """The row of the longest gap, if there is one."""
    if log.longest is None or log.longest_gap is None:
        return ()
    first, then = (moment_words(Moment(feed.began, log.zone)) for feed in log.longest)
    return ((first, f"longest time between feeds: {gap_words(log.longest_gap)}", f"until {then}"),)


def _drawn(chart: Chart, title: str, said: str, log: DayLog, wide: float) -> Drawing:
    ring, beside = day_ring(log), wide >= BESIDE
    rows = (*(line_row(chart, log, place) for place in range(len(log.lines))), *gap_row(log))
    place_of = {line.entry: place for place, line in enumerate(log.lines)}
    reach = min(wide / 2, 46.0)
    dial = dial_of(reach if beside else wide / 2, reach, reach)
    gap_place = len(log.lines) if ring.gap is not None else None
    feeds = len(log.feeds)
    middle = str(feeds), "feed" if feeds == 1 else "feeds"
    parts = list(dial_parts(dial, ring, place_of.get, gap_place, middle))
    if beside:
        left = 2 * reach + 8
        signs, tall = _key(log, ring, left, 6.0, wide - left, gap_place)
        return Drawing(title, said, wide, max(2 * reach, tall), (*parts, *signs), Table(COLUMNS, rows), (SOURCE,))
    signs, tall = _key(log, ring, 0.0, 2 * reach + 3, wide, gap_place)
    return Drawing(title, said, wide, tall, (*parts, *signs), Table(COLUMNS, rows), (SOURCE,))


def _key(
    log: DayLog, ring: DayRing, left: float, top: float, wide: float, row: int | None
) -> tuple[tuple[Part, ...], float]:
    """What stands in the ring, one under another, the longest gap first; and where it ends."""
    parts: list[Part] = []
    if ring.gap is not None and log.longest_gap is not None:
        parts += gap_sign(left + 3, top + 2.4)
        parts.append(Word(left + 8, top + 3.7, gap_words(log.longest_gap), 4.4, strong=True, row=row))
        first, then = (clock(Moment(feed.began, log.zone).local()) for feed in log.longest or ())
        words = f"longest time between feeds, {first} to {then}"
        lines, more = paragraph(words, left + 8, top + 5.2, wide - 8, tall=3.3)
        parts += [replace(line, row=row) for line in lines]
        top += 9.0 + more
    for sign, words in _signs(ring):
        signs, more = key(((sign, words),), left, top, wide)
        parts += signs
        top += more + 0.7
    return tuple(parts), top


def _signs(ring: DayRing) -> Iterator[tuple[Sign, str]]:
    used = {of.lane for of in ring.arcs}
    for lane in LANES:
        if lane in used:
            yield swatch(INKS[lane], FILLINGS[lane]), LANE_WORDS[lane]
    if any(not of.share for of in ring.arcs):
        yield _tick, "a tick: no end written"
    if ring.wets:
        yield wet_sign, "wet diaper"
    if ring.stools:
        yield stool_sign, "stool"
    if ring.nights:
        yield _night, "night"
    yield _seam, "the 24 hours begin and end here"


def _tick(x: float, y: float) -> tuple[Part, ...]:
    return (Line(((x, y - 1.8), (x, y + 1.8)), Ink.ELDER, 1.0),)


def _night(x: float, y: float) -> tuple[Part, ...]:
    return (Area(box(x - 3, y - 1.6, 6, 3.2), Ink.EDGE, Filling.LIGHT),)


def _seam(x: float, y: float) -> tuple[Part, ...]:
    return (Line(((x, y - 2), (x, y + 2)), Ink.SOFT, 0.3, Weave.DOTTED),)
