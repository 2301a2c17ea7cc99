"""Closing care in the real window: from the family's page, with the reasons in view, to closed and back."""

from __future__ import annotations

from collections import Counter

from PySide6.QtTest import QTest

from desktop.controls.words import Words
from desktop.pages.closing import ClosingPage
from desktop.pages.family import FamilyPage
from desktop.pages.practice import PracticePage
from desktop.sheets.closing import CLOSING, KEPT, OWNER, STATE, WRITTEN
from desktop.sheets.practice import KEEPING
from desktop.sheets.sheet import Placed, opened_by
from forms.answers import Absence, Absent, Moment
from forms.ask import asks
from forms.chart import Chart
from forms.closing import Closing, Loop, StateAtEnd
from forms.loops import closable, open_loops
from forms.practice import Practice
from tests.helpers.program import Program, read

SECTIONS = (CLOSING, KEPT, STATE, OWNER)


def family_id(program: Program) -> str:
    return read(program, lambda store: store.search("thornquist"))[0].id


def family(program: Program) -> FamilyPage:
    program.desk.family(family_id(program))
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    return page


def closing(program: Program) -> ClosingPage:
    family(program).care_end.key.click()
    page = program.to("closing")
    assert isinstance(page, ClosingPage)
    return page


def stored(program: Program) -> Chart:
    family = family_id(program)
    return read(program, lambda store: store.chart(family))


def words(page: object) -> str:
    return " | ".join(each.said() for each in page.findChildren(Words) if each.isVisible())  # type: ignore[attr-defined]


def answer_everything(page: ClosingPage, *, keep: str = "hold") -> None:
    """Everything a closing needs, each loop the family's own and known to it."""
    home, baby = page.home, page.home.infants()[0]
    why = home.binding(Closing, entity=page.closing)
    for field, value in {
        "reason": "goal_met", "covers": (baby,), "goal_words": "No shield by Easter. Done.", "goal_reached": 9,
        "given_family": ("summary", "numbers"), "kept": keep, "kept_why": "asked for by the family",
    }.items():  # fmt: skip
        why.put(field, value)
    page.go(baby)
    state = home.binding(StateAtEnd, entity=page._rows[(StateAtEnd.name, baby)])
    none = Absent(Absence.NOT_ASKED)
    for field, value in {
        "recall_day": none, "recall": ("at_breast",), "weight": none, "supplement": False, "pain": 0,
    }.items():  # fmt: skip
        state.put(field, value)
    page.go("open")
    for loop in open_loops(home.chart):
        row = home.binding(Loop, entity=page._rows[(Loop.name, loop.entry)])
        row.put("owner", "family")
        row.put("told", True)


def test_each_question_of_closing_stands_on_its_page_exactly_once_or_is_written_by_the_program() -> None:
    found = Counter(field for section in SECTIONS for field in Placed.by(section).fields)
    wanted = {(form, name) for form in (Closing, StateAtEnd, Loop) for name in asks(form)}
    assert wanted - set(found) == set(WRITTEN)
    assert [field for field, times in found.items() if times > 1] == []
    for section in SECTIONS:
        opened = {(form, later) for form, name in found for later in opened_by(form, name)}
        assert len([one for one in Placed.by(section).fields if one not in opened]) <= 9


def test_the_years_of_keeping_stand_on_the_practice_s_page() -> None:
    names = {name for form, name in Placed.by(KEEPING).fields if form is Practice}
    assert names == {"keep_rule", "keep_child_age", "keep_years", "keep_parent_with_child"}


def test_care_closes_only_once_nothing_is_left_and_the_family_s_page_says_so(program: Program) -> None:
    page = closing(program)
    assert not page.close_key.isEnabled()
    assert "Say first why care ends" in words(page)
    answer_everything(page)
    program.idle()
    assert "Nobody owns this yet" not in words(page)
    assert "Nothing is left" in words(page)
    assert page.close_key.isEnabled()
    page.close_key.click()
    program.to("family")
    back = family(program)
    assert "Care was closed on 3 Mar 2026: the goal is met." in words(back)
    assert not back.care_end.key.isVisible()
    kept = stored(program).all(Closing)[0].answers
    assert isinstance(kept.closed_at, Moment)
    assert kept.closed_by == program.desk.session.author
    rows = stored(program).all(Loop)
    assert {row.answers.closing for row in rows} == {stored(program).all(Closing)[0].id}
    assert {row.answers.of for row in rows} == {loop.entry for loop in open_loops(stored(program))}


def test_pressing_the_key_does_nothing_while_a_loop_has_no_owner(program: Program) -> None:
    page = closing(program)
    answer_everything(page)
    loop = open_loops(page.home.chart)[0]
    page.home.binding(Loop, entity=page._rows[(Loop.name, loop.entry)]).put("owner", None)
    program.idle()
    assert f"Nobody owns this yet. {loop.words}" in words(page)
    page.close_care()
    program.idle()
    assert program.page is page
    assert stored(program).all(Closing)[0].answers.closed_at is None


def test_a_closing_left_half_done_is_come_back_to_with_everything_in_it(program: Program) -> None:
    page = closing(program)
    page.go("open")
    loop = open_loops(page.home.chart)[0]
    page.home.binding(Loop, entity=page._rows[(Loop.name, loop.entry)]).put("owner", "practice")
    program.idle()
    first = page.closing
    back = family(program)
    assert "A closing was begun and waits to be finished." in words(back)
    again = closing(program)
    assert again.closing == first
    again.go("open")
    assert again.home.binding(Loop, entity=again._rows[(Loop.name, loop.entry)]).value("owner") == "practice"
    assert len(stored(program).all(Closing)) == len(stored(program).all(Loop)) == 1


def test_a_closing_is_taken_back_with_a_reason_and_care_goes_on(program: Program) -> None:
    page = closing(program)
    answer_everything(page)
    program.idle()
    page.close_key.click()
    program.to("family")
    back = family(program)
    back.care_end.goes_on.click()
    program.idle()
    asked = back.care_end._why
    assert asked is not None
    QTest.keyClicks(asked.reason, "They called: pain is back")
    asked.strike()
    program.idle()
    assert stored(program).all(Closing) == ()
    assert "Care is going on." in words(back)


def test_the_date_of_keeping_names_the_rule_or_asks_for_one(program: Program) -> None:
    page = closing(program)
    baby = page.home.infants()[0]
    page.home.binding(Closing, entity=page.closing).put("covers", (baby,))
    page.go("records")
    program.idle()
    assert "no rule is set yet: set the years under Practice, Keeping records." in words(page)
    program.desk.practice()
    practice = program.to("practice")
    assert isinstance(practice, PracticePage)
    practice.go("keeping")
    for field, value in {"keep_rule": "County rule", "keep_child_age": 25, "keep_years": 7}.items():
        practice.home.binding(Practice).put(field, value)
    program.idle()
    page = closing(program)
    page.go("records")
    program.idle()
    (line,) = page.keeping_words()
    # Born 9 February 2026 in the invented practice; the years are the practice's own.
    assert "until the child is 25 years old. Rule: County rule." in line
    assert "2051" in line
    assert any("“Why care ends” is not answered." in reason for reason in closable(page.home.chart, page.closing))
    assert line in words(page)
