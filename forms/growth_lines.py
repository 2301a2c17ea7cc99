"""A baby's weights as three sets of lines: on the WHO curves, as percent from birth by the hour, and as gain per day.

Only figures and reasons stand here; nothing is drawn. Where two values stand for a weight, both are points and each is
marked unresolved. No centile of early loss is made: the published medians are words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from zoneinfo import ZoneInfo

from forms.answers import Conflicted, Moment, Quantity, every
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.clinical.growth import (
    SHORTEST,
    TERM,
    CorrectedAge,
    GainPerDay,
    GrowthAge,
    corrected_age,
    gain_per_day,
    gestation,
    growth_age,
)
from forms.clinical.growth_score import GrowthScore, growth_score, table_sex
from forms.clinical.result import NoFigure, one
from forms.clinical.weight import MEDIAN_SOURCE, MEDIANS, PercentFromBirth
from forms.clinical.who import LAST_DAY, lms, value_at
from forms.days import short_day
from forms.people import InfantIdentity
from forms.weighings import Known, LeftOut, Weighing, usual_unit, weighings

__all__ = [
    "LEVELS", "ZS", "Axis", "Curve", "EarlyPoint", "EarlySeries", "GainSeries", "GrowthLines", "Level", "Span",
    "WeightPoint", "WeightSeries", "growth_lines",
]  # fmt: skip

ZS = (-3, -2, -1, 0, 1, 2, 3)
"""The z-scores at which curves are drawn."""

EARLY_HOURS = (96, 168, 240, 360)  # how far the first days may reach: 4, 7 or 10 days, or all of day 14 (house choice)
LEAST_DAYS = 28  # the foot of the curves is at least so long (house choice)


class Axis(Enum):
    """What the days along the foot are counted from."""

    BIRTH = "birth"
    TERM = "term"  # corrected age: born before 37 weeks, and weighed at or after the term date
    FIRST_WEIGHT = "first_weight"  # the birth is not known, or two values stand for it


NO_AGE = NoFigure("no age is known")


@dataclass(frozen=True, slots=True)
class WeightPoint:
    """One weight at `x` days along the foot.

    `age` is where the WHO tables are read and `score` what they say, or why it is not so.
    `taken` is a date where only a birth day is known. `age_days` are days since birth, None where that is not settled;
    `corrected` stands for a baby born before 37 weeks, until 24 months.
    """

    weighing: Weighing
    weight: Quantity
    taken: Moment | date
    x: int
    age_days: int | None
    age: GrowthAge | NoFigure = NO_AGE
    score: GrowthScore | NoFigure = NO_AGE
    corrected: CorrectedAge | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """One WHO line: its z-score, and (day, grams) for each whole day of age, corrected where the axis is."""

    z: int
    at: tuple[tuple[int, Decimal], ...]


@dataclass(frozen=True, slots=True)
class WeightSeries:
    """Weights by days, `begin` and `until` the ends of the foot. `why` says why there are no curves."""

    axis: Axis
    points: tuple[WeightPoint, ...]
    curves: tuple[Curve, ...]
    begin: int
    until: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """A loss in percent at which an action changes: what it asks for, who says so in short, and the source in full."""

    percent: int
    words: str
    by: str
    source: str


# The thresholds of the table of rules (SOURCES.md): 7 % from memory (M), 10 % read in the guideline (S).
LEVELS = (
    Level(7, "watch a feed, weigh again in 24 h", "ABM, AAP (M)", "ABM #2 and #3, AAP 2022 (M)"),
    Level(10, "assess, watch a feed, contact provider", "NICE (S)", "NICE NG75, 2017 (S)"),
)


@dataclass(frozen=True, slots=True)
class EarlyPoint:
    """One weight as percent from birth at an exact age in hours. `unresolved`: another value stands beside it."""

    weighing: Weighing
    weight: Quantity
    taken: Moment
    hours: Fraction
    change: PercentFromBirth
    unresolved: bool


@dataclass(frozen=True, slots=True)
class EarlySeries:
    """The first 14 days. `medians` are published ones in words; `later` counts weights after; `why`: why no points."""

    points: tuple[EarlyPoint, ...]
    medians: tuple[str, ...]
    until: int
    later: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class Span:
    """From one weighing to a later one: `begin` and `end` in exact days along the foot; the gain, or why none.

    `over` counts weighings passed over because the nearer ones are less than a day away.
    """

    earlier: Weighing
    later: Weighing
    begin: Fraction
    end: Fraction
    gain: GainPerDay | NoFigure
    over: int = 0


@dataclass(frozen=True, slots=True)
class GainSeries:
    """The gain between neighbouring weighings, by elapsed time and never by corrected age."""

    axis: Axis
    spans: tuple[Span, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class GrowthLines:
    """The three sets of lines of one baby. `unit` names the unit its weights are shown in."""

    unit: str
    weight: WeightSeries
    early: EarlySeries
    gain: GainSeries
    left_out: LeftOut


def growth_lines(chart: Chart, baby: str, now: datetime) -> GrowthLines:
    """The lines of one baby up to the chart's visit, or of all its weights between visits. `now` is aware."""
    identity = chart.person(InfantIdentity, baby)
    found, left_out = weighings(chart, baby, now)
    return GrowthLines(
        usual_unit(chart),
        _weight(identity, zone_of(chart), found),
        _early(identity, found),
        _gain(identity, found),
        left_out,
    )


# --- against the WHO curves ---------------------------------------------------------------------------------------


def _birth_day(identity: InfantIdentity, zone: str) -> tuple[date, str] | NoFigure:
    """The day of birth and the zone in which days are counted, as `age_in_days` does."""
    if isinstance(identity.born, Conflicted) or every(identity.born):
        born = one(identity.born, "birth time")
        return born if isinstance(born, NoFigure) else (born.local().date(), born.zone)
    day = one(identity.born_day, "birth date")
    return day if isinstance(day, NoFigure) else (day, zone)


def _weight(identity: InfantIdentity, zone: str, found: tuple[Weighing, ...]) -> WeightSeries:
    birth, sex = _birth_day(identity, zone), table_sex(identity.sex)
    points = tuple(_points(found, birth, identity))
    axis = Axis.FIRST_WEIGHT if isinstance(birth, NoFigure) else Axis.BIRTH
    if any(isinstance(point.age, GrowthAge) and point.age.corrected for point in points):
        axis = Axis.TERM
        points = tuple(replace(p, x=p.corrected.days) if p.corrected is not None else p for p in points)
    begin = min((point.x for point in points), default=0)
    last = max((point.x for point in points), default=0)
    until = max(LEAST_DAYS, last + max(7, (last - begin) // 8))
    why = _no_curves(points, birth, sex)
    curves = () if why or isinstance(sex, NoFigure) else _curves(sex, min(until, LAST_DAY))
    return WeightSeries(axis, points, curves, min(begin, 0), until, why)


def _points(
    found: tuple[Weighing, ...], birth: tuple[date, str] | NoFigure, identity: InfantIdentity
) -> Iterator[WeightPoint]:
    """Every value of every weight, at its whole days since birth, or since the first weight where that is unsettled."""
    first = min((at.local().date() for each in found for _, at in each.pairs()), default=None)
    for each in found:
        for weight, taken in each.dated():
            if not isinstance(birth, NoFigure):
                on = taken if isinstance(taken, date) else taken.at.astimezone(ZoneInfo(birth[1])).date()
                yield _aged(WeightPoint(each, weight, taken, (on - birth[0]).days, (on - birth[0]).days), identity)
            elif isinstance(taken, Moment) and first is not None:
                yield WeightPoint(each, weight, taken, (taken.local().date() - first).days, None, birth, birth)


def _aged(point: WeightPoint, baby: InfantIdentity) -> WeightPoint:
    """The point with its age for the tables and its score."""
    weeks, over, days = baby.gestation_weeks, baby.gestation_days, point.x
    age, corrected = growth_age(weeks, over, days), corrected_age(gestation(weeks, over), days)
    score = growth_score("weight", point.weight, baby.sex, weeks, over, days)
    return replace(point, age=age, score=score, corrected=corrected if isinstance(corrected, CorrectedAge) else None)


def _no_curves(points: tuple[WeightPoint, ...], birth: tuple[date, str] | NoFigure, sex: str | NoFigure) -> str:
    """Why no curves are drawn; "" where they are."""
    if not points:
        return "no weight is written down yet"
    for gap in (birth, sex):
        if isinstance(gap, NoFigure):
            return gap.why
    last = points[-1]
    if any(isinstance(point.age, GrowthAge) and point.age.day <= LAST_DAY for point in points):
        return ""
    if last.corrected is None or isinstance(birth, NoFigure):
        return last.age.why if isinstance(last.age, NoFigure) else "the WHO tables end before this age"
    weeks, over = divmod(last.corrected.gestation_days, 7)
    term = short_day(birth[0] + timedelta(days=TERM - last.corrected.gestation_days))
    return (
        f"born at {weeks} weeks {over} days: the WHO curves begin at the term date, {term}, and no weight stands since"
    )


def _curves(sex: str, until: int) -> tuple[Curve, ...]:
    """The seven lines, at each day for the first half year and thinner on a longer foot, which shows no more."""
    step = 1 + until // 183
    days = sorted({*range(0, until + 1, step), until})
    tables = [table for day in days if not isinstance(table := lms("weight", sex, day), NoFigure)]
    return tuple(Curve(z, tuple((table.day, value_at(z, table)) for table in tables)) for z in ZS)


# --- the first days -----------------------------------------------------------------------------------------------


def _medians() -> tuple[str, ...]:
    """The published medians in words, of both groups, so that none is guessed for this baby."""
    return tuple(
        f"Published median loss of breastfed babies {group.who}: "
        + ", ".join(f"{loss} % at {hour} h" for hour, loss in group.at)
        + f" ({MEDIAN_SOURCE})."
        for group in MEDIANS.values()
    )


def _early(identity: InfantIdentity, found: tuple[Weighing, ...]) -> EarlySeries:
    born, births = one(identity.born, "birth time"), every(identity.birth_weight)
    if not births or isinstance(born, NoFigure):
        why = born.why if isinstance(born, NoFigure) else "the birth weight is not known"
        return EarlySeries((), _medians(), EARLY_HOURS[0], why=why)
    points, later = [], 0
    for each in found:
        held = [point for point in _early_points(each, born, births) if 0 <= point.hours <= EARLY_HOURS[-1]]
        points += held
        later += not held
    last = max((point.hours for point in points), default=Fraction(0))
    until = next(hours for hours in EARLY_HOURS if hours >= last)
    return EarlySeries(tuple(points), _medians(), until, later)


def _early_points(each: Weighing, born: Moment, births: tuple[Quantity, ...]) -> Iterator[EarlyPoint]:
    """Every percent that may hold: of each value of the weight from each birth weight, exact in whole grams."""
    for weight, taken in each.pairs():
        hours = Fraction((taken.at - born.at) // timedelta(seconds=1), 3600)
        for birth in (weight,) if each.known is Known.BIRTH else births:
            unresolved = each.unresolved or len(births) > 1
            yield EarlyPoint(each, weight, taken, hours, PercentFromBirth(birth.base, weight.base), unresolved)


# --- gain per day -------------------------------------------------------------------------------------------------


def _gain(identity: InfantIdentity, found: tuple[Weighing, ...]) -> GainSeries:
    born = one(identity.born, "birth time")
    timed = [(each.first, each) for each in found if each.first is not None]
    axis = Axis.FIRST_WEIGHT if isinstance(born, NoFigure) else Axis.BIRTH
    if len(timed) < 2:
        return GainSeries(axis, (), "a gain needs two weights with their times, at least 24 hours apart")
    origin = timed[0][0] if isinstance(born, NoFigure) else born.at
    spans = []
    for at, (time, later) in enumerate(timed[1:], start=1):
        spans.append(_span(origin, timed[at - 1], (time, later)))
        far = [each for each in timed[: at - 1] if time - each[0] >= SHORTEST]
        if time - timed[at - 1][0] < SHORTEST and far:
            spans.append(_span(origin, far[-1], (time, later), at - len(far)))
    return GainSeries(axis, tuple(spans))


def _span(
    origin: datetime, earlier: tuple[datetime, Weighing], later: tuple[datetime, Weighing], over: int = 0
) -> Span:
    begin, end = (Fraction((time - origin) // timedelta(seconds=1), 86_400) for time, _ in (earlier, later))
    (_, first), (_, last) = earlier, later
    assert not isinstance(first.taken, date)
    assert not isinstance(last.taken, date)
    gain = gain_per_day(first.weight, first.taken, last.weight, last.taken)
    return Span(first, last, begin, end, gain, over)
