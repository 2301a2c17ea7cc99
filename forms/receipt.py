"""The receipt of a visit for one person, to hand to a payer: who is insured, what was done, its price, what was paid.

It tells a payer why a visit was made, in codes, and carries no finding. Procedure codes are typed; no list of them is
kept here, since their wording has an owner. Amounts are kept as typed and read as exact decimals.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Given
from forms.ask import Need, NotCoded, NotPrinted, Paper, Printed, When, choice, codes, count, day, line, many, ref
from forms.form import About, Form, declared
from forms.trouble import Trouble

__all__ = [
    "LETTERS", "NotAnAmount", "Receipt", "ReceiptCode", "ReceiptLine", "ReceiptPayment", "amount_of", "charged",
    "next_letter", "total",
]  # fmt: skip

BILL: Final = Printed((Paper.RECEIPT,))
PART: Final = NotCoded("for a payer; no part of the record that is handed over")
SAID: Final[Mapping[str, Any]] = MappingProxyType({"paper": BILL, "code": PART})
MUST: Final[Mapping[str, Any]] = MappingProxyType({**SAID, "need": Need.MUST})

LETTERS: Final = tuple("abcdefghijkl")
"""How reasons for the visit are named on a receipt: twelve at most, as claim forms have (M)."""

# 12 home, 11 office, 10 video into the patient's home: place-of-service codes, from memory (M).
PLACES: Final = codes(home="12 Home", office="11 Office", video="10 By video, into the home", other="Another place")
WAYS: Final = codes(cash="Cash", card="Card", transfer="Bank transfer", cheque="Cheque", other="Another way")
_AMOUNT: Final = re.compile(r"[0-9]{1,7}(?:\.[0-9]{2})?")


class NotAnAmount(Trouble):
    """What stands for an amount cannot be read as one."""

    template = "“{label}” on the receipt has to be an amount such as 120 or 120.50. Write it so, then make it again."


@declared("receipt", "Receipt", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt(Form):
    """What a payer has to know of one person's visit, beside who they are; lines, reasons and payments hang on it."""

    insured: Given[str] = ref("Insured person", ("parent", "infant"), **MUST)
    payer: Given[str] = line("Payer", **SAID)
    member_number: Given[str] = line("Member number", **SAID)
    place: Given[str] = choice("Place of service", PLACES, **MUST)
    place_own: Given[str] = line(
        "Which place, with its code", need=Need.WHEN_OPEN, when=When("place", one_of=("other",)), **SAID
    )
    recommended_by: Given[str] = ref("Recommended by", ("provider",), **SAID)
    referral_number: Given[str] = line("Referral number", **SAID)


@declared("receipt_code", "Reason for the visit, for billing", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptCode(Form):
    """One code, with the title and the edition it was picked from, so that it stays what it was."""

    letter: Given[str] = choice(
        "Letter", codes(**{letter: letter.upper() for letter in LETTERS}), help="What a line names it by.", **MUST
    )
    code: Given[str] = line("Code", help="Kept as typed. A remark beside it never refuses it.", **MUST)
    official_words: Given[str] = line("Official title", **SAID)
    edition: Given[str] = line("Edition it was read in", **SAID)


@declared("receipt_line", "Line of a receipt", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptLine(Form):
    """One thing charged. Its procedure code is what the payer asked for, and is hers to choose."""

    procedure: Given[str] = line("Procedure code", help="At most 5 characters, as the payer wants it.", **MUST)
    modifier: Given[str] = line("Modifier", **SAID)
    units: Given[int] = count("Units", low=1, high=99, source="house bound, no source", **MUST)
    fee: Given[str] = line("Fee for one unit", help="Such as 120 or 120.50.", **MUST)
    reasons: Given[tuple[str, ...]] = many(
        "For which reasons", codes(**{letter: letter.upper() for letter in LETTERS}), **MUST
    )


@declared("receipt_payment", "Payment", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptPayment(Form):
    """One payment received. Nothing paid is a payment of 0, or no payment at all: the receipt says which."""

    amount: Given[str] = line("Amount paid", help="Such as 120 or 120.50.", **MUST)
    way: Given[str] = choice("Paid how", WAYS, **MUST)
    paid_day: Given[date] = day("Paid on", **MUST)
    note: Given[str] = line(
        "Note", paper=NotPrinted("for the practice's own books"), code=PART, help="For your own books; not printed."
    )


def amount_of(typed: Given[str], label: str) -> Decimal | None:
    """The exact amount that was typed, None where none stands. Raises NotAnAmount for what cannot be read as one."""
    if not isinstance(typed, str) or not typed.strip():
        return None
    if not _AMOUNT.fullmatch(typed.strip()):
        raise NotAnAmount(label=label)
    return Decimal(typed.strip()).quantize(Decimal("0.01"))


def charged(units: Given[int], fee: Given[str]) -> Decimal | None:
    """What a line comes to; None while its units or its fee are missing. Raises NotAnAmount."""
    each = amount_of(fee, "Fee for one unit")
    return each * units if each is not None and isinstance(units, int) else None


def total(amounts: Sequence[Decimal | None]) -> Decimal | None:
    """The sum, or None where any amount is missing or none stands: a sum is never guessed."""
    held = [amount for amount in amounts if amount is not None]
    return sum(held, Decimal("0.00")) if held and len(held) == len(amounts) else None


def next_letter(taken: Sequence[Given[str]]) -> str | None:
    """The first letter no reason has yet; None when all are taken."""
    return next((letter for letter in LETTERS if letter not in taken), None)
