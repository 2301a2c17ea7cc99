"""The receipt of a visit for one person: one page a payer can read, with codes, sums and what was paid.

It carries who people are and what a payer asks, and nothing that was told, seen, weighed or planned. A sum of which any
part is missing is not worked out, and the page says which part.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.ask import Paper, ask_of
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.papers.co_signed import draft, line
from forms.papers.outline import (
    SCOPE,
    Block,
    Foot,
    Heading,
    Item,
    Items,
    Lines,
    Mark,
    Outline,
    Paragraph,
    Table,
    Title,
    Words,
    plain,
    strong,
)  # fmt: skip
from forms.papers.said import Said, day_words, one_of
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner, Provider
from forms.receipt import Receipt, ReceiptCode, ReceiptLine, ReceiptPayment, amount_of, charged
from forms.receipt_sums import Sums, money, sums_of, told
from forms.trouble import Trouble
from forms.visit import Visit

__all__ = ["NotReason", "NothingCharged", "ReceiptTooLong", "receipt"]

SIZE: Final = 10
LEAST: Final = 9
_NOT_WRITTEN: Final = "not written"


class NothingCharged(Trouble):
    """A receipt was asked for on which nothing is charged."""

    template = "Nothing is charged on the receipt of {name} yet. Write a line under Receipt, then make it again."


class NotReason(Trouble):
    """A line of the receipt names a reason that is not there, or two reasons have one letter, or one has none."""

    template = "{why} Put that right under Receipt, then make it again."


class ReceiptTooLong(Trouble):
    """A receipt takes more than its one page."""

    template = "The receipt of {name} takes more than one page. Shorten what is written on it, then make it again."


def _identity(said: Said, person: str) -> str:
    """A person's full name and birth date: "Ida Thornbury, born 28 February 2026"."""
    found = said.chart.by_id(person)
    if found is None or not isinstance(found.answers, InfantIdentity | ParentIdentity):
        return ""
    name = said.full_name(found.answers) or "name " + _NOT_WRITTEN
    born = said.words(found.answers, "born_day")
    if isinstance(found.answers, InfantIdentity):
        moment = said.value(found.answers, "born")
        born = day_words(moment.local().date()) if isinstance(moment, Moment) else born
    return f"{name}, born {born or '(' + _NOT_WRITTEN + ')'}"


def _people(said: Said, person: str, kept: Receipt) -> Iterator[Item]:
    insured = said.value(kept, "insured")
    yield Item("For", plain(_identity(said, person)))
    yield Item("Insured person", plain(_identity(said, insured) if isinstance(insured, str) else _NOT_WRITTEN))
    others = [
        entry
        for form in (ParentIdentity, InfantIdentity)
        for entry in said.chart.all(form)
        if entry.id not in (person, insured)
    ]
    # A payer asks for parent and baby: the babies of a parent's receipt, and who is with a baby when nobody is insured.
    babies = [entry.id for entry in others if isinstance(entry.answers, InfantIdentity)]
    if babies and isinstance(_answers(said, person), ParentIdentity):
        yield Item("Baby" if len(babies) == 1 else "Babies", plain(one_of(_identity(said, baby) for baby in babies)))
    yield Item("Address", plain(" ".join(said.words(said.family(), "address").split()) or _NOT_WRITTEN))
    payer, number = said.words(kept, "payer"), said.words(kept, "member_number")
    yield Item("Payer and member number", plain(f"{payer or _NOT_WRITTEN}; {number or _NOT_WRITTEN}"))


def _answers(said: Said, person: str) -> object:
    found = said.chart.by_id(person)
    return found.answers if found is not None else None


def _sender(said: Said, writer: str) -> Iterator[Item]:
    practice, who = said.chart.one(Practice), said.chart.person(Practitioner, writer)
    where = filter(None, (said.words(practice, "practice_name"), " ".join(said.words(practice, "address").split())))
    yield Item("Practice", plain(", ".join(where) or _NOT_WRITTEN))
    numbers = [
        (said.label(ask_of(form, field)), said.words(answers, field))
        for form, answers, field in (
            (Practice, practice, "tax_number"), (Practice, practice, "provider_number"),
            (Practice, practice, "taxonomy_code"), (Practitioner, who, "credential_number"),
        )
    ]  # fmt: skip
    yield Item("Its numbers", plain("; ".join(f"{name.lower()} {held or _NOT_WRITTEN}" for name, held in numbers)))
    yield Item("Seen by", plain(printed_name(said, writer)))


def _service(said: Said, kept: Receipt) -> Iterator[Item]:
    visit = said.chart.person(Visit, said.chart.visit or "")
    began, ended = said.value(visit, "start"), said.value(visit, "end")
    place = said.words(kept, "place_own") if kept.place == "other" else said.words(kept, "place")
    yield Item("Day and place of service", plain(f"{_when(said, began, ended)}; {place or 'place ' + _NOT_WRITTEN}"))
    by, number = said.words(kept, "recommended_by"), said.words(kept, "referral_number")
    if by or number:
        provider = said.chart.by_id(kept.recommended_by) if isinstance(kept.recommended_by, str) else None
        if provider is not None and isinstance(provider.answers, Provider):
            by = ", ".join(filter(None, (by, said.words(provider.answers, "practice"))))
        yield Item("Recommended by, referral number", plain(f"{by or _NOT_WRITTEN}; {number or _NOT_WRITTEN}"))


def _when(said: Said, began: object, ended: object) -> str:
    """The day, from when to when, and how many minutes that were; what is missing is said, never worked out."""
    if not isinstance(began, Moment):
        return f"day {_NOT_WRITTEN}"
    words = said.tongue.moment(began)
    if not isinstance(ended, Moment):
        return f"{words}, end {_NOT_WRITTEN}"
    minutes = int((ended.at - began.at).total_seconds() // 60)
    return f"{words} to {ended.local():%H:%M}, {minutes} minutes" if minutes >= 0 else f"{words}, end to be checked"


def _reasons(said: Said, codes: tuple[Entry[ReceiptCode], ...]) -> Iterator[Block]:
    yield Heading("Reason for the visit, for billing")
    held = [(str(said.value(entry.answers, "letter") or ""), entry.answers) for entry in codes]
    if any(not letter for letter, _ in held):
        raise NotReason(why="A reason for the visit has no letter.")
    twice = next((letter for letter, _ in held if [one for one, _ in held].count(letter) > 1), "")
    if twice:
        raise NotReason(why=f"Two reasons for the visit are lettered {twice.upper()}.")
    rows = tuple(
        tuple(
            plain(cell)
            for cell in (
                letter.upper(), said.words(code, "code") or _NOT_WRITTEN,
                said.words(code, "official_words") or "as typed; no official title is at hand",
                said.words(code, "edition") or "-",
            )
        )
        for letter, code in sorted(held, key=lambda one: one[0])
    )  # fmt: skip
    if rows:
        yield Table("Reasons for the visit", ("", "code", "official title", "edition"), rows)
    else:
        yield Paragraph(plain("No code is given."))


def _lines(said: Said, lines: tuple[Entry[ReceiptLine], ...], letters: frozenset[str]) -> Table:
    rows: list[tuple[Words, ...]] = []
    for entry in lines:
        line = entry.answers
        named = said.value(line, "reasons")
        pointed = tuple(named) if isinstance(named, tuple) else ()
        astray = next((letter for letter in pointed if letter not in letters), "")
        if astray:
            raise NotReason(why=f"A line names reason {astray.upper()}, which is not on the receipt.")
        units, fee = said.value(line, "units"), said.value(line, "fee")
        each = amount_of(fee, ask_of(ReceiptLine, "fee").label)
        rows.append(tuple(plain(cell) for cell in (
            said.words(line, "procedure") or _NOT_WRITTEN, said.words(line, "modifier") or "-",
            "".join(letter.upper() for letter in pointed) or _NOT_WRITTEN, said.words(line, "units") or _NOT_WRITTEN,
            money(said.chart, each, _NOT_WRITTEN), money(said.chart, charged(units, fee), "not worked out"),
        )))  # fmt: skip
    columns = ("procedure code", "modifier", "reasons", "units", "fee for one", "sum")
    return Table("What is charged", columns, tuple(rows))


def _paid(said: Said, payments: tuple[Entry[ReceiptPayment], ...], found: Sums) -> Iterator[Item]:
    owed, balance = told(said.chart, found)
    yield Item("Total", strong(owed))
    for entry in payments:
        paid = entry.answers
        amount = amount_of(said.value(paid, "amount"), ask_of(ReceiptPayment, "amount").label)
        how, when = said.words(paid, "way") or "how " + _NOT_WRITTEN, said.words(paid, "paid_day") or _NOT_WRITTEN
        yield Item("Paid", plain(f"{money(said.chart, amount, 'amount ' + _NOT_WRITTEN)}, {how.lower()}, {when}"))
    if not payments:
        yield Item("Paid", plain("no payment is written"))
    yield Item("Balance", strong(balance))


def receipt(chart: Chart, person: str, *, writer: str, now: datetime, fits: Callable[[Outline], bool]) -> Outline:
    """The receipt of this visit for one person. `writer` is the practitioner's id, `now` the aware time of printing.

    `fits` says whether an outline, in its smallest type, stays on one page. Raises NothingCharged, NotReason,
    NotAnAmount, ReceiptTooLong, NoWriter, and Unresolved when two values stand for something it prints.
    """
    said, visit = Said(chart, Paper.RECEIPT), chart.visit
    kept = chart.one(Receipt, person)
    lines = chart.all(ReceiptLine, person, visit=visit)
    codes = chart.all(ReceiptCode, person, visit=visit)
    payments = chart.all(ReceiptPayment, person, visit=visit)
    name = said.named(person) or "this person"
    if not lines:
        raise NothingCharged(name=name)
    reasons = tuple(_reasons(said, codes))
    letters = frozenset(str(said.value(entry.answers, "letter")) for entry in codes)
    charges, found = _lines(said, lines, letters), sums_of(chart, person)
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    body: tuple[Block, ...] = (
        Title(f"Receipt for {name}", plain(f"written {day_words(today, weekday=True)}; for the family, to hand on")),
        *(() if chart.signed() is not None else (Mark("Written before the note was finished."),)),
        *draft(said, person),
        Items((*_people(said, person, kept), *_sender(said, writer), *_service(said, kept))),
        *reasons, Heading("What is charged"), charges, Items(tuple(_paid(said, payments, found))),
    )  # fmt: skip
    foot = Foot(
        SCOPE[Paper.RECEIPT], (Lines((strong("This is not a bill to the payer."), *line(said, person, parts=False))),),
        (*writer_lines(said, writer), plain(SEAL_NOTE)),
    )  # fmt: skip
    made = Outline(
        kind=Paper.RECEIPT, title=f"Receipt for {name}", language="en", blocks=(*body, foot), about=(person,),
        size=SIZE, page=page_size(said), writer=printed_name(said, writer), least_size=LEAST, pages_wanted=1,
    )  # fmt: skip
    if not fits(replace(made, size=LEAST)):
        raise ReceiptTooLong(name=name)
    return made
