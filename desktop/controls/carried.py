"""The line under an answer that was brought forward: from when, that nobody went through it yet, and "Still so"."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.controls.binding import Binding
from desktop.controls.buttons import Act
from desktop.controls.layouts import Beside
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space, Target

__all__ = ["CarriedLine"]


class CarriedLine(QWidget):
    """One line for all paths of a question. It goes once each was changed, or kept by its key."""

    def __init__(self, binding: Binding, paths: tuple[str, ...], label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._binding, self._paths = binding, paths
        self.words = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.still_so = Act("Still so", target=Target.TOUCH)
        self.still_so.setAccessibleName(f"Still so: {label}")
        self.still_so.clicked.connect(self._keep)
        self.setContentsMargins(Space.NONE, Space.FINE, Space.NONE, Space.NONE)
        beside = Beside(self, middle=True)
        beside.addWidget(self.words)
        beside.addWidget(self.still_so)
        self.hide()

    def refresh(self) -> None:
        """Show what is not gone through yet."""
        days = dict.fromkeys(filter(None, (self._binding.carried_from(path) for path in self._paths)))
        said = " and ".join(days)
        self.words.say(f"{said[:1].upper()}{said[1:]}, not gone through today" if said else "")
        self.still_so.setEnabled(not self._binding.sealed())
        self.setVisible(bool(said))

    def _keep(self, *_pressed: object) -> None:
        for path in self._paths:
            self._binding.still_so(path)
