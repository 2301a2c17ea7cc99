"""A measure of one baby against the WHO standards: which sex, which age, the score, and whether to check the entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from forms.answers import Absent, Given, Quantity
from forms.clinical.growth import GrowthAge, growth_age
from forms.clinical.result import NoFigure, one
from forms.clinical.who import Lms, beyond_flag, centile_words, lms, z_score, z_text

__all__ = ["GrowthScore", "birth_score", "growth_score", "table_sex"]

# Lying length reads longer than standing height by 7 mm, and from day 731 on the WHO tables are of standing height
# (WHO's R package, S). Only lying length is asked for, so from that day on 7 mm are taken off.
STANDING_FROM_DAY: Final = 731
LYING_MORE: Final = 7  # mm

_TABLES: Mapping[str, str] = MappingProxyType({"f": "female", "m": "male"})


@dataclass(frozen=True, slots=True)
class GrowthScore:
    """One measure (`value` in grams or millimetres) at one age: its table row and its z-score."""

    value: int
    age: GrowthAge
    table: Lms
    z: Decimal

    @property
    def text(self) -> str:
        """The figure in words: "−0.28 (39th centile)"."""
        return f"{z_text(self.z)} ({centile_words(self.z)} centile)"

    @property
    def check_entry(self) -> bool:
        """Whether WHO calls a score like this implausible: the entry is worth checking and is never refused."""
        return beyond_flag(self.table.indicator, self.z)


def table_sex(sex: Given[str]) -> str | NoFigure:
    """Which tables are read, "female" or "male", by the "sex for the growth table"; no figure while that is not set."""
    found = None if isinstance(sex, Absent) else one(sex, "sex for the growth table")
    if isinstance(found, NoFigure) and found.unresolved:
        return found
    table = _TABLES.get(found) if isinstance(found, str) else None
    return table or NoFigure("the sex for the growth table is not set: no WHO score")


def growth_score(
    indicator: str,
    measure: Given[Quantity],
    sex: Given[str],
    weeks: Given[int],
    days: Given[int],
    age_days: int | NoFigure,
) -> GrowthScore | NoFigure:
    """The WHO score of a "weight", "length" or "head" at `age_days` whole days between the dates of birth and measure.

    Length is lying length. `weeks` and `days` are the gestation at birth. No figure, with the reason in words, while an
    input is missing or unresolved, before the term date, or beyond the tables.
    """
    value = one(measure, indicator)
    if isinstance(value, NoFigure):
        return value
    table = table_sex(sex)
    if isinstance(table, NoFigure):
        return table
    age = growth_age(weeks, days, age_days)
    if isinstance(age, NoFigure):
        return age
    row = lms(indicator, table, age.day)
    if isinstance(row, NoFigure):
        return row
    lying = indicator == "length" and age.day >= STANDING_FROM_DAY
    return GrowthScore(value.base, age, row, z_score(value.base - (LYING_MORE if lying else 0), row))


def birth_score(
    indicator: str, measure: Given[Quantity], sex: Given[str], weeks: Given[int], days: Given[int]
) -> GrowthScore | NoFigure:
    """The WHO score of a measure at birth (day 0); none for a baby born before 37 weeks."""
    return growth_score(indicator, measure, sex, weeks, days, 0)
