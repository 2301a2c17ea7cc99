"""One side at a time: two large half-moons that say whose side is asked, and below them that side's questions."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QEnterEvent, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from desktop.controls.layouts import Stack, spaced
from desktop.controls.words import Words, paint_ring, wrapped
from desktop.sheets.in_view import InView
from desktop.sheets.laid import Laid
from desktop.sheets.sheet import Here
from desktop.theme.halfmoons import MoonState, paint_half
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Stroke, Target
from forms.answers import Side
from forms.ask import Ask, Need, Path, ask_of
from forms.breast import BreastAssessment
from forms.breast_seen import of_concern
from forms.feed import FeedObservation, trouble_seen
from forms.form import is_open, shown_asks
from forms.note import answered

__all__ = ["OneSide", "SideKey", "side_state", "side_words"]


def _left_over(feed: FeedObservation, side: Side) -> int:
    """How many questions of a side still want an answer."""
    return sum(
        1
        for path, ask, given in shown_asks(feed)
        if path.side is side and ask.need is not Need.FREE and not answered(given)
    )


def side_state(feed: FeedObservation, side: Side) -> MoonState:
    """What the half-moon of a side says: a concern, all of it answered, or not."""
    if trouble_seen(feed, side):
        return MoonState.CONCERN
    begun = answered(feed.used.on(side))
    return MoonState.DONE if begun and not _left_over(feed, side) else MoonState.NOT_DONE


def side_words(feed: FeedObservation, side: Side) -> str:
    """What stands small under the name of a side."""
    used = feed.used.on(side)
    if not isinstance(used, str):
        return "not asked yet" if used is None else "see below"
    words = ask_of(FeedObservation, "used").options.get(used, used).lower()
    left = _left_over(feed, side)
    return f"{words}, {left} to answer" if left else words


def looked_state(looked: BreastAssessment, side: Side, fields: Collection[str]) -> MoonState:
    """What the half-moon of a side says of these questions: something to note, all of them answered, or not."""
    if of_concern(looked, side, fields):
        return MoonState.CONCERN
    if looked.consent == "declined":
        return MoonState.DECLINED
    asked = [path for path, ask, _ in shown_asks(looked) if path.side is side and path.field in fields and _due(ask)]
    return MoonState.DONE if asked and not _unanswered(looked, side, fields) else MoonState.NOT_DONE


def looked_words(looked: BreastAssessment, side: Side, fields: Collection[str]) -> str:
    """What stands small under the name of a side: how many of these questions are still to be answered."""
    if looked.consent == "declined":
        return "declined"
    left = _unanswered(looked, side, fields)
    if left:
        return f"{left} to answer"
    return "answered" if is_open(looked, Path("shape", side)) else "not asked yet"


def _due(ask: Ask) -> bool:
    return ask.need is not Need.FREE


def _unanswered(looked: BreastAssessment, side: Side, fields: Collection[str]) -> int:
    return sum(
        1
        for path, ask, given in shown_asks(looked)
        if path.side is side and path.field in fields and _due(ask) and not answered(given)
    )


class SideKey(Dressed, QPushButton):
    """One half of the switch: the half-moon, whose side it is, how far that side is. Checked while in view."""

    def __init__(self, side: Side, whose: str, parent: QWidget | None = None) -> None:
        super().__init__(whose, parent)
        self.side = side
        self._small, self._state = "", MoonState.NOT_DONE
        self.setCheckable(True)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def say(self, small: str, state: MoonState) -> None:
        """Show how far the side is."""
        self._small, self._state = small, state
        self.setAccessibleName(f"{self.text()}: {small}, {state}")
        self.updateGeometry()
        self.update()

    def nextCheckState(self) -> None:
        """The page says which side is in view."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()

    def _moon(self) -> int:
        return look().px(Target.BAND)

    def _lead(self) -> int:
        return self._moon() // 2 + Space.PAD

    def _words(self, width: int) -> tuple[QSize, QSize]:
        now, room = look(), width - self._lead() - Space.PAD
        return wrapped(now.font(Size.JOT, strong=True), self.text(), room), wrapped(
            now.font(Size.SMALL), self._small, room
        )

    def heightForWidth(self, width: int) -> int:
        name, small = self._words(width)
        return max(self._moon(), name.height() + small.height()) + 2 * Space.SNUG + Stroke.RING

    def sizeHint(self) -> QSize:
        name, small = self._words(1 << 16)
        width = max(name.width(), small.width()) + self._lead() + Space.PAD + 1
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = look().px(Target.READING * Space.GAP)
        return QSize(width, self.heightForWidth(width))

    def paintEvent(self, event: QPaintEvent) -> None:
        now, on = look(), self.isChecked()
        painter = QPainter(self)
        if self.underMouse() and not on:
            painter.fillRect(self.rect(), now.tint(Role.WELL, Role.CARD, 50))
        tall = self._moon()
        top = (self.height() - Stroke.RING - tall) / 2
        paint_half(painter, QRectF(0, top, tall / 2, tall), self.side, self._state, now)
        name, small = self._words(self.width())
        words = QRect(self._lead(), 0, self.width() - self._lead() - Space.PAD, 0)
        y = (self.height() - Stroke.RING - name.height() - small.height()) // 2
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        painter.setFont(now.font(Size.JOT, strong=on))
        painter.setPen(now.colour(Role.INK if on else Role.SOFT_INK))
        painter.drawText(QRect(words.left(), y, words.width(), name.height()), flags, self.text())
        painter.setFont(now.font(Size.SMALL))
        painter.setPen(now.colour(Role.SOFT_INK))
        painter.drawText(QRect(words.left(), y + name.height(), words.width(), small.height()), flags, self._small)
        thick = Stroke.RING if on else Stroke.HAIR
        painter.fillRect(0, self.height() - thick, self.width(), thick, now.colour(Role.ELDER if on else Role.EDGE))
        if self.hasFocus():
            paint_ring(painter, self.rect(), now)


_NO_CONSENT = "Nothing is asked here while no consent to look stands under “Before”."


class OneSide(Stack):
    """The switch and the questions of the side in view. Left stays left in every writing direction."""

    def __init__(self, here: Here, page: Laid) -> None:
        super().__init__(between=Space.PAD)
        self._binding, self._page, self._view = here.binding, page, InView.of(here.home)
        switch = QWidget()
        switch.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        across = QHBoxLayout(switch)
        spaced(across, Space.WIDE)
        self.keys: dict[Side, SideKey] = {}
        for side, whose in zip(Side, here.binding.person_words(), strict=True):
            key = self.keys[side] = SideKey(side, whose)
            key.clicked.connect(lambda _on=False, side=side: self._view.turn(side))
            across.addWidget(key, 1)
        self._closed = Words("", ink=Role.SOFT_INK)
        self.add(switch, self._closed, page)
        self._view.turned.connect(self._turn)
        here.binding.changed.connect(self._tell)
        self._turn()

    def _turn(self) -> None:
        self._page.show_sides((self._view.side,))
        self._tell()

    def _tell(self, _path: str = "") -> None:
        answers = self._binding.draft.answers
        if isinstance(answers, FeedObservation):
            self._tell_of_feed(answers)
        elif isinstance(answers, BreastAssessment):
            self._tell_of_look(answers)

    def _tell_of_look(self, looked: BreastAssessment) -> None:
        fields = {name for question in self._page.questions().values() for name in question.fields()}
        for side, key in self.keys.items():
            key.setChecked(side is self._view.side)
            key.say(looked_words(looked, side, fields), looked_state(looked, side, fields))
        why = {
            None: "First say under “Before” what was agreed to; then the sides are asked.",
            "declined": "Not done: declined.",
            "not_asked": "Not done: consent to look was not asked.",
        }
        consent = looked.consent
        shut = not is_open(looked, Path("shape", self._view.side))
        self._closed.say(why.get(consent, "") if consent is None or isinstance(consent, str) else _NO_CONSENT)
        self._closed.setVisible(shut)
        self._page.setVisible(not shut)

    def _tell_of_feed(self, feed: FeedObservation) -> None:
        for side, key in self.keys.items():
            key.setChecked(side is self._view.side)
            key.say(side_words(feed, side), side_state(feed, side))
        whose = self.keys[self._view.side].text()
        used = feed.used.on(self._view.side)
        shut = all(question.isHidden() for question in self._page.questions().values())
        self._closed.say(self._why_shut(feed, whose, used))
        self._closed.setVisible(shut or (used == "not_offered"))

    def _why_shut(self, feed: FeedObservation, whose: str, used: object) -> str:
        if feed.observed == "not_seen":
            return "No feed was seen, so nothing is asked of the sides."
        if feed.observed is None:
            return "First say under “Feed” how this feed was watched; then the sides are asked."
        if used == "not_offered":
            return f"{whose} was not offered at this feed, so nothing further is asked of it."
        return f"Nothing is asked here of {whose} as things stand. “Position” says how this side was used."
