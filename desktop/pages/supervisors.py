"""What is not written down of a student yet and papers have to tell: asked in place, on the finish list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from desktop.controls.layouts import Stack
from desktop.controls.question import Question
from desktop.controls.words import Rule
from desktop.open_chart import OpenChart
from desktop.theme.tokens import Space
from forms.answers import Given
from forms.practice import Practitioner
from forms.role import Role
from forms.student import nameless, undated

__all__ = ["Supervisors", "student_name"]

_ROLE, _SUPERVISOR, _UNTIL = "practice_role", "supervisor", "student_until"
_MISSING: Final[Mapping[str, str]] = MappingProxyType({
    _ROLE: "which role whoever charts here has in the practice",
    _SUPERVISOR: "whose supervision a student is under",
    _UNTIL: "until when somebody was a student here",
})  # fmt: skip


def student_name(home: OpenChart, practitioner: str) -> str:
    """How a student is named on screen."""
    given: Given[str] = home.chart.person(Practitioner, practitioner).full_name
    return given if isinstance(given, str) and given.strip() else "A student without a name here"


def _open(home: OpenChart) -> Iterator[tuple[str, str]]:
    """Who it is that something is missing of, and which question that is."""
    chart, here = home.chart, home.author
    unsaid = chart.by_id(here) is not None and chart.person(Practitioner, here).practice_role is None
    if unsaid and chart.role is Role.STUDENT:
        yield here, _ROLE
    yield from ((student, _SUPERVISOR) for student in nameless(chart))
    yield from ((student, _UNTIL) for student in undated(chart))


class Supervisors(Stack):
    """Asks in place whose supervision a student is under, for each who charted here and whose is not written down.

    Asks too until when somebody was a student who is none any more, and on a student's device for the role of whoever
    charts there. A question once asked stays while the page does, so that it does not go from under the fingers.
    Whoever holds it calls `refresh` once it stands in something: a part alone would come up as a window.
    """

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.PAD)
        self.home = home
        self.asked: dict[tuple[str, str], Question] = {}

    def missing(self) -> str:
        """What is not written down, in one clause: "whose supervision a student is under is not written down yet"."""
        parts = list(dict.fromkeys(_MISSING[field] for _who, field in _open(self.home)))
        return f"{' and '.join(parts)} {'is' if len(parts) == 1 else 'are'} not written down yet" if parts else ""

    def refresh(self) -> None:
        """Ask what was not asked yet."""
        for who, field in _open(self.home):
            if (who, field) not in self.asked:
                binding = self.home.binding(Practitioner, entity=who)
                self.asked[who, field] = Question(binding, field, heading=self._heading(who, field))
                self.add(self.asked[who, field], Rule())
        self.setVisible(bool(self.asked))

    def _heading(self, who: str, field: str) -> str:
        name = student_name(self.home, who)
        if field == _ROLE:
            return f"{name} charts on a student’s device: as what?"
        return f"Who supervises {name}, student?" if field == _SUPERVISOR else f"Until when was {name} a student here?"
