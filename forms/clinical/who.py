"""WHO Child Growth Standards, 2006: weight, length and head by sex and day of age, z-scores, and curves back from them.

Only the L, M and S numbers come from the table package; every step of the arithmetic is here. Values are in the base
units of the whole program: grams for weight, millimetres for length and head. The length tables are of lying length
under 731 days and of standing height from then on (S); `growth_score` sees to it that only lying length need be asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from statistics import NormalDist
from types import MappingProxyType
from typing import Any, Final

from forms.clinical.result import NoFigure
from forms.units import decimal

__all__ = [
    "EXACT", "INDICATORS", "LAST_DAY", "SOURCE", "Lms", "beyond_flag", "centile", "centile_words", "cut_words", "lms",
    "value_at", "z_score", "z_text",
]  # fmt: skip

SOURCE = "WHO Child Growth Standards, 2006 (S)"

INDICATORS: Final = ("weight", "length", "head")
SEXES: Final = ("female", "male")
LAST_DAY: Final = 1856  # the last day of the WHO tables by day of age (S)

PER_UNIT: Mapping[str, int] = MappingProxyType({"weight": 1000, "length": 10, "head": 10})
"""Grams in the tables' kg, millimetres in their cm (C)."""

TAIL = Decimal(3)  # beyond this many SD the restricted form is used (WHO 2006 methods, chapter 7, S)

# Beyond these WHO calls a value implausible: weight under -6 or over 5, length and head beyond 6 and 5 (WHO's R
# package, S, for weight and head; the 6 of length is from memory, M). It asks for the entry to be checked, no more.
FLAGS: Mapping[str, tuple[Decimal, Decimal]] = MappingProxyType({
    "weight": (Decimal(-6), Decimal(5)),
    "length": (Decimal(-6), Decimal(6)),
    "head": (Decimal(-5), Decimal(5)),
})  # fmt: skip

LOW: Final = Decimal(-2)  # WHO's cut point for a low weight or length for age (S2)
VERY_LOW: Final = Decimal(-3)  # and for a very low one (S2)

EXACT: Final = Context(prec=28)  # digits: whatever the process has set elsewhere, figures come out alike (C)
_NORMAL: Final = NormalDist()


@dataclass(frozen=True, slots=True)
class Lms:
    """The three numbers of one table at one day: `l` the power, `m` the median in grams or millimetres, `s` the spread.

    `indicator` is one of INDICATORS, `sex` "female" or "male", `day` whole days of age (corrected age for a baby born
    before 37 weeks).
    """

    indicator: str
    sex: str
    day: int
    l: Decimal  # noqa: E741 - the standard's own name
    m: Decimal
    s: Decimal


def _table(indicator: str) -> Mapping[str, Mapping[int, Mapping[str, Decimal]]]:
    """The package's table of one indicator. Imported at the first use: each is some 450 kB that a start can spare."""
    found: Any
    match indicator:
        case "weight":
            from pygrowup.tables.by_day import wfa

            found = wfa
        case "length":
            from pygrowup.tables.by_day import lfa

            found = lfa
        case "head":
            from pygrowup.tables.by_day import hcfa

            found = hcfa
        case _:
            raise ValueError(f"no WHO table is called {indicator}")
    table: Mapping[str, Mapping[int, Mapping[str, Decimal]]] = found.DATA
    return table


def lms(indicator: str, sex: str, day: int) -> Lms | NoFigure:
    """L, M and S of "weight", "length" or "head" for "female" or "male" at a whole day of age.

    No figure for another sex, and none before day 0 or after LAST_DAY. Raises ValueError for another indicator.
    """
    table = _table(indicator)
    if sex not in SEXES:
        return NoFigure("the sex for the growth table is not known")
    if day < 0:
        return NoFigure("before day 0 of the WHO tables")
    if day > LAST_DAY:
        return NoFigure("the WHO tables end before this age")
    row = table[sex][day]
    return Lms(indicator, sex, day, row["l"], row["m"] * PER_UNIT[indicator], row["s"])


def _measure(z: Decimal, of: Lms) -> Decimal:
    """The value at a z-score by the plain form: M (1 + L S z)^(1/L), or M exp(S z) where L is 0."""
    if not of.l:
        return of.m * (of.s * z).exp()
    return of.m * (1 + of.l * of.s * z) ** (1 / of.l)


def z_score(value: int | Decimal, of: Lms, *, restricted: bool = True) -> Decimal:
    """How many SD a value (grams or millimetres, above 0) lies from the median.

    Plain form: ((x/M)^L - 1) / (L S), or ln(x/M) / S where L is 0. With `restricted`, WHO's own form: beyond 3 SD each
    further SD is as wide as the one from 2 to 3. Where L is 1 (length, head) both give the same number. Source: WHO
    2006 methods, chapter 7 (S). Raises ValueError for a value that is not above 0.
    """
    if value <= 0:
        raise ValueError("a measure is above 0")
    with localcontext(EXACT):
        ratio = Decimal(value) / of.m
        z = ratio.ln() / of.s if not of.l else (ratio**of.l - 1) / (of.l * of.s)
        if not restricted or abs(z) <= TAIL:
            return z
        end = TAIL.copy_sign(z)
        third, second = _measure(end, of), _measure(end - end / TAIL, of)
        return end + (Decimal(value) - third) / abs(third - second)


def value_at(z: int | Decimal, of: Lms) -> Decimal:
    """The value in grams or millimetres at a z-score: the inverse of the restricted form, for drawing curves."""
    with localcontext(EXACT):
        wanted = Decimal(z)
        if abs(wanted) <= TAIL:
            return _measure(wanted, of)
        end = TAIL.copy_sign(wanted)
        third, second = _measure(end, of), _measure(end - end / TAIL, of)
        return third + (wanted - end) * abs(third - second)


def beyond_flag(indicator: str, z: Decimal) -> bool:
    """Whether WHO calls a score implausible, so that the entry is worth checking; it is never refused for that."""
    low, high = FLAGS[indicator]
    return z < low or z > high


def cut_words(indicator: str, z: Decimal) -> str:
    """Which of WHO's cut points a weight or length lies below, in words; "" above both, and for a head: it has none."""
    if indicator == "head" or z >= LOW:
        return ""
    return "below −3 SD, WHO's cut point for very low" if z < VERY_LOW else "below −2 SD, WHO's cut point for low"


def centile(z: Decimal) -> float:
    """The share below a z-score, 0 to 100: 100 times the standard normal distribution (C)."""
    return 100 * _NORMAL.cdf(float(z))


def centile_words(z: Decimal) -> str:
    """The centile in words (C): "39th"; "below the 1st" and "above the 99th" at the ends, never 0th or 100th."""
    share = centile(z)
    if share < 1:
        return "below the 1st"
    if share > 99:
        return "above the 99th"
    whole = round(share)
    ending = "th" if whole in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(whole % 10, "th")
    return f"{whole}{ending}"


def z_text(z: Decimal) -> str:
    """A z-score in words: two decimals with its sign, "+0.40", "−0.28"."""
    return decimal(Fraction(z), 2, sign=True)
