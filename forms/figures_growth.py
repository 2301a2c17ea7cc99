"""The figures of growth: weight, length and head against the WHO standards, monthly gain, and the place at birth.

Each is read at whole days of age, corrected for a baby born before 37 weeks; none stands before the term date, without
the sex for the table, or without a birth day, and then says why. A score beyond what WHO calls plausible asks for the
entry to be checked and blocks nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from forms.answers import Conflicted, Given, Moment, Quantity, every
from forms.chart import Chart, Entry
from forms.clinical.age import age_in_days
from forms.clinical.evidence import time_of, zone_of
from forms.clinical.faltering import FROM_DAY, spaces_fallen, spaces_for_concern
from forms.clinical.faltering import SOURCE as NICE
from forms.clinical.growth import GrowthAge, growth_age
from forms.clinical.growth_score import GrowthScore, birth_score, growth_score, table_sex
from forms.clinical.result import NoFigure
from forms.clinical.velocity import SOURCE as VELOCITY
from forms.clinical.velocity import Velocity, interval_of, velocity
from forms.clinical.who import SOURCE as WHO
from forms.clinical.who import centile_words, cut_words, z_text
from forms.days import short_day
from forms.figure import Figure, entered_by, no_figure, when
from forms.figures_weight import Readings, birth_weight_input, dressed, readings_of, taken_at, weighing_input
from forms.infant import InfantAssessment
from forms.people import SEX, InfantIdentity
from forms.units import alone, decimal, shown
from forms.visit import Visit
from forms.weight import WeightReading

__all__ = ["growth_figures"]

SCORED = (
    "distance from the WHO median of the same sex and day of age, in SD, from the table's L, M and S; "
    "beyond 3 SD each further one is as wide as that from 2 to 3"
)
GAINED = "grams gained between two weighings near the ends of a WHO interval, against the median gain, in SD"
FALLEN = "score at birth less score now, divided by two thirds: one centile space is two thirds of an SD"
CHECK = "check the entry: the score is beyond what WHO calls plausible"
SPACES = "Against the place at birth"
MEASURES = (("length", "birth_length", "Length for age, WHO"), ("head", "birth_head", "Head for age, WHO"))


def growth_figures(chart: Chart, person: str, now: datetime) -> Iterator[Figure]:
    """Every growth figure of a baby that has something to stand on."""
    readings = readings_of(chart, person, now)
    yield from _weight(chart, person, readings)
    yield from _velocity(chart, person, readings)
    for measure, at_birth, label in MEASURES:
        yield from _measured(chart, person, now, measure, at_birth, label)


def _days(chart: Chart, person: str, at: datetime) -> int | NoFigure:
    identity = chart.person(InfantIdentity, person)
    return age_in_days(identity.born, identity.born_day, at, zone_of(chart))


def _score(chart: Chart, person: str, indicator: str, value: Given[Quantity], at: datetime) -> GrowthScore | NoFigure:
    baby = chart.person(InfantIdentity, person)
    days = _days(chart, person, at)
    return growth_score(indicator, value, baby.sex, baby.gestation_weeks, baby.gestation_days, days)


def _birth(chart: Chart, person: str, indicator: str, value: Given[Quantity]) -> GrowthScore | NoFigure:
    baby = chart.person(InfantIdentity, person)
    return birth_score(indicator, value, baby.sex, baby.gestation_weeks, baby.gestation_days)


def _baby_input(chart: Chart, person: str, score: GrowthScore) -> str:
    """Which row of the table was read: sex, day of age, and the median and spread that stand there."""
    sex = SEX["f" if score.table.sex == "female" else "m"].lower()
    row = score.table
    unit = "g" if row.indicator == "weight" else "cm"
    identity = chart.person(InfantIdentity, person)
    born = [when(m) for m in every(identity.born)] or [short_day(on) for on in every(identity.born_day)]
    return (
        f"table: {sex}, {score.age.words}, born {born[0] if born else ''}; "
        f"L {row.l}, M {alone(Fraction(row.m), unit)}, S {row.s}"
    )


def _big(score: GrowthScore) -> str:
    return f"z {z_text(score.z)}"


def _centile(score: GrowthScore | Velocity) -> str:
    return f"{centile_words(score.z)} centile"


def _placed(score: GrowthScore) -> list[str]:
    """The centile, and the cut point the score lies below, if any."""
    return [words for words in (_centile(score), cut_words(score.table.indicator, score.z)) if words]


def _weight(chart: Chart, person: str, readings: Readings) -> Iterator[Figure]:
    """Weight for age, and from two weeks on its distance from the place at birth in centile spaces."""
    label, reading = "Weight for age, WHO", readings.latest
    if isinstance(reading, NoFigure):
        if reading.unresolved:
            yield no_figure("weight_z", label, reading, WHO, formula=SCORED)
        return
    found = _score(chart, person, "weight", reading.answers.weight, taken_at(reading))
    if isinstance(found, NoFigure):
        yield no_figure("weight_z", label, found, WHO, formula=SCORED)
        return
    at_birth = _birth(chart, person, "weight", chart.person(InfantIdentity, person).birth_weight)
    inputs = [weighing_input(chart, reading), _baby_input(chart, person, found)]
    small = [*_placed(found), found.age.words, *dressed(reading)]
    if isinstance(at_birth, GrowthScore):
        small.append(f"at birth z {z_text(at_birth.z)}")
        inputs.append(birth_weight_input(chart, person))
    watch = CHECK if found.check_entry else ""
    yield Figure("weight_z", label, _big(found), tuple(small), WHO, formula=SCORED, inputs=tuple(inputs), watch=watch)
    if found.age.day < FROM_DAY:
        return
    if isinstance(at_birth, GrowthScore):
        yield _spaces(at_birth, found, inputs)
    elif at_birth.unresolved:
        gap = NoFigure("unresolved: two values stand for the birth weight", unresolved=True)
        yield no_figure("spaces", SPACES, gap, NICE, formula=FALLEN)


def _spaces(at_birth: GrowthScore, found: GrowthScore, inputs: list[str]) -> Figure:
    fallen, needed = spaces_fallen(at_birth.z, found.z), spaces_for_concern(at_birth.z)
    places = 2
    while fallen < needed and decimal(fallen, places) == decimal(Fraction(needed), places):
        places += 1  # a fall short of the guideline's line never prints as that line
    small = (
        "centile spaces, of two thirds of an SD each",
        f"at birth z {z_text(at_birth.z)}, now {z_text(found.z)}",
        f"for this birth weight a fall of {needed} or more asks for a provider's look",
    )
    big = f"{decimal(abs(fallen), places)} spaces {'lower' if fallen > 0 else 'higher'}"
    return Figure("spaces", SPACES, big, small, NICE, formula=FALLEN, inputs=tuple(inputs))


@dataclass(frozen=True, slots=True)
class _Weighing:
    """A weight at a day of age; `entry` is None for the birth weight."""

    age: GrowthAge
    weight: Given[Quantity]
    entry: Entry[WeightReading] | None


def _weighings(chart: Chart, person: str, readings: Readings) -> list[_Weighing]:
    """Every weight that has a day of age in the WHO tables, the birth weight first, then by time."""
    baby, found = chart.person(InfantIdentity, person), []
    at_birth = growth_age(baby.gestation_weeks, baby.gestation_days, 0)
    if isinstance(at_birth, GrowthAge) and isinstance(baby.birth_weight, Quantity | Conflicted):
        found.append(_Weighing(at_birth, baby.birth_weight, None))
    for entry in readings.ordered:
        age = growth_age(baby.gestation_weeks, baby.gestation_days, _days(chart, person, taken_at(entry)))
        if isinstance(age, GrowthAge):
            found.append(_Weighing(age, entry.answers.weight, entry))
    return found


def _velocity(chart: Chart, person: str, readings: Readings) -> Iterator[Figure]:
    """The gain of a WHO interval that ends at the latest weighing; nothing where no other weighing fits its start."""
    sex, found = table_sex(chart.person(InfantIdentity, person).sex), _weighings(chart, person, readings)
    if readings.gap is not None or isinstance(sex, NoFigure) or not found or found[-1].entry is None:
        return
    last = found[-1]
    fitting = [(abs(each.age.day - interval.start), at, each) for at, each in enumerate(found[:-1])
               if (interval := interval_of(each.age.day, last.age.day)) is not None]  # fmt: skip
    if fitting:
        yield _gained(chart, person, sex, min(fitting, key=lambda each: each[:2])[2], last)


def _gained(chart: Chart, person: str, sex: str, first: _Weighing, last: _Weighing) -> Figure:
    key, label = "velocity", "Gain in this interval, WHO"
    if isinstance(first.weight, Conflicted) or isinstance(last.weight, Conflicted):
        gap = NoFigure("unresolved: two values stand for a weight", unresolved=True)
        return no_figure(key, label, gap, VELOCITY, formula=GAINED)
    if not isinstance(first.weight, Quantity) or not isinstance(last.weight, Quantity):
        return no_figure(key, label, NoFigure("a weight is not known"), VELOCITY, formula=GAINED)
    found = velocity(sex, first.age.day, last.age.day, last.weight.base - first.weight.base)
    if not isinstance(found, Velocity):
        return no_figure(key, label, found, VELOCITY, formula=GAINED)
    day = "corrected day" if last.age.corrected else "day"
    small = (
        _centile(found),
        f"{decimal(Fraction(found.grams), 0, sign=True)} g from {day} {first.age.day} to {last.age.day}",
        f"interval: {found.interval.words}",
        *dressed(*(each.entry for each in (last, first) if each.entry is not None)),
    )
    inputs = tuple(
        weighing_input(chart, each.entry, word) if each.entry is not None else birth_weight_input(chart, person)
        for each, word in ((last, "weight"), (first, "before"))
    )
    table = f"table: {sex}, {found.interval.words}"
    return Figure(key, label, f"z {z_text(found.z)}", small, VELOCITY, formula=GAINED, inputs=(*inputs, table))


def _measured(chart: Chart, person: str, now: datetime, measure: str, at_birth: str, label: str) -> Iterator[Figure]:
    """Length or head as last measured up to this visit; the one at birth while there is no other."""
    key = f"{measure}_z"
    identity = chart.person(InfantIdentity, person)
    birth_value: Given[Quantity] = getattr(identity, at_birth)
    birth = _birth(chart, person, measure, birth_value)
    latest = _latest_measure(chart, person, now, measure)
    if latest is None:
        if isinstance(birth, GrowthScore):
            inputs = (f"{measure} at birth: {shown(birth.value, 'cm')}", _baby_input(chart, person, birth))
            watch = CHECK if birth.check_entry else ""
            yield Figure(
                key, label, _big(birth), (*_placed(birth), "at birth"), WHO, formula=SCORED, inputs=inputs, watch=watch
            )
        elif isinstance(birth_value, Quantity | Conflicted):
            yield no_figure(key, label, birth, WHO, formula=SCORED)
        return
    at, entry = latest
    found = _score(chart, person, measure, getattr(entry.answers, measure), at)
    if isinstance(found, NoFigure):
        yield no_figure(key, label, found, WHO, formula=SCORED)
        return
    day = short_day(Moment(at, zone_of(chart)).local())
    value = shown(found.value, "cm")
    inputs = (f"{measure}: {value}, {day}, {entered_by(chart, entry)}".rstrip(", "), _baby_input(chart, person, found))
    small = [*_placed(found), f"{value}, {found.age.words}"]
    small += ["told by the family" for how in every(entry.answers.seen_how) if how == "reported"]
    if isinstance(birth, GrowthScore):
        small.append(f"at birth z {z_text(birth.z)}")
    watch = CHECK if found.check_entry else ""
    yield Figure(key, label, _big(found), tuple(small), WHO, formula=SCORED, inputs=inputs, watch=watch)


def _latest_measure(
    chart: Chart, person: str, now: datetime, measure: str
) -> tuple[datetime, Entry[InfantAssessment]] | None:
    """The last time it was measured, dated by its visit: this visit's if there is one, else the latest before it."""
    at = time_of(chart, now)
    found = []
    for entry in chart.all(InfantAssessment, person):
        if not isinstance(getattr(entry.answers, measure), Quantity | Conflicted) or entry.place.visit is None:
            continue
        start = chart.person(Visit, entry.place.visit).start
        if entry.place.visit == chart.visit:
            found.append((at, entry))
        elif isinstance(start, Moment) and start.at <= at:
            found.append((start.at, entry))
    return max(found, key=lambda each: (each[0], each[1].id), default=None)
