"""What a receipt says: who, codes, exact sums; and that nothing told, seen, weighed or planned is on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from forms.answers import Conflicted, Variant
from forms.ask import Kind, Paper, Printed, asks
from forms.chart import Chart, Place
from forms.form import catalog
from forms.papers.outline import Outline, words_of
from forms.papers.receipt import NothingCharged, NotReason, ReceiptTooLong, receipt
from forms.receipt import NotAnAmount, ReceiptLine
from forms.trouble import Unresolved
from tests.helpers import thornbury as t
from tests.helpers.receipts import billed, charge, code, payment

MAY = {
    "practice", "practitioner", "provider", "family", "parent", "infant", "care_team", "visit",
    "receipt", "receipt_code", "receipt_line", "receipt_payment",
}  # fmt: skip
"""Forms of which anything may stand on a receipt: who people are, when it was, and the receipt itself."""


def made(chart: Chart, who: str = t.IDA, *, fits: bool = True) -> Outline:
    return receipt(chart, who, writer=t.WRITER, now=t.NOW, fits=lambda _outline: fits)


def said(*more: Any, **claimed: Any) -> str:
    return words_of(made(billed(code("a", "R63.30"), *more, **claimed)))


def test_a_receipt_says_who_where_when_why_in_codes_and_what_it_comes_to() -> None:
    words = said(charge("one", "120", 2), charge("two", "40.50"), payment("paid", "100"))
    for expected in (
        "Ida Thornbury-Reyes, born 12 January 2026", "Insured person: Mara Thornbury, born 4 May 1991",
        "3 Mill Row, Brackwater", "Alder Mutual; AM-88-1203", "14 Tallow Lane Brackwater", "tax number 00-1234567",
        "provider number 1000000004", "taxonomy code 174N00000X", "12 Home", "90 minutes", "Dr Amadi; R-5511",
        "R63.30", "Feeding difficulties, unspecified", "ICD-10-CM, April 2026 release", "S9443",
        "fee for one: 120.00 USD; sum: 240.00 USD", "Total: 280.50 USD", "Paid: 100.00 USD, card, 3 March 2026",
        "Balance: 180.50 USD", "This is not a bill to the payer.", "for billing; they are not a diagnosis",
    ):  # fmt: skip
        assert expected in words, expected


def test_nothing_but_who_people_are_the_visits_head_and_the_receipt_may_stand_on_it() -> None:
    found = {
        form.name
        for form in catalog().values()
        for ask in asks(form).values()
        if isinstance(ask.paper, Printed) and Paper.RECEIPT in ask.paper.on
    }
    assert found <= MAY
    allowed = {
        name
        for name, ask in asks(catalog()["visit"]).items()
        if isinstance(ask.paper, Printed) and Paper.RECEIPT in ask.paper.on
    }
    assert allowed == {"kind", "start", "end", "practitioner"}


def test_no_word_of_the_visits_record_is_on_the_receipt() -> None:
    chart = billed(code("a", "R63.30"), charge("one", "120"), payment("paid", "0"))
    words, tried = words_of(made(chart)), 0
    for entry in chart.entries:
        if entry.place.form in MAY - {"visit"}:
            continue
        for name, ask in asks(type(entry.answers)).items():
            given = getattr(entry.answers, name)
            if (
                ask.kind in (Kind.TEXT, Kind.LINE)
                and isinstance(given, str)
                and len(given) > 3
                and name not in ("reply_to", "who", "given_by")
            ):
                tried += 1
                assert given not in words, f"{entry.place.form}.{name}"
    assert tried > 15
    assert "2,680" not in words
    assert "2310" not in words


@pytest.mark.parametrize(
    ("lines", "payments", "total", "balance"),
    [
        ((("120", 1),), (), "Total: 120.00 USD", "Balance: not worked out: no payment is written"),
        ((("120", 1),), ("0",), "Total: 120.00 USD", "Balance: 120.00 USD"),
        ((("0.10", 3),), ("0.30",), "Total: 0.30 USD", "Balance: 0.00 USD"),
        ((("120", None),), ("20",), "Total: not worked out", "Balance: not worked out: an amount is missing"),
        (((None, 1), ("50", 1)), ("20",), "Total: not worked out", "Balance: not worked out: an amount is missing"),
        ((("120", 1),), ("20", None), "Total: 120.00 USD", "Balance: not worked out: an amount is missing"),
        ((("120", 1),), ("130",), "Total: 120.00 USD", "Balance: -10.00 USD (more was paid than charged)"),
    ],
)  # fmt: skip
def test_sums_are_exact_and_none_is_worked_out_while_an_amount_is_missing(
    lines: tuple[tuple[str | None, int | None], ...], payments: tuple[str | None, ...], total: str, balance: str
) -> None:
    words = said(
        *(charge(f"line {n}", fee, units) for n, (fee, units) in enumerate(lines)),
        *(payment(f"paid {n}", amount) for n, amount in enumerate(payments)),
    )
    assert total in words
    assert balance in words


@pytest.mark.parametrize("typed", ["1,20", "a hundred", "-5", "1.234", "120 USD", "1e3", "٣"])
def test_what_is_no_amount_makes_no_receipt(typed: str) -> None:
    with pytest.raises(NotAnAmount):
        made(billed(code("a", "R63.30"), charge("one", typed)))
    with pytest.raises(NotAnAmount):
        made(billed(code("a", "R63.30"), charge("one", "10"), payment("paid", typed)))


def test_a_receipt_without_a_line_is_not_made() -> None:
    with pytest.raises(NothingCharged):
        made(billed(code("a", "R63.30")))


def test_a_line_that_names_a_reason_which_is_not_there_makes_no_receipt() -> None:
    with pytest.raises(NotReason, match="names reason B"):
        made(billed(code("a", "R63.30"), charge("one", "120", reasons=("a", "b"))))


def test_two_reasons_of_one_letter_make_no_receipt() -> None:
    with pytest.raises(NotReason, match="lettered A"):
        made(billed(code("a", "R63.30"), code("a", "R63.4"), charge("one", "120")))


def test_two_answers_for_a_fee_hold_the_receipt_back() -> None:
    chart = billed(code("a", "R63.30"), charge("one", "120"))
    held = chart.by_id("one")
    assert held is not None
    assert isinstance(held.answers, ReceiptLine)
    at = datetime(2026, 3, 3, tzinfo=UTC)
    torn: Any = Conflicted((Variant("120", "a", at, "d", b"1"), Variant("130", "b", at, "e", b"2")))  # type: ignore[arg-type]
    chart = chart.with_entry(replace(held, answers=replace(held.answers, fee=torn)))
    with pytest.raises(Unresolved):
        made(chart)


def test_what_a_payer_asks_and_nobody_wrote_is_said_not_guessed() -> None:
    words = words_of(made(t.whole(charge("one", "120", reasons=()))))
    for expected in (
        "Insured person: not written", "Address: not written", "not written; not written", "tax number not written",
        "end not written", "place not written", "No code is given.", "reasons: not written", "120.00",
    ):  # fmt: skip
        assert expected in words, expected


def test_a_code_without_an_official_title_is_printed_as_typed() -> None:
    words = words_of(made(billed(code("a", "X99.9"), charge("one", "120"))))
    assert "X99.9" in words
    assert "no official title is at hand" in words


def test_a_receipt_of_one_person_holds_nothing_of_anothers() -> None:
    chart = billed(code("a", "R63.30"), charge("one", "120"), charge("hers", "777", who=t.MARA))
    assert "777" not in words_of(made(chart))


def test_a_line_of_another_visit_stands_on_no_receipt_of_this_one() -> None:
    chart = billed(code("a", "R63.30"), charge("one", "120"), charge("then", "777"))
    held = chart.by_id("then")
    assert held is not None
    earlier = replace(held, place=Place(ReceiptLine.name, t.FAMILY, "another visit", (t.IDA,)))
    assert "777" not in words_of(made(chart.with_entry(earlier)))


def test_a_receipt_that_does_not_fit_its_page_says_so() -> None:
    with pytest.raises(ReceiptTooLong):
        made(billed(code("a", "R63.30"), charge("one", "120")), fits=False)


def test_a_receipt_before_the_signature_says_so() -> None:
    assert "Written before the note was finished." in words_of(
        made(billed(code("a", "R63.30"), charge("one", "120"), signed=False))
    )
    assert "Written before" not in said(charge("one", "120"))
