"""How hard a paper reads, for whoever wrote it: the figure, and the sentences that make it hard. Never on the paper."""

from __future__ import annotations

from desktop.controls.layouts import Stack
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space
from forms.papers.reading_grade import Grade

__all__ = ["ReadingGrade"]


class ReadingGrade(Stack):
    """Nothing for a paper without a figure; the hardest sentences stand under it, hardest first."""

    def __init__(self) -> None:
        super().__init__(between=Space.FINE)
        self.figure = Words("", size=Size.SMALL, strong=True)
        self._hardest = Stack(between=Space.FINE)
        self.add(self.figure, self._hardest)
        self.hide()

    def tell(self, grade: Grade | None) -> None:
        """Show the figure of the paper in view, or nothing."""
        self._hardest.clear()
        self.setVisible(grade is not None)
        if grade is None:
            return
        self.figure.take_ink(Role.INK if grade.easy else Role.WELD)
        self.figure.say(f"{grade.told}. Hardest to read:" if grade.hardest else f"{grade.told}.")
        for place, sentence in enumerate(grade.hardest, 1):
            self._hardest.add(Words(f"{place}. {sentence}", size=Size.SMALL, ink=Role.SOFT_INK))
