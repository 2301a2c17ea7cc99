"""Gain per day by elapsed time, corrected age, and the day of age at which a growth standard is read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

from forms.answers import Given, Moment, Quantity
from forms.clinical.result import NoFigure, one
from forms.units import MINUS, decimal

__all__ = ["CorrectedAge", "GainPerDay", "GrowthAge", "corrected_age", "gain_per_day", "gestation", "growth_age"]

SHORTEST = timedelta(hours=24)  # below this a gain per day says nothing (house rule, P)
TERM = 280  # days: 40 weeks, the definition of the term date (C)
PRETERM_BELOW = 259  # days: 37 weeks 0 days (AAP and NICE convention, from memory, M)
CORRECTED_UNTIL_MONTHS = 24  # AAP and NICE convention, from memory, M
_CORRECTED_UNTIL = CORRECTED_UNTIL_MONTHS * Fraction(36525, 1200)  # days: a month is 30.4375 days (C)


@dataclass(frozen=True, slots=True)
class GainPerDay:
    """Weight change between two weighings: `grams` over `elapsed`."""

    grams: int
    elapsed: timedelta

    @property
    def days(self) -> Fraction:
        """Elapsed days, exact."""
        return Fraction(self.elapsed // timedelta(seconds=1), 86_400)

    @property
    def per_day(self) -> Fraction:
        """Grams per elapsed day, exact. Source: arithmetic (C)."""
        return self.grams / self.days

    @property
    def text(self) -> str:
        """The figure in words: "34.2 g/day", a loss with a minus sign."""
        return f"{decimal(self.per_day, 1)} g/day"

    @property
    def words(self) -> str:
        """What it is made of: "+240 g in 7.0 days"."""
        return f"{decimal(Fraction(self.grams), 0, sign=True)} g in {decimal(self.days, 1)} days"


def gain_per_day(
    earlier: Given[Quantity], earlier_at: Given[Moment], later: Given[Quantity], later_at: Given[Moment]
) -> GainPerDay | NoFigure:
    """Grams per day between two weighings, by elapsed real time (not calendar days).

    No figure while an input is missing or unresolved, or when less than 24 hours lie between.
    """
    first, last = one(earlier, "earlier weight"), one(later, "later weight")
    first_at, last_at = one(earlier_at, "time of the earlier weight"), one(later_at, "time of the later weight")
    if isinstance(first, NoFigure):
        return first
    if isinstance(last, NoFigure):
        return last
    if isinstance(first_at, NoFigure):
        return first_at
    if isinstance(last_at, NoFigure):
        return last_at
    elapsed = last_at.at - first_at.at
    if elapsed < SHORTEST:
        return NoFigure("less than 24 hours between the two weighings")
    return GainPerDay(last.base - first.base, elapsed)


def gestation(weeks: Given[int], days: Given[int]) -> int | NoFigure:
    """Gestation at birth in days. Both the weeks and the days over must be known: neither is guessed."""
    known_weeks, known_days = one(weeks, "gestation in weeks"), one(days, "days over the gestation's weeks")
    if isinstance(known_weeks, NoFigure):
        return known_weeks
    if isinstance(known_days, NoFigure):
        return known_days
    return known_weeks * 7 + known_days


@dataclass(frozen=True, slots=True)
class CorrectedAge:
    """Age counted from the term date, in whole days: `age_days` since birth less the days born before 40 weeks."""

    age_days: int
    gestation_days: int

    @property
    def days(self) -> int:
        """Corrected days; negative before the term date."""
        return self.age_days - (TERM - self.gestation_days)

    @property
    def before_term(self) -> bool:
        """Whether the term date is still to come; no growth standard may then be used."""
        return self.days < 0

    @property
    def postmenstrual(self) -> str:
        """Gestation plus age: "39 weeks 3 days"."""
        weeks, rest = divmod(self.gestation_days + self.age_days, 7)
        return f"{weeks} weeks {rest} days"

    @property
    def text(self) -> str:
        """The figure in words: "16 d corrected", or "−4 d to term date"."""
        return f"{MINUS}{-self.days} d to term date" if self.before_term else f"{self.days} d corrected"


def corrected_age(gestation_days: int | NoFigure, age_days: int | NoFigure) -> CorrectedAge | NoFigure:
    """Corrected age in days for a baby born before 37 weeks 0 days, until 24 months; no figure otherwise.

    Rule: `age - (280 - gestation)`. Source: AAP and NICE convention, from memory (M). Percent from birth weight uses
    real age, never this.
    """
    if isinstance(gestation_days, NoFigure):
        return gestation_days
    if gestation_days >= PRETERM_BELOW:
        return NoFigure("born at 37 weeks or later: no correction")
    if isinstance(age_days, NoFigure):
        return age_days
    if age_days >= _CORRECTED_UNTIL:
        return NoFigure("24 months or older: no correction")
    return CorrectedAge(age_days, gestation_days)


@dataclass(frozen=True, slots=True)
class GrowthAge:
    """The day of age at which a growth standard is read: `day`, corrected if `corrected`; `age_days` is real."""

    day: int
    age_days: int
    corrected: bool

    @property
    def words(self) -> str:
        """The age used, in words: "day 14 of age", "corrected day 16 (49 d since birth)"."""
        return (
            f"corrected day {self.day} ({self.age_days} d since birth)" if self.corrected else f"day {self.day} of age"
        )


def growth_age(weeks: Given[int], days: Given[int], age_days: int | NoFigure) -> GrowthAge | NoFigure:
    """The day of age for the WHO standards: real age, corrected until 24 months for a baby born before 37 weeks.

    `weeks` and `days` are the gestation at birth, `age_days` the days between the two dates. No figure before the term
    date, without a birth day, or while the gestation that decides it is not known; none of these is guessed.
    """
    if isinstance(age_days, NoFigure):
        return age_days
    if age_days >= _CORRECTED_UNTIL:
        return GrowthAge(age_days, age_days, corrected=False)
    known_weeks = one(weeks, "gestation in weeks")
    if isinstance(known_weeks, NoFigure):
        return NoFigure(
            known_weeks.why if known_weeks.unresolved else f"{known_weeks.why}: no WHO score", known_weeks.unresolved
        )
    if known_weeks * 7 >= PRETERM_BELOW:
        return GrowthAge(age_days, age_days, corrected=False)
    found = corrected_age(gestation(weeks, days), age_days)
    if isinstance(found, NoFigure):
        return found
    if found.before_term:
        return NoFigure(f"before the term date ({found.text}): no WHO score")
    return GrowthAge(found.days, age_days, corrected=True)
