"""Every line of the trade's forms C1 to C15 is asked: its questions are declared, stand on a page once and say where they go."""

from __future__ import annotations

from collections import Counter

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from desktop.sheets.moments import every_section
from desktop.sheets.sheet import Placed
from forms.ask import Coded, NotCoded, NotPrinted, Printed, asks
from forms.form import catalog
from tests.architecture.test_placement import ELSEWHERE
from tests.architecture.trade_lines import LINES, fields_of

PLACED = Counter(field for section in every_section() for field in Placed.by(section).fields)
OF_THE_PROGRAM = {
    "practice", "practitioner", "provider", "phrase", "thresholds", "prompt_closed", "paper_issued", "jot", "addendum",
    "family_language", "scope_wording", "report", "receipt", "receipt_code", "receipt_line", "receipt_payment",
    "known_sender", "letter_answer", "own_seal", "received_fact", "received_file",
}  # fmt: skip
"""Forms that no line of the trade's forms asks for: settings, and what the program keeps about its own papers."""


@pytest.mark.parametrize("line", LINES)
def test_each_question_of_a_line_stands_on_one_page_and_says_where_its_answer_goes(line: str) -> None:
    for form, field in fields_of(line):
        ask = asks(form)[field]
        assert isinstance(ask.paper, Printed | NotPrinted), f"{form.name}.{field} states no paper"
        assert isinstance(ask.code, Coded | NotCoded), f"{form.name}.{field} states no code"
        if form.name not in ELSEWHERE:
            assert PLACED[form, field] == 1, f"{form.name}.{field} stands on {PLACED[form, field]} pages"


def test_each_question_of_the_trades_forms_belongs_to_a_line_and_the_counts_are_told() -> None:
    asked = {field for line in LINES for field in fields_of(line)}
    every = {(form, field) for form in catalog().values() if form.name not in OF_THE_PROGRAM for field in asks(form)}
    left = sorted(f"{form.name}.{field}" for form, field in every - asked)
    print(f"{len(LINES)} lines C1 to C15, {len(asked)} questions in {len({form for form, _ in asked})} forms")
    assert left == []
