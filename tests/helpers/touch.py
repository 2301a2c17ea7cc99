"""A finger on the screen: presses and lets go where a widget is, through the window as a touch screen tells it."""

from __future__ import annotations

from functools import cache

from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from tests.helpers.person import Person

__all__ = ["tap"]


@cache
def _screen() -> QPointingDevice:
    return QTest.createTouchDevice()


def tap(person: Person, widget: QWidget) -> None:
    """Tap the middle of a widget, which must be on screen, enabled, and not covered."""
    person.reach(widget)
    assert widget.isVisible(), f"{widget} is not on screen"
    assert widget.isEnabled(), f"{widget.accessibleName()!r} is not enabled"
    top = widget.window()
    at = widget.mapTo(top, widget.rect().center())
    hit = top.childAt(at)
    assert hit is not None, f"{widget.accessibleName()!r} cannot be reached"
    assert hit is widget or widget.isAncestorOf(hit), f"{widget.accessibleName()!r} is covered by {hit}"
    finger = QTest.touchEvent(top.windowHandle(), _screen(), False)
    finger.press(0, at, top.windowHandle())
    finger.commit()
    person.settle()
    finger = QTest.touchEvent(top.windowHandle(), _screen(), False)
    finger.release(0, at, top.windowHandle())
    finger.commit()
    person.settle()
