"""The engine: what an urgent contact covers, what blocks signing, and what no prompt may say."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from forms.answers import Absence, Absent
from forms.chart import Struck
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Level, Rule, covered, open_prompts, prompts
from tests.forms.clinical.charted import BABY, NOW, PARENT, VISIT, charted, conflict, moment, urgent

REACHED: dict[str, Any] = {
    "outcome": "reached", "who": "Dr Ames, paediatrician", "read_back": True, "instruction": "come in at 16:00",
}  # fmt: skip
TRIED: dict[str, Any] = {
    "outcome": "tried_not_reached", "tries": "the surgery, 15:02 and 15:10", "told_family_now": "go to the ward",
    "who_tries_next": "the consultant", "next_when": moment(NOW + timedelta(hours=1)),
}  # fmt: skip
REFUSED: dict[str, Any] = {"outcome": "family_refused", "family_words": "we would rather wait"}
OVERRIDE: dict[str, Any] = {"outcome": "override", "override_reason": "seen by the provider an hour ago"}


def blocking(*contacts: Any, losing: int = 3600) -> set[str]:
    return {p.rule for p in open_prompts(charted(*contacts, losing=losing), NOW)}


@pytest.mark.parametrize("answers", [REACHED, TRIED, REFUSED, OVERRIDE])
def test_one_of_four_complete_contacts_unblocks_its_sign(answers: dict[str, Any]) -> None:
    assert blocking() == {"infant_loss_10"}
    assert blocking(urgent(BABY, "infant_loss_10", **answers)) == set()
    chart = charted(urgent(BABY, "infant_loss_10", **answers), losing=3600)
    assert [p.rule for p in covered(chart, VISIT, NOW)] == ["infant_loss_10"]


@pytest.mark.parametrize("answers", [REACHED, TRIED, REFUSED, OVERRIDE])
def test_a_contact_with_any_line_blank_unblocks_nothing(answers: dict[str, Any]) -> None:
    for missing in answers:
        partly = {name: given for name, given in answers.items() if name != missing}
        assert blocking(urgent(BABY, "infant_loss_10", **partly)) == {"infant_loss_10"}
    assert blocking(urgent(BABY, "infant_loss_10", **(answers | {"at": None}))) == {"infant_loss_10"}
    spaces = {name: "  " if isinstance(given, str) and name != "outcome" else given for name, given in answers.items()}
    assert blocking(urgent(BABY, "infant_loss_10", **spaces)) == {"infant_loss_10"}


def test_a_contact_in_conflict_or_struck_out_unblocks_nothing() -> None:
    assert blocking(urgent(BABY, "infant_loss_10", **(REACHED | {"instruction": conflict("a", "b")}))) != set()
    struck = replace(urgent(BABY, "infant_loss_10", **REACHED), struck=Struck("author", NOW, "a slip"))
    assert blocking(struck) == {"infant_loss_10"}


def test_a_deliberate_absence_stands_for_a_read_back_and_never_for_who_was_reached() -> None:
    not_done = Absent(Absence.NOT_DONE, "the line broke off")
    assert blocking(urgent(BABY, "infant_loss_10", **(REACHED | {"read_back": not_done}))) == set()
    assert blocking(urgent(BABY, "infant_loss_10", **(REACHED | {"who": not_done}))) == {"infant_loss_10"}
    assert blocking(urgent(BABY, "infant_loss_10", **(OVERRIDE | {"override_reason": not_done}))) == {"infant_loss_10"}


def test_a_contact_covers_only_its_own_person_and_its_own_signs() -> None:
    assert blocking(urgent(PARENT, "infant_loss_10", **REACHED)) == {"infant_loss_10"}
    assert blocking(urgent(BABY, "infant_urates", **REACHED)) == {"infant_loss_10"}


def test_a_sign_that_worsens_asks_for_a_contact_of_its_own() -> None:
    assert blocking(urgent(BABY, "infant_loss_10", **REACHED), losing=3400) == {"infant_loss_15"}


def test_where_nobody_was_reached_the_emergency_stays_open_until_it_has_a_contact_of_its_own() -> None:
    tried, signs = urgent(PARENT, "parent_warning", **TRIED), {"warning_signs": ("leg",)}
    chart = charted(tried, parent=signs)
    assert [(p.rule, p.level) for p in open_prompts(chart, NOW)] == [("parent_warning_unreached", Level.EMERGENCY)]
    called = urgent(PARENT, "parent_warning_unreached", **REACHED)
    assert open_prompts(charted(tried, called, parent=signs), NOW) == ()


def test_only_same_day_and_above_blocks_signing() -> None:
    assert blocking(losing=3720) == set()
    assert {p.rule for p in prompts(charted(losing=3720), NOW)} == {"infant_loss_7"}


def test_between_visits_nothing_is_there_to_sign() -> None:
    chart = replace(charted(losing=3600), visit=None)
    assert open_prompts(chart, NOW) == ()
    assert {p.rule for p in prompts(chart, NOW)} == {"infant_loss_10"}


def test_every_rule_states_its_source_and_mark_and_points_at_rules_there_are() -> None:
    rules: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)
    ids = {rule.id for rule in rules}
    assert len(ids) == len(rules)
    for rule in rules:
        assert rule.source
        assert rule.why
        assert rule.contact
        assert rule.mark in {"S", "S2", "C", "M", "P"}
        assert set(rule.over) | set(rule.also) <= ids


def test_no_rule_names_a_condition_as_found_or_says_that_all_is_well() -> None:
    words = re.compile(r"diagnos|failure|is fine|all clear|mastitis|sepsis\b|has jaundice", re.IGNORECASE)
    rules: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)
    for rule in rules:
        assert not words.search(f"{rule.why} {rule.contact}"), rule.id


def test_a_prompt_says_what_was_seen_why_whom_to_contact_and_its_source() -> None:
    prompt = prompts(charted(losing=3600), NOW)[0]
    assert "3,600 g is −10.0 % (−10.00 %) from a birth weight of 4,000 g" in prompt.text
    assert "Source: NICE NG75" in prompt.text
    assert prompt.contact in prompt.text
