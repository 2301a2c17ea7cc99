"""The strip of a visit: urgent signs, live figures with their source, and the jots."""

from __future__ import annotations

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
        inside = Stack(between=Space.PAD)
        inside.add(self.urgent, self.jots)
        self.show_parts((inside,))

    def show_person(self, who: str) -> None:
        """Work the figures out for this person."""
