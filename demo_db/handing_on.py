"""What goes to others after an invented visit: leave to send it, reports, a letter, and a receipt.

It is charted where the papers of a visit are made, and not with the visit: a visit without papers has none of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from demo_db.charting import Charting
from forms.answers import Absence
from forms.clinical.visit_codes import CODES, EDITION
from forms.consent import Release
from forms.practice import Practice
from forms.receipt import Receipt, ReceiptCode, ReceiptLine, ReceiptPayment
from forms.referral import Referral
from forms.report import ProviderReport

__all__ = ["Asked", "HandedOn", "Letter", "Report", "bill_from", "bill_to", "hand_on"]


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a report's reader, and by which day."""

    what: str
    by: str


@dataclass(frozen=True, slots=True)
class Report:
    """A report about one person, to their own provider `to`; without `asked` nothing is asked."""

    person: str
    to: str
    must_know: str
    would_change: str
    asked: Asked | None = None


@dataclass(frozen=True, slots=True)
class Letter:
    """A referral about one person; `more` are further answers of the form by name."""

    person: str
    to: str
    more: dict[str, Any]


@dataclass(frozen=True, slots=True)
class HandedOn:
    """All of one visit. `by` gives each leave, at `at`; `own` are those who give it for themselves."""

    by: str
    at: str
    reports: tuple[Report, ...]
    letters: tuple[Letter, ...] = ()
    own: tuple[str, ...] = ()
    billed: str = ""


def hand_on(desk: Charting, told: HandedOn) -> tuple[str, ...]:
    """Write leave, reports and letters into the visit; the ids of the letters."""
    for report in told.reports:
        asked: dict[str, Any] = {"asked": report.asked.what, "asked_by": report.asked.by} if report.asked else {}
        _allow(desk, told, report.person, report.to, "report", "weights", "plan")
        desk.fill(
            ProviderReport, report.person, to=report.to, must_know=report.must_know, would_change=report.would_change,
            rest=Absence.NONE, **asked,
        )  # fmt: skip
    return tuple(_begin(desk, told, letter) for letter in told.letters)


def _begin(desk: Charting, told: HandedOn, letter: Letter) -> str:
    _allow(desk, told, letter.person, letter.to, "referral")
    return desk.fill(
        Referral, letter.person, entity=desk.ids(), to=letter.to, reply_to="555 0190", parent_has_copy=True,
        state="drafted", rest=Absence.NOT_ASKED, **letter.more,
    )  # fmt: skip


def _allow(desk: Charting, told: HandedOn, person: str, to: str, *scope: str) -> None:
    day = told.at.split()[0]
    desk.fill(
        Release, person, entity=desk.ids(), recipient=to, scope=scope, both_ways=True, given_by=told.by,
        relation="self" if person in told.own else "parent", how="signed", given_at=told.at, valid_from=day,
        valid_until="2026-08-31", rest=Absence.NONE,
    )  # fmt: skip


def bill_from(desk: Charting) -> None:
    """What payers ask of the practice; all of it invented."""
    desk.fill(
        Practice, currency="usd", tax_number="00-0041770", provider_number="1000000004", taxonomy_code="000N00000X",
    )  # fmt: skip


def bill_to(desk: Charting, person: str, insured: str, doctor: str, paid_on: str) -> None:
    """A receipt of the visit for one person: one reason, two things charged under made-up codes, paid in part."""
    desk.fill(
        Receipt, person, insured=insured, payer="Alder Mutual", member_number="AM-88-1203", place="home",
        recommended_by=doctor, referral_number="R-5511",
    )  # fmt: skip
    reason = CODES["P92.5"]
    desk.fill(
        ReceiptCode, person, entity=desk.ids(), letter="a", code=reason.code, official_words=reason.title,
        edition=EDITION,
    )  # fmt: skip
    for procedure, units, fee in (("TL-90", 1, "165.00"), ("TL-KM", 14, "0.70")):
        desk.fill(
            ReceiptLine, person, entity=desk.ids(), procedure=procedure, units=units, fee=fee, reasons=("a",)
        )  # fmt: skip
    desk.fill(ReceiptPayment, person, entity=desk.ids(), amount="120.00", way="card", paid_day=paid_on)
