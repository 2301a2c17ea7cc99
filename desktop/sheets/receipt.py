"""The receipt of a visit for one person: who pays, the reasons in codes, what is charged, and what was paid."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.finder import Finder, Found
from desktop.controls.layouts import Flow, Stack
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Compose, Guard, Here, Listed, Section
from desktop.theme.tokens import Role, Size, Space
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.visit_codes import CODES, EDITION
from forms.receipt import Receipt, ReceiptCode, ReceiptLine, ReceiptPayment, amount_of
from forms.receipt_codes import offered, picked, procedure_remark, receipt_remarks
from forms.receipt_sums import sums
from forms.trouble import Trouble

__all__ = ["Remarks", "Sums", "receipt"]


class _Codes(Stack):
    """The table of codes, found by typing; a pick becomes a reason of this receipt with the next letter."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._here = here
        self.finder = Finder("Find a code by its title or its letters", most=5)
        self.finder.offer([
            Found(one.code, f"{one.code}  {one.title}", sought=one.code.replace(".", ""))
            for one in offered(here.home.chart, here.who)
        ])  # fmt: skip
        self.finder.picked.connect(self._pick)
        self.full = _NoLetterLeft()
        self.add(self.finder, self.full)

    def _pick(self, code: str) -> None:
        _add_code(self._here, code, self.full)
        self.finder.begin()


class _NoLetterLeft(Words):
    """Said where a code was asked for and none more can be named on a line; hidden until then."""

    def __init__(self) -> None:
        super().__init__("Every letter is taken. Strike a reason out to make room.", size=Size.SMALL, ink=Role.MADDER)
        self.hide()


def _add_code(here: Here, code: str, full: _NoLetterLeft) -> None:
    """A reason with this code; `full` is shown where no letter is left."""
    values = picked(here.home.chart, here.who, code)
    full.setVisible(values is None)
    if values is not None:
        here.home.add(ReceiptCode, here.who, values=values)
        here.home.catch_up()


class Remarks(Stack):
    """What the official file says against the codes that stand, each with the codes it may be looked for among."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._here = here
        self._shown: object = None
        here.home.changed.connect(self._show)
        here.home.reloaded.connect(self._show)
        self._show()

    def said(self) -> tuple[str, ...]:
        """The remarks on screen, in order."""
        return tuple(remark.words for remark in receipt_remarks(self._here.home.chart, self._here.who))

    def _show(self) -> None:
        found = receipt_remarks(self._here.home.chart, self._here.who)
        if found == self._shown:
            return
        self._shown = found
        self.clear()
        for remark in found:
            self.add(Words(remark.words, ink=Role.WELD, strong=True))
            if remark.instead:
                full = _NoLetterLeft()
                self.add(self._instead(remark.instead, full), full)
        if found:
            self.add(Words("A remark keeps nothing back; the code is yours to choose.", size=Size.SMALL,
                           ink=Role.SOFT_INK))  # fmt: skip
        self.setVisible(bool(found))

    def _instead(self, codes: tuple[str, ...], full: _NoLetterLeft) -> QWidget:
        row = QWidget()
        flow = Flow(row)
        for code in codes:
            act = Act(f"Add {code}", small=CODES[code].title, kind=ActKind.BARE)
            act.clicked.connect(partial(self._take, code, full))
            flow.addWidget(act)
        return row

    def _take(self, code: str, full: _NoLetterLeft, *_pressed: object) -> None:
        _add_code(self._here, code, full)


class Sums(Stack):
    """Total, paid and balance as they stand, or what keeps them from being worked out."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._here = here
        self._words = Words("", strong=True)
        self.add(self._words)
        here.home.changed.connect(self._show)
        here.home.reloaded.connect(self._show)
        self._show()

    def said(self) -> str:
        """What is on screen."""
        return self._words.said()

    def _show(self) -> None:
        try:
            words = sums(self._here.home.chart, self._here.who)
        except Trouble as trouble:
            words = trouble.sentence
        self._words.say(words)


def _code_line(entry: Entry[ReceiptCode], name: Callable[[str], str]) -> str:
    """One reason in a line: "A  P92.5  Neonatal difficulty in feeding at breast"."""
    del name
    code = entry.answers
    letter = code.letter.upper() if isinstance(code.letter, str) else "No letter"
    held = [given for given in (code.code, code.official_words) if isinstance(given, str)]
    return "  ".join((letter, *(held or ["code not written yet"])))


def _code_more(home: OpenChart, entry: Entry[ReceiptCode]) -> str:
    del home
    return entry.answers.edition if isinstance(entry.answers.edition, str) else ""


def _charge_line(entry: Entry[ReceiptLine], name: Callable[[str], str]) -> str:
    """One line charged: "S9443, 1 unit at 120, reasons A B"."""
    del name
    line = entry.answers
    said = [line.procedure if isinstance(line.procedure, str) else "Procedure code not written yet"]
    if isinstance(line.units, int):
        said.append(f"{line.units} {'unit' if line.units == 1 else 'units'}")
    said.append(f"at {line.fee}" if isinstance(line.fee, str) else "fee not written yet")
    if isinstance(line.reasons, tuple) and line.reasons:
        said.append("for " + " ".join(letter.upper() for letter in line.reasons))
    return ", ".join(said)


def _charge_more(home: OpenChart, entry: Entry[ReceiptLine]) -> str:
    del home
    said = [procedure_remark(entry.answers)]
    try:
        amount_of(entry.answers.fee, ask_of(ReceiptLine, "fee").label)
    except Trouble as trouble:
        said.append(trouble.sentence)
    return " ".join(filter(None, said))


def _payment_line(entry: Entry[ReceiptPayment], name: Callable[[str], str]) -> str:
    """One payment: "120, card"."""
    del name
    paid = entry.answers
    way = ask_of(ReceiptPayment, "way").options.get(paid.way, "") if isinstance(paid.way, str) else ""
    return ", ".join(filter(None, (paid.amount if isinstance(paid.amount, str) else "Amount not written", way.lower())))


def _receipt(c: Compose) -> None:
    c.note("The family hands it to whoever pays them back. Nothing that was told or seen goes with it.")
    c.ask("insured")
    c.row("payer", "member_number")
    c.ask("place")
    c.row("recommended_by", "referral_number")


def _reasons(c: Compose) -> None:
    c.note(f"Codes are the reason for the visit, for billing, and no diagnosis. Titles: {EDITION}.")
    c.entries(
        ReceiptCode, _code,
        Listed(add="A code of your own", empty="No reason is coded yet.", line=_code_line, concerns=True,
               more=_code_more),
    )  # fmt: skip
    c.widget(Remarks)
    c.widget(_Codes)


def _code(c: Compose) -> None:
    c.row("letter", "code")
    c.ask("official_words", "edition")


def _charge(c: Compose) -> None:
    c.row("procedure", "modifier")
    c.row("units", "fee")
    c.ask("reasons")


def _payment(c: Compose) -> None:
    c.row("amount", "paid_day")
    c.ask("way", "note")


def _charged(c: Compose) -> None:
    c.note("Procedure codes are the payer’s; none is suggested here.")
    c.entries(
        ReceiptLine, _charge,
        Listed(add="A line", empty="Nothing is charged yet.", line=_charge_line, concerns=True, more=_charge_more),
    )  # fmt: skip
    c.heading("Paid")
    c.entries(
        ReceiptPayment, _payment,
        Listed(add="A payment", empty="No payment is written.", line=_payment_line, concerns=True),
    )  # fmt: skip
    c.widget(Sums)


def receipt() -> tuple[Section, ...]:
    """The sections of a receipt, about the person charted."""
    return (
        Section("leave.receipt", "Receipt", Receipt, _receipt, "A receipt for {name}", Guard.NOT_SHARED),
        Section("leave.reasons", "Codes", Receipt, _reasons, "Reasons for the visit, for billing", Guard.NOT_SHARED),
        Section("leave.charged", "Charged", Receipt, _charged, "What is charged and paid", Guard.NOT_SHARED),
    )
