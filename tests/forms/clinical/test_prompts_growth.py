"""Rows of growth: the loss that is expected, slow gain, fall across centile spaces; each at its edge and beside it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from forms.answers import Quantity
from tests.forms.clinical.charted import NOW, charted, conflict, grams, weight
from tests.forms.clinical.rows import DAY, Case, F, N, P, S, fired, fires_only_at_its_edge, prompt_of


def boy(birth: int = 4000, **more: Any) -> dict[str, Any]:
    """The identity of a boy born at 39 weeks."""
    return {"sex": "m", "gestation_weeks": 39, "gestation_days": 0, "birth_weight": grams(birth), **more}


MONTH = 28 * DAY
UNWELL: dict[str, Any] = {"hours": MONTH, "losing": 4324, "identity": boy()}

# Early loss: Noel-Weiss 2008 (S); the first row of loss is 7 % (M). Gain: 20 g/day, public-health leaflet (S2), 3 days
# between weighings (S2), day 5 and 4 months as in the rules (M, C). Spaces: NICE NG75 1.2.1 as quoted (S2): 2 spaces
# from the 9th to the 91st centile, 3 above the 91st, or below the 2nd; grams worked out from the WHO tables (C).
GROWTH: list[Case] = [
    ("infant_loss_early", N, {"losing": 3999}, {"losing": 4000}),
    ("infant_loss_early", N, {"losing": 3721}, {"losing": 3720}),
    ("infant_loss_early", N, {"hours": 120, "losing": 3999}, {"hours": 121, "losing": 3999}),
    ("infant_loss_early", N, {"losing": 3999}, {"losing": 3999, "hours": None}),
    ("infant_gain_slow", F, {"hours": 10 * DAY, "losing": 3959, "earlier": ((3900, 3 * DAY),)}, {"hours": 10 * DAY, "losing": 3960, "earlier": ((3900, 3 * DAY),)}),
    ("infant_gain_slow", F, {"hours": 10 * DAY, "losing": 3930, "earlier": ((3900, 3 * DAY),)}, {"hours": 10 * DAY, "losing": 3930, "earlier": ((3900, 3 * DAY - 1),)}),
    ("infant_gain_slow", F, {"hours": 10 * DAY, "losing": 3901, "earlier": ((3900, 3 * DAY),)}, {"hours": 10 * DAY, "losing": 3900, "earlier": ((3900, 3 * DAY),)}),
    ("infant_gain_slow", F, {"hours": 121, "losing": 3930, "earlier": ((3900, 3 * DAY),)}, {"hours": 120, "losing": 3930, "earlier": ((3900, 3 * DAY),)}),
    ("infant_gain_slow", F, {"hours": 122 * DAY, "losing": 6040, "earlier": ((6000, 3 * DAY),)}, {"hours": 123 * DAY, "losing": 6040, "earlier": ((6000, 3 * DAY),)}),
    ("infant_gain_slow", F, {"hours": 30 * DAY, "losing": 4539, "earlier": ((4400, 7 * DAY),)}, {"hours": 30 * DAY, "losing": 4540, "earlier": ((4400, 7 * DAY),)}),
    ("infant_faltering", P, {"hours": MONTH, "losing": 4324, "identity": boy()}, {"hours": MONTH, "losing": 4325, "identity": boy()}),
    ("infant_faltering", P, {"hours": MONTH, "losing": 4448, "identity": boy(4500)}, {"hours": MONTH, "losing": 4449, "identity": boy(4500)}),
    ("infant_faltering", P, {"hours": MONTH, "losing": 3304, "identity": boy(2500)}, {"hours": MONTH, "losing": 3305, "identity": boy(2500)}),
    ("infant_faltering", P, {"hours": 14 * DAY, "losing": 3100, "identity": boy()}, {"hours": 13 * DAY, "losing": 3100, "identity": boy()}),
    ("infant_faltering", P, {"hours": MONTH, "losing": 4324, "identity": boy()}, {"hours": MONTH, "losing": 4324, "identity": boy(sex=None)}),
    ("infant_faltering", P, {"hours": MONTH, "losing": 4324, "identity": boy()}, {"hours": MONTH, "losing": 4324, "identity": boy(gestation_weeks=None)}),
    ("infant_faltering", P, {"hours": MONTH, "losing": 4324, "identity": boy()}, {"hours": MONTH, "losing": 4324, "identity": boy(gestation_weeks=36, gestation_days=6)}),
    ("infant_faltering_unwell", S, {**UNWELL, "seen": {"waking": "hard_to_wake"}}, UNWELL),
    ("infant_faltering_unwell", S, {**UNWELL, "told": {"sleepy_feeds": 1}}, {**UNWELL, "told": {"sleepy_feeds": 0}}),
    ("infant_faltering_unwell", S, {**UNWELL, "told": {"feeding_vigour": "poor"}}, {**UNWELL, "told": {"feeding_vigour": "less"}}),
    ("infant_faltering_unwell", S, {**UNWELL, "seen": {"temperature": Quantity("38.0", "C", 380)}}, {**UNWELL, "seen": {"temperature": Quantity("37.9", "C", 379)}}),
    ("infant_faltering_unwell", S, {**UNWELL, "seen": {"temperature": Quantity("100.4", "F", 380)}}, {**UNWELL, "seen": {"temperature": Quantity("100.3", "F", 379)}}),
    ("infant_faltering_unwell", S, {**UNWELL, "seen": {"temperature": Quantity("36.4", "C", 364)}}, {**UNWELL, "seen": {"temperature": Quantity("36.5", "C", 365)}}),
    ("infant_faltering_unwell", S, {**UNWELL, "seen": {"tone": ("low",)}}, {**UNWELL, "seen": {"tone": ("high",)}}),
]  # fmt: skip


@pytest.mark.parametrize("case", GROWTH)
def test_a_row_of_growth_fires_at_its_edge_and_not_beside_it(case: Case) -> None:
    assert fires_only_at_its_edge(case)


def test_the_check_of_the_reference_gains_well() -> None:
    assert "infant_gain_slow" not in fired(charted(weight(3128, NOW - timedelta(hours=96)), hours=168, losing=3310))


def test_an_early_loss_is_said_with_the_published_means_and_medians_and_calls_nothing_fine() -> None:
    prompt = prompt_of("infant_loss_early", losing=3880)
    assert "−3.0 % from the birth weight, at 59 hours" in prompt.seen
    assert "5.7 to 6.6 %" in prompt.why
    assert "born vaginally, 4.2 % at 24 h, 7.1 % at 48 h, 6.4 % at 72 h" in prompt.why
    assert "born by caesarean, 4.9 % at 24 h" in prompt.why


def test_of_two_earlier_weights_in_conflict_the_higher_is_held_against_the_gain() -> None:
    torn = weight(3900, NOW - timedelta(days=4), weight=conflict(grams(3700), grams(3900)))
    assert "infant_gain_slow" in fired(charted(torn, hours=10 * DAY, losing=3950))
    assert "infant_gain_slow" not in fired(charted(weight(3700, NOW - timedelta(days=4)), hours=10 * DAY, losing=3950))


def test_of_an_earlier_weight_in_conflict_the_higher_shows_that_nothing_was_gained() -> None:
    torn = weight(3900, NOW - timedelta(days=4), weight=conflict(grams(3700), grams(3960)))
    assert fired(charted(torn, hours=10 * DAY, losing=3950))["infant_not_gaining"] is S


def test_any_value_of_a_disputed_birth_weight_shows_a_fall_across_spaces() -> None:
    torn = boy(birth_weight=conflict(grams(3300), grams(4000)))
    assert "infant_faltering" in fired(charted(hours=MONTH, losing=4324, identity=torn))
    assert "infant_faltering" not in fired(charted(hours=MONTH, losing=4324, identity=boy(3300)))


def test_without_a_birth_time_the_earlier_age_shows_the_fall_and_says_so() -> None:
    day = (NOW - timedelta(days=14)).date()
    identity = boy(born=None, born_day=day)
    prompt = prompt_of("infant_faltering", hours=None, losing=3100, identity=identity)
    assert "centile spaces" in prompt.seen
    assert prompt_of("infant_gain_slow", hours=None, losing=3930, earlier=((3900, 3 * DAY),)).stricter


def test_a_preterm_baby_has_no_score_at_birth_to_fall_from_and_is_still_seen_below_the_2nd_centile() -> None:
    early = boy(2500, gestation_weeks=34, gestation_days=2)
    seen = prompt_of("infant_faltering", hours=60 * DAY, losing=2700, identity=early).seen
    assert seen == "2,700 g: below the 2nd centile"
