"""How the family's plan is left, once it left: a key fills it in, and nothing is filled in by itself."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtCore import Signal

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.open_chart import OpenChart
from desktop.pages.paper_leaves import Left
from desktop.pages.plain import key_row
from forms.ask import Paper, ask_of
from forms.plan import Plan

__all__ = ["PlanLeft"]

_LEFT: Mapping[str, str] = MappingProxyType({"printed": "printed", "password": "file", "plain": "file"})
"""How a plan is said to be left, for each way a paper can leave."""


class PlanLeft(Stack):
    """The key, if that way of leaving the plan does not stand yet. Signal `written()`: it stands now."""

    written = Signal()

    def __init__(self, home: OpenChart, left: Left) -> None:
        super().__init__()
        self._home, self._how = home, _LEFT[left.way.how]
        if left.kind is Paper.FAMILY_PLAN and not home.binding(Plan).sealed() and self._how not in self._so_far():
            act = Act(f"Write down that the plan is left {ask_of(Plan, 'left_how').options[self._how].lower()}")
            act.clicked.connect(self._write)
            self.add(key_row(act))

    def _so_far(self) -> tuple[str, ...]:
        given = self._home.binding(Plan).value("left_how")
        return given if isinstance(given, tuple) else ()

    def _write(self) -> None:
        told = (*self._so_far(), self._how)
        in_order = tuple(code for code in ask_of(Plan, "left_how").options if code in told)
        self._home.binding(Plan).put("left_how", in_order)
        self.written.emit()
