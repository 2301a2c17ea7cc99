"""The parent asked to stop: one act says of every line not looked at that it was declined."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Flow, Stack
from desktop.controls.words import Words
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Space
from forms.answers import Absence, Absent
from forms.ask import Need, Path
from forms.breast import BreastAssessment
from forms.form import shown_asks

__all__ = ["RestDeclined", "not_looked_at"]


def not_looked_at(looked: BreastAssessment) -> tuple[Path, ...]:
    """The lines of the two sides that a note needs and that have no answer of any kind."""
    return tuple(
        path
        for path, ask, given in shown_asks(looked)
        if path.side is not None and ask.need is not Need.FREE and given is None
    )


class RestDeclined(Stack):
    """Once looking was stopped: how many lines are left, and the key that writes them as declined, as one step."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._home, self._binding = here.home, here.binding
        self._words = Words("", ink=Role.SOFT_INK)
        self.write = Act("Write the rest as declined")
        self.write.clicked.connect(self.put)
        keys = QWidget()
        Flow(keys).addWidget(self.write)
        self.add(self._words, keys)
        here.binding.changed.connect(self._show)
        here.binding.sealed_changed.connect(self._show)
        self._show()

    def _left(self) -> tuple[Path, ...]:
        looked = self._binding.answers()
        if not isinstance(looked, BreastAssessment) or looked.consent != "stopped" or self._binding.sealed():
            return ()
        return not_looked_at(looked)

    def put(self) -> None:
        """Write each line that is left as declined; answers already given stay."""
        if left := self._left():
            self._home.put_together(self._binding, dict.fromkeys(left, Absent(Absence.DECLINED)))

    def _show(self, _path: str = "") -> None:
        left = len(self._left())
        if self.parentWidget() is not None or not left:  # before it stands on a page it would be a window of its own
            self.setVisible(bool(left))
        self._words.say("1 line was not looked at." if left == 1 else f"{left} lines were not looked at.")
