"""Gain per day by elapsed time, and corrected age. No growth score is worked out here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

from forms.answers import Given, Moment, Quantity
from forms.clinical.result import NoFigure, one
from forms.units import MINUS, decimal

__all__ = ["CorrectedAge", "GainPerDay", "corrected_age", "gain_per_day", "gestation"]

SHORTEST = timedelta(hours=24)  # below this a gain per day says nothing (house rule, P)
TERM = 280  # days: 40 weeks (arithmetic on the definition of term date)
PRETERM_BELOW = 259  # days: 37 weeks 0 days (AAP and NICE convention, from memory, M)
CORRECTED_UNTIL_MONTHS = 24  # AAP and NICE convention, from memory, M


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
    if age_days >= CORRECTED_UNTIL_MONTHS * Fraction(36525, 1200):
        return NoFigure("24 months or older: no correction")
    return CorrectedAge(age_days, gestation_days)
