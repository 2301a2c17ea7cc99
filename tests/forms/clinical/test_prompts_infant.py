"""Every urgent row about a baby: it fires at its edge, and not beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms.answers import Quantity
from forms.chart import Chart
from forms.clinical.prompts import Level, Prompt, prompts
from tests.forms.clinical.charted import BABY, NOW, PARENT, VISIT, charted, conflict, grams, moment, weight
from tests.forms.clinical.rows import DAY, Case, E, F, P, S, fired


def only(chart: Chart, rule: str) -> Prompt:
    return next(prompt for prompt in prompts(chart, NOW) if prompt.rule == rule)


def celsius(text: str) -> dict[str, Any]:
    return {"temperature": Quantity(text, "C", round(float(text) * 10))}


def fahrenheit(text: str, base: int) -> dict[str, Any]:
    return {"temperature": Quantity(text, "F", base)}


def ago(**parts: float) -> Any:
    return moment(NOW - timedelta(**parts))


SLEEPY: dict[str, Any] = {"seen": {"waking": "hard_to_wake"}}

# Red flags, infant: (rule, level, at its edge, just beside it). Sources: NICE NG143 red list (S); AAP 2021 (S);
# WHO and NICE low temperatures (M); AAP 2022 and NICE CG98 yellow (S2, M); others as marked in the rule.
SIGNS: list[Case] = [
    ("infant_fever_28", E, {"hours": 20 * DAY, "seen": celsius("38.0")}, {"hours": 20 * DAY, "seen": celsius("37.9")}),
    ("infant_fever_28", E, {"seen": fahrenheit("100.4", 380)}, {"seen": fahrenheit("100.3", 379)}),
    ("infant_fever_28", E, {"hours": 29 * DAY - 1, "seen": celsius("38.0")}, {"hours": 29 * DAY, "seen": celsius("38.0")}),
    ("infant_fever_90", E, {"hours": 29 * DAY, "seen": celsius("38.0")}, {"hours": 29 * DAY - 1, "seen": celsius("38.0")}),
    ("infant_fever_90", E, {"hours": 91 * DAY - 1, "seen": celsius("38.0")}, {"hours": 91 * DAY, "seen": celsius("38.0")}),
    ("infant_fever_39", S, {"hours": 120 * DAY, "seen": celsius("39.0")}, {"hours": 120 * DAY, "seen": celsius("38.9")}),
    ("infant_fever_39", S, {"hours": 184 * DAY - 1, "seen": celsius("39.0")}, {"hours": 184 * DAY, "seen": celsius("39.0")}),
    ("infant_gap_in_mouth", S, {"mouth": {"lips": ("cleft",)}}, {"mouth": {"lips": ("tight",)}}),
    ("infant_gap_in_mouth", S, {"mouth": {"hard_palate": ("cleft",)}}, {"mouth": {"hard_palate": ("high",)}}),
    ("infant_gap_in_mouth", S, {"mouth": {"soft_palate": ("cleft",)}}, {"mouth": {"soft_palate": ("notch",)}}),
    ("infant_gap_in_mouth", S, {"mouth": {"uvula": "bifid"}}, {"mouth": {"uvula": "single"}}),
    ("infant_mouth_signs", P, {"mouth": {"soft_palate": ("notch",)}}, {"mouth": {"soft_palate": ("whole",), "tongue_tip": "notch"}}),
    ("infant_mouth_signs", P, {"mouth": {"soft_palate": ("blue_midline",)}}, {"mouth": {"soft_palate": ("not_seen",)}}),
    ("infant_mouth_signs", P, {"mouth": {"gums": ("loose_tooth",)}}, {"mouth": {"gums": ("tooth",)}}),
    ("infant_mouth_signs", P, {"mouth": {"voice": ("high_on_breathing_in",)}}, {"mouth": {"voice": ("snoring",)}}),
    ("infant_mouth_signs", P, {"seen": {"breath_noises": ("high_on_breathing_in",)}}, {"seen": {"breath_noises": ("wheeze",)}}),
    ("infant_mouth_signs", P, {"mouth": {"face": ("small_chin",)}, "seen": {"breath_noises": ("rattle",)}}, {"mouth": {"face": ("small_chin",)}, "seen": {"breath_noises": ("none",)}}),
    ("infant_cold_36", E, {"seen": celsius("35.9")}, {"seen": celsius("36.0")}),
    (
        "infant_cold",
        S,
        {"seen": celsius("36.4") | {"temperature_after_skin": "did_not_rise"}},
        {"seen": celsius("36.4") | {"temperature_after_skin": "rose"}},
    ),
    ("infant_cold", S, {"seen": celsius("36.4")}, {"seen": celsius("36.5")}),
    ("infant_unwakeable", E, {"seen": {"waking": "cannot_be_woken"}}, {"seen": {"waking": "hard_to_wake"}}),
    ("infant_unwakeable", E, {"seen": {"waking": "does_not_stay_awake"}}, {"seen": {"waking": "easily"}}),
    ("infant_unwakeable", E, {"seen": {"tone": ("limp",)}}, {"seen": {"tone": ("low",)}}),
    ("infant_unwakeable", E, {"seen": {"cry": ("weak",)}}, {"seen": {"cry": ("usual",)}}),
    ("infant_unwakeable", E, {"seen": {"cry": ("high_pitched",)}}, {"seen": {"cry": ("not_heard",)}}),
    ("infant_unwakeable", E, {"seen": {"cry": ("continuous",)}}, {"seen": {}}),
    ("infant_hard_to_wake", S, SLEEPY, {"seen": {"waking": "easily"}}),
    ("infant_hard_to_wake", S, {"told": {"sleepy_feeds": 2}}, {"told": {"sleepy_feeds": 1}}),
    ("infant_hard_to_wake", S, {"hours": 92 * DAY - 1, **SLEEPY}, {"hours": 92 * DAY, **SLEEPY}),
    ("infant_hard_to_wake", S, {"feed": {"baby_state": "hard_to_wake"}}, {"feed": {"baby_state": "drowsy"}}),
    ("infant_hard_to_wake_with", E, {"seen": {"waking": "hard_to_wake", "colour": ("yellow",)}}, SLEEPY),
    ("infant_hard_to_wake_with", E, {**SLEEPY, "told": {"wets_24h": 2}}, {**SLEEPY, "told": {"wets_24h": 3}}),
    ("infant_hard_to_wake_with", E, {**SLEEPY, "losing": 3600}, {**SLEEPY, "losing": 3601}),
    ("infant_hard_to_wake_with", E, {"seen": {**SLEEPY["seen"], **celsius("38.0")}}, {"seen": {**SLEEPY["seen"], **celsius("37.9")}}),
    ("infant_hard_to_wake_with", E, {"seen": {**SLEEPY["seen"], **celsius("36.4")}}, {"seen": {**SLEEPY["seen"], **celsius("36.5")}}),
    ("infant_hard_to_wake_with", E, {"seen": {**SLEEPY["seen"], "tone": ("low",)}}, {"seen": {**SLEEPY["seen"], "tone": ("high",)}}),
    (
        "infant_jittery",
        E,
        {"hours": 167, "seen": {"alarm_signs": ("jittery",)}, "told": {"feeding_vigour": "poor"}},
        {"hours": 168, "seen": {"alarm_signs": ("jittery",)}, "told": {"feeding_vigour": "poor"}},
    ),
    (
        "infant_jittery",
        E,
        {"seen": {"alarm_signs": ("clammy",), "colour": ("pale",)}, "told": {"feeding_vigour": "refuses"}},
        {"seen": {"alarm_signs": ("clammy",), "colour": ("pale",)}, "told": {"feeding_vigour": "less"}},
    ),
    ("infant_breathing", E, {"seen": {"breathing_rate": 60}}, {"seen": {"breathing_rate": 59}}),
    ("infant_breathing", E, {"seen": {"breathing": ("grunting",)}}, {"seen": {"breathing": ("nostrils_flare",)}}),
    ("infant_breathing", E, {"seen": {"breathing": ("chest_in_drawing",)}}, {"seen": {"breathing": ("easy",)}}),
    ("infant_breathing", E, {"seen": {"breathing": ("pauses",)}}, {"seen": {}}),
    ("infant_breathing", E, {"told": {"feed_signs": ("breathing_stops",)}}, {"told": {"feed_signs": ("noisy",)}}),
    ("infant_breathing", E, {"feed": {"baby_signs": ("breathing_pause",)}}, {"feed": {"baby_signs": ("cough",)}}),
    ("infant_blue_or_pale", E, {"seen": {"colour": ("blue_lips_face",)}}, {"seen": {"colour": ("blue_hands_feet",)}}),
    ("infant_blue_or_pale", E, {"seen": {"colour": ("pale",)}}, {"seen": {"colour": ("usual",)}}),
    ("infant_blue_or_pale", E, {"seen": {"colour": ("mottled",)}}, {"seen": {}}),
    ("infant_blue_or_pale", E, {"told": {"feed_signs": ("colour_change",)}}, {"told": {"feed_signs": ("tires",)}}),
    ("infant_blue_or_pale", E, {"feed": {"baby_signs": ("colour",)}}, {"feed": {"baby_signs": ("none",)}}),
    ("infant_blue_or_pale", E, {"mouth": {"lips": ("blue",)}}, {"mouth": {"lips": ("dry",)}}),
    ("infant_brain", E, {"seen": {"fontanelle": "bulging"}}, {"seen": {"fontanelle": "flat"}}),
    ("infant_brain", E, {"seen": {"alarm_signs": ("stiff_neck",)}}, {"seen": {"alarm_signs": ("none",)}}),
    ("infant_brain", E, {"seen": {"alarm_signs": ("fit",)}}, {"seen": {"alarm_signs": ("jittery",)}}),
    ("infant_brain", E, {"seen": {"alarm_signs": ("rash_not_fading",)}}, {"seen": {"skin": ("rash",)}}),
    ("infant_green_vomit", E, {"line": {"brought_up": "green"}}, {"line": {"brought_up": "forceful"}}),
    ("infant_green_vomit", E, {"told": {"vomit": ("green",)}}, {"told": {"vomit": ("spit_up",)}}),
    (
        "infant_forceful_vomit",
        S,
        {"hours": 7 * DAY, "told": {"vomit": ("forceful_every_feed",)}},
        {"hours": 7 * DAY - 1, "told": {"vomit": ("forceful_every_feed",)}},
    ),
    (
        "infant_forceful_vomit",
        S,
        {"hours": 63 * DAY - 1, "told": {"vomit": ("forceful_every_feed",)}},
        {"hours": 63 * DAY, "told": {"vomit": ("forceful_every_feed",)}},
    ),
    ("infant_forceful_vomit", S, {"hours": 300, "told": {"vomit": ("forceful_every_feed",)}}, {"hours": 300, "told": {"vomit": ("forceful_sometimes",)}}),
    ("infant_yellow_24h", E, {"hours": 23, "seen": {"colour": ("yellow",)}}, {"hours": 24, "seen": {"colour": ("yellow",)}}),
    ("infant_yellow_24h", E, {"seen": {"colour": ("yellow",), "yellow_onset": "within_24_h"}}, {"seen": {"colour": ("yellow",), "yellow_onset": "after_24_h"}}),
    ("infant_yellow_24h", E, {"seen": {"colour": ("yellow",), "yellow_first_seen": ago(hours=37)}}, {"seen": {"colour": ("yellow",), "yellow_first_seen": ago(hours=36)}}),
    ("infant_yellow_24h", E, {"told": {"jaundice_told": "seen", "jaundice_onset": "within_24_h"}}, {"told": {"jaundice_told": "treated", "jaundice_onset": "within_24_h"}}),
    ("infant_yellow_sleepy", E, {"seen": {"colour": ("yellow",)}, "told": {"sleepy_feeds": 1}}, {"seen": {"colour": ("yellow",)}, "told": {"sleepy_feeds": 0}}),
    ("infant_yellow_sleepy", E, {"seen": {"colour": ("yellow",)}, "told": {"feeding_vigour": "poor"}}, {"seen": {"colour": ("yellow",)}, "told": {"feeding_vigour": "less"}}),
    ("infant_yellow_sleepy", E, {"seen": {"colour": ("yellow",), "tone": ("arching",)}}, {"seen": {"colour": ("usual",), "tone": ("arching",)}}),
    ("infant_yellow_sleepy", E, {"seen": {"colour": ("yellow",), "cry": ("high_pitched",)}}, {"seen": {"colour": ("yellow",), "cry": ("usual",)}}),
    ("infant_yellow_far", S, {"seen": {"colour": ("yellow",), "yellow_extent": ("face", "legs")}}, {"seen": {"colour": ("yellow",), "yellow_extent": ("face", "belly")}}),
    ("infant_yellow_far", S, {"hours": 24, "seen": {"yellow_extent": ("eyes",)}}, {"hours": 23, "seen": {"yellow_extent": ("eyes",)}}),
    ("infant_yellow_far", S, {"hours": 17 * DAY, "identity": {"gestation_weeks": 35}, "seen": {"yellow_extent": ("eyes",)}}, {"hours": 17 * DAY, "identity": {"gestation_weeks": 35}, "seen": {"yellow_extent": ("face",)}}),
    (
        "infant_yellow_long",
        P,
        {"hours": 15 * DAY, "seen": {"colour": ("yellow",)}, "identity": {"gestation_weeks": 38, "gestation_days": 0}},
        {"hours": 15 * DAY, "seen": {"colour": ("yellow",)}, "identity": {"gestation_weeks": 35, "gestation_days": 0}},
    ),
    (
        "infant_yellow_long",
        P,
        {"hours": 22 * DAY, "seen": {"colour": ("yellow",)}, "identity": {"gestation_weeks": 36, "gestation_days": 6}},
        {"hours": 21 * DAY, "seen": {"colour": ("yellow",)}, "identity": {"gestation_weeks": 36, "gestation_days": 6}},
    ),
    ("infant_dry", S, {"seen": {"mouth_moisture": "dry"}}, {"seen": {"mouth_moisture": "sticky"}}),
    ("infant_dry", S, {"seen": {"eyes": "sunken"}}, {"seen": {"eyes": "usual"}}),
    ("infant_dry", S, {"seen": {"fontanelle": "sunken"}}, {"seen": {"fontanelle": "flat"}}),
    ("infant_dry", S, {"seen": {"skin_turgor": "slow"}}, {"seen": {"skin_turgor": "springs_back"}}),
    ("infant_dry_sleepy", E, {"seen": {"mouth_moisture": "dry", "waking": "hard_to_wake"}}, {"seen": {"mouth_moisture": "dry", "waking": "easily"}}),
    ("infant_bruise", S, {"seen": {"skin": ("bruise",), "moves_about": False}}, {"seen": {"skin": ("bruise",), "moves_about": True}}),
    ("infant_bruise", S, {"seen": {"skin": ("bruise",)}}, {"seen": {"skin": ("scratch",)}}),
    ("infant_unsafe_adult", S, {"seen": {"unsafe_adult": True}}, {"seen": {"unsafe_adult": False}}),
]  # fmt: skip

# Newborn weight change: birth weight 4,000 g. NICE NG75, Flaherman 2015 (10 %); Macdonald 2003 (12.5 %, S2);
# NHS Lothian (15 %); ABM 3 2017 (8 % from 120 h, M); Paul 2016 (days 14 and 21).
WEIGHTS: list[Case] = [
    ("infant_not_gaining", S, {"hours": 121, "losing": 3899, "earlier": ((3900, DAY),)}, {"hours": 121, "losing": 3900, "earlier": ((3900, DAY),)}),
    ("infant_not_gaining", S, {"hours": 121, "losing": 3899, "earlier": ((3900, DAY),)}, {"hours": 120, "losing": 3899, "earlier": ((3900, DAY),)}),
    ("infant_not_gaining", S, {"hours": 500, "losing": 3900, "earlier": ((3900, 3 * DAY),)}, {"hours": 500, "losing": 3901, "earlier": ((3900, 3 * DAY),)}),
    ("infant_loss_10", S, {"losing": 3600}, {"losing": 3601}),
    ("infant_loss_12_5", S, {"losing": 3500}, {"losing": 3501}),
    ("infant_loss_15", E, {"losing": 3400}, {"losing": 3401}),
    ("infant_loss_7", F, {"losing": 3720}, {"losing": 3721}),
    ("infant_loss_8_day_5", S, {"hours": 121, "losing": 3680}, {"hours": 121, "losing": 3681}),
    ("infant_loss_8_day_5", S, {"hours": 121, "losing": 3680}, {"hours": 120, "losing": 3680}),
    ("infant_below_birth_weight_21", S, {"hours": 21 * DAY + 1, "losing": 3999}, {"hours": 21 * DAY, "losing": 3999}),
    ("infant_below_birth_weight_21", S, {"hours": 22 * DAY, "losing": 3999}, {"hours": 22 * DAY, "losing": 4000}),
    ("infant_below_birth_weight_14", P, {"hours": 14 * DAY + 1, "losing": 3999}, {"hours": 14 * DAY, "losing": 3999}),
    ("infant_below_birth_weight_10", F, {"hours": 10 * DAY + 1, "losing": 3999}, {"hours": 10 * DAY, "losing": 3999}),
]  # fmt: skip

# Output: Texas WIC chart (S); 8 hours without urine, NHS (S); 24 hours and meconium, from memory (M).
OUTPUT: list[Case] = [
    ("infant_output_two_below", S, {"hours": 4 * DAY, "told": {"wets_24h": 3, "stools_24h": 1}}, {"hours": 4 * DAY, "told": {"wets_24h": 4, "stools_24h": 3}}),
    ("infant_output_two_below", S, {"hours": 4 * DAY, "told": {"wets_24h": 4, "stools_24h": 2}}, {"hours": 4 * DAY, "told": {"wets_24h": 4}}),
    ("infant_output_two_below", S, {"hours": 6 * DAY, "told": {"wets_24h": 4}}, {"hours": 6 * DAY, "told": {"wets_24h": 5}}),
    ("infant_output_two_below", S, {"hours": 45 * DAY - 1, "told": {"wets_24h": 0}}, {"hours": 45 * DAY, "told": {"wets_24h": 0}}),
    ("infant_output_one_below", F, {"hours": 4 * DAY, "told": {"wets_24h": 4}}, {"hours": 4 * DAY, "told": {"wets_24h": 5}}),
    ("infant_output_one_below", F, {"hours": 4 * DAY, "told": {"wets_24h": 4}}, {"hours": 4 * DAY - 1, "told": {"wets_24h": 4}}),
    ("infant_black_stool", S, {"hours": 4 * DAY, "told": {"stool_colour": ("black",)}}, {"hours": 4 * DAY - 1, "told": {"stool_colour": ("black",)}}),
    ("infant_black_stool", S, {"hours": 4 * DAY, "seen": {"stool_seen": ("black",)}}, {"hours": 4 * DAY, "seen": {"stool_seen": ("green",)}}),
    ("infant_black_stool", S, {"hours": 100, "line": {"stool": "black", "starts": ago(hours=4)}}, {"hours": 100, "line": {"stool": "black", "starts": ago(hours=5)}}),
    ("infant_black_stool", S, {"hours": 100, "line": {"stool": "black"}}, {"hours": 95, "line": {"stool": "black"}}),
    ("infant_urates", S, {"hours": 3 * DAY, "told": {"urine_colour": ("urates",)}}, {"hours": 3 * DAY - 1, "told": {"urine_colour": ("urates",)}}),
    ("infant_no_urine", S, {"told": {"last_wet": ago(hours=8)}}, {"told": {"last_wet": ago(hours=7, minutes=59)}}),
    ("infant_no_urine", S, {"hours": 24, "told": {"wets_24h": 0}}, {"hours": 23, "told": {"wets_24h": 0}}),
    ("infant_no_urine", S, {"hours": 24, "told": {"first_urine": "not_yet"}}, {"hours": 23, "told": {"first_urine": "not_yet"}}),
    ("infant_no_urine", S, {"hours": 92 * DAY - 1, "told": {"last_wet": ago(hours=9)}}, {"hours": 92 * DAY, "told": {"last_wet": ago(hours=9)}}),
    ("infant_no_urine", S, {"hours": 200 * DAY, "told": {"last_wet": ago(hours=24)}}, {"hours": 200 * DAY, "told": {"last_wet": ago(hours=23, minutes=59)}}),
    ("infant_no_urine", S, {"hours": 200 * DAY, "told": {"wets_24h": 0}}, {"hours": 200 * DAY, "told": {"wets_24h": 1}}),
    ("infant_no_urine_sleepy", E, {"told": {"last_wet": ago(hours=8), "sleepy_feeds": 1}}, {"told": {"last_wet": ago(hours=8), "sleepy_feeds": 0}}),
    ("infant_pale_stool", S, {"told": {"stool_colour": ("pale",)}}, {"told": {"stool_colour": ("yellow",)}}),
    ("infant_pale_stool", S, {"hours": 400 * DAY, "seen": {"stool_seen": ("pale",)}}, {"hours": 400 * DAY}),
    ("infant_pale_stool", S, {"line": {"stool": "pale"}}, {"line": {"stool": "yellow"}}),
    ("infant_blood_in_stool", S, {"line": {"stool": "red"}}, {"line": {"stool": "none"}}),
    ("infant_dark_urine", S, {"told": {"urine_colour": ("dark",)}}, {"told": {"urine_colour": ("yellow",)}}),
    ("infant_blood_in_stool", S, {"told": {"stool_colour": ("red",)}}, {"told": {"stool_colour": ("brown",)}}),
    ("infant_no_meconium", S, {"hours": 24, "told": {"first_meconium": "not_yet"}}, {"hours": 23, "told": {"first_meconium": "not_yet"}}),
    ("infant_no_meconium", S, {"told": {"first_meconium": "later"}}, {"told": {"first_meconium": "within_48_h"}}),
    ("infant_few_feeds", F, {"told": {"feeds_24h": 7}}, {"told": {"feeds_24h": 8}}),
    ("infant_few_feeds", F, {"hours": 14 * DAY - 1, "told": {"wakes_to_feed": "woken"}}, {"hours": 14 * DAY, "told": {"wakes_to_feed": "woken"}}),
    ("infant_few_feeds_loss", S, {"told": {"feeds_24h": 7}, "losing": 3719}, {"told": {"feeds_24h": 7}, "losing": 3720}),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "level", "edge", "beside"), [*SIGNS, *WEIGHTS, *OUTPUT])
def test_an_urgent_row_fires_at_its_edge_and_not_beside_it(
    rule: str, level: Level, edge: dict[str, Any], beside: dict[str, Any]
) -> None:
    assert fired(charted(**edge)).get(rule) is level
    assert rule not in fired(charted(**beside))


def test_a_baby_of_whom_nothing_is_answered_fires_nothing() -> None:
    assert fired(charted()) == {}


def test_still_losing_or_not_gaining_after_day_5_is_seen() -> None:
    def two(first: int, days_before: float, last: int, hours: int) -> dict[str, Level]:
        return fired(charted(weight(first, NOW - timedelta(days=days_before)), hours=hours, losing=last))

    assert two(3900, 1, 3899, 121)["infant_not_gaining"] is S
    assert "infant_not_gaining" not in two(3900, 1, 3900, 121)
    assert "infant_not_gaining" not in two(3900, 1, 3899, 120)
    assert "infant_not_gaining" not in two(3900, 0.4, 3899, 200)
    assert two(3900, 3.1, 3900, 500)["infant_not_gaining"] is S
    assert "infant_not_gaining" not in two(3900, 3.1, 3901, 500)
    assert "infant_not_gaining" not in two(5900, 1, 5890, 40 * DAY)


def test_of_one_sign_only_the_strongest_rung_is_listed() -> None:
    assert set(fired(charted(losing=3400, hours=60))) == {"infant_loss_15"}
    assert "infant_hard_to_wake" not in fired(charted(**SLEEPY, losing=3600))
    assert set(fired(charted(losing=3600, hours=125))) == {"infant_loss_10"}


def test_of_one_visits_weights_the_lowest_counts_and_a_struck_one_never() -> None:
    dressed = weight(3700, NOW - timedelta(minutes=5), state="clothes")
    chart = charted(dressed, losing=3600)
    assert "infant_loss_10" in fired(chart)
    repeated = charted(weight(3620, NOW, repeat=grams(3600)))
    assert "infant_loss_10" in fired(repeated)


def test_a_later_weight_in_clothes_or_around_a_feed_hides_no_loss_and_shows_a_larger_one() -> None:
    bare = weight(3600, NOW - timedelta(hours=20))
    for how in ({"state": "clothes"}, {"state": "dry_diaper", "feed": "c" * 32}):
        assert "infant_loss_10" in fired(charted(bare, weight(3800, NOW - timedelta(minutes=5), **how)))
        assert "infant_loss_12_5" in fired(charted(bare, weight(3500, NOW - timedelta(minutes=5), **how)))
        assert "infant_loss_10" in fired(charted(weight(3600, NOW - timedelta(minutes=5), **how)))


def test_a_weight_in_clothes_is_no_earlier_weight_to_have_lost_from() -> None:
    dressed, now = weight(4300, NOW - timedelta(days=4), state="clothes"), weight(4100, NOW - timedelta(minutes=5))
    assert "infant_not_gaining" not in fired(charted(dressed, now, hours=20 * DAY))
    assert "infant_not_gaining" in fired(charted(weight(4300, NOW - timedelta(days=4)), now, hours=20 * DAY))


def test_a_weight_of_this_visit_counts_however_long_the_visit_goes_on() -> None:
    late = weight(3400, NOW + timedelta(hours=4, minutes=45))
    here = replace(late, place=replace(late.place, visit=VISIT))
    later = NOW + timedelta(hours=6)
    assert "infant_loss_15" in fired(charted(here), later)
    assert "infant_loss_15" not in fired(charted(late), later)


def test_a_later_weight_outdates_an_earlier_loss() -> None:
    chart = charted(weight(3500, NOW - timedelta(days=3)), losing=3900, hours=7 * DAY)
    assert fired(chart) == {}


def test_a_missing_birth_time_tries_both_ends_of_the_day_and_says_so() -> None:
    yesterday = charted(hours=None, identity={"born_day": date(2026, 3, 19)}, seen={"colour": ("yellow",)})
    first_day = only(yesterday, "infant_yellow_24h")
    assert "not known" in first_day.stricter
    long_ago = charted(hours=None, identity={"born_day": date(2026, 3, 17)}, seen={"colour": ("yellow",)})
    assert fired(long_ago) == {}
    certain = charted(hours=23, seen={"colour": ("yellow",)})
    assert only(certain, "infant_yellow_24h").stricter == ""


def test_an_unknown_birth_takes_the_stricter_row() -> None:
    chart = charted(hours=None, seen=celsius("38.0"))
    assert fired(chart)["infant_fever_28"] is E
    assert "not known" in only(chart, "infant_fever_28").stricter


def test_two_birth_times_are_both_tried() -> None:
    born = conflict(moment(NOW - timedelta(hours=20)), moment(NOW - timedelta(hours=44)))
    chart = charted(hours=None, identity={"born": born}, seen={"colour": ("yellow",)})
    assert "Two birth times" in only(chart, "infant_yellow_24h").stricter


def test_every_value_of_a_conflict_is_looked_at() -> None:
    hot = conflict(Quantity("37.2", "C", 372), Quantity("38.1", "C", 381))
    assert "infant_fever_28" in fired(charted(seen={"temperature": hot}))
    assert "infant_output_two_below" in fired(charted(told={"wets_24h": conflict(6, 1)}))
    heavy = conflict(grams(3800), grams(4000))
    assert "infant_loss_10" in fired(charted(losing=3600, identity={"birth_weight": heavy}))
    assert "infant_unwakeable" in fired(charted(seen={"tone": conflict(("usual",), ("limp",))}))
    assert "infant_cold" in fired(
        charted(seen=celsius("36.4") | {"temperature_after_skin": conflict("rose", "did_not_rise")})
    )


def test_a_missing_count_is_not_a_zero() -> None:
    assert fired(charted(hours=6 * DAY, told={"wets_24h": None, "stools_24h": None, "feeds_24h": None})) == {}


def test_a_reading_between_two_tenths_is_rounded_toward_safety() -> None:
    assert "infant_fever_28" in fired(charted(seen={"temperature": Quantity("37.96", "C", 380)}))
    assert "infant_cold_36" in fired(charted(seen={"temperature": Quantity("35.96", "C", 360)}))


def test_the_sleepy_baby_of_the_story_is_an_emergency_with_the_same_day_rows_under_it() -> None:
    # 5 days 4 h, -10.1 %, 2 wets with brick dust, no stool since day 2, yellow to the thighs, hard to wake.
    chart = charted(
        weight(3150, NOW),
        hours=5 * DAY + 4,
        identity={"birth_weight": grams(3504)},
        seen={"waking": "hard_to_wake", "colour": ("yellow",), "yellow_extent": ("face", "chest", "belly", "legs")},
        told={"wets_24h": 2, "urine_colour": ("urates",), "stools_24h": 0},
    )
    listed = prompts(chart, NOW)
    assert [p.level for p in listed] == sorted((p.level for p in listed), reverse=True)
    emergencies = {p.rule: p.seen for p in listed if p.level is E}
    assert set(emergencies) == {"infant_yellow_sleepy", "infant_hard_to_wake_with"}
    assert "low output" in emergencies["infant_hard_to_wake_with"]
    same_day = {p.rule for p in listed if p.level is S}
    assert same_day == {"infant_loss_10", "infant_output_two_below", "infant_urates", "infant_yellow_far"}
    assert all(p.source and p.mark and p.contact and p.why for p in listed)


def test_wren_at_the_edge_of_ten() -> None:
    for weighed, fires in ((3079, False), (3078, True), (3077, True)):
        chart = charted(weight(weighed, NOW), identity={"birth_weight": grams(3420)})
        assert ("infant_loss_10" in fired(chart)) is fires


def test_a_past_visit_is_read_at_its_own_time() -> None:
    chart = charted(losing=3600, hours=60, seen=celsius("38.0"))
    later = NOW + timedelta(days=60)
    after = charted(weight(5200, later - timedelta(days=1)), losing=3600, hours=60, seen=celsius("38.0"))
    assert fired(after, later) == fired(chart)


def test_another_babys_signs_are_never_read() -> None:
    chart = charted(seen={"tone": ("limp",)})
    assert {p.person for p in prompts(chart, NOW)} == {BABY}
    assert PARENT not in {p.person for p in prompts(chart, NOW)}
