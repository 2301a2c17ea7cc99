"""Pain over time: at each feed that was watched, at four points of it, and each time it was tapped while feeding.

A side is the feeder's own, told apart by its half-moon. Where nothing was told the line breaks; where two values stand
both are shown hollow and neither is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from math import ceil
from types import MappingProxyType

from forms.answers import Conflicted, Given, Moment, Side, every
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.feed import SORE, FeedObservation
from forms.feed_event import FeedEvent
from forms.pictures.drawing import Drawing
from forms.pictures.maker import Maker
from forms.pictures.pain_panels import Panel, Point, draw_panels
from forms.pictures.visits import day_and_time, or_words, visits_seen
from forms.pictures.whose import called

__all__ = ["pain"]

STAGES: Mapping[str, str] = MappingProxyType(
    {"pain_at_latch": "at latch", "pain_after_30s": "after 30 s", "pain_middle": "midway", "pain_at_end": "at the end"}
)
SOURCES = (
    "Pain as the feeder tells it, 0 none to 10 the worst: numeric scale in general use (M).",
    f"The dashed line at {SORE}: from there on a change is tried (common practice, no source).",
)


def pain(chart: Chart, person: str, now: datetime) -> Maker | None:
    """The picture of pain at the feeds of a parent, or at those of a baby; None while no pain was told."""
    panels = tuple(panel for feed in _feeds(chart, person, now) for panel in _panels(chart, feed))
    if not panels:
        return None
    name = called(chart, person)
    title, sentence = f"Pain at {name}’s feeds", _sentence(name, panels)

    def draw(wide: float) -> Drawing:
        return draw_panels(title, sentence, panels, SOURCES, wide)

    return Maker("pain", title, draw)


def _feeds(chart: Chart, person: str, now: datetime) -> list[Entry[FeedObservation]]:
    """The feeds of this person up to this visit: visit by visit, in each by when they began, else as entered."""
    found: list[Entry[FeedObservation]] = []
    for seen in visits_seen(chart, now):
        here = [e for e in chart.all(FeedObservation, visit=seen.visit) if person in e.place.subjects]
        began = {e.id: [moment.at for moment in every(e.answers.began)] for e in here}
        found += sorted(here, key=lambda e: (min(began[e.id], default=e.entered), e.id))
    return found


def _panels(chart: Chart, feed: Entry[FeedObservation]) -> Iterator[Panel]:
    """What was told of one feed at its four points, and what was tapped while it went on."""
    feeder, *babies = (called(chart, one) for one in feed.place.subjects)
    who = f"{feeder} and {babies[0]}" if babies else feeder
    began = next(iter(every(feed.answers.began)), None) or Moment(feed.entered, zone_of(chart))
    visit = day_and_time(began)
    points = tuple(
        _point(getattr(feed.answers, name).on(side), side, words, float(place))
        for side in Side
        for place, (name, words) in enumerate(STAGES.items())
        if _told(getattr(feed.answers, name).on(side))
    )
    if points:
        yield Panel(visit, who, feeder, points, float(len(STAGES) - 1))
    tapped = tuple(_taps(chart, feed))
    if tapped:
        last = max((point.at for point in tapped if point.at is not None), default=0.0)
        yield Panel(visit, who, feeder, tapped, float(max(ceil(last), 1)), tapped=True)


def _told(given: Given[int]) -> bool:
    return bool(every(given)) or isinstance(given, Conflicted)


def _point(given: Given[int], side: Side | None, words: str, at: float | None) -> Point:
    return Point(tuple(sorted(set(every(given)))), isinstance(given, Conflicted), side, words, at)


def _taps(chart: Chart, feed: Entry[FeedObservation]) -> Iterator[Point]:
    """Each tap of pain with its minutes since the feed began, or since the first thing tapped of it."""
    events = [e for e in chart.all(FeedEvent, visit=feed.place.visit) if feed.id in every(e.answers.feed)]
    times = [e.answers.at.at for e in events if isinstance(e.answers.at, Moment)]
    zero = min([*times, *(moment.at for moment in every(feed.answers.began))], default=None)

    def minutes(event: FeedEvent) -> float | None:
        return (event.at.at - zero).total_seconds() / 60 if isinstance(event.at, Moment) and zero else None

    hurt = [e.answers for e in events if "pain" in every(e.answers.what) and _told(e.answers.pain)]
    for event in sorted(hurt, key=lambda one: (minutes(one) is None, minutes(one) or 0.0)):
        at = minutes(event)
        lane = event.lane if isinstance(event.lane, str) and event.lane in set(Side) else None
        when = "time not known" if at is None else f"{int(at)} min {int(at * 60) % 60} s from the beginning"
        yield _point(event.pain, Side(lane) if lane else None, when, at)


def _sentence(name: str, panels: tuple[Panel, ...]) -> str:
    feeds = len({(panel.when, panel.who) for panel in panels})
    latest = [panel for panel in panels if not panel.tapped] or list(panels)
    said = []
    for side in (*Side, None):
        points = [point for point in latest[-1].points if point.side is side]
        if points:
            which = f"{latest[-1].feeder}’s {side}" if side else "side not told"
            each = ", ".join(f"{_value(point)} {point.words}" for point in points)
            said.append(f"{which}: {each}")
    taps = sum(len(panel.points) for panel in panels if panel.tapped)
    tapped = f" Pain was tapped {taps} {'time' if taps == 1 else 'times'} while feeding." if taps else ""
    many = "1 feed" if feeds == 1 else f"{feeds} feeds"
    return f"Pain, 0 to 10, at {many} of {name}. Latest, {latest[-1].when}, {'; '.join(said)}.{tapped}"


def _value(point: Point) -> str:
    return or_words(point.values) if point.unresolved else str(point.values[0])
