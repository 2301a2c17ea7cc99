"""What every page is, and the ground it stands on: a main column, a side panel, a band at the foot."""

from __future__ import annotations

from datetime import datetime
from enum import Flag, auto
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QVBoxLayout, QWidget

from desktop.controls.layouts import Flow, Reach, Stack
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Space, Stroke, Target

if TYPE_CHECKING:  # the store is imported only once the passphrase screen stands
    from storage.drafts import Draft

__all__ = ["Edge", "Ground", "Page", "Spread", "band"]


class Edge(Flag):
    """On which sides a ground has a thin edge."""

    NONE = 0
    TOP = auto()
    LEADING = auto()


class Ground(Dressed, QWidget):
    """A plain surface in the colour of a role."""

    def __init__(self, role: Role, edge: Edge = Edge.NONE, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._role, self._edge = role, edge

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        painter.fillRect(self.rect(), now.colour(self._role))
        line = now.colour(Role.EDGE)
        if Edge.TOP in self._edge:
            painter.fillRect(0, 0, self.width(), Stroke.HAIR, line)
        if Edge.LEADING in self._edge:
            at = self.width() - Stroke.HAIR if self.isRightToLeft() else 0
            painter.fillRect(at, 0, Stroke.HAIR, self.height(), line)


class Page(QWidget):
    """One page of the window. What it has typed is saved by `leave`; what is not yet on disk is in `pending`."""

    def leave(self) -> None:
        """Write what is typed; called before another page comes and before the lock."""

    def pending(self) -> tuple[Draft, ...]:
        """Drafts that hold something not yet on disk."""
        return ()

    def unsaved_since(self) -> datetime | None:
        """When the oldest answer was typed that is not on disk, or None."""
        return None

    def adopt(self, drafts: tuple[Draft, ...], since: datetime | None) -> tuple[Draft, ...]:
        """Go on with drafts not written before the lock, if they belong here; those that do not are handed back."""
        return drafts

    def running_feed(self) -> datetime | None:
        """When the feed clock that is running was started, or None."""
        return None

    def seek(self) -> None:
        """The key "/" was pressed outside a text field."""


def band(leading: tuple[QWidget, ...], trailing: tuple[QWidget, ...]) -> Ground:
    """The band at the foot: what one does here at its start, what is always there at its end; wraps when it must."""
    ground = Ground(Role.WELL, Edge.TOP)
    across = QHBoxLayout(ground)
    across.setContentsMargins(Space.WIDE, Space.PAD, Space.WIDE, Space.PAD)
    across.setSpacing(Space.WIDE)
    for widgets, stretch in ((leading, 1), (trailing, 0)):
        holder = QWidget()
        flow = Flow(holder, gap=Space.PAD)
        for widget in widgets:
            flow.addWidget(widget)
        policy = holder.sizePolicy()
        policy.setHeightForWidth(True)
        holder.setSizePolicy(policy)
        across.addWidget(holder, stretch)
    return ground


class Spread(QWidget):
    """A main column that scrolls, a quiet side panel at its end, a band below.

    Large text puts the panel under the column, or over it when `leads`: when it says what the column shows.
    """

    def __init__(
        self, main: QWidget, side: Stack | None = None, foot: QWidget | None = None, *, leads: bool = False
    ) -> None:
        super().__init__()
        self._leads = leads
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._main = Ground(Role.CARD)
        self._inside = QBoxLayout(QBoxLayout.Direction.TopToBottom, self._main)
        self._inside.setContentsMargins(0, 0, 0, 0)
        self._inside.setSpacing(0)
        self._inside.addWidget(main, 1)
        self._reach = Reach(self._main)
        self._across = QHBoxLayout()
        self._across.setContentsMargins(0, 0, 0, 0)
        self._across.setSpacing(0)
        self._across.addWidget(self._reach, 1)
        column.addLayout(self._across, 1)
        self._side: Ground | None = None
        if side is not None:
            self._side = Ground(Role.PAGE, Edge.LEADING)
            inner = QVBoxLayout(self._side)
            inner.setContentsMargins(Space.BROAD, Space.WIDE, Space.BROAD, Space.WIDE)
            inner.addWidget(side)
            self._side_reach = Reach(self._side)
            self._across.addWidget(self._side_reach)
        if foot is not None:
            column.addWidget(foot)
        self._below: bool | None = None
        self._arrange()

    def _arrange(self) -> None:
        """The panel beside the column while the column keeps room to read, else at its foot."""
        if self._side is None:
            return
        wide = Target.SIDE_PANEL + 2 * Space.BROAD if look().text == 100 else look().px(Target.SIDE_PANEL)
        below = self.width() - wide < look().px(Target.READING * Space.WIDE)
        self._side_reach.setFixedWidth(wide)
        if below == self._below:
            return
        self._below = below
        if below:
            self._side_reach.takeWidget()
            self._side_reach.hide()
            self._inside.insertWidget(0 if self._leads else 1, self._side)
        else:
            self._inside.removeWidget(self._side)
            self._side_reach.setWidget(self._side)
            self._side_reach.show()
        self._side.show()

    def to_main(self) -> None:
        """Bring the head of the main column into view, where a panel leads it."""
        if self._below and self._leads and self._side is not None:
            QTimer.singleShot(0, self, self._scroll_past)

    def _scroll_past(self) -> None:
        if self._side is not None:
            self._reach.verticalScrollBar().setValue(self._side.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: object) -> None:
        super().changeEvent(event)  # type: ignore[arg-type]
        self._arrange()
