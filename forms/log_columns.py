"""The columns in which a log can stand in a file: one declaration for the reader, the blank file and its description.

A layout of our own: headings in plain words with their units, one row for one line of the log, local date and time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from forms.ask import Kind, ask_of
from forms.feeding_log import LogLine

__all__ = ["COLUMNS", "REQUIRED", "Column", "column_help", "heading_key"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the question it answers, the unit its numbers are in, and what is written there.

    `part` is "date" or "time" where two columns make one moment.
    """

    heading: str
    field: str
    help: str
    unit: str = ""
    part: str = ""


_VOLUMES = (("mL", "mL"), ("fl oz", "fl_oz"))


def _volume(heading: str, field: str, what: str) -> Iterator[Column]:
    for words, unit in _VOLUMES:
        yield Column(f"{heading} ({words})", field, f"{what}, as a number. In one unit only; empty if not known.", unit)


COLUMNS: Final = (
    Column("Date", "starts", "The day it began, like 2026-03-02 or 2 Mar 2026.", part="date"),
    Column("Time began", "starts", "By the clocks of the place, like 02:10 or 2:10 pm. Behind a time that the clocks "
           "showed twice: first or second. Empty, with its date, if not known.", part="time"),
    Column("Date ended", "ends", "Only where it ended on another day than it began.", part="date"),
    Column("Time ended", "ends", "Like the time it began; empty if not known.", part="time"),
    Column("What it was", "kind", "Every row has one of these."),
    Column("What else", "kind_words", "In words, where it was something else."),
    Column("Milk", "milk", "Which milk was given, where it was not at the breast or chest."),
    *_volume("Milk taken", "amount", "How much was taken, where it was not at the breast or chest"),
    Column("Minutes left (min)", "minutes_left", "At the feeder’s left, a whole number.", "min"),
    Column("Minutes right (min)", "minutes_right", "At the feeder’s right, a whole number.", "min"),
    Column("Minutes both sides together (min)", "minutes_together", "Only where the sides are not told apart.", "min"),
    *_volume("Expressed left", "pumped_left", "From the feeder’s left"),
    *_volume("Expressed right", "pumped_right", "From the feeder’s right"),
    *_volume("Expressed both sides together", "pumped_together", "Only where the sides are not told apart"),
    Column("Discomfort (0 to 10)", "discomfort", "The feeder’s, from 0 for none to 10 for the worst."),
    Column("By whom", "feeder", "Who fed. A name of the family’s parents is taken for that parent."),
    Column("Wet diaper", "wet", "yes or no; empty if not written."),
    Column("Stool", "stool", "One of these; empty if not written."),
    Column("Small stool", "stool_small", "yes where it was smaller than about 2.5 cm."),
    Column("Brought up", "brought_up", "One of these; empty if not written."),
    Column("Slept (min)", "slept", "Slept afterwards, in minutes.", "min"),
    Column("Slept (h)", "slept", "Slept afterwards, in hours, like 1.5. In one of the two only.", "h"),
    Column("Note", "note", "One line of words."),
    Column("How it is known", "source", "Empty means: taken in from a file."),
)  # fmt: skip
"""Every column, in the order of the blank file. They may stand in any order."""

REQUIRED: Final = ("Date", "Time began", "What it was")
"""The headings without which a file is no log."""


def heading_key(words: str) -> str:
    """A heading as it is compared: small letters, single spaces."""
    return " ".join(words.split()).casefold()


def column_help(column: Column) -> str:
    """What stands in a column, with the words it takes."""
    ask = ask_of(LogLine, column.field)
    words = f" One of: {'; '.join(ask.options.values())}." if ask.kind is Kind.CHOICE else ""
    return f"{column.help}{words}{' Needed.' if column.heading in REQUIRED else ''}"
