"""Each rule of the ladder names the questions that fire it, and each of them is declared and stands on a sheet."""

from __future__ import annotations

from typing import Any

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from desktop.sheets.moments import every_section
from desktop.sheets.sheet import Placed
from forms.ask import asks
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Rule
from forms.form import catalog

RULES: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)


def test_every_question_that_fires_a_rule_is_declared_and_stands_on_a_sheet(capsys: pytest.CaptureFixture[str]) -> None:
    named = {name for rule in RULES for name in rule.fields}
    declared = {f"{form.name}.{field}" for form in catalog().values() for field in asks(form)}
    placed = {f"{form.name}.{field}" for section in every_section() for form, field in Placed.by(section).fields}
    assert sorted(named - declared) == []
    standing = named & placed
    with capsys.disabled():
        print(f"\n{len(RULES)} rules name {len(named)} questions; {len(standing)} of these stand on a sheet")
    assert sorted(named - standing) == []
    assert len(standing) == len(named)


def test_every_rule_names_the_questions_that_fire_it() -> None:
    assert [rule.id for rule in RULES if not rule.fields] == []
