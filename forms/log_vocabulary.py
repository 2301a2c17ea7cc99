"""The words of a typed line of a family's log: one table that the reader, the help on screen and the tests share.

A grammar of our own, for the keyboard: each word has a full form and a short one, in any order after the time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

__all__ = ["EXAMPLES", "GROUPS", "PHRASES", "UNIT_WORDS", "Group", "Word", "spoken"]


@dataclass(frozen=True, slots=True)
class Word:
    """Spellings of one word, the full one first; the part of a line it fills, what it says there, and its meaning."""

    spellings: tuple[str, ...]
    part: str
    code: str
    means: str


@dataclass(frozen=True, slots=True)
class Group:
    """Words that are looked up together in the help."""

    title: str
    words: tuple[Word, ...]


def _word(part: str, code: str, means: str, *spellings: str) -> Word:
    return Word(spellings, part, code, means)


GROUPS: Final = (
    Group("At the breast or chest", (
        _word("side", "left", "the feeder’s left; its minutes stand behind it, like l 15", "left", "l"),
        _word("side", "right", "the feeder’s right, like r 10", "right", "r"),
        _word("side", "both", "both sides; a number behind it is for both together", "both", "lr"),
        _word("together", "", "behind a number: both sides together", "together"),
        _word("each", "", "behind a number: as many at each side", "each"),
        _word("kind", "tube_breast", "with a tube at the breast or chest", "tube at breast", "tb"),
    )),
    Group("Given another way", (
        _word("kind", "bottle", "a bottle; the amount stands behind it, like 60 ml or 2 oz", "bottle", "bo"),
        _word("kind", "cup", "a cup", "cup", "c"),
        _word("kind", "spoon", "a spoon", "spoon", "sn"),
        _word("kind", "syringe", "a syringe", "syringe", "sy"),
        _word("kind", "finger", "a finger with a tube", "finger", "fi"),
        _word("kind", "feeding_tube", "a feeding tube", "feeding tube", "ft"),
        _word("milk", "own", "own milk, expressed", "own", "o"),
        _word("milk", "donor", "donor milk", "donor", "dm"),
        _word("milk", "formula", "formula", "formula", "f"),
        _word("milk", "mixed", "mixed, not told apart", "mixed", "mx"),
        _word("milk", "other", "another milk", "other milk", "om"),
    )),
    Group("Expressed", (
        _word("kind", "pumped", "milk expressed, like p l 40 r 25; a number without a side is for both together",
              "pumped", "p"),
    )),
    Group("Diaper", (
        _word("kind", "diaper", "a diaper", "diaper", "d"),
        _word("wet", "yes", "wet", "wet", "w"),
        _word("wet", "no", "not wet", "dry"),
        _word("stool", "", "a stool; its colour stands beside it, like s yellow", "stool", "s"),
        _word("colour", "black", "black, tarry", "black"),
        _word("colour", "dark_green", "dark green", "dark green", "dg"),
        _word("colour", "green", "green", "green", "gn"),
        _word("colour", "yellow", "yellow", "yellow", "y"),
        _word("colour", "brown", "brown", "brown", "bn"),
        _word("colour", "pale", "pale, white or grey", "pale", "white", "grey", "gray"),
        _word("colour", "red", "red or with blood", "red"),
        _word("small", "", "a stool smaller than about 2.5 cm", "small"),
    )),
    Group("Beside it", (
        _word("spit", "", "a little was brought up; or much, forceful, green or blood behind it", "spit"),
        _word("manner", "little", "of what was brought up: a little", "little"),
        _word("manner", "much", "much", "much"),
        _word("manner", "forceful", "forceful", "forceful"),
        _word("manner", "blood", "with blood", "blood"),
        _word("no", "", "before wet, stool or spit: there was none", "no"),
        _word("slept", "", "slept afterwards, like slept 90 min or slept 2 h", "slept", "z"),
        _word("pain", "", "the feeder’s discomfort from 0 to 10, like pain 3", "pain", "q"),
        _word("by", "", "who fed, like by Mara or by “Aunt Bea”", "by"),
        _word("other", "", "something else, in quotation marks: other “walked about”", "other"),
        _word("note", "", "everything behind it is the note, as typed", "note", "n"),
        _word("source", "memory", "told from memory", "told"),
        _word("source", "seen", "seen at the visit", "seen"),
        _word("source", "notes", "read in the family’s notes", "read"),
        _word("source", "file", "taken in from a file", "file"),
    )),
    Group("Time", (
        _word("to", "", "before the time it ended, like 0210 to 0225 or 0210-0225", "to", "until"),
        _word("noon", "", "12:00", "noon"),
        _word("midnight", "", "00:00", "midnight"),
        _word("half", "am", "before noon, behind the hour, like 2 am", "am"),
        _word("half", "pm", "after noon, like 2pm", "pm"),
        _word("day", "yesterday", "yesterday’s date", "yesterday"),
        _word("day", "today", "today’s date", "today"),
        _word("day", "next", "the day after that of the line before", "next"),
        _word("which", "first", "the first of two equal times, when the clocks went back", "first"),
        _word("which", "second", "the second of the two", "second"),
    )),
)  # fmt: skip
"""Every word there is, in the order of the help. Names of days and of months are words too ("mon", "2 mar")."""

PHRASES: Final[Mapping[tuple[str, ...], Word]] = MappingProxyType(
    {tuple(spelling.split()): word for group in GROUPS for word in group.words for spelling in word.spellings}
)
"""Each spelling, word by word, with what it says."""

UNIT_WORDS: Final[Mapping[tuple[str, ...], str]] = MappingProxyType(
    {
        **dict.fromkeys((("min",), ("mins",), ("minute",), ("minutes",), ("m",)), "min"),
        **dict.fromkeys((("h",), ("hr",), ("hrs",), ("hour",), ("hours",)), "h"),
        **dict.fromkeys((("ml",), ("mls",), ("cc",)), "mL"),
        **dict.fromkeys((("oz",), ("fl", "oz"), ("floz",), ("ounce",), ("ounces",)), "fl_oz"),
    }
)
"""The words that may stand behind a number, with the unit each means (names of `forms.units`)."""

EXAMPLES: Final = (
    ("0210 l 15", "left, 15 minutes"),
    ("2:10 left 15 min r 10", "left 15 and right 10 minutes"),
    ("0430 bottle own 60 ml", "a bottle of own milk, 60 mL"),
    ("0615-0640 r wet", "right until 06:40, and a wet diaper"),
    ("0800 wet stool yellow", "a wet diaper with a yellow stool"),
    ("2pm both 20 spit", "both sides, 20 minutes together, a little brought up"),
    ("? bo f ?", "formula by bottle; neither time nor amount is known"),
)
"""Lines and what they say, for the help; a test reads each of them."""


def spoken(part: str, code: str) -> str:
    """The full spelling of the word that says `code` of a part of a line; "" if there is none."""
    for group in GROUPS:
        for word in group.words:
            if (word.part, word.code) == (part, code):
                return word.spellings[0]
    return ""
