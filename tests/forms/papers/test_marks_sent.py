"""Marks drawn on an outline, on a letter: the outline, each sentence with its number, and nothing while two answers stand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from forms.answers import Quantity
from forms.body_mark import BodyMark
from forms.chart import Chart
from forms.impression import Impression
from forms.mark_place import told
from forms.papers.outline import Shown, words_of
from forms.trouble import Unresolved
from tests.forms.papers.test_chest import about_mara
from tests.forms.papers.test_family_plan import disputed
from tests.forms.papers.test_referral import made
from tests.helpers import thornbury as t

FIRST: dict[str, Any] = {"outline": "chest", "side": "left", "clock": "hour_9"}
MARK: dict[str, Any] = {
    **FIRST, **told(BodyMark(**FIRST), "on_chest", "areola"), "kind": "graze", "longest": Quantity("6", "mm", 6),
}  # fmt: skip


def marked(*attached: str, **changed: Any) -> Chart:
    return about_mara(*attached).with_entry(t.entry(BodyMark, t.MARA, named="mark", **{**MARK, **changed}))


def test_a_letter_with_the_look_at_the_chest_carries_each_mark_with_its_number_and_sentence() -> None:
    outline = made(marked("chest"))
    said = words_of(outline)
    assert "left areola, 9 o'clock, toward the breastbone, graze, 6 mm" in said
    (shown,) = [block for block in outline.blocks if isinstance(block, Shown)]
    assert shown.table, "the sentences stand beside the outline"
    assert shown.drawing.table.rows[0][0] == "1"


def test_a_letter_without_it_carries_none() -> None:
    outline = made(marked("plan"))
    assert "graze" not in words_of(outline)
    assert not [block for block in outline.blocks if isinstance(block, Shown)]


@pytest.mark.parametrize("torn", [
    {"kind": disputed("graze", "crack")}, {"clock": disputed("hour_3", "hour_9")}, {"x": disputed(100, 200)},
    {"words": disputed("one", "other")},
])  # fmt: skip
def test_two_answers_about_a_mark_keep_the_letter_back(torn: dict[str, Any]) -> None:
    with pytest.raises(Unresolved):
        made(marked("chest", **torn))


def test_a_mark_struck_out_and_a_mark_of_another_visit_stand_on_no_letter() -> None:
    entry = t.entry(BodyMark, t.MARA, named="mark", **MARK)
    elsewhere = replace(entry, place=replace(entry.place, visit="another"))
    assert "graze" not in words_of(made(about_mara("chest").with_entry(elsewhere)))


def test_a_mark_picked_as_a_finding_is_said_whole() -> None:
    chart = marked("plan")
    mark = next(e for e in chart.entries if isinstance(e.answers, BodyMark))
    picked = chart.with_entry(t.entry(Impression, t.MARA, named="thought", findings=(f"{mark.id}/kind",), kinds=()))
    assert "left areola, 9 o'clock, toward the breastbone, graze, 6 mm" in words_of(made(picked))
