"""What is typed: numbers, times, lines and notes; kept, refused, or left alone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act
from desktop.controls.numbers import CountStepper, QuantityField
from desktop.controls.question import Question
from desktop.controls.shown import moment_words
from forms.answers import Absence, Absent, Moment, Quantity
from tests.helpers import kit_walk
from tests.helpers.kit_keys import K, focus, press, typed
from tests.helpers.sample_kit import NOW, SampleBinding

Ask = Callable[..., Question]
AT = datetime(2026, 3, 3, 10, 42, tzinfo=UTC)


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


@pytest.mark.parametrize("field", ["scale_name", "more"])
def test_words_are_kept_while_one_types_on_without_a_pause(ask: Ask, qtbot: QtBot, field: str) -> None:
    binding = SampleBinding()
    control = typed(ask(binding, field))
    focus(control.box)

    def kept_while_typing() -> bool:
        QTest.keyClick(control.box, Qt.Key.Key_A)
        return bool(binding.values.get(field))

    qtbot.waitUntil(kept_while_typing)
    assert control.box.hasFocus()
    assert set(control.text()) == {"a"}


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
