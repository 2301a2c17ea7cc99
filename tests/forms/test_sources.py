"""SOURCES.md lists what the code uses, with the same level and mark."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import forms.all  # noqa: F401 - fills the catalogue
from forms.ask import Coded, asks
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Rule
from forms.clinical.prompts_infant import OUTPUT, OUTPUT_FROM_6
from forms.clinical.weight import MEDIANS
from forms.form import catalog

SOURCES = (Path(__file__).parents[2] / "forms" / "SOURCES.md").read_text("utf-8")
RULES: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)


def rows() -> list[list[str]]:
    return [
        [cell.strip() for cell in line.strip("|").split("|")] for line in SOURCES.splitlines() if line.startswith("|")
    ]


def test_every_urgent_rule_stands_in_the_sources_with_its_level_source_and_mark() -> None:
    listed = {(r[0], r[1], r[3], r[4]) for r in rows() if re.match(r"(infant|parent)_", r[0])}
    assert listed == {(rule.id, rule.level.name, rule.source, rule.mark) for rule in RULES}


def test_the_output_table_is_the_one_the_rules_use() -> None:
    table = {r[0]: (int(r[1]), int(r[2])) for r in rows() if len(r) == 3 and r[1].isdecimal()}
    assert table.pop("6 to 45") == OUTPUT_FROM_6
    assert table == {str(day): row for day, row in OUTPUT.items()}


def test_the_published_medians_are_the_ones_shown() -> None:
    for group in MEDIANS.values():
        assert ", ".join(f"{loss} % at {hour} h" for hour, loss in group.at) in SOURCES


def test_every_code_of_every_question_is_listed() -> None:
    used = {ask.code.code for form in catalog().values() for ask in asks(form).values() if isinstance(ask.code, Coded)}
    listed = {r[0] for r in rows() if re.fullmatch(r"\d+-\d", r[0])}
    assert used <= listed
