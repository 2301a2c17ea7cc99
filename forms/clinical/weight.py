"""Weight against birth weight: percent in whole-gram arithmetic, published medians in words, regain of birth weight.

Percent from birth uses real age, never corrected age. No centile of early loss is drawn or computed: the medians are
said in words beside the percent and the hour of age.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from types import MappingProxyType

from forms.answers import Given, Moment, Quantity
from forms.clinical.result import NoFigure, one
from forms.thresholds import Limits
from forms.units import decimal

__all__ = ["MEDIANS", "Medians", "PercentFromBirth", "edges", "median_words", "percent_from_birth", "regain_words"]

THRESHOLDS = (Fraction(0), Fraction(7), Fraction(8), Fraction(10), Fraction("12.5"), Fraction(15))
"""Percents of loss at which an action changes; 0 is birth weight itself.

ABM protocols 2 and 3 (7, 8, M), NICE NG75, Flaherman 2015 (10, S), Macdonald 2003 (12.5, S2), NHS Lothian (15, S).
"""

LIMITS = ("loss_follow_up", "loss_same_day", "loss_before_leaving", "loss_emergency")
"""The limits among them that a practice may set."""

NEAR = Fraction(1, 10)  # within this of a threshold a second decimal is shown (house rule, P)


def edges(held: Limits) -> tuple[Fraction, ...]:
    """Percents of loss at which an action changes here: the published ones and those the practice set."""
    return tuple(sorted({*THRESHOLDS, *(held.percent(name) for name in LIMITS)}))


@dataclass(frozen=True, slots=True)
class PercentFromBirth:
    """Weight `now` against `birth`, both in whole grams. Loss is negative. Near one of `at` the text is finer."""

    birth: int
    now: int
    at: tuple[Fraction, ...] = THRESHOLDS

    @property
    def change(self) -> int:
        """Grams gained since birth; negative for a loss."""
        return self.now - self.birth

    @property
    def percent(self) -> Fraction:
        """(now - birth) / birth * 100, exact. Source: arithmetic (C)."""
        return Fraction(100 * self.change, self.birth)

    def lost_at_least(self, percent: Fraction | int) -> bool:
        """Whether the loss is that percent of birth weight or more; exactly that percent counts.

        Whole-gram arithmetic: for 10 %, `100 * (birth - now) >= 10 * birth`.
        """
        return -100 * self.change >= percent * self.birth

    def lost_more_than(self, percent: Fraction | int) -> bool:
        """Whether the loss is above that percent of birth weight."""
        return -100 * self.change > percent * self.birth

    @property
    def text(self) -> str:
        """One decimal; near a threshold two beside it, and two alone where one would wrongly print the threshold.

        "−9.1 %", "−9.97 %", "−10.0 % (−10.00 %)", "−10.1 % (−10.09 %)".
        """
        rough, fine = decimal(self.percent, 1, sign=True), decimal(self.percent, 2, sign=True)
        near = [edge for edge in self.at if abs(-self.percent - edge) <= NEAR]
        if not near or self.change == 0:
            return f"{rough} %"
        hidden = any(-self.percent != edge and decimal(-self.percent, 1) == decimal(edge, 1) for edge in near)
        return f"{fine} %" if hidden else f"{rough} % ({fine} %)"


def percent_from_birth(
    birth: Given[Quantity], now: Given[Quantity], at: tuple[Fraction, ...] = THRESHOLDS
) -> PercentFromBirth | NoFigure:
    """Percent change from birth weight; both in grams. No figure while either is missing or unresolved.

    `at` are the percents of loss at which an action changes.
    """
    birth_weight, weight = one(birth, "birth weight"), one(now, "weight")
    if isinstance(birth_weight, NoFigure):
        return birth_weight
    if isinstance(weight, NoFigure):
        return weight
    return PercentFromBirth(birth_weight.base, weight.base, at)


@dataclass(frozen=True, slots=True)
class Medians:
    """Half of a group of breastfed babies had lost this percent or more at each hour of age."""

    who: str
    at: tuple[tuple[int, str], ...]


# Flaherman, Pediatrics 2015 (135:e16), text and figures; read only as quoted in a news report of the paper (S2).
MEDIANS: Mapping[str, Medians] = MappingProxyType({
    "vaginal": Medians("born vaginally", ((24, "4.2"), (48, "7.1"), (72, "6.4"))),
    "caesarean": Medians("born by caesarean", ((24, "4.9"), (48, "8.0"), (72, "8.6"), (96, "5.8"))),
})  # fmt: skip
MEDIAN_SOURCE = "Flaherman, Pediatrics 2015, as quoted (S2)"


def median_words(hours: Fraction, birth: str) -> str | None:
    """The published median loss nearest this age, in words; None beyond half a day of any of its hours (house rule, P).

    `birth` is "vaginal" or "caesarean"; anything else gives None, since neither group may be guessed.
    """
    group = MEDIANS.get(birth)
    if group is None:
        return None
    hour, loss = min(group.at, key=lambda row: abs(row[0] - hours))
    if abs(hour - hours) > 12:
        return None
    return f"published median loss of breastfed babies {group.who}: {loss} % at {hour} h"


def regain_words(birth_grams: int, born: Moment, weights: Iterable[tuple[datetime, int]]) -> str | None:
    """Whether birth weight is regained, in words: by which whole day of age, or not yet; None without a weight.

    `weights` are (aware time, grams). "By day 14" counts whole elapsed days. A weight at or above birth weight counts
    as regained only if none below stands after it.
    """
    ordered = sorted(weights)
    if not ordered:
        return None
    back: datetime | None = None
    for at, grams in ordered:
        if grams < birth_grams:
            back = None
        elif back is None:
            back = at
    if back is None:
        days = (ordered[-1][0] - born.at) // timedelta(days=1)
        return f"below birth weight on day {days}"
    if ordered[-1][1] > birth_grams and len(ordered) == 1:
        return f"above birth weight on day {(back - born.at) // timedelta(days=1)}"
    return f"back to birth weight by day {(back - born.at) // timedelta(days=1)}"
