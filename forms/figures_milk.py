"""The figures of milk: a baby's log, intake over a day and supplement; what a parent expresses in 24 hours."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from fractions import Fraction

from forms.answers import Conflicted, Moment, Quantity, Side, every
from forms.ask import ask_of
from forms.chart import Chart, entry_id
from forms.clinical.age import Age, age, age_in_days
from forms.clinical.evidence import time_of, zone_of
from forms.clinical.expressing import BANDS_SOURCE, band_words, summed
from forms.clinical.feeding_log import gap_words
from forms.clinical.result import NoFigure, one
from forms.clinical.supplement import KCAL_PER_OUNCE, Supplement, estimated_intake, planning_weight
from forms.clinical.transfer import TYPICAL_SOURCE, below_limit_words, feed_transfer, resolution_95, typical_words
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.figure import NOTHING, Figure, entered_by, no_figure, when
from forms.figures_log import IN_THE_STRIP, log_figures
from forms.figures_weight import birth_weight_input, readings_of, weighing_input
from forms.people import InfantIdentity
from forms.plan import FeedingAmount
from forms.units import alone, decimal, shown
from forms.weight import WeightReading

__all__ = ["expressed_figures", "milk_figures", "supplement_figure"]

DAY = timedelta(hours=24)


def milk_figures(chart: Chart, person: str, now: datetime) -> Iterator[Figure]:
    """A baby's figures of milk; each only where something of it was entered."""
    yield from (figure for figure in log_figures(chart, person) if figure.id in IN_THE_STRIP)
    yield from _weighed_feeds(chart, person)
    yield from _measured_day(chart, person, now)
    if chart.one(FeedingAmount, person).per_kg is not None:
        yield supplement_figure(chart, person, now)


def _totals(chart: Chart, person: str) -> tuple[list[int], list[int | None], bool]:
    """Grams of each feed of this visit that was weighed, the scale's step of every pair counted, and any conflict."""
    feeds = [f for f in chart.all(FeedObservation, visit=chart.visit) if person in f.place.subjects[1:]]
    grams: list[int] = []
    steps: list[int | None] = []
    unresolved = False
    for feed in feeds if chart.visit is not None else ():
        readings = [e.answers for e in chart.all(WeightReading, person) if feed.id in every(e.answers.feed)]
        found = feed_transfer(readings)
        unresolved |= found.unresolved
        if isinstance(found.total, int):
            grams.append(found.total)
            steps += [pair.step for pair in found.counted]
    return grams, steps, unresolved


def _weighed_feeds(chart: Chart, person: str) -> Iterator[Figure]:
    """All weighed feeds of the visit together; with one of them there is nothing to add up."""
    grams, steps, unresolved = _totals(chart, person)
    if len(grams) < 2:
        return
    label, source = "Weighed feeds together", "after less before, 1 g = 1 mL, convention (M); scale's steps (C)"
    if unresolved:
        gap = NoFigure("unresolved: two values stand in a weight of a feed", unresolved=True)
        yield no_figure("transfer_all", label, gap, source)
        return
    total = sum(grams)
    known = [step for step in steps if step is not None]
    sure = f"the scale's steps alone: ±{resolution_95(known):.1f} g in 95 of 100"
    sure = sure if len(known) == len(steps) else "the scale's step is not known for every weight"
    small = (f"{len(grams)} feeds weighed; not a day", sure, "in routine use 95 of 100 lay −12.4 to +15 mL off a feed")
    yield Figure(
        "transfer_all", label, f"{alone(total, 'g')} = {alone(total, 'mL')}", small,
        f"{source}; routine error: ADC Fetal Neonatal 2006;91:F330 (S)",
        formula="the totals of the weighed feeds added up; the error of n equal pairs grows with the root of n",
        inputs=tuple(f"feed: {alone(each, 'g')}" for each in grams),
    )  # fmt: skip


def _measured_day(chart: Chart, person: str, now: datetime) -> Iterator[Figure]:
    measured = chart.one(FeedingAmount, person).measured_24h
    if measured is None:
        return
    label = "Taken in 24 hours, as weighed"
    found = one(measured, "amount weighed in 24 hours")
    if isinstance(found, NoFigure):
        yield no_figure("intake_day", label, found, TYPICAL_SOURCE)
        return
    identity, at = chart.person(InfantIdentity, person), time_of(chart, now)
    days = age_in_days(identity.born, identity.born_day, at, zone_of(chart))
    small: list[str] = []
    if not isinstance(days, NoFigure):
        born = age(identity.born, at)
        typical = typical_words(born.day_of_life if isinstance(born, Age) else days + 1)
        small = [words for words in (below_limit_words(found.base, days), typical) if words]
    yield Figure(
        "intake_day", label, alone(found.base, "mL"), (alone(found.base, "fl_oz"), *small), TYPICAL_SOURCE,
        formula="as entered; nothing is worked out", inputs=(f"entered: {alone(found.base, 'mL')}",),
    )  # fmt: skip


def supplement_figure(chart: Chart, person: str, now: datetime) -> Figure:
    """What each feed lacks, from mL for each kg as entered. Only multiplies; says what it took for the intake."""
    label, plan = "Lacking at each feed", chart.one(FeedingAmount, person)
    source = f"arithmetic (C); weight until regained (M); {KCAL_PER_OUNCE} kcal in an ounce (S2)"
    formula = (
        "mL for each kg times kg is the need; less what is taken, never below 0; shared among the feeds, to whole fives"
    )
    worked = _worked_out(chart, person, now)
    if isinstance(worked, NoFigure):
        return no_figure("supplement", label, worked, source, formula=formula)
    sum_, weight_words, have_words, inputs = worked
    small = (
        f"need {_mL(sum_.need)}, taken {_mL(sum_.have)} ({have_words}), lacking {_mL(sum_.deficit)} in 24 h",
        f"{decimal(sum_.per_feed, 1)} mL at each of {sum_.feeds} feeds before it is rounded",
        f"need as energy: {decimal(sum_.kcal, 0)} kcal, {decimal(sum_.kcal_per_kg, 0)} kcal/kg",
        f"multiplied by the {weight_words}",
    )
    entry = chart.by_id(entry_id(FeedingAmount, chart.visit, (person,)))
    said = entered_by(chart, entry) if entry is not None else ""
    origin = plan.per_kg_origin if isinstance(plan.per_kg_origin, str) else ""
    words = ask_of(FeedingAmount, "per_kg_origin").options.get(origin, "origin not written")
    whose = f"{sum_.per_kg} mL for each kg: {words[:1].lower()}{words[1:]}"
    whose = ", ".join(part for part in (whose, *every(plan.per_kg_from), said) if part)
    return Figure("supplement", label, sum_.each_words, small, source, formula=formula, inputs=(whose, *inputs))


def _worked_out(chart: Chart, person: str, now: datetime) -> tuple[Supplement, str, str, tuple[str, ...]] | NoFigure:
    """The arithmetic, which weight it used, where the intake is from, and what went in."""
    plan, identity = chart.one(FeedingAmount, person), chart.person(InfantIdentity, person)
    per_kg, feeds = one(plan.per_kg, "mL for each kg"), one(plan.feeds_per_day, "number of feeds in 24 hours")
    for given in (per_kg, feeds):
        if isinstance(given, NoFigure):
            return given
    latest = readings_of(chart, person, now).latest
    if isinstance(latest, NoFigure) and latest.unresolved:
        return latest
    birth = one(identity.birth_weight, "birth weight")
    if isinstance(birth, NoFigure):
        return birth
    reading = None if isinstance(latest, NoFigure) else latest
    if reading is not None and isinstance(reading.answers.weight, Conflicted):
        return NoFigure("unresolved: two values stand for the weight", unresolved=True)
    grams = reading.answers.weight.base if reading and isinstance(reading.answers.weight, Quantity) else None
    used = planning_weight(birth.base, grams)
    have = _have(chart, person, plan, feeds if isinstance(feeds, int) else 0)
    if isinstance(used, NoFigure):
        return used
    if isinstance(have, NoFigure):
        return have
    assert isinstance(per_kg, int)
    assert isinstance(feeds, int)
    inputs = (
        birth_weight_input(chart, person),
        *((weighing_input(chart, reading),) if reading is not None else ()),
        f"feeds in 24 hours: {feeds}",
        f"taken: {have[1]}",
    )
    return Supplement(per_kg, used[0], have[0], feeds), used[1], have[1], inputs


def _have(chart: Chart, person: str, plan: FeedingAmount, feeds: int) -> tuple[Fraction, str] | NoFigure:
    """What is taken in 24 hours: as entered, else estimated from the feeds weighed at this visit."""
    if isinstance(plan.measured_24h, Conflicted):
        return NoFigure("unresolved: two values stand for the amount weighed in 24 hours", unresolved=True)
    if isinstance(plan.measured_24h, Quantity):
        return Fraction(plan.measured_24h.base), "weighed over 24 hours, as entered"
    grams, _, unresolved = _totals(chart, person)
    if unresolved:
        return NoFigure("unresolved: two values stand in a weight of a feed", unresolved=True)
    if not grams and _not_at_breast(chart, person):
        return Fraction(0), "not fed at the breast or chest now"
    found = estimated_intake(grams, feeds)
    if isinstance(found, NoFigure):
        return NoFigure(
            "what is taken in 24 hours is not known: no feed was weighed, and no amount of a day is entered"
        )
    weighed = "1 weighed feed" if len(grams) == 1 else f"the median of {len(grams)} weighed feeds"
    if found < 0:
        return Fraction(0), f"estimated: no measurable transfer in {weighed}, taken as 0 mL"
    return found, f"estimated: {weighed} times {feeds}"


def _not_at_breast(chart: Chart, person: str) -> bool:
    """Whether every feed written at this visit says that the baby is not fed at the breast or chest now."""
    said = [
        (every(entry.answers.observed), every(entry.answers.not_observed_because))
        for entry in chart.all(FeedObservation, visit=chart.visit)
        if chart.visit is not None and person in entry.place.subjects[1:]
    ]
    return bool(said) and all(one == (("not_seen",), ("not_at_breast",)) for one in said)


def _mL(amount: Fraction) -> str:  # noqa: N802 - the unit as it is written
    return f"{decimal(amount, 0)} mL"


def expressed_figures(chart: Chart, person: str, now: datetime) -> Iterator[Figure]:
    """What a parent expresses in 24 hours: as told, and as the sessions of the last 24 hours add up."""
    at, told = time_of(chart, now), chart.one(ExpressingDay, person)
    days = _days_since_birth(chart, at)
    if told.total_24h is not None:
        yield _told(chart, person, told, days)
    sessions = chart.all(Expression, person, visit=chart.visit) if chart.visit is not None else ()
    if sessions:
        yield _sessions([entry.answers for entry in sessions], at, zone_of(chart))


def _days_since_birth(chart: Chart, at: datetime) -> int | None:
    """Days since the youngest baby's birth; None while any birth is not known."""
    zone = zone_of(chart)
    found = [age_in_days(e.answers.born, e.answers.born_day, at, zone) for e in chart.all(InfantIdentity)]
    known = [days for days in found if isinstance(days, int)]
    return min(known) if known and len(known) == len(found) else None


def _told(chart: Chart, person: str, told: ExpressingDay, days: int | None) -> Figure:
    label, source = "Expressed in 24 hours, as told", f"as told; bands: {BANDS_SOURCE}"
    total = one(told.total_24h, "amount expressed in 24 hours")
    if isinstance(total, NoFigure):
        return no_figure("expressed_told", label, total, source)
    small = [words for words in (band_words(total.base, days) if days is not None else None,) if words]
    small += [f"{count} sessions" if count != 1 else "1 session" for count in every(told.sessions_24h)]
    small += [f"longest time between them {gap_words(timedelta(minutes=gap.base))}" for gap in every(told.longest_gap)]
    for side in Side:
        small += [f"{side}: {alone(part.base, 'mL')}" for part in every(told.each_side_24h.on(side))]
    entry = chart.by_id(entry_id(ExpressingDay, chart.visit, (person,)))
    said = entered_by(chart, entry) if entry is not None else ""
    told_words = ", ".join(part for part in (f"told: {shown(total.base, 'mL')}", said) if part)
    return Figure(
        "expressed_told", label, alone(total.base, "mL"), (alone(total.base, "fl_oz"), *small), source,
        formula="as told; nothing is worked out", inputs=(told_words,),
    )  # fmt: skip


def _within(session: Expression, start: datetime, at: datetime) -> bool:
    return isinstance(session.began, Moment) and start <= session.began.at <= at


def _session_words(session: Expression, zone: str) -> str:
    """One session as an input: when it began, and what is written of each side."""
    began = [when(Moment(moment.at, zone)) for moment in every(session.began)] or ["without a time"]
    sides = [
        f"{side} {' or '.join(shown(part.base, part.unit) for part in every(session.amount.on(side))) or 'not written'}"
        for side in Side
        if session.way.on(side) != "not_expressed"
    ]
    return f"{' or '.join(began)}: {', '.join(sides)}"


def _sessions(sessions: list[Expression], at: datetime, zone: str) -> Figure:
    label, source = "Expressed in the sessions written down", "added up as written (C)"
    start = at - DAY
    found = summed(sessions, start, at + timedelta(microseconds=1))
    if isinstance(found, NoFigure):
        return no_figure("expressed_sum", label, found, source)
    many = "1 session" if found.sessions == 1 else f"{found.sessions} sessions"
    since, until = (when(Moment(edge, zone)) for edge in (start, at))
    sides = ", ".join(
        f"{side} {NOTHING if of is None else alone(of, 'mL')}"
        for side, of in (("left", found.left), ("right", found.right))
    )
    small = [*([sides] if found.total is not None else []), f"{many} from {since} to {until}"]
    if found.gap is not None:
        small.append(f"longest time between them {gap_words(found.gap)}")
    if found.unwritten:
        small.append(f"no amount written for {found.unwritten} of the sides expressed")
    if found.untimed:
        small.append(f"{found.untimed} without a time, counted nowhere")
    big = NOTHING if found.total is None else alone(found.total, "mL")
    ounces = [] if found.total is None else [alone(found.total, "fl_oz")]
    return Figure(
        "expressed_sum", label, big, (*ounces, *small), source,
        formula="mL of both sides of every session that began in the 24 hours before now, or before the visit's end",
        inputs=tuple(_session_words(session, zone) for session in sessions if _within(session, start, at)),
    )  # fmt: skip
