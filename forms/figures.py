"""The live figures of one baby: what the answers add up to, each with its method, its source and what is unresolved.

A figure explains itself: how it was worked out stands beside it, and so does what it cannot tell. Where two values
stand for an input the figure says "unresolved" and shows no number. The figures of a topic have a module each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime

from forms.answers import every
from forms.chart import Chart
from forms.clinical.age import Age, age, age_in_days
from forms.clinical.evidence import time_of, zone_of
from forms.clinical.growth import CorrectedAge, corrected_age, gestation
from forms.clinical.result import NoFigure
from forms.days import short_day
from forms.figure import Figure, entered_by, no_figure, when
from forms.figures_feed import output_figure, transfer_figures
from forms.figures_feed_live import feed_figures
from forms.figures_growth import growth_figures
from forms.figures_milk import expressed_figures, milk_figures
from forms.figures_weight import weight_figures
from forms.people import InfantIdentity

__all__ = ["Figure", "figures"]


def figures(chart: Chart, now: datetime, person: str) -> tuple[Figure, ...]:
    """Every figure of a baby, or what a parent expresses, in the order of the strip. `now` is aware."""
    if not any(entry.id == person for entry in chart.all(InfantIdentity)):
        return tuple(expressed_figures(chart, person, now))
    at = time_of(chart, now)
    makers: tuple[Callable[[], Iterable[Figure]], ...] = (
        lambda: (_age(chart, person, at),),
        lambda: _corrected(chart, person, at),
        lambda: weight_figures(chart, person, now),
        lambda: growth_figures(chart, person, now),
        lambda: feed_figures(chart, person, at),
        lambda: transfer_figures(chart, person),
        lambda: milk_figures(chart, person, now),
        lambda: (output_figure(chart, person, at),),
    )
    return tuple(figure for make in makers for figure in make())


def _born_input(chart: Chart, person: str) -> str:
    identity, entry = chart.person(InfantIdentity, person), chart.by_id(person)
    said = [when(born) for born in every(identity.born)] or [short_day(on) for on in every(identity.born_day)]
    return f"born: {', '.join(part for part in (*said, entered_by(chart, entry) if entry else '') if part)}"


def _age(chart: Chart, person: str, at: datetime) -> Figure:
    identity, source = chart.person(InfantIdentity, person), "elapsed time from birth (C)"
    found = age(identity.born, at)
    if isinstance(found, Age):
        hours = (f"{int(found.hours)} hours since birth",) if found.days < 7 else ()
        return Figure(
            "age", "Age", found.words, (*hours, f"day {found.day_of_life} of life"), source,
            formula="real time since birth, whatever the clocks did; hours 0 to 23 are day 1 of life",
            inputs=(_born_input(chart, person),),
        )  # fmt: skip
    if not found.unresolved and identity.born is None:
        days = age_in_days(identity.born, identity.born_day, at, zone_of(chart))
        if not isinstance(days, NoFigure):
            words = f"{days} day" if days == 1 else f"{days} days"
            return Figure(
                "age", "Age", words, ("birth time not known: days only",), "days between dates (C)",
                formula="days between the two dates, the day of birth being 0", inputs=(_born_input(chart, person),),
            )  # fmt: skip
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
        return (Figure(
            "corrected_age", label, found.text, tuple(small), source,
            formula="days since birth less the days born before 40 weeks; until 24 months, if born before 37 weeks",
            inputs=(_born_input(chart, person), f"gestation at birth: {weeks} weeks {days} days"),
        ),)  # fmt: skip
    needed = isinstance(born_at, NoFigure) or found.unresolved
    return (no_figure("corrected_age", label, found, source),) if needed else ()
