"""The band at the foot of the window: who this is about at one end, what can be done at the other."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Beside, Flow
from desktop.controls.surfaces import Surface
from desktop.theme.halfmoons import TagShape
from desktop.theme.tokens import Role, Space

__all__ = ["Band", "person_act"]


def person_act(name: str, small: str, tag: TagShape) -> Act:
    """A person of the visit as a button of the band: shape, full name, age. Checked: this is who is charted."""
    act = Act(name, small=small, tag=tag)
    act.setCheckable(True)
    return act


class _Row(QWidget):
    def __init__(self, acts: Sequence[Act]) -> None:
        super().__init__()
        flow = Flow(self, gap=Space.PAD, row_gap=Space.GAP)
        for act in acts:
            flow.addWidget(act)


class Band(Surface):
    """Always in view. `set_people` puts persons or places at the near end, `set_acts` acts at the far end.

    Signal `person(int)`: the place of the person tapped; the band shows that person as the one charted.
    """

    person = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Role.WELL, (Qt.Edge.TopEdge,), parent)
        self.setContentsMargins(Space.WIDE, Space.PAD, Space.WIDE, Space.PAD)
        self._layout = Beside(self, gap=Space.WIDE, middle=True)
        self._people: list[Act] = []
        self._left, self._right = _Row(()), _Row(())
        self._layout.addWidget(self._left)
        self._layout.addWidget(self._right)

    def set_people(self, people: Sequence[Act]) -> None:
        """Put these at the near end."""
        self._people = list(people)
        for place, act in enumerate(people):
            act.clicked.connect(lambda _on=False, place=place: self._choose(place))
        self._swap(_Row(people), self._right)

    def set_acts(self, acts: Sequence[Act]) -> None:
        """Put these at the far end."""
        self._swap(self._left, _Row(acts))

    def show_person(self, place: int) -> None:
        """Show who is charted."""
        for at, act in enumerate(self._people):
            if act.isCheckable():
                act.setChecked(at == place)

    def _choose(self, place: int) -> None:
        if self._people[place].isCheckable():
            self.show_person(place)
        self.person.emit(place)

    def _swap(self, left: _Row, right: _Row) -> None:
        for old, new in ((self._left, left), (self._right, right)):
            self._layout.removeWidget(old)
            if old is not new:
                old.hide()
                old.deleteLater()
        self._left, self._right = left, right
        for row in (left, right):
            self._layout.addWidget(row)
            row.show()
        QWidget.setTabOrder(left, right)
