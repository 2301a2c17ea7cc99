"""Rows of scores and of what was watched at a feed; each at its edge and beside it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.forms.clinical.charted import charted, conflict, left
from tests.forms.clinical.rows import DAY, Case, F, N, P, fired, fires_only_at_its_edge, prompt_of


def latch(*parts: Any) -> dict[str, Any]:
    names = ("latch_l", "latch_a", "latch_t", "latch_c", "latch_h")
    return {"score": {"tool": "latch", **dict(zip(names, parts, strict=True))}}


def tongue(*parts: Any) -> dict[str, Any]:
    return {
        "score": {"tool": "btat", **dict(zip(("btat_tip", "btat_gum", "btat_lift", "btat_reach"), parts, strict=True))}
    }


def trouble(**told: Any) -> dict[str, Any]:
    """A feed on whose left side a change was tried."""
    return {"feed": {"used": left("fed"), "change_tried": left(True), **{name: left(v) for name, v in told.items()}}}


SORE = trouble(pain_after_change=4)
EASED = trouble(pain_after_change=3)
FIVE, SIX = tongue(2, 1, 1, 1), tongue(2, 2, 1, 1)
SILENT: dict[str, Any] = {"feed": {"swallows": left("none")}}

# LATCH below 7: Jensen 1994 (S). Tongue 5 or less, 6 to 8: Int Breastfeed J 2019;14:31 (S). Two-item total 3: Kroenke
# 2003, Arroll 2010 (S). A loss above 7 % beside a low score or no swallow, from 24 h: the row itself, no source.
SCORES: list[Case] = [
    ("infant_latch_low_loss", F, {**latch(1, 1, 2, 1, 1), "losing": 3719}, {**latch(2, 1, 2, 1, 1), "losing": 3719}),
    ("infant_latch_low_loss", F, {**latch(1, 1, 2, 1, 1), "losing": 3719}, {**latch(1, 1, 2, 1, 1), "losing": 3720}),
    ("infant_latch_low_loss", F, {**latch(0, 1, 1, 1, 0), "losing": 3719}, {**latch(0, 1, 1, 1, None), "losing": 3719}),
    ("infant_no_swallow_loss", F, {**SILENT, "losing": 3719}, {**SILENT, "losing": 3720}),
    ("infant_no_swallow_loss", F, {**SILENT, "losing": 3719}, {"feed": {"swallows": left("few")}, "losing": 3719}),
    ("infant_no_swallow_loss", F, {**SILENT, "losing": 3719, "hours": 24}, {**SILENT, "losing": 3719, "hours": 23}),
    ("infant_no_swallow_loss", F, {**latch(2, 0, 2, 2, 2), "losing": 3719}, {**latch(2, 1, 2, 2, 2), "losing": 3719}),
    ("infant_no_swallow_loss", F, {**SILENT, "losing": 3719}, {"losing": 3719, "feed": {}}),
    ("infant_tongue_5", P, {**FIVE, **SORE}, {**SIX, **SORE}),
    ("infant_tongue_5", P, {**FIVE, **SORE}, {**FIVE, **EASED}),
    ("infant_tongue_5", P, {**FIVE, **trouble(swallows_after_change="none")}, {**FIVE, **trouble(swallows_after_change="few")}),
    ("infant_tongue_5", P, {**FIVE, **trouble(pain_at_end=4)}, {**FIVE, **trouble(pain_at_end=3)}),
    ("infant_tongue_5", P, {**FIVE, **SORE}, {**FIVE, "feed": {"used": left("fed"), "change_tried": left(False), "pain_at_end": left(9)}}),
    ("infant_tongue_5", P, {"score": {"tool": "tabby", "tabby_total": 5}, **SORE}, {"score": {"tool": "tabby", "tabby_total": 6}, **SORE}),
    ("infant_tongue_5", P, {**tongue(0, 0, 0, 0), **SORE}, {**tongue(0, 0, 0, None), **SORE}),
    ("infant_tongue_noted", N, SIX, tongue(2, 2, 1, None)),
    ("infant_tongue_noted", N, tongue(2, 2, 2, 2), {"score": {"tool": "kotlow", "kotlow_mm": 8}}),
    ("infant_tongue_noted", N, FIVE, {**FIVE, **SORE}),
    ("parent_two_items", P, {"parent": {"screen_form": "phq_2", "screen_total": 3}}, {"parent": {"screen_form": "phq_2", "screen_total": 2}}),
    ("parent_two_items", P, {"parent": {"screen_form": "phq_2", "screen_total": 6}}, {"parent": {"screen_form": "epds", "screen_total": 9}}),
]  # fmt: skip


@pytest.mark.parametrize("case", SCORES)
def test_a_row_of_scores_fires_at_its_edge_and_not_beside_it(case: Case) -> None:
    assert fires_only_at_its_edge(case)


def test_a_score_alone_sends_nobody_on() -> None:
    assert fired(charted(**latch(0, 0, 0, 0, 0))) == {}
    assert fired(charted(**FIVE)).keys() == {"infant_tongue_noted"}


def test_a_side_that_swallowed_speaks_for_the_feed() -> None:
    both: dict[str, Any] = {"feed": {"swallows": type(left(None))("none", "some")}}
    assert "infant_no_swallow_loss" not in fired(charted(**both, losing=3719))


def test_any_value_of_a_disputed_part_lets_the_lowest_total_fire() -> None:
    assert "infant_latch_low_loss" in fired(charted(**latch(2, 1, 2, 1, conflict(0, 1)), losing=3719))
    assert "infant_tongue_5" in fired(charted(**tongue(2, 2, 1, conflict(0, 2)), **SORE))
    torn: dict[str, Any] = {"feed": {"swallows": left(conflict("none", "many"))}}
    assert "infant_no_swallow_loss" in fired(charted(**torn, losing=3719))
    assert "parent_two_items" in fired(charted(parent={"screen_form": "phq_2", "screen_total": conflict(1, 4)}))


def test_without_a_birth_time_no_swallow_is_looked_at_as_of_a_baby_of_a_day() -> None:
    assert prompt_of("infant_no_swallow_loss", **SILENT, losing=3719, hours=None).stricter
    assert "infant_no_swallow_loss" in fired(charted(**SILENT, losing=3719, hours=40 * DAY))


def test_a_tongue_score_is_a_finding_for_the_provider_and_asks_for_no_procedure() -> None:
    text = prompt_of("infant_tongue_5", **FIVE, **SORE).text.lower()
    assert "findings for the provider's evaluation" in text
    assert not any(word in text for word in ("frenotomy", "release", "cut", "tie"))
