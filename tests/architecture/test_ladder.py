"""The action ladder row by row: each has its rules, each rule its row, and each question of a row stands on a sheet."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from desktop.sheets.moments import every_section
from desktop.sheets.sheet import Placed
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Level, Rule
from forms.figures import figures
from tests.forms.clinical.charted import BABY, NOW, charted, weight
from tests.forms.clinical.ladder import ROWS, Row
from tests.forms.clinical.test_prompts_breast import BREAST
from tests.forms.clinical.test_prompts_growth import GROWTH
from tests.forms.clinical.test_prompts_infant import OUTPUT, SIGNS, WEIGHTS
from tests.forms.clinical.test_prompts_milk import EXPRESSING, SUPPLEMENT
from tests.forms.clinical.test_prompts_parent import ROWS as PARENT_ROWS
from tests.forms.clinical.test_prompts_parent import SLEEP
from tests.forms.clinical.test_prompts_scores import SCORES

ALL: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)
RULES = {rule.id: rule for rule in ALL}
EDGES: Counter[str] = Counter(
    case[0]
    for table in (SIGNS, WEIGHTS, OUTPUT, GROWTH, SUPPLEMENT, EXPRESSING, SCORES, BREAST, SLEEP, PARENT_ROWS)
    for case in table
)
"""How often each rule is tried at an edge and beside it."""

OUTSIDE = ("urgent_contact.", "thresholds.")  # what was done, and the house limits, are no row of a sheet


def weighed_feed(mode: str) -> Any:
    """A baby born so many hours ago by that mode, with a feed weighed before and after."""
    feed = "c" * 32
    around = {"feed": feed, "feed_side": "left", "scale_name": "kitchen", "same_clothes": True, "diaper_changed": False}
    chart = charted(
        weight(3700, NOW - timedelta(minutes=12)),
        weight(3710, NOW - timedelta(minutes=25), feed_point="before", **around),
        weight(3750, NOW - timedelta(minutes=5), feed_point="after", **around),
        hours=48, feed={"observed": "seen"}, parent={"birth": (mode,)},
    )  # fmt: skip
    fed = next(entry for entry in chart.entries if entry.place.form == "feed")
    return replace(chart, entries=(*(e for e in chart.entries if e is not fed), replace(fed, id=feed)))


def test_each_row_of_the_ladder_names_its_rules_at_its_level_or_the_figure_it_is_said_beside() -> None:
    for row in ROWS:
        assert bool(row.rules) != bool(row.beside), row.key
        assert set(row.rules) <= RULES.keys(), row.key
        if row.rules:
            assert max(RULES[rule].level for rule in row.rules) is row.level, row.key
    assert len({row.key for row in ROWS}) == len(ROWS)


def test_each_rule_stands_in_a_row_of_the_ladder() -> None:
    assert sorted(RULES.keys() - {rule for row in ROWS for rule in row.rules}) == []


def test_each_question_that_fires_a_row_is_read_by_its_rules_and_stands_on_a_sheet(
    capsys: pytest.CaptureFixture[str],
) -> None:
    placed = {f"{form.name}.{name}" for section in every_section() for form, name in Placed.by(section).fields}
    for row in ROWS:
        read = {field for rule in row.rules for field in RULES[rule].fields}
        assert set(row.fields) <= read, row.key
        assert bool(row.fields) == bool(row.rules), row.key
    named = {field for row in ROWS for field in row.fields}
    read = {field for rule in RULES.values() for field in rule.fields if not field.startswith(OUTSIDE)}
    levels = Counter(row.level.name for row in ROWS)
    with capsys.disabled():
        print(f"\n{len(ROWS)} rows of the ladder ({', '.join(f'{n} {level}' for level, n in levels.items())})")
        print(f"{len(RULES)} rules; {len(named)} questions named by rows, {len(named & placed)} of them on a sheet")
        print(f"{len(read)} questions read by rules, {len(read & placed)} of them on a sheet")
    assert sorted(named - placed) == []
    assert sorted(read - placed) == []


def test_each_rule_is_tried_at_an_edge_and_beside_it() -> None:
    assert sorted(RULES.keys() ^ EDGES.keys()) == []


@pytest.mark.parametrize("row", [row for row in ROWS if row.beside], ids=lambda row: row.key)
def test_what_is_said_beside_a_figure_stands_there(row: Row) -> None:
    assert row.beside is not None
    key, words = row.beside
    mode = "caesarean_planned" if "caesarean" in words else "vaginal"
    found = [figure for figure in figures(weighed_feed(mode), NOW, BABY) if figure.id.split(":")[0] == key]
    assert any(words in said for figure in found for said in figure.small)
    assert row.level is Level.NOTE
