"""A line of a log in the words in which it would be typed, so that a line that stands can be corrected by typing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from forms.answers import Absent, Conflicted, Moment, Quantity
from forms.ask import asks
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, PUMPED, LogLine
from forms.form import conflicted
from forms.infant import STOOL_COLOURS
from forms.log_tokens import LONGEST_LINE
from forms.log_typed import Setting, read_line
from forms.log_vocabulary import spoken
from forms.trouble import Refused
from forms.units import unit_typed

__all__ = ["same_answer", "same_line", "written"]


def written(line: LogLine, setting: Setting) -> str:
    """The line as one would type it; "" for one that no typed line can say (a conflict, an absence, odd characters)."""
    given = [getattr(line, name) for name in asks(LogLine)]
    if conflicted(line) or any(isinstance(value, Absent | Conflicted) for value in given):
        return ""
    text = " ".join(_parts(line, setting))
    try:
        again = read_line(text, setting).line if len(text) <= LONGEST_LINE else None
    except Refused:
        return ""
    return text if again is not None and same_line(again, line) else ""


def same_line(one: LogLine, other: LogLine) -> bool:
    """Whether two lines say the same: times to the minute, amounts by unit and number as typed."""
    return all(same_answer(getattr(one, name), getattr(other, name)) for name in asks(LogLine))


def same_answer(one: Any, other: Any) -> bool:
    """Whether two answers would be typed alike: a time to the minute, an amount by its unit and number."""
    return bool(_plain(one) == _plain(other))


def _plain(value: Any) -> Any:
    match value:
        case Moment():
            return value.at.replace(second=0, microsecond=0), value.zone
        case Quantity():
            return value.base, value.unit, _number(value)
    return value


def _parts(line: LogLine, setting: Setting) -> Iterator[str]:
    yield _time(line.starts) if isinstance(line.starts, Moment) else "?"
    if isinstance(line.ends, Moment):
        yield f"to {_time(line.ends)}"
    yield from _what(line)
    yield from _amounts(line)
    if isinstance(line.wet, bool):
        yield spoken("wet", "yes" if line.wet else "no")
    if isinstance(line.stool, str):
        colour = spoken("colour", line.stool) if line.stool in STOOL_COLOURS else ""
        yield "no stool" if line.stool == "none" else f"stool {colour}".strip()
    if line.stool_small is True:
        yield "small"
    if isinstance(line.brought_up, str):
        yield "no spit" if line.brought_up == "none" else f"spit {line.brought_up}"
    if isinstance(line.slept, Quantity):
        yield f"slept {_amount(line.slept)}"
    if isinstance(line.discomfort, int):
        yield f"pain {line.discomfort}"
    yield from _whom(line, setting)
    if isinstance(line.source, str):
        yield spoken("source", line.source)
    if isinstance(line.note, str):
        yield f"note {line.note}"


def _what(line: LogLine) -> Iterator[str]:
    if line.kind == "other":
        yield f"other “{line.kind_words or ''}”"
    elif line.kind in AT_BREAST:
        yield spoken("side", str(line.kind))
    elif isinstance(line.kind, str):
        yield spoken("kind", line.kind)
    if isinstance(line.milk, str):
        yield spoken("milk", line.milk)


def _amounts(line: LogLine) -> Iterator[str]:
    """Every number behind what it belongs to."""
    if line.kind in GIVEN_OTHERWISE and isinstance(line.amount, Quantity):
        yield _amount(line.amount)
    if line.kind == PUMPED:
        yield from _by_side(line, "pumped", _amount)
    elif line.kind in (*AT_BREAST, "tube_breast"):
        yield from _by_side(line, "minutes", str)


def _by_side(line: LogLine, part: str, words: Callable[[Any], str]) -> Iterator[str]:
    together = getattr(line, f"{part}_together")
    if together is not None:
        yield f"{words(together)} together"
    for side in ("left", "right"):
        value = getattr(line, f"{part}_{side}")
        if value is not None:
            yield words(value) if line.kind == side else f"{side} {words(value)}"


def _whom(line: LogLine, setting: Setting) -> Iterator[str]:
    if isinstance(line.feeder, str):
        name = next((name for name, person in setting.people.items() if person == line.feeder), "")
        yield f"by “{name}”"
    elif isinstance(line.feeder_other, str):
        yield f"by “{line.feeder_other}”"
    elif setting.feeder:
        yield "by ?"


def _number(quantity: Quantity) -> str:
    """The characters of the number alone, as typed."""
    try:
        worded = unit_typed(quantity.typed, (quantity.unit,))
    except Refused:
        worded = None
    return quantity.typed.rstrip(" .abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") if worded else quantity.typed


def _amount(quantity: Quantity) -> str:
    return f"{_number(quantity).strip()} {'oz' if quantity.unit == 'fl_oz' else quantity.unit}"


def _time(at: Moment) -> str:
    local = at.local()
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    which = (" second" if local.fold else " first") if twice else ""
    return f"{local.date().isoformat()} {local.hour:02}:{local.minute:02}{which}"
