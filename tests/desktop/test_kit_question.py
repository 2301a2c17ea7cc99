"""The question round a control: absence answers, follow-ups, conflicts, doubts and names."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest

from desktop.controls.absence import AbsencePanel
from desktop.controls.question import Question
from desktop.controls.segments import Segments
from forms.answers import Absence, Absent, Conflicted, Variant
from tests.helpers import kit_walk
from tests.helpers.kit_keys import K, first_segment, focus, press, typed
from tests.helpers.sample_kit import SampleBinding

Ask = Callable[..., Question]
AT = datetime(2026, 3, 3, 10, 42, tzinfo=UTC)


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
