"""The thread: the visit as a vertical line of moments, in any order, each with how far it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Reach, Stack, spaced
from desktop.controls.surfaces import Surface
from desktop.controls.words import Words, paint_ring
from desktop.theme.halfmoons import MoonState, paint_pair, paint_whole
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["Moment", "Thread"]


@dataclass(frozen=True, slots=True)
class Moment:
    """One moment of a visit. `right` is None for a moment that has no sides: it then shows one whole moon."""

    key: str
    words: str
    left: MoonState = MoonState.NOT_DONE
    right: MoonState | None = None

    def said(self) -> str:
        """The moment in words: "Feed: left done, right not done"."""
        state = str(self.left) if self.right is None else f"left {self.left}, right {self.right}"
        return f"{self.words}: {state}"


class _Bead(Dressed, QPushButton):
    """One moment on the line."""

    def __init__(self, moment: Moment, parent: QWidget | None = None) -> None:
        super().__init__(moment.words, parent)
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.first = self.last = False
        self.show_moment(moment)

    def show_moment(self, moment: Moment) -> None:
        """Show how far the moment is."""
        self.moment = moment
        self.setText(moment.words)
        self.setAccessibleName(moment.said())
        self.update()

    def sizeHint(self) -> QSize:
        now = look()
        metrics = QFontMetrics(now.font(strong=True))
        wide = Space.SNUG * 2 + now.px(Target.MOON) + Space.PAD + metrics.horizontalAdvance(self.text()) + Space.PAD
        return QSize(wide, max(Target.BAND, now.px(Target.MOON) + Space.SNUG))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def hitButton(self, pos: QPoint) -> bool:
        """A strip at the top and at the foot belongs to neither moment, so that a slip between two does nothing."""
        half = Space.GAP // 2
        return self.rect().adjusted(0, half, 0, -half).contains(pos)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        thread = self.parent()
        while thread is not None and not isinstance(thread, Thread):
            thread = thread.parent()
        if isinstance(thread, Thread) and thread.key_pressed(self, Qt.Key(event.key())):
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter, box = look(), QPainter(self), self.rect()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.isChecked():
            self._paint_tab(painter)
        elif self.underMouse():
            painter.fillRect(
                box.adjusted(Space.SNUG, Stroke.LINE, -Stroke.LINE, -Stroke.LINE), now.tint(Role.WELL, Role.PAGE, 60)
            )
        side = now.px(Target.MOON)
        moon = QRectF(2 * Space.SNUG, box.center().y() - side / 2 + 0.5, side, side)
        middle = int(moon.center().x())
        painter.setPen(QPen(now.colour(Role.EDGE), Stroke.LINE))
        if not self.first:
            painter.drawLine(middle, 0, middle, int(moon.top()) - Stroke.LINE)
        painter.drawLine(middle, int(moon.bottom()) + Stroke.LINE, middle, box.bottom() + 1)
        ground = Role.CARD if self.isChecked() else Role.PAGE
        if self.moment.right is None:
            paint_whole(painter, moon, self.moment.left, now, ground)
        else:
            paint_pair(painter, moon, self.moment.left, self.moment.right, now, ground)
        at = int(moon.right()) + Space.PAD
        painter.setFont(now.font(strong=self.isChecked()))
        painter.setPen(now.colour(Role.INK))
        painter.drawText(
            box.adjusted(at, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self.text()
        )
        if self.hasFocus():
            paint_ring(painter, box.adjusted(Space.SNUG, 0, 0, 0), now, radius=Radius.SOFT)

    def _paint_tab(self, painter: QPainter) -> None:
        """The moment on screen is one sheet with the middle of the window: a tab in its colour, open to the right."""
        now = look()
        box = QRectF(self.rect()).adjusted(Space.SNUG + 0.5, 0.5, Stroke.LINE, -0.5)
        tab = QPainterPath()
        tab.addRoundedRect(box.adjusted(0, 0, Radius.SOFT, 0), Radius.SOFT, Radius.SOFT)
        painter.fillPath(tab, now.colour(Role.CARD))
        painter.setPen(QPen(now.colour(Role.EDGE), Stroke.HAIR))
        painter.drawPath(tab)


class Thread(Surface):
    """The left side of a visit. Signal `chosen(key)` when the user goes to another moment.

    Up and Down move along the line, Space or Enter goes there. `show_visit` says which visit this is, `show_saved` when
    the last answer was kept.
    """

    chosen = Signal(str)

    def __init__(self, moments: Sequence[Moment], parent: QWidget | None = None) -> None:
        super().__init__(Role.PAGE, (Qt.Edge.RightEdge,), parent)
        self.setAccessibleName("Moments of the visit")
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        outer = QVBoxLayout(self)
        spaced(outer)
        line = QWidget()
        column = QVBoxLayout(line)
        spaced(column, Space.NONE)
        column.setContentsMargins(Space.NONE, Space.WIDE, Space.NONE, Space.PAD)
        self._where = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._when = Words("", size=Size.SMALL, strong=True)
        self._saved = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        head, foot = Stack(between=Space.NONE), Stack()
        head.add(self._where, self._when)
        self.back = Link("Take back", size=Size.SMALL)
        self.back.hide()
        self._back_what = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._back_what.hide()
        foot.add(self._saved, self._back_what, self.back)
        for part in (head, foot):
            part.setContentsMargins(Space.WIDE, Space.NONE, Space.GAP, Space.NONE)
        column.addWidget(head)
        column.addSpacing(Space.PAD)
        self.beads: dict[str, _Bead] = {}
        for moment in moments:
            bead = _Bead(moment)
            bead.clicked.connect(lambda _on=False, key=moment.key: self._choose(key))
            self.beads[moment.key] = bead
            column.addWidget(bead)
        column.addWidget(_Tail(), 1)
        column.addWidget(foot)
        outer.addWidget(Reach(line))
        if moments:
            next(iter(self.beads.values())).first = True
            self.show_current(moments[0].key)

    def show_visit(self, where: str, when: str) -> None:
        """Which visit this is: "Second visit, at home" and "Tue 3 Mar, 10:42"."""
        self._where.say(where)
        self._when.say(when)

    def show_saved(self, words: str) -> None:
        """When the last answer was kept ("saved 14:02"), or since when nothing could be ("not saved since 14:02")."""
        self._saved.say(words)

    def show_back(self, what: str) -> None:
        """Which step would be taken back ("Weight: added"); "" takes the key away."""
        self._back_what.say(f"Last: {what}" if what else "")
        self._back_what.setVisible(bool(what))
        self.back.setVisible(bool(what))
        self.back.setAccessibleName(f"Take back: {what}")

    def show_moments(self, moments: Sequence[Moment]) -> None:
        """How far each moment is."""
        for moment in moments:
            self.beads[moment.key].show_moment(moment)

    def show_current(self, key: str) -> None:
        """Which moment is on screen; raises KeyError for one that is not on the line."""
        current = self.beads[key]
        for bead in self.beads.values():
            bead.setChecked(bead is current)
            bead.setFocusPolicy(Qt.FocusPolicy.StrongFocus if bead is current else Qt.FocusPolicy.ClickFocus)

    def _choose(self, key: str) -> None:
        self.show_current(key)
        self.chosen.emit(key)

    def key_pressed(self, bead: QPushButton, key: Qt.Key) -> bool:
        """What a key does on a moment; False if it means nothing here."""
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            bead.click()
            return True
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(key, 0)
        beads = list(self.beads.values())
        at = next(place for place, each in enumerate(beads) if each is bead)
        ends = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: len(beads) - 1}
        if not step and key not in ends:
            return False
        beads[ends.get(key, (at + step) % len(beads))].setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def sizeHint(self) -> QSize:
        widest = max((bead.sizeHint().width() for bead in self.beads.values()), default=0)
        return QSize(max(Target.THREAD, widest + Space.PAD), Target.TOUCH)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class _Tail(Dressed, QWidget):
    """The end of the line, thinning out below the last moment."""

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        middle = 2 * Space.SNUG + now.px(Target.MOON) // 2
        painter.setPen(QPen(now.tint(Role.EDGE, Role.PAGE, 60), Stroke.LINE))
        painter.drawLine(middle, 0, middle, self.height() - Space.GAP)
