"""The strip of a visit: urgent signs, live figures with their source, and the jots."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.strip import Strip
from desktop.open_chart import OpenChart
from desktop.pages.visit_jots import Jots
from desktop.pages.visit_urgent import UrgentSigns
from desktop.theme.tokens import Space

__all__ = ["Aside"]


class Aside(Strip):
    """What a visit adds up to so far. Its parts stay; what they show changes."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__()
        self.setAccessibleName("Adds up to, and jots")
        self.urgent = UrgentSigns(home)
        self.jots = Jots(home)
        self._inside = Stack(between=Space.PAD)
        self.take_back()
        self.show_parts((self._inside,))

    def parts(self) -> tuple[QWidget, ...]:
        """What the strip shows, from the top, for where it has no room of its own."""
        return (self.urgent, self.jots)

    def take_back(self) -> None:
        """Show its parts in the strip again."""
        self._inside.add(*self.parts())

    def show_person(self, who: str) -> None:
        """Work the figures out for this person."""
