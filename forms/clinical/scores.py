"""Published scored tools as numbers (C12): a total only when every part stands, and bands where rights allow them.

None of these totals alone sends anyone anywhere. A part that was not scored is never 0, and two answers for one
one part give no total. Bands say where a published paper draws its lines; they name no condition.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from forms.answers import Conflicted, Given
from forms.ask import ask_of
from forms.newer import choice_words
from forms.scores import ITEMS, TOTALS, Score

__all__ = [
    "BTAT_BORDERLINE_FROM", "BTAT_USUAL", "IBFAT_EFFECTIVE_FROM", "KOTLOW", "LATCH_LOOK_FURTHER_BELOW", "MOOD_HIGHEST",
    "MOOD_LIKELY", "MOOD_POSSIBLE", "PHQ_2_FULL_SCREEN", "Said", "highest", "kotlow_band", "mood", "mood_wrong", "said",
    "total",
]  # fmt: skip

LATCH_LOOK_FURTHER_BELOW: Final = 7  # Jensen, JOGNN 1994;23:27 (S)
IBFAT_EFFECTIVE_FROM: Final = 10  # Matthews, Midwifery 1988;4:154: 10 to 12 effective (M)
BTAT_USUAL: Final = 8  # IBJ 2019;14:31, published with the picture tool: 8, 6 to 7, 5 or less (S)
BTAT_BORDERLINE_FROM: Final = 6  # same (S)
KOTLOW: Final[tuple[tuple[int, str], ...]] = ((17, "above 16 mm"), (12, "I"), (8, "II"), (3, "III"), (0, "IV"))
"""Least whole millimetres of free tongue of each band; generic description of the classes (S)."""
MOOD_POSSIBLE: Final = 10  # Cox, BJPsych 1987;150:782: 10 or more possible (S)
MOOD_LIKELY: Final = 13  # same: 13 or more likely (S)
PHQ_2_FULL_SCREEN: Final = 3  # Kroenke 2003; Arroll 2010: 3 or more (S)
MOOD_HIGHEST: Final[Mapping[str, int]] = MappingProxyType({"epds": 30, "phq_2": 6})
"""The highest total of each mood screen: ten and two parts of 0 to 3 (Cox 1987, S; Kroenke 2003, S)."""

BTAT_SOURCE: Final = "bands published with the picture tool, Int Breastfeed J 2019;14:31 (S)"
KOTLOW_SOURCE: Final = "classes by free tongue, generic description (S)"


@dataclass(frozen=True, slots=True)
class Said:
    """What a scored tool says: `words` the numbers or why there are none, `band` the published band or nothing.

    `caution` has to stand beside the numbers wherever they are shown or printed; `source` says whose band it is.
    """

    words: str
    band: str = ""
    caution: str = ""
    source: str = ""


def _number(score: Score, name: str) -> int | None:
    """A part or typed total that certainly stands, inside its own range."""
    given: Given[int] = getattr(score, name)
    ask = ask_of(Score, name)
    if isinstance(given, int) and ask.low is not None and ask.high is not None and ask.low <= given <= ask.high:
        return given
    return None


def total(score: Score) -> int | None:
    """The total of a tool: its parts added up when each stands, or the one typed total; None for anything less.

    Two totals of one tool are never added, and a length or a type has no total.
    """
    if not isinstance(score.tool, str):
        return None
    names = ITEMS.get(score.tool) or TOTALS.get(score.tool, ())
    numbers = [_number(score, name) for name in names]
    if score.tool not in ITEMS and len(names) != 1:
        return None
    stand = [number for number in numbers if number is not None]
    return sum(stand) if stand and len(stand) == len(names) else None


def highest(tool: str) -> int:
    """The highest total a tool can have: the ends of its parts added up, or the end of its one typed total."""
    names = ITEMS.get(tool) or TOTALS[tool]
    return sum(ask_of(Score, name).high or 0 for name in names)


def kotlow_band(millimetres: int) -> str:
    """The class of a free tongue in whole millimetres. Raises ValueError for a length below 0."""
    if millimetres < 0:
        raise ValueError("a length is not below 0")
    return next(band for least, band in KOTLOW if millimetres >= least)


def said(score: Score) -> Said:
    """The tool in words: its total out of how many, its published band where one may be kept, and its caution."""
    tool = score.tool
    if isinstance(tool, Conflicted):
        return Said("two tools stand here; settle which one it was")
    if not isinstance(tool, str):
        return Said("tool not chosen yet")
    if tool in ITEMS:
        return _of_parts(score, tool)
    if tool == "kotlow":
        return _free_tongue(score)
    if tool == "coryllos":
        return _type(score)
    if tool == "atlff":
        return _two_totals(score)
    if tool in TOTALS:
        value = total(score)
        out_of = "" if tool == "other" else f" of {highest(tool)}"
        return Said(_INCOMPLETE if value is None else f"{value}{out_of}, as typed", caution=_NO_CUT)
    return Said("of a newer version; its numbers are kept as they are")


_INCOMPLETE: Final = "incomplete, no total"
_NO_CUT: Final = "No cut-off is published with rights to show it; read it with the findings."
_ONE_SCORE: Final = "A score alone sends nobody on; it hides which part was low."
_RATERS: Final = "Raters disagree on such tools; findings for the provider’s evaluation."


def _of_parts(score: Score, tool: str) -> Said:
    value, names = total(score), ITEMS[tool]
    caution = _RATERS if tool == "btat" else _ONE_SCORE
    if value is None:
        there = sum(_number(score, name) is not None for name in names)
        return Said(f"{_INCOMPLETE}: {there} of {len(names)} parts stand", caution=caution)
    words = f"{value} of {highest(tool)}"
    if tool == "btat":
        return Said(words, _btat(value), caution, BTAT_SOURCE)
    if tool == "latch" and value < LATCH_LOOK_FURTHER_BELOW:
        return Said(words, f"below {LATCH_LOOK_FURTHER_BELOW}: look further", caution, "Jensen, JOGNN 1994;23:27 (S)")
    if tool == "ibfat" and value >= IBFAT_EFFECTIVE_FROM:
        return Said(words, f"{IBFAT_EFFECTIVE_FROM} to 12, published as effective", caution, "Matthews 1988 (M)")
    return Said(words, caution=caution)


def _btat(value: int) -> str:
    if value >= BTAT_USUAL:
        return "8, published as normal"
    return "6 to 7, published as borderline" if value >= BTAT_BORDERLINE_FROM else "5 or less, published as impaired"


def _free_tongue(score: Score) -> Said:
    value = _number(score, "kotlow_mm")
    if value is None:
        return Said("incomplete, no length", caution=_RATERS)
    band = kotlow_band(value)
    where = band if band.startswith("above") else f"class {band}"
    return Said(f"{value} mm free", where, _RATERS, KOTLOW_SOURCE)


def _type(score: Score) -> Said:
    kind = score.coryllos_type
    if not isinstance(kind, str):
        return Said("incomplete, no type")
    return Said(
        f"type {choice_words(ask_of(Score, 'coryllos_type'), kind)}",
        caution="Types say where, and are no measure of severity.",
    )


def _two_totals(score: Score) -> Said:
    shape, work = _number(score, "atlff_appearance"), _number(score, "atlff_function")
    if shape is None or work is None:
        return Said(_INCOMPLETE, caution=_RATERS)
    return Said(f"appearance {shape} of 10, function {work} of 14, as typed", caution=_RATERS)


def mood_wrong(form: Given[str], typed: Given[int], tenth: Given[int]) -> str:
    """Why a mood screen's numbers cannot be so, in one sentence; nothing if they can. Blank is never wrong here."""
    if not isinstance(form, str) or not isinstance(typed, int):
        return ""
    most = MOOD_HIGHEST.get(form)
    if most is not None and not 0 <= typed <= most:
        return f"This screen’s total runs from 0 to {most}; check it on its sheet"
    if form == "epds" and isinstance(tenth, int) and tenth > typed:
        return "The tenth item is higher than the total it is part of; check both on the sheet"
    return ""


def mood(form: Given[str], typed: Given[int], tenth: Given[int]) -> Said:
    """A mood screen in words. Private: it stands on no paper. A blank tenth item is incomplete and never 0."""
    if not isinstance(form, str):
        return Said("no screen used")
    if wrong := mood_wrong(form, typed, tenth):
        return Said(wrong)
    if not isinstance(typed, int):
        return Said(_INCOMPLETE)
    if form == "epds" and not isinstance(tenth, int):
        return Said("incomplete: the tenth item is blank")
    most = MOOD_HIGHEST.get(form)
    words = f"{typed} of {most}" if most is not None else f"{typed}, as typed"
    if form == "epds":
        return Said(words, _epds(typed), source="Cox, BJPsych 1987;150:782 (S)")
    if form == "phq_2" and typed >= PHQ_2_FULL_SCREEN:
        return Said(words, f"{PHQ_2_FULL_SCREEN} or more: a full screen", source="Kroenke 2003; Arroll 2010 (S)")
    return Said(words)


def _epds(value: int) -> str:
    if value >= MOOD_LIKELY:
        return f"{MOOD_LIKELY} or more, published as likely"
    return f"{MOOD_POSSIBLE} or more, published as possible" if value >= MOOD_POSSIBLE else ""
