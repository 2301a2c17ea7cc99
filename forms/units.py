"""Units: exact definitions, what was typed turned into whole base units and back.

Definitions are exact by international agreement (1 lb = 453.59237 g, 1 in = 2.54 cm; figures from memory, see
SOURCES.md "Units"); all arithmetic is in fractions, never floats. Base units are whole grams, millilitres, tenths of a
degree Celsius, millimetres, minutes and tenths of a percent; a value between two of them is rounded half up, and the
typed characters stay.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from forms.answers import Quantity
from forms.trouble import Refused

__all__ = [
    "UNITS", "Dimension", "Unit", "alone", "decimal", "exact", "number", "quantity_of", "shown", "to_base", "to_exact",
    "unit_typed",
]  # fmt: skip

MINUS = "\N{MINUS SIGN}"


class Dimension(StrEnum):
    """What a unit measures."""

    MASS = "mass"
    VOLUME = "volume"
    TEMPERATURE = "temperature"
    LENGTH = "length"
    TIME = "time"
    SHARE = "share"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: `per` base units make one of it, counted from `zero` (the unit's own reading at base 0).

    `places` is how many decimals are shown; `other` names the unit shown in brackets beside it, if any;
    `words` are the spellings that may stand after a number.
    """

    name: str
    symbol: str
    dimension: Dimension
    per: Fraction
    places: int
    other: str = ""
    words: tuple[str, ...] = ()
    zero: Fraction = Fraction(0)


POUND = Fraction("453.59237")  # g, exact by agreement (M)
OUNCE = POUND / 16  # g; 28.349523125 (M)
US_FLUID_OUNCE = Fraction("29.5735295625")  # mL, exact; the United Kingdom's is 28.4130625 and is not offered (M)
INCH = Fraction("25.4")  # mm, exact (M)

UNITS: Mapping[str, Unit] = MappingProxyType(
    {
        unit.name: unit
        for unit in (
            Unit("g", "g", Dimension.MASS, Fraction(1), 0, "lb_oz", ("g", "gram", "grams", "gr")),
            Unit(
                "kg", "kg", Dimension.MASS, Fraction(1000), 3, "lb_oz", ("kg", "kilo", "kilos", "kilogram", "kilograms")
            ),
            Unit("lb_oz", "lb oz", Dimension.MASS, OUNCE, 1, "g"),
            Unit("mL", "mL", Dimension.VOLUME, Fraction(1), 0, "fl_oz", ("ml", "cc", "millilitre", "millilitres")),
            Unit("fl_oz", "fl oz", Dimension.VOLUME, US_FLUID_OUNCE, 2, "mL", ("fl oz", "oz", "floz")),
            Unit("C", "°C", Dimension.TEMPERATURE, Fraction(10), 1, "F", ("°c", "c", "° c")),
            Unit("F", "°F", Dimension.TEMPERATURE, Fraction(50, 9), 1, "C", ("°f", "f", "° f"), Fraction(32)),
            Unit("mm", "mm", Dimension.LENGTH, Fraction(1), 0, "", ("mm",)),
            Unit("cm", "cm", Dimension.LENGTH, Fraction(10), 1, "in", ("cm",)),
            Unit("in", "in", Dimension.LENGTH, INCH, 2, "cm", ("in", "inch", "inches", '"')),
            Unit("min", "min", Dimension.TIME, Fraction(1), 0, "", ("min", "mins", "minute", "minutes")),
            Unit("h", "h", Dimension.TIME, Fraction(60), 2, "", ("h", "hr", "hrs", "hour", "hours")),
            Unit("percent", "%", Dimension.SHARE, Fraction(10), 1, "", ("%", "percent", "per cent")),
        )
    }
)
"""Every unit by its name."""

_NUMBER = re.compile(r"[+\-−]?\d+(?:[.,]\d+)?")
_GROUPED = re.compile(r"\d{1,3}(?:,\d{3})+")
_COMMA_AND_THREE = re.compile(r"[+\-−]?\d{1,3},\d{3}")
_POUNDS = r"(?:lbs?|pounds?|#)"
_OUNCES = r"(?:oz|ounces?)"
_AMOUNT = r"\d+(?:[.,]\d+)?"
_LB_OZ = re.compile(rf"({_AMOUNT})\s*{_POUNDS}\.?,?\s*(?:({_AMOUNT})\s*(?:{_OUNCES}\.?)?)?")
_LB_OZ_BARE = re.compile(rf"(\d+)\s+({_AMOUNT})\s*(?:{_OUNCES}\.?)?")
_OZ_ONLY = re.compile(rf"({_AMOUNT})\s*{_OUNCES}\.?")
_NOT_A_NUMBER = "Write this as a number in digits, like 12 or 12.5."


def _plain(typed: str) -> str:
    """The characters that count: digits of any script as 0 to 9, spaces at the ends dropped, small letters."""
    return "".join(str(unicodedata.decimal(c)) if c.isdecimal() else c for c in typed).strip().casefold()


def number(typed: str) -> Fraction:
    """The number typed, with a decimal point or comma; raises Refused for anything else."""
    plain = _plain(typed)
    if not _NUMBER.fullmatch(plain):
        raise Refused(why=_NOT_A_NUMBER)
    return Fraction(plain.replace(",", ".").replace(MINUS, "-"))


def _pounds_and_ounces(plain: str) -> Fraction:
    """Ounces, from "7 lb 8.5 oz", "7 8.5", "7 lb" or "120 oz"."""
    if found := _OZ_ONLY.fullmatch(plain):
        return number(found[1])
    if found := _LB_OZ.fullmatch(plain) or _LB_OZ_BARE.fullmatch(plain):
        pounds, ounces = number(found[1]), number(found[2] or "0")
        if pounds.denominator != 1 and found[2]:
            raise Refused(why="Write whole pounds and then ounces, like 7 lb 8.5 oz.")
        if ounces >= 16:
            raise Refused(why="Ounces stay below 16 when pounds stand before them; 16 oz make the next pound.")
        return pounds * 16 + ounces
    raise Refused(why="Write pounds and ounces with their units, like 7 lb 8.5 oz, or with a space, like 7 8.5.")


def unit_typed(typed: str, among: tuple[str, ...]) -> str | None:
    """The unit whose word stands after the number, if it is one of `among`; None if no unit was typed.

    Raises Refused if letters stand there that are none of these units, so that a stray unit is never dropped.
    """
    plain = _plain(typed)
    if "lb_oz" in among and (_LB_OZ.fullmatch(plain) or _OZ_ONLY.fullmatch(plain)):
        return "lb_oz"
    found = _GROUPED.match(plain) or _NUMBER.match(plain)
    rest = plain[found.end() :].strip() if found else plain
    if not rest or ("lb_oz" in among and _LB_OZ_BARE.fullmatch(plain)):
        return None
    for name in among:
        if rest.rstrip(".") in UNITS[name].words:
            return name
    if found and rest[0].isalpha():
        symbols = " or ".join(UNITS[name].symbol for name in among)
        raise Refused(why=f"This box takes {symbols}; write the number in one of these.")
    return None


def to_exact(typed: str, unit: str) -> Fraction:
    """What was typed, in base units before rounding. Raises Refused for text that is no amount in that unit.

    A comma before exactly three digits separates thousands in grams ("3,110" g) and is a decimal comma in units that
    are typed with decimals ("3,110" kg); for whole mL, mm and min it could be either and is refused, not guessed.
    """
    known_unit, plain = UNITS[unit], _plain(typed)
    if unit == "lb_oz":
        return _pounds_and_ounces(plain) * known_unit.per
    for word in sorted(known_unit.words, key=len, reverse=True):
        if plain.endswith(word) and plain != word:
            plain = plain.removesuffix(word).rstrip()
            break
    if unit == "g" and _GROUPED.fullmatch(plain):
        plain = plain.replace(",", "")
    elif known_unit.per == 1 and _COMMA_AND_THREE.fullmatch(plain):
        raise Refused(why="The comma could mean thousands or a decimal; write the number without it.")
    return (number(plain) - known_unit.zero) * known_unit.per


def to_base(typed: str, unit: str) -> int:
    """What was typed, in whole base units, rounded half up. Raises Refused for text that is no amount in that unit."""
    return _rounded(to_exact(typed, unit))


def exact(quantity: Quantity) -> Fraction:
    """A kept quantity in base units before rounding; its rounded base if the typed characters say no amount."""
    try:
        return to_exact(quantity.typed, quantity.unit)
    except (Refused, KeyError):
        return Fraction(quantity.base)


def quantity_of(typed: str, unit: str) -> Quantity:
    """The quantity for typed characters and a unit, without bounds; raises Refused like `to_base`."""
    return Quantity(typed, unit, to_base(typed, unit))


def _rounded(value: Fraction) -> int:
    """The nearest whole number; halves go away from zero, so that a loss and a gain round alike."""
    size = int(abs(value) + Fraction(1, 2))
    return size if value >= 0 else -size


def decimal(value: Fraction, places: int, *, sign: bool = False) -> str:
    """A number as text: `places` decimals, halves away from zero, thousands grouped, a true minus sign.

    With `sign` a plus stands before what is above zero.
    """
    scaled = _rounded(value * 10**places)
    whole, part = divmod(abs(scaled), 10**places)
    digits = f"{whole:,}" + (f".{part:0{places}d}" if places else "")
    before = MINUS if value < 0 and (scaled or sign) else "+" if sign and value > 0 else ""
    return before + digits


def alone(base: int | Fraction, unit: str) -> str:
    """An amount in base units, written in one unit: "3,110 g", "7 lb 4.4 oz", "38.0 °C", "1 h 30 min"."""
    known_unit, value = UNITS[unit], Fraction(base)
    if unit == "lb_oz":
        tenths = _rounded(abs(value) / known_unit.per * 10)  # rounded first, so 15.97 oz carries into the pound
        pounds, ounces = divmod(tenths, 160)
        return f"{MINUS if value < 0 and tenths else ''}{pounds} lb {ounces // 10}.{ounces % 10} oz"
    if unit == "h":
        hours, minutes = divmod(_rounded(value), 60)
        return f"{hours} h {minutes} min" if minutes else f"{hours} h"
    return f"{decimal(value / known_unit.per + known_unit.zero, known_unit.places)} {known_unit.symbol}"


def shown(base: int | Fraction, unit: str) -> str:
    """An amount with its other unit in brackets: "38.0 °C (100.4 °F)", "60 mL (2.03 fl oz)", "4 mm"."""
    other = UNITS[unit].other
    return f"{alone(base, unit)} ({alone(base, other)})" if other else alone(base, unit)
