"""A rule tells the truth about what it reads: it is watched on charts answered at random."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import cache
from random import Random
from typing import Any

import forms.all  # noqa: F401 - fills the catalogue
from forms.clinical.evidence import babies_possible, feeder
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Rule
from forms.thresholds import PUBLISHED
from tests.forms.clinical.charted import BABY, NOW, PARENT
from tests.forms.clinical.watching import Touched, random_chart, watched

RULES: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)
AT_LEAST, AT_MOST = 25, 600
"""Charts on which every rule is watched, and on which one is that has not yet read all that it names."""


def _all_read(rule: Rule[Any], touched: Touched) -> bool:
    return touched.questions >= set(rule.fields) and touched.limits >= set(rule.thresholds)


@cache
def read_by_rules() -> dict[str, Touched]:
    """What each rule read on the charts, by its id."""
    read: defaultdict[str, Touched] = defaultdict(Touched)
    dice = Random(20260320)
    for number in range(AT_MOST):
        left = [rule for rule in RULES if number < AT_LEAST or not _all_read(rule, read[rule.id])]
        if not left:
            break
        chart = random_chart(dice)
        babies, parent = babies_possible(chart, BABY, NOW), feeder(chart, PARENT, NOW)
        for rule in left:
            for one in babies if rule in INFANT_RULES else (parent,):
                rule.seen(watched(one, read[rule.id]))
    return dict(read)


def _wrong(found: Iterable[tuple[str, set[str]]]) -> dict[str, list[str]]:
    return {rule: sorted(names) for rule, names in found if names}


def test_a_rule_reads_no_question_that_it_does_not_name() -> None:
    read = read_by_rules()
    assert _wrong((rule.id, read[rule.id].questions - set(rule.fields)) for rule in RULES) == {}


def test_a_rule_reads_every_question_that_it_names() -> None:
    read = read_by_rules()
    assert _wrong((rule.id, set(rule.fields) - read[rule.id].questions) for rule in RULES) == {}


def test_a_rule_names_exactly_the_editable_limits_that_it_reads() -> None:
    read = read_by_rules()
    assert _wrong((rule.id, read[rule.id].limits ^ set(rule.thresholds)) for rule in RULES) == {}


def test_every_rule_names_at_least_one_question() -> None:
    assert [rule.id for rule in RULES if not rule.fields] == []


def test_a_limit_under_a_prompt_of_same_day_or_emergency_can_only_be_made_stricter() -> None:
    loose = {
        (rule.id, name)
        for rule in RULES
        if rule.level.name in ("SAME_DAY", "EMERGENCY")
        for name in rule.thresholds
        if not PUBLISHED[name].only_stricter
    }
    assert loose == set()


def test_every_editable_limit_is_used_by_a_rule() -> None:
    used = {name for rule in RULES for name in rule.thresholds}
    assert sorted(set(PUBLISHED) - used) == []
