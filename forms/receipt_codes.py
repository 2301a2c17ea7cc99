"""The codes that stand on one person's receipt of a visit, and what the official file says against them there."""

from __future__ import annotations

from forms.answers import Given, Moment
from forms.chart import Chart
from forms.clinical.age import age_in_days
from forms.clinical.evidence import zone_of
from forms.clinical.visit_codes import CODES, EDITION, PROCEDURES, VisitRemark, remarks, tidy
from forms.people import InfantIdentity
from forms.receipt import ReceiptCode, ReceiptLine, next_letter
from forms.visit import Visit

__all__ = ["MOST_CHARACTERS", "picked", "procedure_remark", "receipt_remarks"]

MOST_CHARACTERS = 5
"""Characters of a procedure code in the open half of the American system (S): S9443."""


def receipt_remarks(chart: Chart, person: str) -> tuple[VisitRemark, ...]:
    """What stands against the codes of this person's receipt, by the baby's age on the day the visit began."""
    held = chart.all(ReceiptCode, person, visit=chart.visit)
    entry = chart.by_id(person)
    baby = entry.answers if entry is not None and isinstance(entry.answers, InfantIdentity) else None
    start = chart.person(Visit, chart.visit or "").start
    days = None
    if baby is not None and isinstance(start, Moment):
        found = age_in_days(baby.born, baby.born_day, start.at, zone_of(chart))
        days = found if isinstance(found, int) else None
    codes = [entry.answers.code for entry in held if isinstance(entry.answers.code, str)]
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
