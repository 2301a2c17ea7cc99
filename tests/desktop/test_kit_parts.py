"""The fixed parts of the window: veil, thread, tabs, figures, and what scrolls."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Link
from desktop.controls.choice import ChoiceStrip
from desktop.controls.control import Control
from desktop.controls.layouts import Reach, Stack
from desktop.controls.moons import moon_state
from desktop.controls.question import Question, question_for
from desktop.controls.segments import Tabs
from desktop.controls.shown import answer_words
from desktop.controls.strip import Figure
from desktop.controls.thread import Moment as Bead
from desktop.controls.thread import Thread
from desktop.controls.veil import PrivateVeil
from desktop.controls.words import Words
from desktop.theme.halfmoons import MoonState
from forms.answers import Absence, Absent, Conflicted
from forms.ask import ask_of
from tests.helpers import kit_walk
from tests.helpers.kit_keys import K, first_segment, focus, press
from tests.helpers.sample_kit import SampleBinding, SampleForm

Ask = Callable[..., Question]
AT = datetime(2026, 3, 3, 10, 42, tzinfo=UTC)


@pytest.mark.parametrize(
    ("given", "state"),
    [
        (None, MoonState.NOT_DONE),
        (0, MoonState.DONE),
        (False, MoonState.DONE),
        (Absent(Absence.DECLINED), MoonState.DECLINED),
        (Absent(Absence.NOT_DONE, "asleep"), MoonState.NOT_DONE),
        (Conflicted(()), MoonState.CONCERN),
    ],
)
def test_a_moon_says_how_far_an_answer_is(given: Any, state: MoonState) -> None:
    assert moon_state(given) is state


def test_private_answers_are_behind_a_tap_and_away_in_shared_view(qtbot: QtBot) -> None:
    binding = SampleBinding({"mood": "low"})
    page = Stack()
    veil = PrivateVeil("Mood and safety", question_for(binding, "mood"), stamp=question_for(binding, "alone"))
    page.add(veil)
    qtbot.addWidget(page)
    page.show()
    assert "low" not in {text for widget in kit_walk.inputs(page) for text in (widget.accessibleName(),)}
    focus(veil.opener)
    press(K.Key_Return)
    assert {"low", "Yes"} <= {widget.accessibleName() for widget in kit_walk.inputs(page)}
    veil.set_shared(True)
    assert kit_walk.inputs(page) == []
    veil.set_shared(False)
    assert not veil.is_open()
    assert [widget.accessibleName().split(",")[0] for widget in kit_walk.inputs(page)] == ["Mood and safety"]


def test_escape_draws_the_veil(qtbot: QtBot) -> None:
    veil = PrivateVeil("Mood and safety", question_for(SampleBinding(), "mood"))
    qtbot.addWidget(veil)
    veil.show()
    veil.open(True)
    focus(veil.closer)
    press(K.Key_Escape)
    assert not veil.is_open()


def test_the_thread_goes_to_any_moment_by_key_and_by_tap(qtbot: QtBot) -> None:
    thread = Thread(
        (
            Bead("arrive", "Arrive", MoonState.DONE),
            Bead("feed", "Feed", MoonState.DONE, MoonState.NOT_DONE),
            Bead("plan", "Plan"),
        )
    )
    qtbot.addWidget(thread)
    thread.resize(thread.sizeHint().width(), 600)
    thread.show()
    went: list[str] = []
    thread.chosen.connect(went.append)
    assert thread.beads["feed"].accessibleName() == "Feed: left done, right not done"
    focus(thread.beads["arrive"])
    press(K.Key_Down, K.Key_Down)
    assert went == []
    press(K.Key_Return)
    QTest.mouseClick(thread.beads["feed"], Qt.MouseButton.LeftButton)
    assert went == ["plan", "feed"]


def test_a_tap_on_the_line_between_two_moments_does_nothing(qtbot: QtBot) -> None:
    thread = Thread((Bead("arrive", "Arrive"), Bead("feed", "Feed")))
    qtbot.addWidget(thread)
    thread.resize(thread.sizeHint().width(), 400)
    thread.show()
    went: list[str] = []
    thread.chosen.connect(went.append)
    bead = thread.beads["feed"]
    QTest.mouseClick(bead, Qt.MouseButton.LeftButton, pos=QPoint(60, 1))
    assert went == []


def test_tabs_always_show_one_and_tell_only_of_another(qtbot: QtBot) -> None:
    tabs = Tabs("Parts of the mouth", {"lips": "Lips", "tongue": "Tongue"})
    qtbot.addWidget(tabs)
    tabs.show()
    went: list[str] = []
    tabs.chosen.connect(went.append)
    focus(tabs.button("lips"))
    press(K.Key_Space, K.Key_Right, K.Key_Space)
    assert went == ["tongue"]
    assert tabs.codes() == ("tongue",)


def test_a_figure_unfolds_how_it_is_worked_out_in_place(qtbot: QtBot) -> None:
    rows = (("Formula", ("after less before",)), ("From", ("after: 2,690 g", "before: 2,664 g")))
    figure = Figure("Taken, left side", "26 g", small="about 26 mL", worked_out=rows)
    qtbot.addWidget(figure)
    figure.show()
    assert figure.accessibleName() == "Taken, left side: 26 g"
    assert not figure.how.isVisible()
    focus(figure.link)
    press(K.Key_Return)
    assert figure.how.isVisible()
    shown = [words.said() for words in figure.how.findChildren(Words) if words.isVisible()]
    assert shown == ["Formula", "after less before", "From", "after: 2,690 g", "before: 2,664 g"]
    figure.show_figure("28 g", worked_out=(("Formula", ("after less before, again",)),), watch="Check the entry")
    kit_walk.settle()
    shown = [words.said() for words in figure.how.findChildren(Words) if words.isVisible()]
    assert shown == ["Formula", "after less before, again"]
    assert figure.accessibleName() == "Taken, left side: 28 g, Check the entry"


def test_what_has_the_focus_is_scrolled_into_view(qtbot: QtBot) -> None:
    page = Stack()
    links = [Link(f"line {at}") for at in range(40)]
    page.add(*links)
    window = Reach(page)
    qtbot.addWidget(window)
    window.resize(300, 300)
    window.show()
    kit_walk.settle()
    focus(links[30])
    kit_walk.settle()
    top = links[30].mapTo(window.viewport(), QPoint(0, 0)).y()
    assert 0 <= top <= window.viewport().height() - links[30].height()


def test_a_page_too_tall_to_be_shown_whole_opens_at_its_top_and_stays_where_it_is_read(qtbot: QtBot) -> None:
    page, section = Stack(), Stack()
    section.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    section.add(*(Words(f"line {at}") for at in range(60)))
    above = Link("above")
    page.add(above, *(Words(f"before {at}") for at in range(20)), section)
    window = Reach(page)
    qtbot.addWidget(window)
    window.resize(300, 300)
    window.show()
    kit_walk.settle()
    focus(section)
    kit_walk.settle()
    assert section.height() > window.viewport().height()
    assert section.mapTo(window.viewport(), QPoint(0, 0)).y() == 0
    bar = window.verticalScrollBar()
    bar.setValue(bar.maximum())
    focus(above)
    kit_walk.settle()
    assert above.mapTo(window.viewport(), QPoint(0, 0)).y() >= 0
    bar.setValue(bar.maximum() - 5)
    focus(section)
    kit_walk.settle()
    assert bar.value() == bar.maximum() - 5


def test_every_kind_of_question_has_its_control(ask: Ask) -> None:
    for field in (
        "reaches",
        "lifts",
        "pain",
        "weight",
        "wet",
        "weighed_at",
        "born",
        "scale_name",
        "more",
        "shield",
        "baby",
        "told",
    ):
        controls = ask(SampleBinding(), field).controls()
        assert all(isinstance(control, Control) for control in controls)


def test_two_controls_of_one_answer_show_the_same(ask: Ask) -> None:
    binding = SampleBinding()
    one, other = ask(binding, "lifts"), ask(binding, "lifts")
    focus(first_segment(one.controls()[0]))
    press(K.Key_Space)
    control = other.controls()[0]
    assert isinstance(control, ChoiceStrip)
    assert control.strip.codes() == ("edges",)


def test_answers_read_back_in_words() -> None:
    assert answer_words(ask_of(SampleForm, "reaches"), ("gum", "lip")) == "over the gum, to the lip"
    assert answer_words(ask_of(SampleForm, "pain"), 0) == "0"
    assert answer_words(ask_of(SampleForm, "lifts"), None) == "not answered"
    assert answer_words(ask_of(SampleForm, "lifts"), Absent(Absence.NOT_DONE, "asleep")) == "not done: asleep"
    assert answer_words(ask_of(SampleForm, "shield"), False) == "no"
