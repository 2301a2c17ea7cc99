"""The window library itself: some of its builds lose references and abort the program after some thousand calls."""

from __future__ import annotations

import sys

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot


class _Heard(QLabel):
    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        super().changeEvent(event)


def test_a_thousand_calls_lose_no_reference_to_none_true_or_false(qtbot: QtBot) -> None:
    label = _Heard("a")
    qtbot.addWidget(label)
    before = [sys.getrefcount(each) for each in (None, True, False)]
    for _ in range(1000):
        label.setEnabled(not label.isEnabled())
    after = [sys.getrefcount(each) for each in (None, True, False)]
    assert all(now > then - 500 for then, now in zip(before, after, strict=True))
