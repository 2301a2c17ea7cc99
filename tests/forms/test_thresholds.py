"""House thresholds: what holds, what a prompt says of it, and that nothing urgent is ever made looser.

Sources and marks of the published values stand beside them in forms/thresholds.py and in SOURCES.md.
"""

from __future__ import annotations

import re
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.answers import Quantity
from forms.ask import ask_of, asks
from forms.chart import Chart, entry_id
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Rule, fired, prompts
from forms.thresholds import NOT_SET, PUBLISHED, Limits, Stricter, Thresholds, limits, limits_of
from forms.units import to_base
from tests.forms.clinical.charted import NOW, charted, conflict, entry
from tests.forms.clinical.watching import random_chart

RULES: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)
SOURCES = (Path(__file__).parents[2] / "forms" / "SOURCES.md").read_text("utf-8")


def percent(typed: str) -> Quantity:
    return Quantity(typed, "percent", to_base(typed, "percent"))


def setting(name: str, base: int) -> Any:
    units = PUBLISHED[name].units
    return Quantity(PUBLISHED[name].said(base), units[0], base) if units else base


def house(**kept: Any) -> Any:
    return entry(entry_id(Thresholds), Thresholds(**kept))


def rules(chart: Chart) -> set[str]:
    return {prompt.rule for prompt in fired(chart, NOW)[1]}


def test_every_limit_has_its_published_value_within_its_range_and_a_question_bounded_by_it() -> None:
    assert list(PUBLISHED) == list(asks(Thresholds))
    for name, row in PUBLISHED.items():
        ask = ask_of(Thresholds, name)
        assert row.low <= row.value <= row.high
        assert row.low < row.high
        assert (ask.low, ask.high, ask.units) == (row.low, row.high, row.units)
        assert ask.help == row.beside
        assert row.said(row.value) in row.beside
        assert row.mark in {"S", "S2", "C", "M", "P"}


def test_the_sources_list_each_limit_with_its_published_value_range_source_and_mark() -> None:
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in SOURCES.splitlines()]
    listed = {tuple(row) for row in rows if len(row) == 5 and row[0] in PUBLISHED}
    wanted = {
        (name, row.said(row.value), f"{row.said(row.low)} to {row.said(row.high)}", row.source, row.mark)
        for name, row in PUBLISHED.items()
    }
    assert listed == wanted


def test_a_blank_limit_holds_as_published() -> None:
    assert limits(charted()) == Limits()
    assert limits(charted()).percent("loss_same_day") == 10
    assert limits(charted()).differing(*PUBLISHED) == ""


def test_a_house_limit_within_its_range_holds_and_the_prompt_says_so_beside_the_published_one() -> None:
    lost_8 = charted(house(loss_same_day=percent("8")), losing=3680)
    (found,) = [prompt for prompt in prompts(lost_8, NOW) if prompt.rule == "infant_loss_10"]
    assert found.house == "House threshold 8 %, published 10 %."
    assert found.house in found.text
    assert "infant_loss_10" not in rules(charted(losing=3680))
    (published,) = [prompt for prompt in prompts(charted(losing=3600), NOW) if prompt.rule == "infant_loss_10"]
    assert published.house == ""


def test_just_beside_a_house_limit_nothing_fires() -> None:
    assert "infant_loss_10" not in rules(charted(house(loss_same_day=percent("8")), losing=3681))
    assert "infant_loss_10" in rules(charted(house(loss_same_day=percent("8.5")), losing=3660))


@pytest.mark.parametrize("outside", ["12", "6.9", "0"])
def test_a_limit_out_of_its_range_counts_as_published(outside: str) -> None:
    assert limits_of(Thresholds(loss_same_day=percent(outside))) == Limits()


def test_of_two_limits_that_stand_the_strictest_holds_and_the_prompt_says_that_two_stand() -> None:
    torn = limits_of(Thresholds(loss_same_day=conflict(percent("8"), percent("9"))))
    assert torn.percent("loss_same_day") == 8
    assert torn.differing("loss_same_day") == f"House threshold 8 %, published 10 %. {NOT_SET}"
    looser = limits_of(Thresholds(regain_prompt=conflict(18, 20)))
    assert looser.at("regain_prompt") == 14, "the published value is among what stands until it is settled"
    assert limits_of(Thresholds(wets_from_day_6=conflict(7, 8))).at("wets_from_day_6") == 8


def test_fever_can_be_lowered_and_never_raised() -> None:
    row = PUBLISHED["fever"]
    assert (row.value, row.high, row.stricter) == (380, 380, Stricter.LOWER)
    warm = {"temperature": Quantity("37.5", "C", 375)}
    assert "infant_fever_28" not in rules(charted(seen=warm))
    assert "infant_fever_28" in rules(charted(house(fever=Quantity("37.5", "C", 375)), seen=warm))
    raised = house(fever=Quantity("38.5", "C", 385))
    assert "infant_fever_28" in rules(charted(raised, seen={"temperature": Quantity("38.0", "C", 380)}))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.data())
def test_no_setting_of_the_limits_keeps_an_urgent_prompt_from_firing(seed: int, data: st.DataObject) -> None:
    chart = random_chart(Random(seed))
    kept = {
        name: setting(name, data.draw(st.sampled_from((row.low, row.value, row.high)), name))
        for name, row in PUBLISHED.items()
    }
    published, own = fired(chart, NOW)[1], fired(chart.with_entry(house(**kept)), NOW)[1]
    urgent = {prompt.key for prompt in published if prompt.urgent}
    assert urgent <= {prompt.key for prompt in own}


def test_a_published_number_stands_in_no_rule_that_the_practice_can_set_otherwise() -> None:
    for rule in RULES:
        for name in rule.thresholds:
            said = re.escape(PUBLISHED[name].said(PUBLISHED[name].value))
            assert not re.search(rf"(?<![\d.]){said}", f"{rule.why} {rule.contact}"), rule.id
