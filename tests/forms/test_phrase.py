"""Phrases: what is a blank, where a phrase is offered, and that a blank left over holds back note and paper."""

from __future__ import annotations

import pytest

from forms.ask import Paper
from forms.chart import entry_id
from forms.note import Level, Why, blanks, ready_to_sign
from forms.papers.call_now import call_now
from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from forms.papers.said import Said, Unfilled
from forms.phrase import Phrase, blank_spans, fits, question_key
from forms.plan import Plan
from tests.helpers import thornbury as t

PLAN = entry_id(Plan, t.VISIT)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("Offer [?] mL", ["[?]"]),
        ("the [? side] side, [?] times", ["[? side]", "[?]"]),
        ("[?which side]", ["[?which side]"]),
        ("she said [sic] so", []),
        ("as told [by the midwife], [1], [ ? ], (?) and [x?]", []),
        ("an open [? bracket", []),
        ("[? over\nlines]", []),
        ("", []),
    ],
)
def test_a_blank_is_a_square_bracket_opened_by_a_question_mark_and_nothing_else(words: str, found: list[str]) -> None:
    assert [words[start:end] for start, end in blank_spans(words)] == found


def test_a_phrase_is_offered_where_it_fits_and_one_that_names_nothing_everywhere() -> None:
    key = question_key(Plan, "comfort_care")
    assert fits(Phrase(words="Warm, then [?]"), key)
    assert fits(Phrase(words="Warm", fits=(key,)), key)
    assert not fits(Phrase(words="Warm", fits=("plan.expressing",)), key)
    assert not fits(Phrase(shortcut="empty"), key)


def test_an_answer_with_a_blank_left_in_it_blocks_signing_at_its_own_question() -> None:
    chart = t.changed(t.whole(signed=False), PLAN, comfort_care="Cool for [? how long] after feeds")
    (found,) = [blank for blank in blanks(chart) if blank.why is Why.UNFILLED]
    assert (found.form, found.entry, str(found.path), found.level) == ("plan", PLAN, "comfort_care", Level.MUST)
    assert "how long" not in found.label
    assert not ready_to_sign(chart)
    filled = t.changed(chart, PLAN, comfort_care="Cool for ten minutes [sic] after feeds")
    assert not [blank for blank in blanks(filled) if blank.why is Why.UNFILLED]


def test_no_paper_prints_a_blank_and_the_call_now_page_is_not_held_back_by_one() -> None:
    chart = t.changed(t.whole(signed=False), PLAN, comfort_care="Cool for [?]", watch_baby_words="Takes under [?] mL")
    with pytest.raises(Unfilled, match="holds a blank"):
        family_plan(chart, writer=t.WRITER, now=t.NOW)
    assert "Takes under [?] mL" in words_of(call_now(chart, writer=t.WRITER, now=t.NOW))
    assert Said(chart, Paper.CALL_NOW, forgiving=True).forgiving
