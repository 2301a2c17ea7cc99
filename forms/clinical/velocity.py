"""Weight gained over one month against the WHO growth velocity standards, 2009.

The M of these tables carries a shift, so that a loss still has a power: `z = (((gain + 400) / M)^L - 1) / (L S)`.
A score is given only for two weighings near the two ends of one of the six intervals; otherwise g/day says more.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Final

from forms.clinical.result import NoFigure
from forms.clinical.who import EXACT, lms

__all__ = ["INTERVALS", "SOURCE", "Interval", "Velocity", "gain_at", "interval_of", "median_per_day", "velocity"]

SOURCE = "WHO growth velocity standards, 2009, as in two public data files that agree (S2)"

SHIFT: Final = 400  # g, one-month tables of both sexes (two independent public data files agree, S2)
NEAR: Final = 3  # days from an interval's end at which a weighing may lie (house rule, from memory, M)


@dataclass(frozen=True, slots=True)
class Interval:
    """One row of the one-month tables: from `start` to `end` in whole days of age, in words, and L, M, S by sex.

    M is in grams and carries the shift.
    """

    words: str
    start: int
    end: int
    female: tuple[Decimal, Decimal, Decimal]
    male: tuple[Decimal, Decimal, Decimal]


def _row(words: str, days: tuple[int, int], female: tuple[str, str, str], male: tuple[str, str, str]) -> Interval:
    f, m = (tuple(Decimal(each) for each in row) for row in (female, male))
    return Interval(words, *days, (f[0], f[1], f[2]), (m[0], m[1], m[2]))


# L, M, S: WHO 2009 one-month increments of weight, in two independent public data files that agree (S2). A month is
# 30.4375 days and halves round up, as in the WHO tables by day (C).
INTERVALS: Final = (
    _row("birth to 4 weeks", (0, 28), ("0.7781", "1279.4834", "0.21479"), ("1.3828", "1423.0783", "0.22048")),
    _row("4 weeks to 2 months", (28, 61), ("0.7781", "1411.1075", "0.19384"), ("0.7241", "1596.3470", "0.19296")),
    _row("2 to 3 months", (61, 91), ("0.7781", "1118.0098", "0.19766"), ("0.6590", "1215.3989", "0.19591")),
    _row("3 to 4 months", (91, 122), ("0.7781", "984.8825", "0.20995"), ("0.7003", "1017.0488", "0.20965")),
    _row("4 to 5 months", (122, 152), ("0.7781", "888.9803", "0.22671"), ("0.7419", "921.6249", "0.22790")),
    _row("5 to 6 months", (152, 183), ("0.7781", "801.3910", "0.24596"), ("0.7668", "822.1842", "0.24854")),
)


@dataclass(frozen=True, slots=True)
class Velocity:
    """Grams gained over one interval, and how many SD that lies from the median gain of its sex."""

    interval: Interval
    sex: str
    grams: int
    z: Decimal


def interval_of(first_day: int, last_day: int) -> Interval | None:
    """The interval whose two ends lie within 3 days of two weighings (days of age), if any."""
    near = (i for i in INTERVALS if abs(first_day - i.start) <= NEAR and abs(last_day - i.end) <= NEAR)
    return next(near, None)


def velocity(sex: str, first_day: int, last_day: int, grams: int) -> Velocity | NoFigure:
    """The score of `grams` gained between two whole days of age, for "female" or "male".

    No figure when the sex is not known, when the days fit no interval, or for a loss beyond what the tables can score.
    """
    if sex not in ("female", "male"):
        return NoFigure("the sex for the growth table is not known")
    interval = interval_of(first_day, last_day)
    if interval is None:
        return NoFigure("no two weighings within 3 days of the ends of a WHO interval")
    if grams + SHIFT <= 0:
        return NoFigure("a loss beyond what the WHO velocity tables can score")
    power, median, spread = interval.female if sex == "female" else interval.male
    with localcontext(EXACT):
        z = (((grams + SHIFT) / median) ** power - 1) / (power * spread)
    return Velocity(interval, sex, grams, z)


def gain_at(z: int | Decimal, sex: str, interval: Interval) -> Decimal:
    """Grams gained over an interval at a z-score, the shift taken off again; 0 is the published median."""
    power, median, spread = interval.female if sex == "female" else interval.male
    with localcontext(EXACT):
        return median * (1 + power * spread * Decimal(z)) ** (1 / power) - SHIFT


def median_per_day(sex: str, first_day: int, last_day: int) -> Fraction | NoFigure:
    """Grams a day by which the median of WHO weight for age rises between two whole days of age (C).

    A guide to say beside a gain, not a limit. No figure outside the tables or for two equal days.
    """
    if last_day <= first_day:
        return NoFigure("no whole day between the two weighings")
    first, last = lms("weight", sex, first_day), lms("weight", sex, last_day)
    if isinstance(first, NoFigure):
        return first
    if isinstance(last, NoFigure):
        return last
    return Fraction(last.m - first.m) / (last_day - first_day)
