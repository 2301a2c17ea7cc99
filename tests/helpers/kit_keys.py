"""Hands for the tests of the kit: keys go to whatever has the focus, as under a real hand."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from desktop.controls.question import Question
from desktop.controls.segments import Segments
from desktop.controls.typed import Typed
from tests.helpers import kit_walk

__all__ = ["K", "first_segment", "focus", "press", "typed"]

K = Qt.Key


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
