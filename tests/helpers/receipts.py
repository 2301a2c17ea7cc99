"""A receipt of the invented family of `thornbury`, as small or as full as a test wants it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from forms.chart import Chart, Entry, entry_id
from forms.clinical.visit_codes import CODES, EDITION
from forms.people import Family, ParentIdentity
from forms.practice import Practice
from forms.receipt import LETTERS, Receipt, ReceiptCode, ReceiptLine, ReceiptPayment
from forms.visit import Visit
from tests.helpers import thornbury as t

__all__ = ["CLAIMED", "billed", "charge", "code", "full", "payment"]

CLAIMED: dict[str, Any] = {
    "insured": t.MARA, "payer": "Alder Mutual", "member_number": "AM-88-1203", "place": "home",
    "recommended_by": t.DOCTOR, "referral_number": "R-5511",
}  # fmt: skip


def code(letter: str, said: str, who: str = t.IDA, **more: Any) -> Entry[Any]:
    known = CODES.get(said)
    held = {"official_words": known.title, "edition": EDITION} if known else {}
    return t.entry(ReceiptCode, who, named=f"code {letter} {said}", letter=letter, code=said, **{**held, **more})


def charge(named: str, fee: str | None, units: int | None = 1, who: str = t.IDA, **more: Any) -> Entry[Any]:
    given = {"procedure": "S9443", "reasons": ("a",), **more}
    return t.entry(ReceiptLine, who, named=named, fee=fee, units=units, **given)


def payment(named: str, amount: str | None, who: str = t.IDA) -> Entry[Any]:
    return t.entry(ReceiptPayment, who, named=named, amount=amount, way="card", paid_day=date(2026, 3, 3))


def billed(*more: Entry[Any], who: str = t.IDA, signed: bool = True, page: str = "letter", **claimed: Any) -> Chart:
    """The family's chart with a receipt for one person; `more` are its lines, reasons and payments."""
    chart = t.whole(t.entry(Receipt, who, **{**CLAIMED, **claimed}), *more, signed=signed)
    changes: tuple[tuple[str, type[Any], dict[str, Any]], ...] = (
        (entry_id(Practice), Practice, {"currency": "usd", "tax_number": "00-1234567", "provider_number": "1000000004",
                                        "taxonomy_code": "174N00000X", "address": "14 Tallow Lane\nBrackwater",
                                        "paper_size": page}),
        (t.FAMILY, Family, {"address": "3 Mill Row, Brackwater"}),
        (t.MARA, ParentIdentity, {"born_day": date(1991, 5, 4)}),
        (t.VISIT, Visit, {"end": t.local(3, 11, 30)}),
    )  # fmt: skip
    for entity, _form, given in changes:
        held = chart.by_id(entity)
        assert held is not None
        chart = chart.with_entry(replace(held, answers=replace(held.answers, **given)))
    return chart


def full(page: str, *, reasons: int, lines: int, payments: int) -> Chart:
    """A receipt with so many reasons of the longest titles, lines and payments."""
    longest = sorted((one for one in CODES.values() if not one.heading), key=lambda one: -len(one.title))[:reasons]
    return billed(
        *(code(letter, one.code) for letter, one in zip(LETTERS, longest, strict=False)),
        *(charge(f"line {n}", "1240.50", 9, reasons=("a", "b", "c", "d"), modifier="33 59") for n in range(lines)),
        *(payment(f"paid {n}", "999.99") for n in range(payments)),
        page=page,
    )
