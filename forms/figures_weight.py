"""The figures made of weights: the weight itself, percent from birth, gain per day; and which weights they look at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from forms.answers import Conflicted, Given, Moment, Quantity, every, known
from forms.ask import ask_of
from forms.chart import Chart, Entry
from forms.clinical.age import age_in_days
from forms.clinical.evidence import counts_here, time_of, zone_of
from forms.clinical.growth import GainPerDay, GrowthAge, gain_per_day, growth_age
from forms.clinical.growth_score import table_sex
from forms.clinical.result import NoFigure
from forms.clinical.velocity import median_per_day
from forms.clinical.weight import MEDIAN_SOURCE, PercentFromBirth, edges, median_words, percent_from_birth, regain_words
from forms.clinical.who import SOURCE as WHO
from forms.figure import Figure, entered_by, no_figure, when
from forms.newer import choice_words
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practice
from forms.thresholds import limits
from forms.units import UNITS, alone, decimal, shown
from forms.weight import WeightReading, is_around_feed

__all__ = ["Readings", "birth_weight_input", "dressed", "readings_of", "weighing_input", "weight_figures"]

DRESSED = {"clothes": "weighed in clothes", "unknown": "clothes not known"}
GAIN_GUIDE = "guide, day 4 until 3 to 4 months: 20 to 35 g/day"  # a public-health leaflet (S2)
GUIDE_FROM_DAY = 4  # days of age: the guide and the WHO median's slope are said from here on (the same leaflet, S2)
REGAIN_FROM_HOURS = 120  # h: below it nobody expects birth weight to be regained (NICE NG75: loss ends by day 3-4, S)
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Readings:
    """A baby's weights for the figures, by time; `gap` says why their order is not certain."""

    ordered: tuple[Entry[WeightReading], ...]
    gap: NoFigure | None = None

    @property
    def latest(self) -> Entry[WeightReading] | NoFigure:
        """The last weighing up to the visit."""
        if self.gap is not None:
            return self.gap
        return self.ordered[-1] if self.ordered else NoFigure("no weight yet")

    def before(self, reading: Entry[WeightReading]) -> Entry[WeightReading] | None:
        """The last weight at least a day earlier."""
        at = taken_at(reading)
        return next((r for r in reversed(self.ordered) if at - taken_at(r) >= DAY), None)


def taken_at(reading: Entry[WeightReading]) -> datetime:
    """When a timed reading was taken."""
    taken = reading.answers.taken
    assert isinstance(taken, Moment)
    return taken.at


def readings_of(chart: Chart, person: str, now: datetime) -> Readings:
    """Weights up to the visit. Those around feeds, which may be dressed, serve the transfer and nothing else.

    Ordered by time of weighing, then by entry, so that the order in which they were written down changes nothing.
    """
    at = time_of(chart, now)
    every_one = [entry for entry in chart.all(WeightReading, person) if entry.answers.weight is not None]
    plain = [entry for entry in every_one if not is_around_feed(entry.answers)]
    if every_one and not plain:
        return Readings((), NoFigure("only weighed around a feed so far"))
    if any(isinstance(entry.answers.taken, Conflicted) for entry in plain):
        return Readings((), NoFigure("unresolved: two times stand for a weight", unresolved=True))
    clocked = [entry for entry in plain if isinstance(entry.answers.taken, Moment)]
    timed = [entry for entry in clocked if counts_here(chart, entry, taken_at(entry), at, now)]
    if not clocked and plain:
        return Readings((), NoFigure("the time of the weight is not known"))
    return Readings(tuple(sorted(timed, key=lambda entry: (taken_at(entry), entry.id))))


def dressed(*readings: Entry[WeightReading]) -> list[str]:
    """Words of caution when a weight was not the baby's alone."""
    states = {state for reading in readings for state in every(reading.answers.state)} & set(DRESSED)
    if len(readings) == 1:
        return [DRESSED[state] for state in DRESSED if state in states]
    return ["not both weighed bare"] if states else []


def weighing_input(chart: Chart, entry: Entry[WeightReading], label: str = "weight") -> str:
    """One weighing as an input: what, when, in what, known from whom."""
    reading = entry.answers
    said = [shown(q.base, "g") for q in every(reading.weight)] + [when(m) for m in every(reading.taken)]
    said += [_words("state", code) for code in every(reading.state)]
    said += [f"weighed by {name}" for name in every(reading.by_whom)]
    said += [f"told by {name}" for name in every(reading.told_by)]
    said += [f"read in {name}" for name in every(reading.document)]
    by = entered_by(chart, entry)
    if not any(by == f"entered by {name}" for name in every(reading.by_whom)):
        said.append(by)
    return f"{label}: {', '.join(part for part in said if part)}"


def _words(field: str, code: str) -> str:
    words = choice_words(ask_of(WeightReading, field), code)
    return f"in {words[:1].lower()}{words[1:]}" if code != "unknown" else "clothes not known"


def birth_weight_input(chart: Chart, person: str) -> str:
    """The birth weight as an input."""
    identity = chart.person(InfantIdentity, person)
    said = [shown(q.base, "g") for q in every(identity.birth_weight)] + [when(m) for m in every(identity.born)]
    entry = chart.by_id(person)
    return f"birth weight: {', '.join(part for part in (*said, entered_by(chart, entry) if entry else '') if part)}"


def weight_figures(chart: Chart, person: str, now: datetime) -> Iterator[Figure]:
    """Weight, percent from birth and gain per day of a baby, in this order."""
    readings = readings_of(chart, person, now)
    yield _weight(chart, readings)
    yield _percent(chart, person, readings)
    yield _gain(chart, person, readings)


def _weight_unit(chart: Chart) -> str:
    units = (known(practice.answers.weight_unit) for practice in chart.all(Practice)
             if not isinstance(practice.answers.weight_unit, Conflicted))  # fmt: skip
    return next((unit for unit in units if unit), "g")


def _weight(chart: Chart, readings: Readings) -> Figure:
    label, source, found = "Weight", "as typed from the scale", readings.latest
    if isinstance(found, NoFigure):
        return no_figure("weight", label, found, source)
    reading = found.answers
    if not isinstance(reading.weight, Quantity):
        gap = NoFigure("unresolved: two values stand for the weight", unresolved=isinstance(reading.weight, Conflicted))
        return no_figure("weight", label, gap if gap.unresolved else NoFigure("no weight yet"), source)
    unit = _weight_unit(chart)
    assert isinstance(reading.taken, Moment)
    small = [alone(reading.weight.base, UNITS[unit].other), when(reading.taken)]
    small += dressed(found)
    small += ["told by the family" for told in every(reading.source) if told == "told"]
    small += [f"second reading {alone(repeat.base, unit)}" for repeat in every(reading.repeat)]
    return Figure(
        "weight", label, alone(reading.weight.base, unit), tuple(small), source,
        formula="the latest weight that was not taken around a feed; nothing is worked out",
        inputs=(weighing_input(chart, found),),
    )  # fmt: skip


def _percent(chart: Chart, person: str, readings: Readings) -> Figure:
    label, source = "From birth weight", "whole-gram arithmetic (C)"
    identity, reading = chart.person(InfantIdentity, person), readings.latest
    if isinstance(reading, NoFigure):
        return no_figure("percent", label, reading, source)
    found = percent_from_birth(identity.birth_weight, reading.answers.weight, edges(limits(chart)))
    if not isinstance(found, PercentFromBirth):
        return no_figure("percent", label, found, source)
    sign = "+" if found.change > 0 else ""
    small = [f"{sign}{alone(found.change, 'g')} since birth", *dressed(reading)]
    if isinstance(identity.born, Moment):
        weights = [
            (taken_at(r), r.answers.weight.base) for r in readings.ordered if isinstance(r.answers.weight, Quantity)
        ]
        hours = Fraction((taken_at(reading) - identity.born.at) // timedelta(seconds=1), 3600)
        regained = regain_words(found.birth, identity.born, weights) if hours >= REGAIN_FROM_HOURS else None
        median = median_words(hours, _birth_mode(chart, person))
        small += [words for words in (regained, median) if words]
        if median:
            source = f"{source}; {MEDIAN_SOURCE}"
    return Figure(
        "percent", label, found.text, tuple(small), source,
        formula="weight less birth weight, divided by birth weight, times 100; real age, never corrected",
        inputs=(weighing_input(chart, reading), birth_weight_input(chart, person)),
    )  # fmt: skip


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


def _gain(chart: Chart, person: str, readings: Readings) -> Figure:
    label = "Gain per day"
    source = "grams over elapsed days, at least 24 hours apart (C); guide: a public-health leaflet (S2)"
    reading = readings.latest
    if isinstance(reading, NoFigure):
        return no_figure("gain", label, reading, source)
    earlier, now = readings.before(reading), reading.answers
    identity = chart.person(InfantIdentity, person)
    if earlier is not None:
        found = gain_per_day(earlier.answers.weight, earlier.answers.taken, now.weight, now.taken)
    else:
        found = gain_per_day(identity.birth_weight, identity.born, now.weight, now.taken)
        if not isinstance(found, GainPerDay) and not found.unresolved:
            found = NoFigure("no other weight at least 24 hours before")
    if not isinstance(found, GainPerDay):
        return no_figure("gain", label, found, source)
    first: Given[Moment] = earlier.answers.taken if earlier is not None else identity.born
    slope = _median_slope(chart, person, first, now.taken)
    since = "since the weight before" if earlier is not None else "since birth"
    cautions = dressed(reading, earlier) if earlier is not None else dressed(reading)
    since_what = birth_weight_input(chart, person) if earlier is None else weighing_input(chart, earlier, "before")
    return Figure(
        "gain", label, found.text, (f"{found.words} {since}", GAIN_GUIDE, *slope, *cautions),
        f"{source}; median: {WHO}" if slope else source,
        formula="grams gained, divided by the days between the two weighings, counted in hours",
        inputs=(weighing_input(chart, reading), since_what),
    )  # fmt: skip


def _median_slope(chart: Chart, person: str, first: Given[Moment], last: Given[Moment]) -> tuple[str, ...]:
    """How fast the WHO median rises over the same days of age, in words; nothing where it cannot be said."""
    identity = chart.person(InfantIdentity, person)
    sex, ages = table_sex(identity.sex), []
    for moment in (first, last):
        if not isinstance(moment, Moment) or isinstance(sex, NoFigure):
            return ()
        days = age_in_days(identity.born, identity.born_day, moment.at, zone_of(chart))
        ages.append(growth_age(identity.gestation_weeks, identity.gestation_days, days))
    start, end = ages
    if not isinstance(start, GrowthAge) or not isinstance(end, GrowthAge) or start.day < GUIDE_FROM_DAY:
        return ()
    assert isinstance(sex, str)
    slope = median_per_day(sex, start.day, end.day)
    if isinstance(slope, NoFigure):
        return ()
    corrected = "corrected day" if end.corrected else "day"
    return (f"the WHO median gains {decimal(slope, 1)} g/day from {corrected} {start.day} to {end.day}",)
