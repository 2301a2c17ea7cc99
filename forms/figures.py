"""The live figures of one baby: what the answers add up to, each with its method, its source and what is unresolved.

A figure explains itself: how it was worked out stands beside it, and so does what it cannot tell. Where two values
stand for an input the figure says "unresolved" and shows no number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from forms.answers import Conflicted, Moment, Quantity, every, known
from forms.chart import Chart
from forms.clinical.age import Age, age, age_in_days, elapsed_words
from forms.clinical.evidence import counts_here, time_of, zone_of
from forms.clinical.growth import CorrectedAge, GainPerDay, corrected_age, gain_per_day, gestation
from forms.clinical.prompts_infant import WIC, output_row
from forms.clinical.result import NoFigure
from forms.clinical.transfer import FeedTransfer, feed_transfer
from forms.clinical.weight import MEDIAN_SOURCE, PercentFromBirth, median_words, percent_from_birth, regain_words
from forms.days import clock, short_day
from forms.feed import FeedObservation
from forms.figure import NOTHING, Figure, no_figure
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practice
from forms.units import UNITS, alone
from forms.weight import WeightReading, is_around_feed

__all__ = ["Figure", "figures"]

DRESSED = {"clothes": "weighed in clothes", "unknown": "clothes not known"}
GAIN_GUIDE = "guide from day 4 to 3 to 4 months: 20 to 35 g/day (public-health leaflet, S2)"
DAY = timedelta(days=1)


def figures(chart: Chart, now: datetime, person: str) -> tuple[Figure, ...]:
    """Every figure of a baby at the chart's visit, in the order of the strip; nothing for a parent. `now` is aware."""
    if not any(entry.id == person for entry in chart.all(InfantIdentity)):
        return ()
    at = time_of(chart, now)
    readings = _readings(chart, person, at, now)
    makers: tuple[Callable[[], Iterable[Figure]], ...] = (
        lambda: (_age(chart, person, at),),
        lambda: _corrected(chart, person, at),
        lambda: (_weight(chart, readings),),
        lambda: (_percent(chart, person, readings),),
        lambda: (_gain(chart, person, readings),),
        lambda: _transfers(chart, person),
        lambda: (_output(chart, person, at),),
    )
    return tuple(figure for make in makers for figure in make())


def _age(chart: Chart, person: str, at: datetime) -> Figure:
    identity, source = chart.person(InfantIdentity, person), "elapsed time from birth (C)"
    found = age(identity.born, at)
    if isinstance(found, Age):
        hours = (f"{int(found.hours)} hours since birth",) if found.days < 7 else ()
        return Figure("age", "Age", found.words, (*hours, f"day {found.day_of_life} of life"), source)
    if not found.unresolved and identity.born is None:
        days = age_in_days(identity.born, identity.born_day, at, zone_of(chart))
        if not isinstance(days, NoFigure):
            words = f"{days} day" if days == 1 else f"{days} days"
            return Figure("age", "Age", words, ("birth time not known: days only",), "days between dates (C)")
        found = days
    return no_figure("age", "Age", found, source)


def _corrected(chart: Chart, person: str, at: datetime) -> tuple[Figure, ...]:
    identity = chart.person(InfantIdentity, person)
    born_at = gestation(identity.gestation_weeks, identity.gestation_days)
    source, label = "AAP and NICE convention (M)", "Corrected age"
    found = corrected_age(born_at, age_in_days(identity.born, identity.born_day, at, zone_of(chart)))
    if isinstance(found, CorrectedAge):
        weeks, days = divmod(found.gestation_days, 7)
        small = [f"{found.age_days} d since birth, born at {weeks} weeks {days} days", f"now {found.postmenstrual}"]
        if found.before_term:
            small.append("before the term date: no WHO score")
        return (Figure("corrected_age", label, found.text, tuple(small), source),)
    needed = isinstance(born_at, NoFigure) or found.unresolved
    return (no_figure("corrected_age", label, found, source),) if needed else ()


@dataclass(frozen=True, slots=True)
class _Readings:
    """A baby's weights for the figures, by time; `gap` says why their order is not certain."""

    ordered: tuple[WeightReading, ...]
    gap: NoFigure | None = None

    @property
    def latest(self) -> WeightReading | NoFigure:
        if self.gap is not None:
            return self.gap
        return self.ordered[-1] if self.ordered else NoFigure("no weight yet")

    def before(self, reading: WeightReading) -> WeightReading | None:
        """The last weight at least a day earlier."""
        at = _at(reading)
        return next((r for r in reversed(self.ordered) if at - _at(r) >= DAY), None)


def _at(reading: WeightReading) -> datetime:
    assert isinstance(reading.taken, Moment)
    return reading.taken.at


def _readings(chart: Chart, person: str, at: datetime, now: datetime) -> _Readings:
    """Weights up to the visit. Those around feeds, which may be dressed, serve the transfer and nothing else."""
    every_one = [entry for entry in chart.all(WeightReading, person) if entry.answers.weight is not None]
    plain = [entry for entry in every_one if not is_around_feed(entry.answers)]
    if every_one and not plain:
        return _Readings((), NoFigure("only weighed around a feed so far"))
    if any(isinstance(entry.answers.taken, Conflicted) for entry in plain):
        return _Readings((), NoFigure("unresolved: two times stand for a weight", unresolved=True))
    clocked = [entry for entry in plain if isinstance(entry.answers.taken, Moment)]
    timed = [e.answers for e in clocked if counts_here(chart, e, _at(e.answers), at, now)]
    if not clocked and plain:
        return _Readings((), NoFigure("the time of the weight is not known"))
    return _Readings(tuple(sorted(timed, key=_at)))


def _weight_unit(chart: Chart) -> str:
    units = (known(practice.answers.weight_unit) for practice in chart.all(Practice)
             if not isinstance(practice.answers.weight_unit, Conflicted))  # fmt: skip
    return next((unit for unit in units if unit), "g")


def _weight(chart: Chart, readings: _Readings) -> Figure:
    label, source, reading = "Weight", "as typed from the scale", readings.latest
    if isinstance(reading, NoFigure):
        return no_figure("weight", label, reading, source)
    if not isinstance(reading.weight, Quantity):
        gap = NoFigure("unresolved: two values stand for the weight", unresolved=isinstance(reading.weight, Conflicted))
        return no_figure("weight", label, gap if gap.unresolved else NoFigure("no weight yet"), source)
    unit = _weight_unit(chart)
    assert isinstance(reading.taken, Moment)
    taken = reading.taken.local()
    small = [alone(reading.weight.base, UNITS[unit].other), f"{short_day(taken)}, {clock(taken)}"]
    small += [DRESSED[state] for state in every(reading.state) if state in DRESSED]
    small += ["told by the family" for told in every(reading.source) if told == "told"]
    small += [f"second reading {alone(repeat.base, unit)}" for repeat in every(reading.repeat)]
    return Figure("weight", label, alone(reading.weight.base, unit), tuple(small), source)


def _percent(chart: Chart, person: str, readings: _Readings) -> Figure:
    label, source = "From birth weight", "whole-gram arithmetic (C)"
    identity, reading = chart.person(InfantIdentity, person), readings.latest
    if isinstance(reading, NoFigure):
        return no_figure("percent", label, reading, source)
    found = percent_from_birth(identity.birth_weight, reading.weight)
    if not isinstance(found, PercentFromBirth):
        return no_figure("percent", label, found, source)
    sign = "+" if found.change > 0 else ""
    small = [f"{sign}{alone(found.change, 'g')} since birth"]
    small += [DRESSED[state] for state in every(reading.state) if state in DRESSED]
    if isinstance(identity.born, Moment):
        weights = [(_at(r), r.weight.base) for r in readings.ordered if isinstance(r.weight, Quantity)]
        hours = Fraction((_at(reading) - identity.born.at) // timedelta(seconds=1), 3600)
        regained = regain_words(found.birth, identity.born, weights) if hours >= 120 else None
        median = median_words(hours, _birth_mode(chart, person))
        small += [words for words in (regained, median) if words]
        if median:
            source = f"{source}; {MEDIAN_SOURCE}"
    return Figure("percent", label, found.text, tuple(small), source)


def _birth_mode(chart: Chart, person: str) -> str:
    """One of "vaginal" and "caesarean" if every birth told for this baby was so; else empty, and no median is said."""
    modes: set[str] = set()
    for entry in chart.all(ParentHistory):
        of = {
            baby
            for babies in every(chart.person(ParentIdentity, entry.place.subjects[0]).birth_parent_of)
            for baby in babies
        }
        if of and person not in of:
            continue
        for told in every(entry.answers.birth):
            modes |= {"caesarean" if mode.startswith("caesarean") else "vaginal" for mode in told}
    return modes.pop() if len(modes) == 1 else ""


def _gain(chart: Chart, person: str, readings: _Readings) -> Figure:
    label, source = "Gain per day", "grams over elapsed days, at least 24 hours apart (C)"
    reading = readings.latest
    if isinstance(reading, NoFigure):
        return no_figure("gain", label, reading, source)
    earlier = readings.before(reading)
    identity = chart.person(InfantIdentity, person)
    if earlier is not None:
        found = gain_per_day(earlier.weight, earlier.taken, reading.weight, reading.taken)
    else:
        found = gain_per_day(identity.birth_weight, identity.born, reading.weight, reading.taken)
        if not isinstance(found, GainPerDay) and not found.unresolved:
            found = NoFigure("no other weight at least 24 hours before")
    if not isinstance(found, GainPerDay):
        return no_figure("gain", label, found, source)
    since = "since the weight before" if earlier is not None else "since birth"
    dressed = {state for r in (reading, earlier) if r is not None for state in every(r.state)} & set(DRESSED)
    small = (f"{found.words} {since}", GAIN_GUIDE, *(("not both weighed bare",) if dressed else ()))
    return Figure("gain", label, found.text, small, source)


def _called(chart: Chart, parent: str) -> str:
    identity = chart.person(ParentIdentity, parent)
    return next((name for name in (*every(identity.called_name), *every(identity.full_name))), "the feeder")


def _transfers(chart: Chart, person: str) -> Iterable[Figure]:
    """One figure for each side and for the total of each feed of this visit that was weighed."""
    source = "after less before, 1 g = 1 mL by convention (IOM 1991, S); error: the scale's steps (C)"
    if chart.visit is None:
        return
    feeds = [f for f in chart.all(FeedObservation, visit=chart.visit) if person in f.place.subjects[1:]]
    for number, feed in enumerate(feeds, start=1):
        weighed = [e.answers for e in chart.all(WeightReading, person) if feed.id in every(e.answers.feed)]
        if not weighed:
            continue
        found = feed_transfer(weighed)
        which = f" at feed {number}" if len(feeds) > 1 else ""
        feeder = _called(chart, feed.place.subjects[0])
        for side in ("left", "right"):
            yield from _side(found, feed.id, side, f"Transfer, {feeder}'s {side}{which}", source)
        cautions = tuple(dict.fromkeys(words for pair in found.pairs for words in pair.cautions))
        small = (*cautions, "one feed is a sample of the day")
        yield Figure(f"transfer:{feed.id}", f"Transfer in all{which}", found.text, small, source, found.unresolved)


def _side(found: FeedTransfer, feed: str, side: str, label: str, source: str) -> Iterable[Figure]:
    gaps = [gap for name, gap in found.missing if name == side]
    pairs = [pair for pair in found.pairs if pair.side == side]
    if gaps:
        yield no_figure(f"transfer:{feed}:{side}", label, gaps[0], source)
    elif pairs:
        small = tuple(f"{pair.before} g, then {pair.after} g" for pair in pairs)
        yield Figure(f"transfer:{feed}:{side}", label, "; ".join(pair.text for pair in pairs), small, source)


def _output(chart: Chart, person: str, at: datetime) -> Figure:
    label, source = "Diapers in 24 hours", f"{WIC} (S)"
    told, identity = chart.one(InfantHistory, person), chart.person(InfantIdentity, person)
    if isinstance(told.wets_24h, Conflicted) or isinstance(told.stools_24h, Conflicted):
        gap = NoFigure("unresolved: two counts stand", unresolved=True)
        return no_figure("output", label, gap, source)
    wets, stools = known(told.wets_24h), known(told.stools_24h)
    parts = [
        "wet not known" if wets is None else f"{wets} wet",
        "stools not known" if stools is None else f"{stools} {'stool' if stools == 1 else 'stools'}",
    ]
    big = NOTHING if wets is None and stools is None else ", ".join(parts)
    found = age(identity.born, at)
    if not isinstance(found, Age):
        return Figure("output", label, big, (f"{found.why}: no row of the table",), source, found.unresolved)
    row = output_row(found.day_of_life)
    if row is None:
        return Figure("output", label, big, ("after day 45 the table has no row",), source)
    small = f"day {found.day_of_life} of life: {row[0]} wet and {row[1]} {'stool' if row[1] == 1 else 'stools'} or more"
    fill = (
        (f"last wet {elapsed_words(at - told.last_wet.at)} ago",)
        if isinstance(told.last_wet, Moment) and told.last_wet.at <= at
        else ()
    )
    return Figure("output", label, big, (small, *fill), source)
