"""A jot goes behind what stands, with its time, and never in place of anything."""

from __future__ import annotations

from datetime import date

import pytest

from forms.answers import Absence, Absent
from forms.filing import behind, timed_words
from forms.trouble import Refused
from forms.visit import Jot
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t

TODAY = date(2026, 3, 3)


def test_the_words_keep_the_time_they_were_noted_and_the_day_too_when_it_was_another() -> None:
    jot = Jot(words=" prefers the left ", noted=t.local(3, 14, 2))
    assert timed_words(jot, TODAY) == "14:02: prefers the left"
    assert timed_words(jot, date(2026, 3, 4)) == "3 Mar 2026, 14:02: prefers the left"


def test_words_go_behind_what_stands_in_a_line_of_their_own() -> None:
    assert behind(None, "14:02: b") == "14:02: b"
    assert behind("a\n", "14:02: b") == "a\n14:02: b"


@pytest.mark.parametrize("standing", [Absent(Absence.DECLINED), disputed("a", "b")])
def test_where_an_absence_or_two_answers_stand_nothing_is_filed(standing: object) -> None:
    with pytest.raises(Refused):
        behind(standing, "14:02: b")  # type: ignore[arg-type]


@pytest.mark.parametrize("words", [None, "  ", disputed("a", "b")])
def test_a_jot_without_words_or_with_two_wordings_is_not_filed(words: object) -> None:
    with pytest.raises(Refused):
        timed_words(Jot(words=words, noted=t.local(3, 14)), TODAY)  # type: ignore[arg-type]
