"""The line at the foot of the plan is put in own words on the practice's page, which says what a wording leaves out."""

from __future__ import annotations

from desktop.sheets.scope_lines import SCOPE_LINES, line_of
from desktop.sheets.sheet import Placed
from forms.ask import asks
from forms.chart import Entry, Place
from forms.scope_wording import ScopeWording
from tests.helpers import thornbury as t


def entry(**given: str) -> Entry[ScopeWording]:
    return Entry("scope", Place(ScopeWording.name), ScopeWording(**given), t.WRITER, t.START)


def test_each_question_of_a_wording_is_asked_once() -> None:
    assert sorted(name for _, name in Placed.by(SCOPE_LINES).fields) == sorted(asks(ScopeWording))


def test_a_wording_that_leaves_something_out_says_so_in_its_line_of_the_list() -> None:
    said = line_of(
        entry(language="en", words="Call us when you like, day or night, about anything at all, dear people.")
    )
    assert said.startswith("English: does not say that it is about feeding or")
    assert line_of(entry(language="en")) == "A scope line without its language or its words yet"
