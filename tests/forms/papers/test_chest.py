"""What was seen of breast or chest, on a letter: each side, each place, and what was a summary answer."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from forms.answers import Quantity, Sided
from forms.breast import BreastAssessment, BreastFinding
from forms.chart import Chart, Entry
from forms.papers.outline import words_of
from forms.trouble import Unresolved
from tests.forms.papers.test_family_plan import disputed
from tests.forms.papers.test_referral import made
from tests.helpers import thornbury as t

LOOKED: dict[str, Any] = {
    "consent": "look_touch", "feed_timing": "after", "damage": Sided(("none",), ("crack", "scab")),
    "trauma_score": Sided(None, "mark_4"), "skin": Sided(("usual",), None), "skin_plain": Sided(("skin",), None),
    "lump": Sided("none", None),
}  # fmt: skip
CRACK: dict[str, Any] = {
    "side": "right", "kind": "crack", "where": "nipple", "clock": "hour_3", "longest": Quantity("4", "mm", 4),
    "course": "same",
}  # fmt: skip


def _about_her(kept: Entry[Any] | None, **given: Any) -> Entry[Any]:
    assert kept is not None
    return replace(kept, place=replace(kept.place, subjects=(t.MARA,)), answers=replace(kept.answers, **given))


def about_mara(*attached: str, look: dict[str, Any] = LOOKED, place: dict[str, Any] = CRACK) -> Chart:
    """The letter of the story, about the parent."""
    entries: tuple[Entry[Any], ...] = (
        *(_about_her(t.whole().by_id(name), **given) for name, given in (
            (t.LETTER, {"attachments": attached, "to": t.MIDWIFE}), ("release", {"recipient": t.MIDWIFE}),
        )),
        t.entry(BreastAssessment, t.MARA, **look),
        t.entry(BreastFinding, t.MARA, named="place", **place),
    )  # fmt: skip
    return t.whole(*entries)


def letter(*attached: str, **more: Any) -> str:
    return words_of(made(about_mara(*attached, **more)))


def test_a_letter_about_the_parent_carries_both_sides_and_each_place() -> None:
    said = letter("chest")
    assert "Breast or chest, as seen" in said
    assert "Crack, Scab" in said
    assert "4: into the skin, under a quarter" in said
    assert "Right nipple, crack, 3 o'clock, 4 mm" in said


def test_only_what_a_summary_answer_wrote_is_marked_as_one() -> None:
    said = letter("chest")
    assert "As usual for this skin (summary answer)" in said
    assert said.count("(summary answer)") == 1
    changed = letter("chest", look={**LOOKED, "skin": Sided(("red",), None)})
    assert "summary answer" not in changed


def test_nothing_of_it_is_printed_unless_it_is_sent() -> None:
    assert "3 o'clock" not in letter("plan")


def test_a_place_answered_two_ways_keeps_the_letter_back() -> None:
    with pytest.raises(Unresolved):
        letter("chest", place={**CRACK, "clock": disputed("hour_3", "hour_4")})


def test_a_declined_look_is_printed_as_declined() -> None:
    assert "Declined" in letter("chest", look={"consent": "declined"}, place={})
