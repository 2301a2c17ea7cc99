"""Hears of parts of a page that come up as windows of their own, which a person sees as a flash."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QWidget

__all__ = ["Flashes"]


class Flashes(QObject):
    """Hears of every window that comes up beside the page, once the program's events are filtered through it."""

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        self.page, self.seen = page, set[str]()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        shows = event.type() is QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow()
        if shows and watched is not self.page:
            self.seen.add(f"{type(watched).__name__} {watched.accessibleName()}")  # type: ignore[attr-defined]
        return False
