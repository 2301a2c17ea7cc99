"""Rows of breast or chest, nipples and pain; each at its edge and beside it. Sides are the parent's own."""

from __future__ import annotations

from typing import Any

import pytest

from forms.answers import Quantity, Sided
from tests.forms.clinical.charted import charted, conflict, left
from tests.forms.clinical.rows import Case, F, N, P, S, fired, fires_only_at_its_edge, prompt_of


def looked(**answers: Any) -> dict[str, Any]:
    """A look at breast or chest: each answer on the left, but for those that have no side."""
    whole = {"evenness", "spacing", "gap"}
    return {"breast": {name: value if name in whole else left(value) for name, value in answers.items()}}


def hurts(*moments: int | None) -> dict[str, Any]:
    """A feed on the left that hurt so much at the latch, after 30 seconds, midway and at the end."""
    names = ("pain_at_latch", "pain_after_30s", "pain_middle", "pain_at_end")
    return {"feed": {name: left(pain) for name, pain in zip(names, moments, strict=True)}}


def told(**answers: Any) -> dict[str, Any]:
    return {"parent": {name: left(value) for name, value in answers.items()}}


def place(**answers: Any) -> dict[str, Any]:
    return {"place": {"side": "left", **answers}}


def mm(base: int) -> Quantity:
    return Quantity(str(base), "mm", base)


def tenths(text: str, base: int) -> dict[str, Any]:
    return {"parent": {"temperature": Quantity(text, "C", base)}}


FEVER, NO_FEVER = tenths("38.0", 380), tenths("37.9", 379)
WARM = looked(skin=("red", "warm"))

# Pain 4 throughout or rising, 7: numeric scale in general use (M). Trauma 4 to 5: Abou-Dakn 2011 (S, levels M). Stage 3
# to 4 (S2, M). Rating 5 to 6: Hill and Humenick 1994 (S, levels M). Gap above 38 mm: Huggins 2000, as quoted (S2).
# Inflamed breast: ABM 36 (S), 24 and 72 h from memory (M). Colour change, dimpling and the like: trade (M).
BREAST: list[Case] = [
    ("parent_pain_4", F, hurts(4, 4, 4, 4), hurts(4, 4, 4, 3)),
    ("parent_pain_4", F, hurts(5, 4, None, 4), hurts(5, 4, None, 3)),
    ("parent_pain_4", F, hurts(6, None, 4, None), hurts(6, None, None, None)),
    ("parent_pain_4", F, hurts(1, 1, 1, 2), hurts(2, 1, 1, 2)),
    ("parent_pain_4", F, hurts(None, 2, 3, None), hurts(None, 3, 2, None)),
    ("parent_pain_4", F, told(pain_when=("through",), pain_now=4), told(pain_when=("through",), pain_now=3)),
    ("parent_pain_4", F, told(pain_when=("through",), pain_worst=4), told(pain_when=("latch",), pain_worst=4)),
    ("parent_pain_7", P, hurts(7, 3, 2, 0), hurts(6, 3, 2, 0)),
    ("parent_pain_7", P, told(pain_now=7), told(pain_now=6)),
    ("parent_pain_7", P, told(pain_worst=7), told(pain_worst=6)),
    ("parent_pain_7", P, looked(pain_rest=7), looked(pain_rest=6)),
    ("parent_pain_7", P, looked(pain_touch=7), looked(pain_touch=6)),
    ("parent_nipple_trauma", P, looked(trauma_score="mark_4"), looked(trauma_score="mark_3")),
    ("parent_nipple_trauma", P, looked(trauma_score="mark_5"), looked(trauma_score="mark_0")),
    ("parent_nipple_trauma", P, looked(damage=("pus",)), looked(damage=("bleeding",))),
    ("parent_nipple_trauma", P, looked(damage=("yellow",)), looked(damage=("scab",))),
    ("parent_nipple_trauma", P, looked(damage=("crack", "spreading")), looked(damage=("crack", "swollen"))),
    ("parent_blisters", S, looked(skin_conditions=("vesicles",)), looked(skin_conditions=("eczema",), damage=("blister",))),
    ("parent_nipple_stage", P, looked(trauma_stage="stage_3"), looked(trauma_stage="stage_2")),
    ("parent_nipple_stage", P, looked(trauma_stage="stage_4"), looked(trauma_stage="stage_1")),
    ("parent_nipple_stage", P, place(where="nipple", depth="deep"), place(where="nipple", depth="shallow")),
    ("parent_nipple_stage", P, place(where="base", depth="through"), place(where="breast", depth="through")),
    ("parent_nipple_damage", N, looked(damage=("red",)), looked(damage=("none",))),
    ("parent_nipple_damage", N, looked(damage=("scab",)), looked(damage=("scab",), trauma_score="mark_4")),
    ("parent_nipple_shape", N, looked(nipple=("flat",)), looked(nipple=("everted",))),
    ("parent_nipple_shape", N, looked(nipple=("inverted",)), looked(nipple=("extra",))),
    ("parent_nipple_shape", N, looked(shape_after=("white",)), looked(shape_after=("longer",))),
    ("parent_nipple_shape", N, {"feed": {"nipple_after": left("creased")}}, {"feed": {"nipple_after": left("round")}}),
    ("parent_engorged", F, looked(engorgement="mark_5"), looked(engorgement="mark_4")),
    ("parent_engorged", F, {**looked(engorgement="mark_6"), **NO_FEVER}, {**looked(engorgement="mark_6"), **FEVER}),
    ("parent_engorged_fever", S, {**looked(engorgement="mark_5"), **FEVER}, {**looked(engorgement="mark_5"), **NO_FEVER}),
    ("parent_engorged_fever", S, {**looked(engorgement="mark_5"), "parent": {"temperature": Quantity("100.4", "F", 380)}}, {**looked(engorgement="mark_5"), "parent": {"temperature": Quantity("100.3", "F", 379)}}),
    ("parent_engorged_fever", S, {**looked(engorgement="mark_5"), **FEVER}, {**looked(engorgement="mark_4"), **FEVER}),
    ("parent_breast_seen", S, {**WARM, **FEVER}, {**WARM, **NO_FEVER}),
    ("parent_breast_seen", S, {**WARM, "parent": {"unwell": ("chills",)}}, {**WARM, "parent": {"unwell": ("none",)}}),
    ("parent_breast_seen", S, {**looked(skin=("darker", "warm")), **FEVER}, {**looked(skin=("darker",)), **FEVER}),
    ("parent_breast_seen", S, looked(skin=("purple", "warm"), skin_since="to_48_h"), looked(skin=("purple", "warm"), skin_since="under_24_h")),
    ("parent_breast_seen", S, looked(skin=("red", "warm"), skin_since="over_72_h", skin_course="same"), looked(skin=("red", "warm"), skin_since="over_72_h", skin_course="fading")),
    ("parent_breast_seen", S, looked(discharge=("pus",)), looked(discharge=("yellow",))),
    ("parent_breast_seen", S, place(kind="lump", since="over_72_h"), place(kind="lump", since="to_72_h")),
    ("parent_breast_seen", S, place(kind="swelling", feel="fluid"), place(kind="swelling", feel="firm")),
    ("parent_breast_signs", P, looked(skin=("dimpled",)), looked(skin=("shiny",))),
    ("parent_breast_signs", P, looked(skin=("orange_peel",)), looked(skin=("rash",))),
    ("parent_breast_signs", P, place(kind="lump", moves="fixed"), place(kind="lump", moves="moves")),
    ("parent_breast_signs", P, looked(discharge=("blood",), discharge_ducts="one"), looked(discharge=("blood",), discharge_ducts="several")),
    ("parent_breast_signs", P, looked(discharge=("blood",)), looked(discharge=("milk",))),
    ("parent_breast_signs", P, looked(discharge=("blood",), discharge_ducts="not_known"), looked(discharge=("clear",), discharge_ducts="one")),
    ("parent_colour_change", P, looked(colour_changes=("white",), colour_course="stays"), looked(colour_changes=("white",), colour_course="first")),
    ("parent_colour_change", P, looked(colour_changes=("burning",), colour_course="comes_back"), looked(colour_changes=("none",), colour_course="comes_back")),
    ("parent_breast_markers", P, looked(gap=mm(39)), looked(gap=mm(38))),
    ("parent_breast_markers", P, looked(shape="lower_lacking"), looked(shape="round")),
    ("parent_breast_markers", P, looked(shape="tube"), looked(shape="reshaped")),
    ("parent_breast_markers", P, looked(evenness="left_much"), looked(evenness="left_larger")),
    ("parent_breast_markers", P, looked(spacing="wide", surface=("stretch_marks",)), looked(spacing="wide", surface=("veins",))),
    ("parent_breast_markers", P, looked(spacing="wide", surface=("stretch_marks",)), looked(spacing="wide", gap=mm(30), surface=("stretch_marks",))),
    ("parent_breast_markers", P, {**looked(surface=("stretch_marks",)), "parent": {"size_change": "none"}}, {**looked(surface=("stretch_marks",)), "parent": {"size_change": "clear"}}),
    ("parent_breast_markers", P, {"hours": 168, "parent": {"size_change": "little", "milk_in": left("not_yet")}}, {"hours": 167, "parent": {"size_change": "little", "milk_in": left("not_yet")}}),
]  # fmt: skip


@pytest.mark.parametrize("case", BREAST)
def test_a_row_of_breast_or_chest_fires_at_its_edge_and_not_beside_it(case: Case) -> None:
    assert fires_only_at_its_edge(case)


def test_a_sign_says_on_which_side_it_was_seen() -> None:
    assert prompt_of("parent_nipple_trauma", **looked(trauma_score="mark_4")).seen == "Left: nipple trauma score 4 of 5"
    both = {"breast": {"trauma_score": Sided("mark_4", "mark_5")}}
    seen = prompt_of("parent_nipple_trauma", **both).seen
    assert seen == "Left: nipple trauma score 4 of 5; right: nipple trauma score 5 of 5"


def test_a_place_on_the_right_is_never_said_of_the_left() -> None:
    other = {"place": {"side": "right", "where": "nipple", "depth": "deep"}}
    assert prompt_of("parent_nipple_stage", **other).seen == "Right: damage into the skin"


def test_any_value_of_a_dispute_about_a_breast_fires() -> None:
    assert "parent_pain_7" in fired(charted(**hurts(conflict(2, 7), 1, 1, 1)))  # type: ignore[arg-type]
    assert "parent_pain_4" in fired(charted(**hurts(4, conflict(2, 5), 4, 4)))  # type: ignore[arg-type]
    assert "parent_nipple_trauma" in fired(charted(**looked(trauma_score=conflict("mark_1", "mark_5"))))
    assert "parent_breast_markers" in fired(charted(**looked(gap=conflict(mm(20), mm(45)))))
    assert "parent_breast_signs" in fired(charted(**looked(skin=conflict(("usual",), ("dimpled",)))))
    fading = looked(skin=("red", "warm"), skin_since="to_72_h", skin_course=conflict("fading", "spreading"))
    assert "parent_breast_seen" in fired(charted(**fading))


def test_pain_of_which_nothing_is_answered_is_no_pain_of_0_and_fires_nothing() -> None:
    assert fired(charted(**hurts(None, None, None, None))) == {}
    assert fired(charted(breast={})) == {}


def test_very_strong_pain_is_said_once_and_not_again_as_lasting_pain() -> None:
    found = fired(charted(**hurts(7, 7, 7, 7)))
    assert found.keys() == {"parent_pain_7"}
