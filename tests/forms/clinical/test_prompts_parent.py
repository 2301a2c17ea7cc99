"""Every urgent row about a parent: it fires at its edge, and not beside it."""

from __future__ import annotations

from typing import Any

import pytest

from forms.answers import Absence, Absent, Quantity
from forms.clinical.prompts import PARENT_RULES, Level, prompts
from tests.forms.clinical.charted import NOW, PARENT, charted, conflict, urgent
from tests.forms.clinical.rows import Case, E, N, P, S, fires_only_at_its_edge


def fired(**parent: Any) -> dict[str, Level]:
    return {prompt.rule: prompt.level for prompt in prompts(charted(parent=parent), NOW)}


def warned(*signs: str, **more: Any) -> dict[str, Any]:
    return {"warning_signs": signs, **more}


def epds(total: int | None, item: int | None, now: Any = None) -> dict[str, Any]:
    return {"screen_form": "epds", "screen_total": total, "screen_item_10": item, "harm_thought_now": now}


# Red flags, parent. CDC Hear Her list (S), AWHONN POST-BIRTH (S2), ACOG pressures (S2), Cox 1987 (S), ABM 36 (S);
# sepsis and mind signs from memory (M).
ROWS: list[tuple[str, Level, dict[str, Any], dict[str, Any]]] = [
    *(
        ("parent_warning", S, warned(sign), warned("none"))
        for sign in (
            "headache", "faint", "vision", "fever", "racing_heart", "belly_pain", "vomiting", "swollen", "leg",
            "bleeding", "exhausted", "wound",
        )
    ),
    ("parent_warning", S, {"temperature": Quantity("38.0", "C", 380)}, {"temperature": Quantity("37.9", "C", 379)}),
    ("parent_warning", S, {"temperature": Quantity("100.4", "F", 380)}, {"temperature": Quantity("100.3", "F", 379)}),
    ("parent_warning", S, {"unwell": ("fever",)}, {"unwell": ("fever",), "temperature": Quantity("37.9", "C", 379)}),
    ("parent_reason_words", N, {"reason": "She had a FEVER last night"}, {"reason": "Sore on the left"}),
    ("parent_reason_words", N, {"reason": "no wet diapers since noon"}, {"reason": "plenty of wet diapers"}),
    ("parent_reason_words", N, {"reason": "I can’t wake him for feeds"}, {"reason": "he wakes for every feed"}),
    ("parent_reason_words", N, {"reason": "there is blood in my milk"}, {"reason": "my blood pressure was fine"}),
    ("parent_reason_words", N, {"reason": "a check of weight; he is yellow"}, {"reason": "yellow stools, gaining"}),
    ("parent_reason_harm", N, {"reason": "some days I want to die"}, {"reason": "it hurts when he latches"}),
    ("parent_reason_harm", N, {"reason": "afraid I will hurt myself"}, {"reason": "at the end her mouth slips"}),
    ("parent_warning_severe", E, warned("headache", warning_severe=True), warned("headache", warning_severe=False)),
    ("parent_warning_unreached", E, warned("leg", warning_provider_reached=False), warned("leg", warning_provider_reached=True)),
    ("parent_at_once", E, warned("chest_pain"), warned("racing_heart")),
    ("parent_at_once", E, warned("breathless"), warned("exhausted")),
    ("parent_at_once", E, warned("seizure"), warned("faint")),
    ("parent_pressure_160", E, {"systolic": 160, "diastolic": 80}, {"systolic": 159, "diastolic": 109}),
    ("parent_pressure_160", E, {"systolic": 120, "diastolic": 110}, {"systolic": 120, "diastolic": 109}),
    ("parent_pressure_140", S, {"systolic": 140}, {"systolic": 139}),
    ("parent_pressure_140", S, {"diastolic": 90}, {"diastolic": 89}),
    ("parent_pressure_signs", E, warned("headache", systolic=140), warned("headache", systolic=139)),
    ("parent_pressure_signs", E, warned("wound", diastolic=90), warned("breast_mass", diastolic=90)),
    ("parent_pressure_signs", E, {"diastolic": 90, "temperature": Quantity("38", "C", 380)}, {"diastolic": 90, "temperature": Quantity("37.9", "C", 379)}),
    ("parent_bleeding", S, warned("pad_soaked"), warned("bleeding")),
    ("parent_bleeding", S, warned("big_clots"), warned("none")),
    ("parent_bleeding_faint", E, warned("pad_soaked", "faint"), warned("pad_soaked")),
    ("parent_bleeding_severe", E, warned("big_clots", warning_severe=True), warned("big_clots", warning_severe=None)),
    ("parent_bleeding_unreached", E, warned("big_clots", warning_provider_reached=False), warned("big_clots")),
    ("parent_harm_now", E, {"mood_signs": ("harm_thoughts",)}, {"mood_signs": ("none",)}),
    ("parent_harm_now", E, epds(9, 1, "yes"), epds(9, 1, "no")),
    ("parent_harm_now", E, epds(9, 1, "not_answered"), epds(9, 0, "not_answered")),
    ("parent_harm_now", E, epds(9, 1), epds(9, None)),
    ("parent_harm_now", E, epds(9, 1, Absent(Absence.DECLINED)), epds(9, 1, "no")),
    ("parent_harm_item", S, epds(9, 1, "no"), epds(9, 0, "no")),
    ("parent_mind", E, {"mood_signs": ("voices",)}, {"mood_signs": ("none",)}),
    ("parent_mind", E, {"mood_signs": ("confusion",)}, {}),
    ("parent_mind", E, {"mood_signs": ("high_sleepless",)}, {}),
    ("parent_sepsis", E, warned("confused"), warned("fever")),
    ("parent_sepsis", E, warned("fast_breathing"), warned("exhausted")),
    ("parent_sepsis", E, warned("cold_limbs"), warned("leg")),
    ("parent_breast", S, warned("breast_red_hot", "fever"), warned("breast_red_hot")),
    ("parent_breast", S, warned("breast_red_hot", unwell=("chills",)), warned("breast_red_hot", unwell=("none",))),
    ("parent_breast", S, warned("breast_not_better"), warned("none")),
    ("parent_breast", S, warned("breast_pus"), warned("fever")),
    ("parent_breast", S, warned("breast_mass"), warned("none")),
    ("parent_screen_13", S, epds(13, 0), epds(12, 0)),
    ("parent_screen_10", P, epds(12, 0), epds(9, 0)),
    ("parent_screen_10", P, epds(10, 0), {"screen_form": "phq_2", "screen_total": 10}),
    ("parent_fear", P, {"afraid_of": True}, {"afraid_of": False}),
    ("parent_fear", P, {"safe_at_home": "no"}, {"safe_at_home": "yes"}),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "level", "edge", "beside"), ROWS)
def test_an_urgent_row_fires_at_its_edge_and_not_beside_it(
    rule: str, level: Level, edge: dict[str, Any], beside: dict[str, Any]
) -> None:
    assert fired(**edge).get(rule) is level
    assert rule not in fired(**beside)


PRONE: dict[str, Any] = {"parent": {"sleep_risks": ("prone",)}}
SAFE: dict[str, Any] = {"parent": {"sleep_risks": ("none",), "sleep_place": ("own_same_room",)}}

# Unsafe sleep: American Academy of Pediatrics 2022 (S). Smoke about the baby is no place to sleep and has no row.
SLEEP: list[Case] = [
    *(("parent_unsafe_sleep", N, {"parent": {"sleep_risks": (risk,)}}, SAFE) for risk in ("prone", "soft", "sofa", "incline")),
    ("parent_unsafe_sleep", N, {"parent": {"sleep_place": ("sofa",)}}, {"parent": {"sleep_place": ("bedside",)}}),
    ("parent_unsafe_sleep", N, {"parent": {"sleep_place": ("sitting_device",)}}, {"parent": {"sleep_risks": ("smoke",)}}),
    ("parent_unsafe_sleep", N, {**PRONE, "before": SAFE}, {**PRONE, "before": PRONE}),
    ("parent_unsafe_sleep_again", P, {**PRONE, "before": {"parent": {"sleep_risks": ("soft",)}}}, {**PRONE, "before": SAFE}),
    ("parent_unsafe_sleep_again", P, {**PRONE, "before": PRONE}, {**SAFE, "before": PRONE}),
    ("parent_unsafe_sleep_again", P, {**PRONE, "before": PRONE}, PRONE),
]  # fmt: skip


@pytest.mark.parametrize("case", SLEEP)
def test_a_row_of_sleep_fires_at_its_edge_and_not_beside_it(case: Case) -> None:
    assert fires_only_at_its_edge(case)


def test_a_parent_of_whom_nothing_is_answered_fires_nothing() -> None:
    assert fired() == {}


def test_both_sides_of_a_conflict_about_harm_are_looked_at() -> None:
    assert fired(**epds(9, 1, conflict("no", "yes")))["parent_harm_now"] is E
    assert fired(**epds(9, conflict(0, 1), "no"))["parent_harm_item"] is S  # type: ignore[arg-type]
    assert fired(reason=conflict("check of weight", "he is yellow"))["parent_reason_words"] is N
    assert fired(systolic=conflict(120, 165))["parent_pressure_160"] is E


def test_nobody_reached_makes_a_same_day_sign_an_emergency() -> None:
    tried = urgent(PARENT, "parent_warning", outcome="tried_not_reached")
    levels = {p.rule: p.level for p in prompts(charted(tried, parent=warned("leg")), NOW)}
    assert levels == {"parent_warning_unreached": E}


def test_what_rests_on_mood_or_safety_is_marked_private_and_nothing_else_of_a_parent() -> None:
    private = {rule.id for rule in PARENT_RULES if rule.private}
    assert private == {
        "parent_harm_now", "parent_harm_item", "parent_mind", "parent_screen_13", "parent_screen_10", "parent_fear",
        "parent_two_items", "parent_reason_harm",
    }  # fmt: skip
