"""The ends and the ticks of the plots of growth: few, round, and in the words of their unit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor
from types import MappingProxyType

from forms.growth_lines import Axis
from forms.pictures.plot import Tick
from forms.units import MINUS, POUND, alone, decimal

__all__ = ["FEET", "around", "day_ticks", "hour_ticks", "percent_ticks", "rate", "rate_ticks", "weight_ticks"]

MOST = 7  # more ticks than this along an axis would be a grid
MONTH = Fraction(36525, 1200)  # days
STEPS: Sequence[tuple[Fraction, Fraction, str]] = (
    *((Fraction(n), Fraction(1), "day") for n in (1, 2)),
    *((Fraction(7 * n), Fraction(7), "week") for n in (1, 2, 4)),
    *((n * MONTH, MONTH, "month") for n in (1, 2, 3, 6, 12)),
)
"""Days from tick to tick, days to one of its unit, and the unit."""

ORIGINS = MappingProxyType({Axis.BIRTH: "birth", Axis.TERM: "term date", Axis.FIRST_WEIGHT: "first weight"})
FEET: Mapping[Axis, str] = MappingProxyType({
    Axis.BIRTH: "age since birth",
    Axis.TERM: "corrected age, counted from the term date",
    Axis.FIRST_WEIGHT: "time since the first weight",
})  # fmt: skip
"""What the foot of a plot by days is."""
HOURS = ((0, "birth"), (24, "24 h"), (48, "48 h"), (72, "72 h"), (96, "96 h"), (168, "7 days"), (240, "10 days"),
         (336, "14 days"))  # fmt: skip
OUNCE = POUND / 16


def around(values: Iterable[float], *, least: float, pad: float = 0.06) -> tuple[float, float]:
    """The ends of an axis that holds these values with some room, and is `least` long."""
    held = list(values)
    low, high = min(held), max(held)
    room = max((high - low) * pad, (least - (high - low)) / 2)
    return low - room, high + room


def _at(low: float, high: float, step: Fraction) -> list[Fraction]:
    """The multiples of a step from one end to the other."""
    return [step * n for n in range(ceil(Fraction(low) / step), floor(Fraction(high) / step) + 1)]


def day_ticks(axis: Axis, low: float, high: float) -> tuple[Tick, ...]:
    """Ticks in days, weeks or months; the origin by its name, what lies before it with a minus."""
    step, one, unit = next((each for each in STEPS if (high - low) / each[0] <= MOST), STEPS[-1])
    found = []
    for at in _at(low, high, step):
        number = int(abs(at) / one)
        words = f"{MINUS if at < 0 else ''}{number} {unit}{'' if number == 1 else 's'}" if number else ORIGINS[axis]
        found.append(Tick(float(at), words))
    return tuple(found)


def hour_ticks(until: int) -> tuple[Tick, ...]:
    """Ticks by hours of age, further apart after the first four days."""
    return tuple(Tick(float(at), words) for at, words in HOURS if at <= until)


def weight_ticks(low: float, high: float, unit: str) -> tuple[Tick, ...]:
    """Ticks at round amounts of the unit: "3,000 g", "6 lb", "6 lb 8 oz"."""
    sizes: Sequence[Fraction | int] = (100, 200, 500, 1000, 2000, 5000)
    if unit == "lb_oz":
        sizes = (4 * OUNCE, 8 * OUNCE, POUND, 2 * POUND, 5 * POUND)
    step = Fraction(next((size for size in sizes if (high - low) / size < MOST), sizes[-1]))
    return tuple(Tick(float(at), _amount(at, unit)) for at in _at(low, high, step))


def _amount(grams: Fraction, unit: str) -> str:
    if unit == "kg":
        return f"{decimal(grams / 1000, 1)} kg"
    if unit != "lb_oz":
        return alone(grams, unit)
    pounds, ounces = divmod(round(grams / OUNCE), 16)
    return f"{pounds} lb {ounces} oz" if ounces else f"{pounds} lb"


def percent_ticks(low: float, high: float) -> tuple[Tick, ...]:
    """Ticks in steps of five percent or more, with their signs."""
    step = next(Fraction(size) for size in (5, 10, 20, 50, 100, 1000) if (high - low) / size < MOST or size == 1000)
    return tuple(Tick(float(at), f"{decimal(at, 0, sign=True)} %") for at in _at(low, high, step))


def rate(per_day: Fraction, unit: str) -> str:
    """A gain in its unit: "34.2 g/day", "1.21 oz/day"."""
    if unit == "lb_oz":
        return f"{decimal(per_day / OUNCE, 2)} oz/day"
    return f"{decimal(per_day, 1)} g/day"


def rate_ticks(low: float, high: float, unit: str) -> tuple[Tick, ...]:
    """Ticks at round gains per day; grams, whatever `low` and `high` are shown in: "20 g", "1 oz"."""
    ounces = unit == "lb_oz"
    sizes: Sequence[Fraction | int] = (5, 10, 20, 50, 100, 200, 500, 1000)
    if ounces:
        sizes = (OUNCE / 4, OUNCE / 2, OUNCE, 2 * OUNCE, 4 * OUNCE, 8 * OUNCE, 32 * OUNCE)
    step = Fraction(next((size for size in sizes if (high - low) / size < MOST), sizes[-1]))
    found = []
    for at in _at(low, high, step):
        number = at / OUNCE if ounces else at
        places = 0 if step % (OUNCE if ounces else 1) == 0 else 2
        found.append(Tick(float(at), f"{decimal(number, places)} {'oz' if ounces else 'g'}"))
    return tuple(found)
