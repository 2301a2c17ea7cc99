"""Answers that a newer version wrote, shown as they stand under the questions this version knows."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.theme.tokens import Role, Size, Space
from forms.form import Form, catalog
from forms.newer import from_newer

__all__ = ["NewerAnswers", "NewerEntries"]

_KEPT = (
    "Written by a newer version of Hearthside. It is kept as it stands and passed on; update the program to change it."
)


class NewerAnswers(Stack):
    """The unreadable answers of one entry; hidden while there are none."""

    def __init__(self, home: OpenChart, entity: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.FINE)
        self._home, self._entity = home, entity
        self._said: tuple[str, ...] | None = None
        self._shared = False
        home.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what stands now."""
        entry = self._home.chart.by_id(self._entity)
        self._say(from_newer(entry) if entry is not None else ())

    def _say(self, lines: tuple[str, ...]) -> None:
        if lines == self._said:
            return
        self._said = lines
        self.clear()
        if lines:
            self.add(Rule(), Words(_KEPT, size=Size.SMALL, ink=Role.SOFT_INK), *(Words(line) for line in lines))
        self._show()

    def set_shared(self, on: bool) -> None:
        """What is not understood may be private, so it is gone while others look on."""
        self._shared = on
        self._show()

    def _show(self) -> None:
        on = bool(self._said) and not self._shared
        if self.parentWidget() is not None or not on:  # before it stands on a page it would be a window of its own
            self.setVisible(on)

    def said(self) -> tuple[str, ...]:
        """The lines on screen."""
        return self._said or ()


class NewerEntries(NewerAnswers):
    """Whole entries of forms that this version does not know, at the visit or of the family."""

    def __init__(self, home: OpenChart, parent: QWidget | None = None) -> None:
        super().__init__(home, "", parent)

    def refresh(self) -> None:
        """Show what stands now."""
        chart = self._home.chart
        strange = (
            entry
            for entry in chart.entries
            if type(entry.answers) is Form
            and entry.struck is None
            and entry.place.form not in catalog()
            and entry.place.visit in (None, chart.visit)
        )
        self._say(
            tuple(f"{one.place.form.replace('_', ' ')}: {'; '.join(from_newer(one)) or 'empty'}" for one in strange)
        )
