"""Rows of milk beside the breast or chest and of milk expressed; each at its edge and beside it."""

from __future__ import annotations

from typing import Any

import pytest

from forms.answers import Absence, Absent, Quantity, Sided
from tests.forms.clinical.charted import NOW, charted, conflict, left, moment
from tests.forms.clinical.rows import DAY, Case, F, N, P, S, fired, fires_only_at_its_edge, prompt_of


def ml(base: int) -> Quantity:
    return Quantity(str(base), "mL", base)


def born_at(weeks: int | None, days: int | None = 0) -> dict[str, Any]:
    return {"identity": {"gestation_weeks": weeks, "gestation_days": days}}


PLANNED: dict[str, Any] = {"amount": {"extra_milk": True}}
TOLD: dict[str, Any] = {"told": {"fed_now": ("at_breast", "formula")}}
POOR: dict[str, Any] = {"hours": 20 * DAY, "losing": 4010, "earlier": ((4000, 3 * DAY),)}
WELL: dict[str, Any] = {"hours": 20 * DAY, "losing": 4090, "earlier": ((4000, 3 * DAY),)}


def agreed(**but: Any) -> dict[str, Any]:
    """A supplement agreed with a provider, by name and time."""
    return {
        "amount": {"extra_milk": True, "agreed": "agreed", "agreed_with": "0" * 32, "agreed_at": moment(NOW), **but}
    }


def taken(millilitres: int | None) -> dict[str, Any]:
    return {"amount": {"measured_24h": ml(millilitres) if millilitres is not None else None}}


# Supplement: ABM protocol 3 (M). 440 mL in 24 h: Kent, Nutrients 2016 (S), day 14 and poor gain as in its row.
SUPPLEMENT: list[Case] = [
    ("infant_supplement_new", F, PLANNED, {"amount": {"extra_milk": False}}),
    ("infant_supplement_new", F, TOLD, {"told": {"fed_now": ("at_breast",)}}),
    ("infant_supplement_new", F, {"feed": {"supplement": True}}, {"feed": {"supplement": False}}),
    ("infant_supplement_new", F, {**PLANNED, "before": {"amount": {"extra_milk": False}}}, {**PLANNED, "before": PLANNED}),
    ("infant_supplement_new", F, {**PLANNED, "before": {"told": {"fed_now": ("at_breast",)}}}, {**PLANNED, "before": TOLD}),
    ("infant_supplement_loss", S, {**PLANNED, "losing": 3600}, {**PLANNED, "losing": 3601}),
    ("infant_supplement_loss", S, {**TOLD, "losing": 3600}, {"losing": 3600}),
    ("infant_supplement_loss", S, {**PLANNED, "losing": 3600, "before": PLANNED}, {**PLANNED, "losing": 3601, "before": PLANNED}),
    ("infant_supplement_preterm", S, {**PLANNED, **born_at(36, 6)}, {**PLANNED, **born_at(37, 0)}),
    ("infant_supplement_preterm", S, {**PLANNED, **born_at(36, None)}, {**PLANNED, **born_at(37, None)}),
    ("infant_supplement_preterm", S, {**PLANNED, **born_at(36, 6)}, {**PLANNED, **born_at(None, 6)}),
    ("infant_supplement_preterm", S, {**PLANNED, **born_at(36, 6)}, {**PLANNED, **born_at(36, 6), "before": PLANNED}),
    ("infant_supplement_preterm", S, {**agreed(agreed_with=None), **born_at(36, 6)}, {**agreed(), **born_at(36, 6)}),
    ("infant_supplement_preterm", S, {**agreed(agreed_at=None), **born_at(36, 6)}, {**agreed(), **born_at(36, 6)}),
    ("infant_supplement_preterm", S, {**agreed(agreed="sent"), **born_at(36, 6)}, {**agreed(), **born_at(36, 6)}),
    ("infant_intake_440", P, {**POOR, **taken(439)}, {**POOR, **taken(440)}),
    ("infant_intake_440", P, {**POOR, **taken(439)}, {**WELL, **taken(439)}),
    ("infant_intake_440", P, {**POOR, **taken(0)}, {**POOR, **taken(None)}),
    ("infant_intake_440", P, {**POOR, **taken(439), "hours": 14 * DAY}, {**POOR, **taken(439), "hours": 14 * DAY - 1}),
    ("infant_intake_440", P, {"hours": 15 * DAY, "losing": 3999, **taken(439)}, {"hours": 15 * DAY, "losing": 4000, **taken(439)}),
]  # fmt: skip


def sessions(number: int | None, **day: Any) -> dict[str, Any]:
    return {"expressing": {"expresses": True, "sessions_24h": number, **day}}


def total(millilitres: int | None, **day: Any) -> dict[str, Any]:
    amount = ml(millilitres) if millilitres is not None else None
    return {"expressing": {"expresses": True, "total_24h": amount, **day}}


AT_BREAST: dict[str, Any] = {"told": {"fed_now": ("at_breast", "own_milk")}}
BY_BOTTLE: dict[str, Any] = {"told": {"fed_now": ("own_milk",)}}
HAND: dict[str, Any] = {"expression": {"way": Sided("hand", "hand")}}

# Sessions: Mago-Shah 2023 (S), day 5 as in the rules of loss (M). 350 and 750 mL: older preterm teaching (S2). By hand:
# Clinics in Perinatology 2017 (S), day 5 as a house rule (P).
EXPRESSING: list[Case] = [
    ("parent_expressing_few", F, {"hours": 120, **sessions(4)}, {"hours": 120, **sessions(5)}),
    ("parent_expressing_few", F, {"hours": 120, **sessions(4)}, {"hours": 119, **sessions(4)}),
    ("parent_expressing_few", F, {"hours": 120, **sessions(0)}, {"hours": 120, **sessions(None)}),
    ("parent_expressing_few", F, {"hours": 120, **BY_BOTTLE, **sessions(4)}, {"hours": 120, **AT_BREAST, **sessions(4)}),
    ("parent_expressing_few", F, {"hours": 120, **AT_BREAST, **sessions(4, supply_in_question=True)}, {"hours": 120, **AT_BREAST, **sessions(4, supply_in_question=False)}),
    ("parent_expressing_few", F, {"hours": 120, **sessions(4)}, {"hours": 120, **sessions(4, expresses=False)}),
    ("parent_expressing_few", F, {"hours": 120, **sessions(4, total_24h=ml(749))}, {"hours": 120, **sessions(4, total_24h=ml(750))}),
    ("parent_expressing_350", P, {"hours": 14 * DAY, **total(349)}, {"hours": 14 * DAY, **total(350)}),
    ("parent_expressing_350", P, {"hours": 14 * DAY, **total(349)}, {"hours": 14 * DAY - 1, **total(349)}),
    ("parent_expressing_350", P, {"hours": 14 * DAY, **total(0)}, {"hours": 14 * DAY, **total(None)}),
    ("parent_expressing_350", P, {"hours": 14 * DAY, **total(349)}, {"hours": 14 * DAY, **AT_BREAST, **total(349)}),
    ("parent_by_hand_alone", N, {"hours": 120, **HAND}, {"hours": 119, **HAND}),
    ("parent_by_hand_alone", N, {"hours": 120, **HAND}, {"hours": 120, "expression": {"way": Sided("hand", "electric")}}),
    ("parent_by_hand_alone", N, {"hours": 120, "expression": {"way": left("hand")}}, {"hours": 120, "expression": {"way": left("not_expressed")}}),
    ("parent_by_hand_alone", N, {"hours": 120, **HAND}, {"hours": 120, **HAND, **AT_BREAST}),
]  # fmt: skip


@pytest.mark.parametrize("case", [*SUPPLEMENT, *EXPRESSING])
def test_a_row_of_milk_fires_at_its_edge_and_not_beside_it(case: Case) -> None:
    assert fires_only_at_its_edge(case)


def test_any_value_of_a_dispute_about_milk_fires() -> None:
    assert "infant_supplement_new" in fired(charted(amount={"extra_milk": conflict(False, True)}))
    assert "infant_supplement_preterm" in fired(charted(**PLANNED, identity={"gestation_weeks": conflict(36, 38)}))
    torn_plan = agreed(agreed=conflict("agreed", "to_be_agreed"))
    assert "infant_supplement_preterm" in fired(charted(**torn_plan, **born_at(36, 6)))
    assert "infant_intake_440" in fired(charted(**POOR, amount={"measured_24h": conflict(ml(700), ml(400))}))
    assert "parent_expressing_few" in fired(charted(hours=120, **sessions(conflict(8, 4))))  # type: ignore[arg-type]
    torn: dict[str, Any] = {"expressing": {"total_24h": conflict(ml(700), ml(300))}}
    assert "parent_expressing_350" in fired(charted(hours=14 * DAY, **torn))


def test_a_deliberate_absence_is_no_zero() -> None:
    declined = Absent(Absence.DECLINED)
    assert fired(charted(hours=20 * DAY, expressing={"expresses": True, "sessions_24h": declined})) == {}
    assert fired(charted(**POOR, amount={"measured_24h": declined})).keys() == {"infant_gain_slow"}


def test_one_contact_about_the_loss_covers_the_supplement_too() -> None:
    prompt = prompt_of("infant_supplement_loss", **PLANNED, losing=3600)
    assert "infant_loss_10" in prompt.also


def test_when_nothing_is_known_of_any_birth_few_sessions_are_looked_at_as_of_an_older_baby() -> None:
    assert "parent_expressing_few" in fired(charted(hours=None, **sessions(4)))


def test_no_rule_about_milk_names_a_brand_an_amount_to_give_or_a_kind_to_buy() -> None:
    for rule, chart in (
        ("infant_supplement_loss", PLANNED | {"losing": 3600}),
        ("infant_supplement_preterm", PLANNED | born_at(36, 6)),
        ("infant_supplement_new", TOLD),
    ):
        text = prompt_of(rule, **chart).text
        assert "formula" not in text.lower()
        assert "mL" not in text
