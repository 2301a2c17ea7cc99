"""What a newer version wrote is named in plain words and never dropped."""

from __future__ import annotations

from datetime import UTC, datetime

from forms.ask import ask_of
from forms.chart import Entry, Place
from forms.form import Form
from forms.newer import choice_words, from_newer, kept_words
from forms.scores import Score

NOW = datetime(2026, 3, 3, tzinfo=UTC)


def test_a_choice_this_version_does_not_know_is_named_as_one_of_a_newer_version() -> None:
    tool = ask_of(Score, "tool")
    assert choice_words(tool, "btat") == "Bristol BTAT, four parts"
    assert choice_words(tool, "xyz") == "a choice of a newer version: xyz"


def test_a_value_of_any_shape_is_put_into_words() -> None:
    assert kept_words({"hue": 7, "rings": ["inner", "outer"], "lit": True, "since": None}) == (
        "hue 7, rings inner, outer, lit yes, since nothing"
    )
    assert kept_words(12) == "12"
    assert kept_words("as it stands") == "as it stands"


def test_each_unread_answer_of_an_entry_has_its_line_sides_included() -> None:
    entry: Entry[Form] = Entry(
        "s" * 32, Place("score", "f"), Score(), "a", NOW,
        unknown={"tongue_colour@left": "pink", "second_rater": {"total": 6}},
    )  # fmt: skip
    assert from_newer(entry) == ("second rater: total 6", "tongue colour, left: pink")
