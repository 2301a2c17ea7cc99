"""The pages of a receipt in the gallery: whose it is, its codes with remarks, what is charged, and the paper."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.pages.papers import Papers
from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from forms.receipt import Receipt, ReceiptCode, ReceiptLine, ReceiptPayment
from forms.receipt_codes import picked
from forms.referral import PaperIssued
from tests.desktop.gallery_visit import Framed
from tests.helpers.kept import found, whole_in_store
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS", "bill"]


def bill(page: VisitPage, made: TwinVisit) -> None:
    """A receipt for Ida with one reason that does not fit her age, one typed, a line and a payment."""
    home = page.home
    held = home.binding(Receipt, made.ida)
    for field, value in (("insured", made.mara), ("payer", "Alder Mutual"), ("member_number", "AM-88-1203"),
                         ("place", "home"), ("referral_number", "R-5511")):  # fmt: skip
        held.put(field, value)
    for code in ("P92.5", "R63.31", "Q99.9"):
        values = picked(home.chart, made.ida, code)
        assert values is not None
        home.add(ReceiptCode, made.ida, values=values)
        home.catch_up()
    home.add(ReceiptLine, made.ida, values={"procedure": "S9443", "units": 2, "fee": "120", "reasons": ("a",)})
    home.add(ReceiptPayment, made.ida, values={"amount": "100", "way": "card"})
    home.catch_up()
    home.save()
    settled(made)


def _at(section: str, page: VisitPage, made: TwinVisit) -> None:
    bill(page, made)
    page.go("leave", made.ida, section)
    settled(made)


def _empty(page: VisitPage, made: TwinVisit) -> None:
    page.go("leave", made.ida, "leave.reasons")
    settled(made)


def _paper(page: VisitPage, made: TwinVisit) -> None:
    bill(page, made)
    InView.of(page.home).keep(PaperIssued, "", "receipt")
    page.go("leave", made.ida, "leave.papers")
    papers = found(page.middle, Papers)
    papers.refresh()
    settled(made)
    assert papers.shown is not None, papers.told.said()


def _framed(show: Callable[[VisitPage, TwinVisit], None]) -> Callable[[], QWidget]:
    return partial(Framed, show, whole_in_store)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("leave-receipt", _framed(partial(_at, "leave.receipt"))),
    ("leave-reasons-empty", _framed(_empty)),
    ("leave-reasons", _framed(partial(_at, "leave.reasons"))),
    ("leave-charged", _framed(partial(_at, "leave.charged"))),
    ("leave-papers-receipt", _framed(_paper)),
]
