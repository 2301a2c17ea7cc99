"""Each parent's own words, and what stands where none was told."""

from __future__ import annotations

import pytest

from forms.ask import ask_of
from forms.people import ParentIdentity
from forms.words import BODY, FEEDING, MILK, Pronouns, shared_words, words_for
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t


def test_words_nobody_stated_are_the_plain_trade_words_and_pronouns_are_the_name() -> None:
    words = words_for(t.changed(t.whole(), t.JONAS, full_name="Jonas Reyes", called_name=None), t.JONAS)
    assert (words.body, words.feeding, words.milk, words.title) == (BODY, FEEDING, MILK, "")
    assert words.own == frozenset()
    assert words.pronouns == Pronouns("Jonas Reyes", "Jonas Reyes", "Jonas Reyes’s")
    assert words.fill("By a tube at the breast or chest") == "By a tube at the breast or chest"


def test_every_choice_of_the_words_table_has_its_word_on_paper() -> None:
    for field, key in (("body_word", "body"), ("feeding_word", "feeding"), ("milk_word", "milk")):
        for code, shown in ask_of(ParentIdentity, field).options.items():
            own = {f"{field}_own": "their word"} if code == "other" else {}
            words = words_for(t.changed(t.whole(), t.JONAS, **{field: code}, **own), t.JONAS)
            expected = "their word" if code == "other" else MILK if code == "my_milk" else shown.lower()
            assert getattr(words, key) == expected


@pytest.mark.parametrize(
    ("code", "said"),
    [("she", "she asks for her; it is hers to say, and she is right"),
     ("he", "he asks for him; it is his to say, and he is right"),
     ("they", "they ask for them; it is their to say, and they are right")],
)  # fmt: skip
def test_a_sentence_agrees_with_the_pronouns(code: str, said: str) -> None:
    own = words_for(t.changed(t.whole(), t.MARA, pronouns=code), t.MARA).pronouns
    ask, be = own.verb("asks", "ask"), own.verb("is", "are")
    hers = {"her": "hers"}.get(own.possessive, own.possessive)
    assert f"{own.subject} {ask} for {own.object}; it is {hers} to say, and {own.subject} {be} right" == said


def test_pronouns_of_any_other_grammar_leave_the_name_in_every_sentence() -> None:
    words = words_for(t.changed(t.whole(), t.MARA, pronouns="other", pronouns_own="ze/hir"), t.MARA)
    assert words.pronouns == Pronouns("Mara", "Mara", "Mara’s")
    assert words.pronouns_told == "ze/hir"


def test_a_word_in_dispute_is_the_plain_one_and_its_question_is_named() -> None:
    chart = t.changed(t.whole(), t.MARA, body_word=disputed("breast", "chest"), pronouns=disputed("she", "they"))
    words = words_for(chart, t.MARA)
    assert words.body == BODY
    assert words.pronouns.subject == "Mara"
    assert words.unsettled == ("Own word for the body", "Pronouns")
    assert shared_words(chart).unsettled == words.unsettled


def test_a_word_holds_for_the_family_only_if_every_parent_who_stated_one_says_the_same() -> None:
    same = t.changed(t.changed(t.whole(), t.MARA, body_word="chest"), t.JONAS, body_word="other", body_word_own="Chest")
    assert shared_words(same).body == "chest"
    differ = t.changed(same, t.JONAS, body_word="breast")
    assert shared_words(differ).body == BODY
    assert words_for(differ, t.MARA).body == "chest"


def test_the_familys_word_takes_the_place_of_neutral_words_only() -> None:
    words = words_for(t.changed(t.whole(), t.MARA, body_word="chest", milk_word="chest_milk"), t.MARA)
    assert words.fill("Breast or chest surgery") == "Chest surgery"
    assert words.fill("Your own milk, at the breast or chest") == "Your own chest milk, at the chest"
    assert words.fill("She said her breast hurts") == "She said her breast hurts"
