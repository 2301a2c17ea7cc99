"""How much of the milk that is known was given another way: from the log's amounts and from feeds that were weighed.

What a feed at the breast or chest brought is never guessed. Such feeds stand beside the bar, each with a sign, and no
share is told while nothing of them is known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from forms.answers import Moment, every
from forms.ask import ask_of
from forms.chart import Chart
from forms.clinical.feeding_log import DAY, DayLog, gap_words
from forms.clinical.result import NoFigure
from forms.clinical.transfer import feed_transfer
from forms.feed import FeedObservation
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, LogLine
from forms.figure import when
from forms.figures_log import log_of
from forms.pictures.drawing import Drawing
from forms.pictures.maker import Maker
from forms.pictures.share_bars import MEASURED, UNWRITTEN, WHOLE_UNKNOWN, Hours, Piece, draw_hours
from forms.pictures.visits import day_and_time, visits_seen
from forms.pictures.whose import called
from forms.units import alone, decimal
from forms.weight import WeightReading

__all__ = ["supplement_share"]

SOURCES = (
    "Milk given: added up as written in the log (C). Weighed feeds: 1 g taken as 1 mL, convention of the trade (M).",
    "A weighed feed may be one of those in the log; no amount is worked out for a feed that was not weighed.",
)


@dataclass(frozen=True, slots=True)
class _Weighed:
    """Feeds weighed in some hours: how many, mL in all, or why there is none; None where none was weighed."""

    feeds: int
    total: int
    gap: NoFigure | None = None


def supplement_share(chart: Chart, person: str, now: datetime) -> Maker | None:
    """The picture of a baby's milk given another way; None while no log says of any."""
    hours = tuple(_hours(chart, person, now))
    if not hours:
        return None
    name = called(chart, person)
    title, sentence = f"{name}’s milk given another way", _sentence(name, hours)

    def draw(wide: float) -> Drawing:
        return draw_hours(title, sentence, hours, SOURCES, wide)

    return Maker("supplement_share", title, draw)


def _hours(chart: Chart, person: str, now: datetime) -> Iterator[Hours]:
    """The hours of each visit's log in which milk was given another way, or that say two things at once."""
    for seen in visits_seen(chart, now):
        kinds = [e.answers.kind for e in chart.all(LogLine, person, visit=seen.visit)]
        if not any(kind in GIVEN_OTHERWISE for given in kinds for kind in every(given)):
            continue
        found = log_of(replace(chart, visit=seen.visit), person)
        if isinstance(found, DayLog):
            if found.milk():
                yield _of_log(found, _weighed(chart, person, seen.visit, found))
        elif found.unresolved:
            yield Hours(f"log of the visit of {day_and_time(seen.at)}", (), found.why, unresolved=True)


def _of_log(log: DayLog, weighed: _Weighed) -> Hours:
    options = ask_of(LogLine, "milk").options
    pieces = []
    if weighed.feeds:
        feeds = _count(weighed.feeds, "feed")
        why = weighed.gap.why if weighed.gap is not None else ""
        pieces.append(Piece(MEASURED, f"at the breast or chest, {feeds} weighed", weighed.total, gap=why))
    lacking = 0
    for code, kind in log.milk().items():
        words = options.get(code, "milk of a kind not written")
        lacking += kind.unwritten
        if kind.unwritten < kind.lines:
            pieces.append(Piece(code, f"{words[:1].lower()}{words[1:]}, given", kind.total))
    at_breast = sum(line.line.kind in (*AT_BREAST, "tube_breast") for line in log.lines)
    tubes = sum(line.line.kind == "tube_breast" for line in log.lines)
    with_tube = f" ({tubes} with a tube)" if tubes else ""
    if at_breast:
        pieces.append(Piece(WHOLE_UNKNOWN, f"at the breast or chest, not measured{with_tube}", None, at_breast))
    if lacking:
        pieces.append(Piece(UNWRITTEN, "given another way, amount not written", None, lacking))
    span = "24 h" if log.is_a_day else f"{gap_words(min(log.covered, DAY))}, no log of a day"
    begins = when(Moment(log.start, log.zone))
    unresolved = weighed.gap is not None and weighed.gap.unresolved
    return Hours(f"from {begins}, {span}", tuple(pieces), _share(pieces, unresolved=unresolved), unresolved=unresolved)


def _weighed(chart: Chart, person: str, visit: str, log: DayLog) -> _Weighed:
    """The feeds of that visit which were weighed and began in the hours of the log; less than nothing counts as 0."""
    feeds = total = 0
    gap: NoFigure | None = None
    for feed in chart.all(FeedObservation, visit=visit):
        readings = [e.answers for e in chart.all(WeightReading, person) if feed.id in every(e.answers.feed)]
        times = [m.at for m in (*every(feed.answers.began), *(m for one in readings for m in every(one.taken)))]
        if (
            person not in feed.place.subjects[1:]
            or not readings
            or not log.start <= min(times, default=log.end) < log.end
        ):
            continue
        found = feed_transfer(readings).total
        if isinstance(found, NoFigure):
            gap = found if gap is None or found.unresolved else gap
            feeds += found.unresolved
        else:
            feeds, total = feeds + 1, total + max(found, 0)
    return _Weighed(feeds, total, gap if gap is not None and gap.unresolved else None)


def _share(pieces: list[Piece], *, unresolved: bool) -> str:
    """The share in words; none while nothing of the feeds at the breast or chest is known."""
    given = sum(piece.amount or 0 for piece in pieces if piece.kind != MEASURED)
    measured = [piece.amount for piece in pieces if piece.kind == MEASURED]
    amount = alone(given, "mL")
    if unresolved:
        return f"{amount} given another way; the share is unresolved"
    if not measured and not any(piece.kind == WHOLE_UNKNOWN for piece in pieces):
        return f"{amount} given another way, and no feed at the breast or chest in the log"
    if not measured:
        return f"{amount} given another way; no share, since no feed at the breast or chest was weighed"
    known = given + sum(one or 0 for one in measured)
    share = f", {decimal(Fraction(100 * given, known), 0)} %" if known else ""
    return f"{amount} given another way of the {alone(known, 'mL')} that are known{share}"


def _count(number: int, thing: str) -> str:
    return f"1 {thing}" if number == 1 else f"{number} {thing}s"


def _sentence(name: str, hours: tuple[Hours, ...]) -> str:
    latest = hours[-1]
    said = f"{name}, {latest.when}: {latest.share}."
    for piece in latest.pieces:
        if piece.amount is None and piece.count:
            said += f" Not known: {_count(piece.count, 'feed')} {piece.words}."
    return said
