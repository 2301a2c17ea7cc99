"""Strips of choices, worked by keys alone, and what they put."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from PySide6.QtWidgets import QApplication

from desktop.controls.question import Question
from desktop.controls.segments import Segments
from tests.helpers.kit_keys import K, first_segment, focus, press
from tests.helpers.sample_kit import DENTIST, IDA, JUNO, SampleBinding

Ask = Callable[..., Question]
AT = datetime(2026, 3, 3, 10, 42, tzinfo=UTC)


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
