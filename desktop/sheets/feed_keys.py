"""Single keys of the live page: they act while it is in view and while nothing is being typed, and never elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QWidget

__all__ = ["SingleKeys", "takes_text"]


def takes_text(widget: QWidget | None) -> bool:
    """Whether letters typed now go into a text, a number or whatever else takes letters."""
    return widget is not None and widget.testAttribute(Qt.WidgetAttribute.WA_InputMethodEnabled)


class SingleKeys(QObject):
    """The keys of a page. A key held down acts once."""

    def __init__(self, page: QWidget, acts: Mapping[str, Callable[[], object]]) -> None:
        super().__init__(page)
        self._page = page
        self._open = False
        self.shortcuts: list[QShortcut] = []
        for key, act in acts.items():
            shortcut = QShortcut(QKeySequence(key), page)
            shortcut.setAutoRepeat(False)
            shortcut.activated.connect(act)
            self.shortcuts.append(shortcut)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._focus_moved)
        self.open(open_=False)

    def open(self, *, open_: bool) -> None:
        """Whether anything can be tapped now."""
        self._open = open_
        self._focus_moved(None, QApplication.focusWidget())

    def _focus_moved(self, _before: QWidget | None, now: QWidget | None) -> None:
        act = self._open and not takes_text(now)
        for shortcut in self.shortcuts:
            shortcut.setEnabled(act)
