"""The codes that stand on one person's receipt of a visit, and what the official file says against them there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from forms.answers import Given, Moment
from forms.chart import Chart
from forms.clinical.age import age_in_days
from forms.clinical.evidence import zone_of
from forms.clinical.visit_codes import CODES, EDITION, PROCEDURES, VisitCode, VisitRemark, remarks, tidy
from forms.people import InfantIdentity
from forms.receipt import ReceiptCode, ReceiptLine, next_letter
from forms.visit import Visit

__all__ = ["MOST_CHARACTERS", "offered", "picked", "procedure_remark", "receipt_remarks"]

MOST_CHARACTERS = 5
"""Characters of a procedure code in the open half of the American system (S): S9443."""


def receipt_remarks(chart: Chart, person: str) -> tuple[VisitRemark, ...]:
    """What stands against the codes of this person's receipt; a code that stands already is not offered instead."""
    codes = [
        one.answers.code
        for one in chart.all(ReceiptCode, person, visit=chart.visit)
        if isinstance(one.answers.code, str)
    ]
    standing = {tidy(code) for code in codes}
    return tuple(
        replace(remark, instead=tuple(code for code in remark.instead if code not in standing))
        for remark in _against(chart, person, codes)
    )


def offered(chart: Chart, person: str) -> tuple[VisitCode, ...]:
    """Every code of the table that can be picked, first those that nothing stands against for this person here."""
    found = (one for one in CODES.values() if not one.heading)
    return tuple(sorted(found, key=lambda one: bool(_against(chart, person, [one.code]))))


def _against(chart: Chart, person: str, codes: Sequence[str]) -> tuple[VisitRemark, ...]:
    """The remarks on some codes, by the baby's age on the day the visit began."""
    entry = chart.by_id(person)
    baby = entry.answers if entry is not None and isinstance(entry.answers, InfantIdentity) else None
    start = chart.person(Visit, chart.visit or "").start
    days = None
    if baby is not None and isinstance(start, Moment):
        found = age_in_days(baby.born, baby.born_day, start.at, zone_of(chart))
        days = found if isinstance(found, int) else None
    return remarks(codes, days, of_baby=baby is not None)


def picked(chart: Chart, person: str, code: str) -> dict[str, str] | None:
    """The answers of a new reason with a code of the table; None when every letter is taken."""
    taken = [entry.answers.letter for entry in chart.all(ReceiptCode, person, visit=chart.visit)]
    letter = next_letter(taken)
    if letter is None:
        return None
    known = CODES.get(tidy(code))
    if known is None:
        return {"letter": letter, "code": code.strip()}
    return {"letter": letter, "code": known.code, "official_words": known.title, "edition": EDITION}


def procedure_remark(line: ReceiptLine) -> str:
    """What may be said of a procedure code as typed; "" for nothing."""
    typed: Given[str] = line.procedure
    if not isinstance(typed, str) or not typed.strip():
        return ""
    bare = typed.strip().upper()
    if len(bare) > MOST_CHARACTERS:
        return f"A procedure code has at most {MOST_CHARACTERS} characters; this one is kept as typed."
    return f"{bare}: {PROCEDURES[bare]}." if bare in PROCEDURES else ""
