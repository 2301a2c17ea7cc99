"""Phrases at a question for words: found by typing, put in by keys or by touch, and their blanks gone through by Tab."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desktop.controls.note import Note
from desktop.controls.question import Question
from desktop.theme.tokens import Target
from tests.helpers import kit_walk
from tests.helpers.kit_keys import K, focus, press
from tests.helpers.sample_kit import SampleBinding

Ask = Callable[..., Question]
PHRASES = (
    ("Cool", "Cool for [? minutes] on the [? side] side."),
    ("Hand", "Hand expression was shown and shown back."),
    ("Sic", "She calls it a “tongue [sic]”."),
)


@pytest.fixture
def kept() -> SampleBinding:
    binding = SampleBinding()
    binding.kept_phrases = PHRASES
    return binding


def note(question: Question) -> Note:
    control = question.controls()[0]
    assert isinstance(control, Note)
    return control


def marked(field: Note) -> str:
    return field.box.textCursor().selectedText()


def test_without_phrases_there_is_no_key_and_with_them_it_is_a_target(ask: Ask, kept: SampleBinding) -> None:
    assert note(ask(SampleBinding(), "more")).opener.isHidden()
    opener = note(ask(kept, "more")).opener
    assert opener.isVisible()
    assert opener.height() >= Target.TOUCH


def test_a_phrase_is_found_by_typing_and_its_blanks_are_gone_through_by_tab(ask: Ask, kept: SampleBinding) -> None:
    field = note(ask(kept, "more"))
    focus(field.box)
    press(K.Key_Tab)
    assert QApplication.focusWidget() is field.opener
    press(K.Key_Return, "cool side", K.Key_Return)
    assert field.text() == "Cool for [? minutes] on the [? side] side."
    assert marked(field) == "[? minutes]"
    assert field.left.said() == "2 blanks to fill. Tab goes to the next."
    press("ten minutes", K.Key_Tab)
    assert marked(field) == "[? side]"
    press("left", K.Key_Tab)
    assert kept.values["more"] == "Cool for ten minutes on the left side."
    assert not field.box.hasFocus(), "past the last blank Tab goes on as always"


def test_a_phrase_is_put_in_by_touch_behind_what_stands_and_nothing_is_replaced(ask: Ask, kept: SampleBinding) -> None:
    kept.values["more"] = "Sore since Tuesday 🌙."
    field = note(ask(kept, "more"))
    field.box.selectAll()
    QTest.mouseClick(field.opener, Qt.MouseButton.LeftButton)
    kit_walk.settle()
    assert field.finder is not None
    assert [row.text() for row in field.finder.rows] == ["Cool", "Hand", "Sic"]
    assert all(row.height() >= Target.TOUCH for row in field.finder.rows)
    QTest.mouseClick(field.finder.rows[0], Qt.MouseButton.LeftButton)
    assert field.text() == "Sore since Tuesday 🌙. Cool for [? minutes] on the [? side] side."
    assert marked(field) == "[? minutes]"
    assert field.finder.isHidden()


def test_opening_and_closing_the_list_changes_nothing(ask: Ask, kept: SampleBinding) -> None:
    field = note(ask(kept, "more"))
    focus(field.opener)
    press(K.Key_Space, "hand", K.Key_Escape)
    assert field.text() == ""
    assert kept.puts == []
    assert field.box.hasFocus()


def test_words_that_name_no_phrase_say_so_and_put_nothing_in(ask: Ask, kept: SampleBinding) -> None:
    field = note(ask(kept, "more"))
    focus(field.opener)
    press(K.Key_Space, "zebra", K.Key_Return)
    assert field.text() == ""
    assert field.finder is not None
    assert field.finder.shown() == ()


def test_ordinary_brackets_leave_tab_as_it_always_is(ask: Ask, kept: SampleBinding) -> None:
    field = note(ask(kept, "more"))
    field.put_in(PHRASES[2][1])
    assert marked(field) == ""
    assert field.left.isHidden()
    focus(field.box)
    press(K.Key_Tab)
    assert not field.box.hasFocus()


def test_shift_tab_goes_back_to_the_blank_before(ask: Ask, kept: SampleBinding) -> None:
    field = note(ask(kept, "more"))
    field.put_in(PHRASES[0][1])
    press(K.Key_Tab)
    assert marked(field) == "[? side]"
    QTest.keyClick(field.box, Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    assert marked(field) == "[? minutes]"
