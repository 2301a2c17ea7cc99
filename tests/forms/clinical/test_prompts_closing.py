"""A prompt below SAME DAY closes with an action, a person and a time, or with a reason; it keeps nothing back."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from forms.answers import Absence, Absent
from forms.blank import Level, Why
from forms.chart import Entry, Struck
from forms.clinical.prompts import closings, open_prompts, prompts, unclosed, waiting
from forms.form import Form
from forms.note import ready_to_sign
from forms.prompted import PromptClosed
from forms.prompts_left import prompts_left
from tests.forms.clinical.charted import BABY, NOW, PARENT, VISIT, charted, conflict, entry, moment, urgent

DONE: dict[str, Any] = {
    "outcome": "done", "action": "feed watched, weigh again tomorrow", "by_whom": "Rowan Vale", "at": moment(NOW),
}  # fmt: skip
ASIDE: dict[str, Any] = {"outcome": "override", "override_reason": "weighed by the midwife an hour ago: gaining"}
LOSS_7 = "infant_loss_7"


def closed(person: str, *covers: str, name: str = "c" * 32, **answers: Any) -> Entry[Form]:
    return entry(name, PromptClosed(covers=covers, **answers), person, visit=VISIT)


def left(*more: Any, losing: int = 3710) -> set[str]:
    """The calm prompts still open for a baby who lost 7.25 %."""
    return {prompt.rule for prompt in unclosed(charted(*more, losing=losing), NOW)}


@pytest.mark.parametrize("answers", [DONE, ASIDE])
def test_an_action_with_a_person_and_a_time_closes_a_prompt_and_so_does_a_reason(answers: dict[str, Any]) -> None:
    assert LOSS_7 in left()
    assert LOSS_7 not in left(closed(BABY, LOSS_7, **answers))
    chart = charted(closed(BABY, LOSS_7, **answers), losing=3710)
    (prompt,) = [one for one in prompts(chart, NOW) if one.rule == LOSS_7]
    assert [one.answers for one in closings(chart, prompt)] == [PromptClosed(covers=(LOSS_7,), **answers)]


@pytest.mark.parametrize("answers", [DONE, ASIDE])
def test_a_closing_with_any_of_it_blank_or_deliberately_absent_closes_nothing(answers: dict[str, Any]) -> None:
    for name, given in answers.items():
        without = {key: value for key, value in answers.items() if key != name}
        assert LOSS_7 in left(closed(BABY, LOSS_7, **without)), name
        assert LOSS_7 in left(closed(BABY, LOSS_7, **(answers | {name: Absent(Absence.NOT_DONE, "later")}))), name
        if isinstance(given, str) and name != "outcome":
            assert LOSS_7 in left(closed(BABY, LOSS_7, **(answers | {name: "   "}))), name


def test_a_closing_struck_out_or_in_conflict_closes_nothing() -> None:
    torn = closed(BABY, LOSS_7, **(DONE | {"action": conflict("weigh tomorrow", "weigh on Friday")}))
    assert LOSS_7 in left(torn)
    struck = replace(closed(BABY, LOSS_7, **DONE), struck=Struck("author", NOW, "a slip"))
    assert LOSS_7 in left(struck)


def test_a_closing_holds_for_its_own_person_and_prompts_alone() -> None:
    assert LOSS_7 in left(closed(PARENT, LOSS_7, **DONE))
    assert LOSS_7 in left(closed(BABY, "infant_few_feeds", **DONE))


def test_a_closing_never_stands_for_an_urgent_contact_and_an_urgent_contact_closes_a_calm_prompt_it_covers() -> None:
    chart = charted(closed(BABY, "infant_loss_10", **DONE), losing=3600)
    assert {prompt.rule for prompt in open_prompts(chart, NOW)} == {"infant_loss_10"}
    refused = urgent(BABY, LOSS_7, outcome="family_refused", family_words="we would rather wait")
    assert LOSS_7 not in left(refused)


def test_a_prompt_that_rises_asks_for_its_own_closing() -> None:
    chart = charted(closed(BABY, LOSS_7, **DONE), losing=3600)
    assert {prompt.rule for prompt in open_prompts(chart, NOW)} == {"infant_loss_10"}


def test_calm_prompts_keep_no_note_from_being_signed_and_stand_on_the_finish_list_as_what_could_be_done() -> None:
    chart = charted(losing=3710)
    assert open_prompts(chart, NOW) == ()
    (line,) = prompts_left(chart, NOW)
    assert (line.level, line.why, line.subjects, line.form) == (Level.SHOULD, Why.MISSING, (BABY,), "prompt_closed")
    assert line.label == "A prompt to close: see again in 24 to 72 hours"
    assert "3,710" not in repr(line)
    assert prompts_left(charted(closed(BABY, LOSS_7, **DONE), losing=3710), NOW) == ()
    assert ready_to_sign(chart) == ready_to_sign(charted(losing=3900))


def test_what_waits_is_the_urgent_first_and_then_the_calm_and_nothing_between_visits() -> None:
    chart = charted(losing=3600, told={"wets_24h": 2}, hours=60)
    waits = waiting(chart, NOW)
    assert [prompt.level for prompt in waits] == sorted((prompt.level for prompt in waits), reverse=True)
    assert waits == (*open_prompts(chart, NOW), *unclosed(chart, NOW))
    assert waiting(replace(chart, visit=None), NOW) == ()
