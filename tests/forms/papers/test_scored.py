"""Scored tools on a letter: what is whole, what is not, and what has to be read with them."""

from __future__ import annotations

from typing import Any

import pytest

from forms.chart import Chart, Entry
from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from forms.scores import Score
from forms.trouble import Unresolved
from tests.forms.papers.test_family_plan import disputed
from tests.forms.papers.test_referral import made
from tests.helpers import thornbury as t


def letter(*attached: str, **given: Any) -> str:
    return words_of(made(t.changed(charted(**given), t.LETTER, attachments=attached)))


def charted(**given: Any) -> Chart:
    score: Entry[Any] = t.entry(Score, t.IDA, named="score", **{"version": "1994", "scored_by": "Robin"} | given)
    return t.whole(score)


LATCH: dict[str, Any] = {"tool": "latch", "latch_l": 2, "latch_a": 1, "latch_t": 2, "latch_c": 1, "latch_h": 0}


def test_a_tool_that_scores_a_feed_stands_with_the_feed_and_its_parts_beside_its_total() -> None:
    said = letter("feed", **LATCH)
    # Jensen, JOGNN 1994;23:27 (S): below 7 look further.
    assert "6 of 10; below 7: look further (Jensen, JOGNN 1994;23:27 (S))." in said
    assert "A score alone sends nobody on; it hides which part was low." in said
    assert "1994" in said
    assert "LATCH" not in letter("oral", **LATCH)


def test_a_tool_about_the_tongue_stands_with_the_mouth_and_with_its_caution() -> None:
    said = letter("oral", tool="btat", btat_tip=2, btat_gum=1, btat_lift=1, btat_reach=1)
    assert "5 of 8; 5 or less, published as impaired" in said
    assert "Raters disagree on such tools; findings for the provider’s evaluation." in said
    assert "BTAT" not in letter("feed", tool="btat", btat_tip=2, btat_gum=1, btat_lift=1, btat_reach=1)


def test_a_tool_with_a_part_missing_prints_no_total() -> None:
    said = letter("feed", **{**LATCH, "latch_h": None})
    assert "incomplete, no total: 4 of 5 parts stand." in said
    assert "LATCH: incomplete" in said


def test_a_tool_of_a_newer_version_is_named_as_such() -> None:
    assert "a choice of a newer version: xyz" in letter("oral", tool="xyz")


def test_no_tool_is_printed_unless_its_section_is_sent_and_none_of_the_twin() -> None:
    assert "LATCH" not in letter("weights", **LATCH)
    twin = t.entry(Score, t.JUNO, named="score", version="1994", scored_by="Robin", **LATCH)
    assert "LATCH" not in words_of(made(t.changed(t.whole(twin), t.LETTER, attachments=("feed", "oral"))))


def test_two_values_for_a_part_hold_the_letter_back() -> None:
    with pytest.raises(Unresolved):
        letter("feed", **{**LATCH, "latch_c": disputed(1, 2)})


def test_no_paper_of_the_family_carries_a_score() -> None:
    assert "LATCH" not in words_of(family_plan(charted(**LATCH), writer=t.WRITER, now=t.NOW))
