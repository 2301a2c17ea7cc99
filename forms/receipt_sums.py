"""What a receipt comes to: exact sums, said with the practice's currency, or what keeps one from being worked out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from forms.answers import Given, known
from forms.ask import ask_of
from forms.chart import Chart
from forms.practice import Practice
from forms.receipt import ReceiptLine, ReceiptPayment, amount_of, charged, total

__all__ = ["Sums", "money", "sums", "sums_of", "told"]

NO_TOTAL = "not worked out: a line lacks its units or its fee"
NO_PAYMENT = "not worked out: no payment is written"
NO_AMOUNT = "not worked out: an amount is missing"


@dataclass(frozen=True, slots=True)
class Sums:
    """A receipt's total, what was received, and the balance; None for each that a missing amount leaves open.

    `paid` says whether any payment is written at all.
    """

    total: Decimal | None
    received: Decimal | None
    paid: bool

    @property
    def balance(self) -> Decimal | None:
        """What is still owed; below nothing where more was paid than charged."""
        return self.total - self.received if self.total is not None and self.received is not None else None


def money(chart: Chart, amount: Decimal | None, missing: str) -> str:
    """An amount with two decimals and the currency's code, "1,240.50 USD"; without an amount what is missing."""
    currency: Given[str] = known(chart.one(Practice).currency, ask_of(Practice, "currency").label)
    code = f" {currency.upper()}" if isinstance(currency, str) else ""
    return f"{amount:,.2f}{code}" if amount is not None else missing


def sums_of(chart: Chart, person: str) -> Sums:
    """The sums of one person's receipt of this visit. Raises NotAnAmount, and Unresolved while two answers stand."""
    lines = [entry.answers for entry in chart.all(ReceiptLine, person, visit=chart.visit)]
    payments = [entry.answers for entry in chart.all(ReceiptPayment, person, visit=chart.visit)]
    owed = [
        charged(known(line.units, ask_of(ReceiptLine, "units").label), known(line.fee, _label(ReceiptLine, "fee")))
        for line in lines
    ]
    label = _label(ReceiptPayment, "amount")
    received = [amount_of(known(paid.amount, label), label) for paid in payments]
    return Sums(total(owed), total(received), bool(payments))


def _label(form: type[ReceiptLine | ReceiptPayment], field: str) -> str:
    return ask_of(form, field).label


def told(chart: Chart, found: Sums) -> tuple[str, str]:
    """The total and the balance in words."""
    missing = NO_AMOUNT if found.paid else NO_PAYMENT
    over = " (more was paid than charged)" if found.balance is not None and found.balance < 0 else ""
    return money(chart, found.total, NO_TOTAL), money(chart, found.balance, missing) + over


def sums(chart: Chart, person: str) -> str:
    """Total and balance of one person's receipt in a line. Raises as `sums_of` does."""
    owed, balance = told(chart, sums_of(chart, person))
    unnamed = "" if chart.one(Practice).currency else " No currency is chosen; choose it under Practice."
    return f"Total {owed}. Balance {balance}.{unnamed}"
