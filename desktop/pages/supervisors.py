"""Whose supervision a student is under, asked on the finish list where it is not written down yet."""

from __future__ import annotations

from desktop.controls.layouts import Stack
from desktop.controls.question import Question
from desktop.controls.words import Rule
from desktop.open_chart import OpenChart
from desktop.theme.tokens import Space
from forms.answers import Given
from forms.practice import Practitioner
from forms.student import nameless

__all__ = ["Supervisors", "student_name"]


def student_name(home: OpenChart, practitioner: str) -> str:
    """How a student is named on screen."""
    given: Given[str] = home.chart.person(Practitioner, practitioner).full_name
    return given if isinstance(given, str) and given.strip() else "A student without a name here"


class Supervisors(Stack):
    """Asks in place whose supervision a student is under, for each who charted here and whose is not written down.

    A question once asked stays while the page does, so that it does not go from under the fingers.
    """

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.PAD)
        self.home = home
        self.asked: dict[str, Question] = {}
        self.refresh()

    def refresh(self) -> None:
        """Ask of those it was not asked of yet."""
        for student in nameless(self.home.chart):
            if student not in self.asked:
                binding = self.home.binding(Practitioner, entity=student)
                heading = f"Who supervises {student_name(self.home, student)}, student?"
                self.asked[student] = Question(binding, "supervisor", heading=heading)
                self.add(self.asked[student], Rule())
        self.setVisible(bool(self.asked))
