"""A line of a log in words, as a family would read it: what was fed, from which side, how much, and the diaper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from forms.answers import Conflicted, Given, Moment, Quantity, every
from forms.ask import ask_of
from forms.days import clock
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, PUMPED, LogLine
from forms.units import alone, exact

__all__ = ["besides", "what_was"]


def _option(field: str, given: Given[str]) -> str:
    options = ask_of(LogLine, field).options
    return " or ".join(options.get(code, code) for code in every(given))


def _amount(given: Given[Quantity]) -> str:
    return " or ".join(alone(exact(quantity), quantity.unit) for quantity in every(given))


def what_was(line: LogLine, name: Callable[[str], str]) -> str:
    """What a line was: "Mara's left, 12 min"; "Bottle, formula, 40 mL". `name` calls a person by name."""
    feeder = " or ".join(name(person) for person in every(line.feeder)) or " or ".join(every(line.feeder_other))
    kind = _option("kind", line.kind) or "Not said yet what it was"
    said: list[str] = []
    if line.kind in AT_BREAST and feeder:
        said.append(f"{feeder}, both sides" if line.kind == "both" else f"{feeder}’s {line.kind}")
        feeder = ""
    else:
        said.append(kind)
    said += every(line.kind_words)
    if line.kind in GIVEN_OTHERWISE:
        said += [part for part in (_option("milk", line.milk).lower(), _amount(line.amount)) if part]
    sides = (("left", line.minutes_left), ("right", line.minutes_right))
    written = [(side, minutes) for side, given in sides for minutes in every(given)]
    if line.kind in ("left", "right"):
        said += [f"{minutes} min" for _, minutes in written]
    else:
        said += [f"{side} {minutes} min" for side, minutes in written]
        said += [f"{minutes} min together" for minutes in every(line.minutes_together)]
    if line.kind == PUMPED:
        said += [f"{side} {_amount(of)}" for side, of in (("left", line.pumped_left), ("right", line.pumped_right))
                 if _amount(of)]  # fmt: skip
        said += [f"{_amount(line.pumped_together)} together"] if _amount(line.pumped_together) else []
    if feeder:
        said.append(f"by {feeder}")
    return ", ".join(said)


def besides(line: LogLine) -> str:
    """What stands small under it: its end, diaper, what came up, sleep, discomfort, note and source."""
    said: list[str] = []
    if isinstance(line.ends, Moment):
        said.append(f"until {clock(line.ends.local())}")
    if line.wet is True:
        said.append("wet")
    if isinstance(line.stool, str) and line.stool != "none":
        small = " (small)" if line.stool_small is True else ""
        colour = ", colour not seen" if line.stool == "not_seen" else f" {_option('stool', line.stool).lower()}"
        said.append(f"stool{colour}{small}")
    if isinstance(line.brought_up, str) and line.brought_up != "none":
        said.append(f"brought up: {_option('brought_up', line.brought_up).lower()}")
    said += [f"slept {alone(exact(slept), slept.unit)}" for slept in every(line.slept)]
    said += [f"discomfort {number} of 10" for number in every(line.discomfort)]
    said += [words for words in every(line.note) if words.strip()]
    if _torn(line):
        said.append("two values stand; settle which holds")
    return ", ".join(said)


def _torn(line: LogLine) -> bool:
    values: list[Any] = [getattr(line, name) for name in LogLine.__dataclass_fields__]
    return any(isinstance(value, Conflicted) for value in values)
