"""A jot is filed at the window: into a question in view or found by its words, or into none with a reason."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.pages.visit import VisitPage
from desktop.pages.visit_filing import Filing
from desktop.theme.tokens import Target
from forms.answers import Absence, Absent, Moment
from forms.note import answered
from forms.parent_history import ParentHistory
from forms.visit import Jot
from storage.troubles import DiskFull
from tests.helpers import kit_walk
from tests.helpers.kit_keys import K, press
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import control, kept, said, settled


def jotted(page: VisitPage, twins: TwinVisit, words: str = "hurts more at night") -> str:
    page.jot()
    press(words, K.Key_Return)
    settled(twins)
    return next(jot.id for jot in page.home.chart.all(Jot) if jot.answers.words == words)


def filing(page: VisitPage, entity: str) -> Filing:
    page.aside.jots.file(entity)
    kit_walk.settle()
    found = page.aside.jots._lines[entity].filing
    assert found is not None
    return found


def jot_kept(twins: TwinVisit, entity: str) -> Jot:
    entry = twins.store.entry(entity)
    assert entry is not None
    assert isinstance(entry.answers, Jot)
    return entry.answers


def history(twins: TwinVisit) -> ParentHistory:
    return twins.store.chart(twins.family, twins.visit).one(ParentHistory, twins.mara)


def test_by_keys_into_the_question_last_in_focus_behind_what_stands_there(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.mara, "story.goal")
    control(page, "parent_history", "goal").setFocus()
    press("To feed both at once")
    entity = jotted(page, twins)
    asked = filing(page, entity)
    assert asked.finder.rows[0].text() == "Feeding goal, in own words"
    press(K.Key_Down, K.Key_Return)
    settled(twins)
    assert history(twins).goal == "To feed both at once\n10:42: hurts more at night"
    filed = jot_kept(twins, entity)
    assert filed.words == "hurts more at night"
    assert filed.noted == Moment(twins.clock(), "America/New_York")
    assert filed.filed_to == "Parent's history, Mara: Feeding goal, in own words"
    assert filed.filed_at == Moment(twins.clock(), "America/New_York")
    goal = control(page, "parent_history", "goal")
    assert goal.text() == "To feed both at once\n10:42: hurts more at night"  # type: ignore[attr-defined]
    assert page.aside.jots.entry.hasFocus()


def test_by_touch_into_a_question_of_another_page_found_by_its_words(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.mara, "story.goal")
    entity = jotted(page, twins, "allergic to latex")
    line = page.aside.jots._lines[entity]
    QTest.mouseClick(line.file, Qt.MouseButton.LeftButton)
    kit_walk.settle()
    assert line.filing is not None
    line.filing.finder.box.setText("allerg mara")
    kit_walk.settle()
    (row,) = line.filing.finder.rows
    assert row.height() >= Target.TOUCH
    QTest.mouseClick(row, Qt.MouseButton.LeftButton)
    settled(twins)
    assert history(twins).allergies == "10:42: allergic to latex"
    assert page.aside.jots.waiting() == ()
    page.aside.jots.shelf.opener.click()
    shown = said(page.aside.jots)
    assert "10:42 allergic to latex" in shown
    assert "Parent's history, Mara: Allergies, with the reaction, filed 10:42" in shown


def test_one_step_back_takes_both_back(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.mara, "story.goal")
    control(page, "parent_history", "goal").setFocus()
    press("To feed both at once")
    entity = jotted(page, twins)
    filing(page, entity)
    press(K.Key_Down, K.Key_Return)
    settled(twins)
    page.home.take_back()
    settled(twins)
    assert history(twins).goal == "To feed both at once"
    assert not answered(jot_kept(twins, entity).filed_to)
    assert not answered(jot_kept(twins, entity).filed_at)
    assert [jot.id for jot in page.aside.jots.waiting()] == [entity]


def test_into_no_form_only_with_a_reason(page: VisitPage, twins: TwinVisit) -> None:
    entity = jotted(page, twins, "bring the small scale")
    asked = filing(page, entity)
    asked.none.setFocus()
    press(K.Key_Space, K.Key_Return)
    settled(twins)
    assert "Write why it stands in no form" in said(asked)
    assert not answered(jot_kept(twins, entity).filed_to)
    press("a note to myself", K.Key_Return)
    settled(twins)
    assert jot_kept(twins, entity).filed_to == "In no form: a note to myself"


def test_where_an_absence_stands_it_says_so_and_changes_nothing(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.mara, "story.goal")
    page.home.binding(ParentHistory, twins.mara).put("goal", Absent(Absence.DECLINED))
    kept(twins, page)
    entity = jotted(page, twins)
    asked = filing(page, entity)
    asked.finder.box.setText("feeding goal")
    press(K.Key_Return)
    settled(twins)
    assert "marked as having no answer" in said(asked)
    assert history(twins).goal == Absent(Absence.DECLINED)
    assert not answered(jot_kept(twins, entity).filed_to)


def test_on_a_full_disk_neither_half_is_written(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    page.go("story", twins.mara, "story.goal")
    entity = jotted(page, twins)
    asked = filing(page, entity)

    def full(*_given: object, **_more: object) -> None:
        raise DiskFull

    monkeypatch.setattr(twins.store, "write", full)
    press(K.Key_Down, K.Key_Return)
    settled(twins)
    monkeypatch.undo()
    assert DiskFull().sentence in said(asked)
    assert not answered(jot_kept(twins, entity).filed_to)
    assert history(twins).goal is None


def test_escape_leaves_the_jot_where_it_is(page: VisitPage, twins: TwinVisit) -> None:
    entity = jotted(page, twins)
    filing(page, entity)
    press(K.Key_Escape)
    line = page.aside.jots._lines[entity]
    assert not line.is_open()
    assert line.file.hasFocus()
    assert not answered(jot_kept(twins, entity).filed_to)
