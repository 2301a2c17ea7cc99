"""The base of every control that answers a question: it shows what stands, puts what is chosen, says what is wrong."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.binding import Binding
from desktop.controls.shown import field_name
from forms.answers import Absent, Conflicted, Given
from forms.ask import Ask, Path, ask_of

__all__ = ["Control"]


class Control(QWidget):
    """One control for the answer kept at one path.

    Signal `troubled(sentence)`: what was typed cannot be taken, in one sentence; empty once that is over.
    """

    troubled = Signal(str)

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.binding, self.path = binding, Path.read(path)
        self.ask: Ask = ask_of(binding.form, self.path.field)
        self.name = field_name(binding, self.path)
        self.setAccessibleName(self.name)
        binding.changed.connect(self._hear)
        binding.sealed_changed.connect(self._seal)

    def _hear(self, path: str) -> None:
        if path == str(self.path):
            self.refresh()

    def _seal(self) -> None:
        self.setEnabled(not self.binding.sealed())

    def standing(self) -> Given[Any]:
        """What stands at the path."""
        return self.binding.value(str(self.path))

    def known(self) -> Any | None:
        """The one value that stands, or None where nothing, an absence or a conflict does."""
        given = self.standing()
        return None if isinstance(given, Absent | Conflicted) else given

    def put(self, value: Any) -> None:
        """Keep a value, unless it is the one that stands."""
        if value != self.standing():
            self.binding.put(str(self.path), value)

    def refresh(self) -> None:
        """Show what stands. Text that is being typed, or was refused, stays."""
        raise NotImplementedError

    def show_grey(self, *, grey: bool) -> None:
        """Show the answer in grey, brought forward and not gone through yet, or as any other."""

    def commit(self) -> None:
        """Keep now what is still only on screen. Controls that keep at once have nothing to do."""
