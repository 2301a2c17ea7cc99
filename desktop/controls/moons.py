"""The half-moons and the whole moon as small widgets, with the words a screen reader says for them."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.theme.halfmoons import MoonState, TagShape, paint_half, paint_pair, paint_tag, paint_whole
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Stroke, Target
from forms.answers import Absence, Absent, Conflicted, Given, Side

__all__ = ["Half", "Moons", "Tag", "moon_state"]


def moon_state(given: Given[object]) -> MoonState:
    """What a moon says of an answer: declined is hatched, a conflict is a concern, an untouched field not done."""
    if given is None:
        return MoonState.NOT_DONE
    if isinstance(given, Conflicted):
        return MoonState.CONCERN
    if isinstance(given, Absent):
        return MoonState.DECLINED if given.kind is Absence.DECLINED else MoonState.NOT_DONE
    return MoonState.DONE


class _Sign(Dressed, QWidget):
    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class Half(_Sign):
    """One half-moon; the words "Mara's left" stand beside it."""

    def __init__(self, side: Side, whose: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._side, self._whose = side, whose
        self.show_state(MoonState.NOT_DONE)

    def show_state(self, state: MoonState) -> None:
        """Show that state."""
        self._state = state
        self.setAccessibleName(f"{self._whose}: {state}")
        self.update()

    def sizeHint(self) -> QSize:
        tall = look().px(Target.HALF)
        return QSize(tall // 2 + Stroke.HAIR, max(Target.TOUCH, tall))

    def paintEvent(self, event: QPaintEvent) -> None:
        tall = look().px(Target.HALF)
        box = QRectF(0, (self.height() - tall) / 2, self.width(), tall)
        paint_half(QPainter(self), box, self._side, self._state, look())


class Moons(_Sign):
    """A pair of half-moons, or one whole moon where there are no sides (`right` None)."""

    def __init__(
        self,
        left: MoonState,
        right: MoonState | None,
        what: str,
        *,
        ground: Role = Role.CARD,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._what, self._ground = what, ground
        self.show_states(left, right)

    def show_states(self, left: MoonState, right: MoonState | None) -> None:
        """Show these states."""
        self._left, self._right = left, right
        self.setAccessibleName(
            f"{self._what}: {left}" if right is None else f"{self._what}: left {left}, right {right}"
        )
        self.update()

    def sizeHint(self) -> QSize:
        side = look().px(Target.MOON)
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        if self._right is None:
            paint_whole(painter, QRectF(self.rect()), self._left, look(), self._ground)
        else:
            paint_pair(painter, QRectF(self.rect()), self._left, self._right, look(), self._ground)


class Tag(_Sign):
    """A person's shape in its colour; the name stands beside it."""

    def __init__(self, shape: TagShape, whose: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shape = shape
        self.setAccessibleName(f"{whose}: {shape}")

    def sizeHint(self) -> QSize:
        side = look().px(Target.TAG)
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        paint_tag(QPainter(self), QRectF(self.rect()), self._shape, look())
