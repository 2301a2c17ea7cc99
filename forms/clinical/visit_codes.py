"""Codes on a receipt: their official titles, and what the official file says of when each may be used.

A code tells a payer the reason for a visit; it is no diagnosis. Nothing here is refused: each remark is one plain
sentence beside the code, and the consultant decides. Titles and notes: ICD-10-CM, tabular list (S, SOURCES.md).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from forms.clinical.code_table import EDITION, ROWS

__all__ = ["CODES", "EDITION", "PROCEDURES", "VisitCode", "VisitRemark", "remarks", "tidy"]

# P92.- to 28 days, R63.3- after 28 days, P92.6 and R62.51 likewise: notes of the tabular list (S). Day of birth 0.
_NEWBORN_DAYS: Final = 28
# Z00.110 "under 8 days old", Z00.111 "8 to 28 days old": the titles themselves (S).
_SECOND_WEEK_DAYS: Final = 8


@dataclass(frozen=True, slots=True)
class VisitCode:
    """One code of the table; a `heading` needs another character before a payer takes it."""

    code: str
    title: str
    heading: bool


@dataclass(frozen=True, slots=True)
class VisitRemark:
    """What the official file says against a code here, in one sentence, and the codes it may be looked for among."""

    code: str
    words: str
    instead: tuple[str, ...] = ()


CODES: Final[Mapping[str, VisitCode]] = MappingProxyType({row[0]: VisitCode(*row) for row in ROWS})
"""Every code and heading of the table, in order."""

PROCEDURES: Final[Mapping[str, str]] = MappingProxyType({
    "S9443": "Lactation classes, non-physician provider, per session",
    "E0602": "a breast pump; look its kind up in the year’s HCPCS file",
    "E0603": "a breast pump; look its kind up in the year’s HCPCS file",
    "E0604": "a breast pump; look its kind up in the year’s HCPCS file",
})  # fmt: skip
"""HCPCS codes that payers name: the title of the first (S), what the others are for in words of ours (S2)."""


def tidy(code: str) -> str:
    """A code as the table writes it, "p925" as "P92.5"; what cannot be one is left as typed, but for its spaces."""
    bare = code.strip().upper().replace(".", "")
    if len(bare) > 3 and bare.isalnum() and bare[0].isalpha() and bare[1].isdigit():
        return f"{bare[:3]}.{bare[3:]}"
    return bare if bare in CODES else code.strip()


def _under(heading: str) -> tuple[str, ...]:
    """The codes a payer takes under a heading, in order."""
    return tuple(one.code for one in CODES.values() if one.code.startswith(heading) and not one.heading)


_OF_NEWBORN: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("P92.0", ()), ("P92.6", ("R62.51",)), ("P92", _under("R63.3")),
)  # fmt: skip
"""Codes to 28 days, the narrower first, and where to look later (vomiting later on, R11.-, is not in the table)."""
_FEEDING: Final = tuple(code for code in _under("P92") if not code.startswith(("P92.0", "P92.6")))
"""Of the codes of newborns those about feeding itself: vomiting and failure to thrive have their own later codes."""
_OF_OLDER: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (("R63.3", _FEEDING), ("R62.51", ("P92.6",)))
"""Codes from day 29 on, and where to look earlier."""


def remarks(codes: Sequence[str], age_days: int | None, *, of_baby: bool) -> tuple[VisitRemark, ...]:
    """What stands against these codes on one receipt, code by code in the order given; () when nothing was found.

    `age_days` is the baby's age at the visit in calendar days, day of birth 0, or None where it is not known;
    `of_baby` says whether the receipt is about a baby, for the rules of age are a baby's.
    """
    held = tuple(tidy(code) for code in codes if code.strip())
    return tuple(remark for code in dict.fromkeys(held) for remark in _of_one(code, held, age_days, of_baby=of_baby))


def _of_one(code: str, held: Sequence[str], age_days: int | None, *, of_baby: bool) -> Iterator[VisitRemark]:
    found = CODES.get(code)
    if held.count(code) > 1:
        yield VisitRemark(code, f"{code} stands here more than once.")
    if found is None:
        yield VisitRemark(
            code,
            f"{code} is not in this table ({EDITION}). It is kept as typed; look it up in the year’s official file.",
        )
    elif found.heading:
        short = len(code.replace(".", "")) + 1
        yield VisitRemark(code, f"{code} needs a {short}th character.", _under(code))
    yield from _for_whom(code, of_baby=of_baby)
    if of_baby:
        yield from _at_age(code, age_days)
    if code == "Z39.1" and any(other.startswith("O92") for other in held):
        yield VisitRemark(code, "Z39.1 and O92.- exclude each other; keep one of them.")


def _for_whom(code: str, *, of_baby: bool) -> Iterator[VisitRemark]:
    """Chapters O and P are for one record each: notes of the tabular list (S)."""
    if code.startswith("P") and code[1:2].isdigit() and not of_baby:
        yield VisitRemark(code, f"{code} is for a newborn’s record, never for a parent’s.")
    if code.startswith(("O9", "Z39")) and of_baby:
        yield VisitRemark(code, f"{code} is for the record of who gave birth, never for a baby’s.")


def _at_age(code: str, age_days: int | None) -> Iterator[VisitRemark]:
    newborn = next((later for heading, later in _OF_NEWBORN if code.startswith(heading)), None)
    older = next((earlier for heading, earlier in _OF_OLDER if code.startswith(heading)), None)
    health = code.startswith("Z00.11")
    if newborn is None and older is None and not health:
        return
    if age_days is None:
        yield VisitRemark(code, f"{code} goes by age, and the baby’s day of birth is not written; check it.")
        return
    aged = f"this baby was {age_days} {'day' if age_days == 1 else 'days'} old"
    if newborn is not None and age_days > _NEWBORN_DAYS:
        look = " Look for vomiting after 28 days, R11.-, in the official file." if code.startswith("P92.0") else ""
        yield VisitRemark(code, f"{code} is for up to {_NEWBORN_DAYS} days; {aged}.{look}", newborn)
    elif older is not None and age_days <= _NEWBORN_DAYS:
        yield VisitRemark(code, f"{code} is for after {_NEWBORN_DAYS} days; {aged}.", older)
    elif code == "Z00.110" and age_days >= _SECOND_WEEK_DAYS:
        instead = ("Z00.111",) if age_days <= _NEWBORN_DAYS else ()
        yield VisitRemark(code, f"{code} is for under {_SECOND_WEEK_DAYS} days; {aged}.", instead)
    elif code == "Z00.111" and not _SECOND_WEEK_DAYS <= age_days <= _NEWBORN_DAYS:
        instead = ("Z00.110",) if age_days < _SECOND_WEEK_DAYS else ()
        yield VisitRemark(code, f"{code} is for {_SECOND_WEEK_DAYS} to {_NEWBORN_DAYS} days; {aged}.", instead)
