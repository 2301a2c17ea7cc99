"""Each control, worked by keys alone, and what it puts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from desktop.controls.absence import AbsencePanel
from desktop.controls.buttons import Act, Link
from desktop.controls.choice import ChoiceStrip
from desktop.controls.control import Control
from desktop.controls.layouts import Reach, Stack
from desktop.controls.moons import moon_state
from desktop.controls.numbers import CountStepper, QuantityField
from desktop.controls.question import Question, question_for
from desktop.controls.segments import Segments, Tabs
from desktop.controls.shown import answer_words, moment_words
from desktop.controls.strip import Figure
from desktop.controls.thread import Moment as Bead
from desktop.controls.thread import Thread
from desktop.controls.typed import Typed
from desktop.controls.veil import PrivateVeil
from desktop.theme.halfmoons import MoonState
from forms.answers import Absence, Absent, Conflicted, Moment, Quantity, Variant
from forms.ask import ask_of
from tests.helpers import kit_walk
from tests.helpers.sample_kit import DENTIST, IDA, JUNO, NOW, SampleBinding, SampleForm

Ask = Callable[..., Question]
AT = datetime(2026, 3, 3, 10, 42, tzinfo=UTC)


@pytest.fixture
def ask(qtbot: QtBot) -> Iterator[Ask]:
    """Shows the question of a field in a window of its own."""
    windows: list[QWidget] = []

    def show(binding: SampleBinding, field: str) -> Question:
        page = Stack()
        question = question_for(binding, field)
        page.add(question)
        page.finish()
        binding.setParent(page)
        window = Reach(page)
        windows.append(window)
        window.resize(800, 700)
        window.show()
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        kit_walk.settle()
        return question

    yield show
    for window in windows:
        window.close()
        window.deleteLater()
    kit_walk.settle()


def press(*keys: Qt.Key | str) -> None:
    """Keys go to whatever has the focus, as under a real hand."""
    for key in keys:
        focused = QApplication.focusWidget()
        assert focused is not None, "nothing has the focus"
        if isinstance(key, str):
            QTest.keyClicks(focused, key)
        else:
            QTest.keyClick(focused, key)
    kit_walk.settle()


def focus(widget: QWidget) -> None:
    widget.window().activateWindow()
    kit_walk.settle()
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    assert QApplication.focusWidget() is not None


def first_segment(control: QWidget) -> QWidget:
    strip = control if isinstance(control, Segments) else control.findChildren(Segments)[0]
    return strip.button(strip.options()[0])


def typed(question: Question, at: int = 0) -> Typed:
    control = question.controls()[at]
    assert isinstance(control, Typed)
    return control


K = Qt.Key


def test_arrows_move_along_a_strip_without_answering_and_space_answers(ask: Ask) -> None:
    binding = SampleBinding()
    focus(first_segment(ask(binding, "lifts").controls()[0]))
    press(K.Key_Right, K.Key_Right)
    assert binding.puts == []
    press(K.Key_Space)
    assert binding.values["lifts"] == "tip"
    press(K.Key_Left, K.Key_Return)
    assert binding.values["lifts"] == "middle"


def test_home_end_and_the_way_round_reach_every_segment(ask: Ask) -> None:
    binding = SampleBinding()
    focus(first_segment(ask(binding, "lifts").controls()[0]))
    press(K.Key_End, K.Key_Space)
    assert binding.values["lifts"] == "unseen"
    press(K.Key_Right, K.Key_Space)
    assert binding.values["lifts"] == "edges"


def test_picking_what_is_picked_takes_the_answer_back(ask: Ask) -> None:
    binding = SampleBinding({"lifts": "edges"})
    focus(first_segment(ask(binding, "lifts").controls()[0]))
    press(K.Key_Space)
    assert binding.values["lifts"] is None


def test_tab_leaves_a_strip_for_no_answer_and_comes_back(ask: Ask) -> None:
    question = ask(SampleBinding(), "lifts")
    focus(first_segment(question.controls()[0]))
    press(K.Key_Right, K.Key_Tab)
    assert QApplication.focusWidget() is question.no_answer
    press(K.Key_Backtab)
    strip = question.controls()[0].findChildren(Segments)[0]
    assert QApplication.focusWidget() is strip.button("middle")


def test_several_are_kept_in_declared_order_whatever_the_order_of_tapping(ask: Ask) -> None:
    binding = SampleBinding()
    focus(first_segment(ask(binding, "reaches").controls()[0]))
    press(K.Key_Right, K.Key_Space, K.Key_Left, K.Key_Space)
    assert binding.values["reaches"] == ("gum", "lip")


def test_a_code_that_stands_alone_and_the_others_put_each_other_out(ask: Ask) -> None:
    binding = SampleBinding({"reaches": ("gum", "lip")})
    focus(first_segment(ask(binding, "reaches").controls()[0]))
    press(K.Key_End, K.Key_Space)
    assert binding.values["reaches"] == ("unseen",)
    press(K.Key_Home, K.Key_Space)
    assert binding.values["reaches"] == ("gum",)


def test_a_code_of_a_newer_version_is_not_lost_by_picking_another(ask: Ask) -> None:
    binding = SampleBinding({"reaches": ("gum", "from_later")})
    focus(first_segment(ask(binding, "reaches").controls()[0]))
    press(K.Key_Right, K.Key_Space)
    assert binding.values["reaches"] == ("gum", "lip", "from_later")


def test_zero_on_a_scale_is_an_answer(ask: Ask) -> None:
    binding = SampleBinding()
    focus(first_segment(ask(binding, "pain").controls()[0]))
    press(K.Key_Space)
    assert binding.values == {"pain@left": 0}


def test_no_is_an_answer(ask: Ask) -> None:
    binding = SampleBinding()
    focus(first_segment(ask(binding, "shield").controls()[0]))
    press(K.Key_Right, K.Key_Space)
    assert binding.values["shield"] is False


def test_people_are_picked_by_name_and_several_stay_in_the_order_picked(ask: Ask) -> None:
    binding = SampleBinding()
    focus(first_segment(ask(binding, "baby").controls()[0]))
    press(K.Key_Right, K.Key_Space)
    assert binding.values["baby"] == JUNO
    focus(first_segment(ask(other := SampleBinding(), "told").controls()[0]))
    press(K.Key_Right, K.Key_Space, K.Key_Left, K.Key_Space)
    assert other.values["told"] == (IDA, DENTIST)


def test_a_person_who_is_no_longer_there_is_still_shown(ask: Ask) -> None:
    question = ask(SampleBinding({"baby": "9" * 32}), "baby")
    strip = question.controls()[0].findChildren(Segments)[0]
    assert strip.codes() == ("9" * 32,)


def test_a_weight_is_kept_as_typed_with_its_unit(ask: Ask) -> None:
    binding = SampleBinding()
    field = ask(binding, "weight").controls()[0]
    assert isinstance(field, QuantityField)
    assert field.unit() is None
    focus(field.box)
    press("2664 g", K.Key_Return)
    assert binding.values["weight"] == Quantity("2664 g", "g", 2664)
    assert field.unit() == "g"
    assert "2,664 g" in field.echo.said()


def test_a_number_without_a_unit_is_refused_and_stays_on_screen(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "weight")
    field = typed(question)
    focus(field.box)
    press("2664", K.Key_Tab)
    assert binding.puts == []
    assert field.text() == "2664"
    assert "unit" in question.say.said()
    assert question.say.isVisible()


def test_picking_the_unit_reads_the_same_figures_again(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "weight")
    field = typed(question)
    assert isinstance(field, QuantityField)
    focus(field.box)
    press("2.664", K.Key_Tab)
    focus(field.units.button("kg"))
    press(K.Key_Space)
    assert binding.values["weight"] == Quantity("2.664", "kg", 2664)
    assert not question.say.isVisible()


def test_the_unit_used_last_stands_ready(ask: Ask) -> None:
    binding = SampleBinding({"temperature": Quantity("98.6", "F", 370)})
    field = ask(binding, "temperature").controls()[0]
    assert isinstance(field, QuantityField)
    assert field.unit() == "F"


def test_a_weight_can_be_typed_on_the_pad_by_touch_alone(ask: Ask) -> None:
    binding = SampleBinding()
    field = ask(binding, "weight").controls()[0]
    assert isinstance(field, QuantityField)
    QTest.mouseClick(field.units.button("lb_oz"), Qt.MouseButton.LeftButton)
    QTest.mouseClick(field.opener, Qt.MouseButton.LeftButton)
    kit_walk.settle()
    for figure in ("5", "lb", "1", "4", "9", "erase", ".", "5", "oz", "done"):
        QTest.mouseClick(field.pad.key(figure), Qt.MouseButton.LeftButton)
    assert binding.values["weight"].typed == "5 lb 14.5 oz"
    assert binding.values["weight"].base == 2679  # 94.5 oz at 28.349523125 g (M)
    assert not field.pad.isVisible()


def test_every_key_of_the_pad_is_at_least_64_by_64(ask: Ask) -> None:
    field = ask(SampleBinding(), "weight").controls()[0]
    assert isinstance(field, QuantityField)
    field.opener.setChecked(True)
    kit_walk.settle()
    sizes = [field.pad.key(figure).size().toTuple() for figure in "0123456789."]
    assert min(min(size) for size in sizes) >= 64


def test_a_count_steps_from_empty_without_taking_empty_for_zero(ask: Ask) -> None:
    binding = SampleBinding()
    field = ask(binding, "wet").controls()[0]
    assert isinstance(field, CountStepper)
    assert field.text() == ""
    focus(field.more)
    press(K.Key_Space)
    assert binding.values["wet"] == 1
    focus(field.less)
    press(K.Key_Space)
    assert binding.values["wet"] == 0


def test_a_count_never_steps_out_of_its_bounds(ask: Ask) -> None:
    binding = SampleBinding({"wet": 30})
    field = ask(binding, "wet").controls()[0]
    assert isinstance(field, CountStepper)
    focus(field.more)
    press(K.Key_Space)
    assert binding.puts == []


def test_refused_text_stays_says_what_to_do_and_what_is_still_kept(ask: Ask) -> None:
    binding = SampleBinding({"wet": 4})
    question = ask(binding, "wet")
    field = typed(question)
    focus(field.box)
    field.box.selectAll()
    press("61", K.Key_Return)
    assert (binding.values["wet"], field.text()) == (4, "61")
    assert "0 to 30" in question.say.said()
    assert question.say.said().endswith("Still kept: 4.")
    assert field.box.accessibleDescription() == field.sentence


def test_refused_text_outlives_the_page(ask: Ask) -> None:
    binding = SampleBinding({"wet": 4})
    field = typed(ask(binding, "wet"))
    focus(field.box)
    field.box.selectAll()
    press("many", K.Key_Tab)
    again = SampleBinding(binding.values)
    again.keep_typed("wet", binding.typed("wet"))
    question = ask(again, "wet")
    assert typed(question).text() == "many"
    assert question.say.isVisible()


def test_a_value_from_another_device_does_not_wipe_what_is_being_typed(ask: Ask) -> None:
    binding = SampleBinding()
    field = typed(ask(binding, "scale_name"))
    focus(field.box)
    press("kitchen sc")
    binding.values["scale_name"] = "elsewhere"
    binding.changed.emit("scale_name")
    assert field.text() == "kitchen sc"


def test_typing_is_kept_after_a_pause_without_leaving_the_box(ask: Ask, qtbot: QtBot) -> None:
    binding = SampleBinding()
    field = typed(ask(binding, "scale_name"))
    focus(field.box)
    press("blue one")
    qtbot.waitUntil(lambda: binding.values.get("scale_name") == "blue one", timeout=2000)
    assert field.text() == "blue one"


def test_a_pause_in_the_middle_of_a_number_says_nothing_yet_and_leaving_does(ask: Ask, qtbot: QtBot) -> None:
    binding = SampleBinding()
    question = ask(binding, "weight")
    field = typed(question)
    focus(field.box)
    press("26 g")
    qtbot.waitUntil(lambda: binding.typed("weight") == "26 g", timeout=2000)
    assert not question.say.isVisible()
    press(K.Key_Tab)
    assert question.say.isVisible()
    assert binding.puts == []


def test_escape_gives_back_what_was_kept(ask: Ask) -> None:
    binding = SampleBinding({"wet": 4})
    question = ask(binding, "wet")
    field = typed(question)
    focus(field.box)
    field.box.selectAll()
    press("61", K.Key_Return, K.Key_Escape)
    assert field.text() == "4"
    assert not question.say.isVisible()
    assert binding.typed("wet") is None


def test_emptying_a_box_takes_the_answer_back(ask: Ask) -> None:
    binding = SampleBinding({"scale_name": "blue one"})
    field = typed(ask(binding, "scale_name"))
    focus(field.box)
    field.box.selectAll()
    press(K.Key_Delete, K.Key_Return)
    assert binding.values["scale_name"] is None


def test_a_box_that_was_only_visited_puts_nothing(ask: Ask) -> None:
    binding = SampleBinding({"wet": Absent(Absence.DECLINED), "scale_name": None})
    for field in ("wet", "scale_name"):
        focus(typed(ask(binding, field)).box)
        press(K.Key_Tab)
    assert binding.puts == []


def test_a_time_is_offered_and_never_filled_in_silently(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "weighed_at")
    assert typed(question).text() == ""
    offer = question.findChildren(Act)[0]
    assert offer.text() == "now 14:02"
    focus(offer)
    assert binding.puts == []
    press(K.Key_Return)
    assert binding.values["weighed_at"] == NOW
    assert typed(question).text() == "Tue 3 Mar 2026 14:02"


def test_a_time_alone_is_todays_and_shows_its_date_at_once(ask: Ask) -> None:
    binding = SampleBinding()
    field = typed(ask(binding, "weighed_at"))
    focus(field.box)
    press("9:05", K.Key_Return)
    assert binding.values["weighed_at"] == Moment(datetime(2026, 3, 3, 9, 5, tzinfo=UTC), "UTC")
    assert field.text() == "Tue 3 Mar 2026 09:05"


def test_visiting_a_time_keeps_its_seconds(ask: Ask) -> None:
    binding = SampleBinding({"weighed_at": NOW})
    field = typed(ask(binding, "weighed_at"))
    focus(field.box)
    press(K.Key_End, " ", K.Key_Backspace, K.Key_Tab)
    assert binding.values["weighed_at"] == NOW


def test_a_time_shown_twice_says_which_and_reads_back_as_itself() -> None:
    second = Moment(datetime(2026, 11, 1, 6, 30, tzinfo=UTC), "America/New_York")
    assert moment_words(second).endswith("01:30 second")


def test_a_day_is_typed_or_taken(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "born")
    focus(typed(question).box)
    press("12 Feb 2026", K.Key_Return)
    assert binding.values["born"] == date(2026, 2, 12)
    focus(question.findChildren(Act)[0])
    press(K.Key_Space)
    assert binding.values["born"] == date(2026, 3, 3)


def test_a_note_keeps_100_000_characters_and_every_letter(ask: Ask) -> None:
    binding = SampleBinding()
    field = typed(ask(binding, "more"))
    text = ("tires after a minute 👶🏽 أمل O'Neil\n" * 4000)[:100_000]
    field.type(text)
    field.commit()
    assert binding.values["more"] == text
    kit_walk.settle()
    assert field.box.height() < 600


def test_a_note_grows_with_its_lines(ask: Ask) -> None:
    field = typed(ask(SampleBinding(), "more"))
    before = field.box.height()
    field.type("\n".join("a line" for _ in range(6)))
    kit_walk.settle()
    assert field.box.height() > before


def test_the_four_absence_answers_open_in_place_and_one_key_path_reaches_them(ask: Ask) -> None:
    binding = SampleBinding({"lifts": "edges"})
    question = ask(binding, "lifts")
    assert question.no_answer is not None
    focus(question.no_answer)
    press(K.Key_Space, K.Key_Tab)
    panel = question.absences
    assert isinstance(panel, AbsencePanel)
    assert panel.isVisible()
    assert panel.parts[0].strip.options() == ("not_asked", "not_done", "declined", "none")
    press(K.Key_Right, K.Key_Right, K.Key_Space)
    assert binding.values["lifts"] == Absent(Absence.DECLINED)
    assert not panel.isVisible()
    assert question.no_answer.text() == "declined"


def test_not_done_asks_why_and_keeps_it(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "lifts")
    assert question.no_answer is not None
    focus(question.no_answer)
    press(K.Key_Space, K.Key_Tab, K.Key_Right, K.Key_Space)
    press("she fell asleep", K.Key_Return)
    assert binding.values["lifts"] == Absent(Absence.NOT_DONE, "she fell asleep")
    assert question.no_answer.text() == "not done: she fell asleep"


def test_each_side_has_its_own_absence_answer(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "pain")
    assert question.no_answer is not None
    question.no_answer.click()
    kit_walk.settle()
    assert question.absences is not None
    focus(first_segment(question.absences.parts[1].strip))
    press(K.Key_Space)
    assert binding.values == {"pain@right": Absent(Absence.NOT_ASKED)}


def test_a_free_question_has_no_absence_box(ask: Ask) -> None:
    assert ask(SampleBinding(), "scale_name").no_answer is None


def test_a_follow_up_opens_in_place_on_the_side_that_fired_only(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "pain")
    assert question.counted.said() == "2 more if any"
    binding.put("pain@right", 3)
    kit_walk.settle()
    follow = question.follow_up("pain_kind")
    assert follow is not None
    assert follow.isVisible()
    left, right = follow.slots()
    assert (left.isVisible(), right.isVisible()) == (False, True)
    assert not question.counted.isVisible()


def test_closing_a_trigger_keeps_and_shows_the_answers_below_it_and_opening_brings_them_back(ask: Ask) -> None:
    binding = SampleBinding({"shield": True, "shield_why": "the ward"})
    question = ask(binding, "shield")
    focus(first_segment(question.controls()[0]))
    press(K.Key_Right, K.Key_Space)
    assert binding.values["shield_why"] == "the ward"
    assert "the ward" in question.kept.said()
    assert question.counted.said() == "2 more if yes"
    press(K.Key_Left, K.Key_Space)
    follow = question.follow_up("shield_why")
    assert follow is not None
    assert follow.isVisible()
    assert typed(follow).text() == "the ward"
    assert not question.kept.isVisible()


def test_a_question_names_every_field_it_places(ask: Ask) -> None:
    assert ask(SampleBinding(), "pain").fields() == ("pain", "pain_kind", "pain_lasts")


def _torn() -> SampleBinding:
    two = Conflicted((Variant(4, "R. Vale", AT, "laptop", "a"), Variant(6, "S. Ojo", AT, "tablet", "b")))
    return SampleBinding({"wet": two})


def test_two_answers_are_both_shown_with_who_when_and_where(ask: Ask) -> None:
    slot = ask(_torn(), "wet").slots()[0]
    assert slot.conflict is not None
    assert not slot.control.isVisible()
    said = [pick.accessibleName() for pick in slot.conflict.picks]
    assert said[0].startswith("4, R. Vale")
    assert "tablet" in said[1]
    assert "10:42" in said[1]


def test_picking_one_of_two_answers_needs_a_reason_and_writes_it(ask: Ask) -> None:
    binding = _torn()
    slot = ask(binding, "wet").slots()[0]
    assert slot.conflict is not None
    focus(slot.conflict.picks[1])
    press(K.Key_Return)
    press(K.Key_Return)
    assert binding.puts == []
    assert slot.conflict.say.isVisible()
    press("counted again", K.Key_Return)
    assert binding.puts == [("wet", 6, "counted again")]
    assert slot.conflict is None
    assert slot.control.isVisible()


def test_a_conflict_can_be_left_as_it_is(ask: Ask) -> None:
    binding = _torn()
    slot = ask(binding, "wet").slots()[0]
    assert slot.conflict is not None
    slot.conflict.picks[0].click()
    slot.conflict.leave.click()
    assert binding.puts == []
    assert isinstance(binding.values["wet"], Conflicted)


def test_a_doubt_stands_beside_the_answer_and_the_answer_is_kept(ask: Ask) -> None:
    binding = SampleBinding({"wet": 29})
    binding.doubts["wet"] = "That is many; was it all in one day?"
    question = ask(binding, "wet")
    assert question.say.said() == "That is many; was it all in one day?"


def test_a_value_the_store_refuses_is_told_at_its_field(ask: Ask) -> None:
    binding = SampleBinding()
    question = ask(binding, "wet")
    binding.refused.emit("wet", "There is no room on this disk; nothing was changed.")
    assert question.say.said() == "There is no room on this disk; nothing was changed."


def test_a_signed_entry_takes_no_answer(ask: Ask) -> None:
    binding = SampleBinding({"lifts": "edges"})
    question = ask(binding, "lifts")
    binding.is_sealed = True
    binding.sealed_changed.emit()
    strip = question.controls()[0].findChildren(Segments)[0]
    QTest.mouseClick(strip.button("tip"), Qt.MouseButton.LeftButton)
    assert binding.puts == []
    assert question.no_answer is not None
    assert not question.no_answer.isEnabled()


def test_names_say_whose_side_and_which_question(ask: Ask) -> None:
    question = ask(SampleBinding({"pain@left": 3}), "pain")
    names = [control.accessibleName() for control in question.controls()]
    assert names == ["Mara's left, pain now", "Mara's right, pain now"]
    strip = question.controls()[0].findChildren(Segments)[0]
    assert strip.accessibleName() == "Mara's left, pain now"
    spoken = QAccessible.queryAccessibleInterface(strip.button("3"))
    assert spoken.role() is QAccessible.Role.RadioButton
    assert spoken.text(QAccessible.Text.Name) == "3"
    assert spoken.text(QAccessible.Text.Description) == "Mara's left, pain now"


def test_a_strip_is_a_group_and_several_are_check_boxes(ask: Ask) -> None:
    strip = ask(SampleBinding(), "reaches").controls()[0].findChildren(Segments)[0]
    assert QAccessible.queryAccessibleInterface(strip).role() is QAccessible.Role.Grouping
    assert QAccessible.queryAccessibleInterface(strip.button("gum")).role() is QAccessible.Role.CheckBox


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
    figure = Figure("Taken, left side", "26 g", small="about 26 mL", worked_out="2,690 g after less 2,664 g before.")
    qtbot.addWidget(figure)
    figure.show()
    assert figure.accessibleName() == "Taken, left side: 26 g"
    assert not figure.how.isVisible()
    focus(figure.link)
    press(K.Key_Return)
    assert figure.how.isVisible()


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
