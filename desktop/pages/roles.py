"""Picking what a device may do: the four roles, each with its one plain line."""

from __future__ import annotations

from PySide6.QtCore import Signal

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.theme.tokens import Role as Ink
from desktop.theme.tokens import Space
from forms.role import Role

__all__ = ["RolePick"]


class _RoleKey(Act):
    """One role; filled when it is the one that holds, so that it is told from the one that has the focus."""

    def _colours(self) -> tuple[Ink, Ink, Ink]:
        return (Ink.ELDER, Ink.ON_FILL, Ink.ON_FILL) if self.isChecked() and self.isEnabled() else super()._colours()


class RolePick(Stack):
    """One of the four. Signal `picked(Role)`; the one that holds is filled and said with its name."""

    picked = Signal(object)

    def __init__(self, role: Role | None = None) -> None:
        super().__init__(between=Space.SNUG)
        self.role = role
        self.keys: dict[Role, Act] = {}
        for each in Role:
            key = _RoleKey(each.label, small=each.explained)
            key.setCheckable(True)
            key.clicked.connect(lambda _on=False, each=each: self._pick(each))
            self.keys[each] = key
            self.add(key)
        self._show()
        self.setFocusProxy(self.keys[role or Role.CONSULTANT])

    def _pick(self, role: Role) -> None:
        self.role = role
        self._show()
        self.picked.emit(role)

    def _show(self) -> None:
        for each, key in self.keys.items():
            key.setChecked(each is self.role)
            key.setAccessibleName(f"{each.label}, {each.explained}{' Picked.' if each is self.role else ''}")
