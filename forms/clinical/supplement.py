"""Milk beside feeding at the breast or chest: multiplies what the consultant entered, and no more.

No published rule says how much every baby needs or how a day is shared among feeds; mL for each kg is her own figure or
copied from an order, with its origin beside it. The published amounts of the first days stand beside the box for
comparison and are never filled in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from statistics import median

from forms.clinical.result import NoFigure
from forms.units import US_FLUID_OUNCE

__all__ = ["FIRST_DAYS", "FIRST_DAYS_SOURCE", "Supplement", "estimated_intake", "first_days_row", "planning_weight"]

# mL each feed by hours of age, from (included) until (not included): ABM protocol 3, 2017, table of colostrum intake,
# on three pages that agree (S2). A table reprinted in Hospital Pediatrics has the same (S; which column is which, M).
FIRST_DAYS: tuple[tuple[int, int, int, int], ...] = (
    (0, 24, 2, 10), (24, 48, 5, 15), (48, 72, 15, 30), (72, 96, 30, 60),
)  # fmt: skip
FIRST_DAYS_SOURCE = "ABM protocol 3, 2017, colostrum intake, as quoted (S2)"
KCAL_PER_OUNCE = 20  # human milk and standard formula (S2); richer mixes only on a provider's order
ROUNDED_TO = 5  # mL: an amount for each feed is a range of whole fives (rule of the trade, C)


def first_days_row(hours: Fraction) -> tuple[int, int, int, int] | None:
    """The published row for an age in hours: (from, until, least mL, most mL); None from 96 hours on.

    Hour 24 belongs to the row that begins with it.
    """
    return next((row for row in FIRST_DAYS if row[0] <= hours < row[1]), None)


def planning_weight(birth: int | None, latest: int | None) -> tuple[int, str] | NoFigure:
    """Grams to multiply by, and which weight they are: the birth weight until it is regained (M), then the latest."""
    if birth is None:
        return NoFigure("the birth weight is not known")
    if latest is None:
        return birth, "birth weight"
    return (latest, "latest weight") if latest >= birth else (birth, "birth weight, not yet regained")


def estimated_intake(feeds: Sequence[int], times: int) -> Fraction | NoFigure:
    """Millilitres in 24 hours from weighed feeds (g as mL): their median times the feeds of a day. Only an estimate."""
    if not feeds:
        return NoFigure("no feed was weighed")
    return Fraction(median(Fraction(feed) for feed in feeds)) * times


@dataclass(frozen=True, slots=True)
class Supplement:
    """One day's arithmetic. `per_kg` mL for each kg in 24 h, `grams` the weight, `have` mL taken otherwise, `feeds`."""

    per_kg: int
    grams: int
    have: Fraction
    feeds: int

    @property
    def need(self) -> Fraction:
        """Millilitres in 24 hours: mL for each kg times kg."""
        return Fraction(self.per_kg * self.grams, 1000)

    @property
    def deficit(self) -> Fraction:
        """Millilitres in 24 hours that are lacking; never below 0."""
        return max(self.need - self.have, Fraction(0))

    @property
    def per_feed(self) -> Fraction:
        """Millilitres lacking, shared equally among the feeds."""
        return self.deficit / self.feeds

    @property
    def each(self) -> tuple[int, int]:
        """The whole fives around what each feed lacks: (20, 25) for 22 mL, twice the same for an exact five."""
        fives = self.per_feed / ROUNDED_TO
        return floor(fives) * ROUNDED_TO, ceil(fives) * ROUNDED_TO

    @property
    def each_words(self) -> str:
        """That range in words: "20 to 25 mL"."""
        least, most = self.each
        return f"{least} mL" if least == most else f"{least} to {most} mL"

    @property
    def kcal(self) -> Fraction:
        """Energy of the need at 20 kcal in an ounce."""
        return energy(self.need)

    @property
    def kcal_per_kg(self) -> Fraction:
        """Energy of the need for each kg."""
        return self.kcal * 1000 / self.grams


def energy(amount: Fraction) -> Fraction:
    """Energy in kcal of that many mL of milk or standard formula: 20 in a US fluid ounce (S2)."""
    return amount / US_FLUID_OUNCE * KCAL_PER_OUNCE
