"""The lines of a baby's log in the order of the clock, and the keys that begin the likely next one by one tap."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.clock import clock, day_words
from desktop.controls.layouts import Stack, spaced
from desktop.controls.moons import Moons
from desktop.controls.words import Words
from desktop.sheets.listing import EntryLine, Listing
from desktop.sheets.sheet import Offer
from desktop.theme.halfmoons import MoonState
from desktop.theme.icons import Icon, paint_icon
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Moment, every
from forms.chart import Entry
from forms.clinical.feeding_log import day_log, gap_words
from forms.clinical.result import NoFigure
from forms.days import DAYS
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, PUMPED, LogLine
from forms.log_words import besides, what_was
from forms.people import ParentIdentity
from forms.taking_part import FEEDING_ROLES

__all__ = ["LogLines"]

_NO_TIME = "Without a time: readable, and counted nowhere"
_AGAIN = ("kind", "milk", "feeder", "feeder_other")


class _Time(Words):
    """The time a line began; as wide as any time, so that times stand under one another."""

    def __init__(self) -> None:
        super().__init__("", size=Size.JOT, strong=True, wrap=False)
        self.setAlignment(Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignTop)

    def dress(self) -> None:
        super().dress()
        self.setFixedWidth(QFontMetrics(self.font()).horizontalAdvance("00:00") + Space.GAP)


class _Bowl(Dressed, QWidget):
    """The sign of milk that came another way; the words beside it say which."""

    def sizeHint(self) -> QSize:
        side = look().px(Target.MOON)
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        side, now = look().px(Target.ICON), look()
        at = (look().px(Target.MOON) - side) / 2
        paint_icon(QPainter(self), QRectF(at, at, side, side), Icon.BOWL, now.colour(Role.WOAD))


class _Sign(Stack):
    """Which side was fed, as the two half-moons; a bowl where milk came another way."""

    def __init__(self) -> None:
        super().__init__()
        self._shown: object = ()

    def dress_as(self, line: LogLine) -> None:
        """Show the sign of a line; room is kept where it has none."""
        self.setFixedWidth(look().px(Target.MOON))
        states = _states(line)
        if (states, line.kind) == self._shown:
            return
        self._shown = (states, line.kind)
        self.clear()
        if states is not None:
            self.add(Moons(*states))
        elif line.kind in GIVEN_OTHERWISE:
            self.add(_Bowl())
        self.finish()


def _states(line: LogLine) -> tuple[MoonState, MoonState | None, str] | None:
    done, left_out = MoonState.DONE, MoonState.NOT_DONE
    if line.kind in AT_BREAST:
        left, right = line.kind in ("left", "both"), line.kind in ("right", "both")
        return done if left else left_out, done if right else left_out, "Fed"
    return None


class _DayLine(EntryLine):
    """One line of the log: its time, its sign, what it was, and small beside it how long after the feed before."""

    def head(self) -> QWidget:
        self.time, self.sign = _Time(), _Sign()
        self.after = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.words = Words("")
        said = Stack(between=Space.NONE)
        said.setMinimumHeight(Target.TOUCH)
        said.add(self.words, self.more, self.after)
        said.finish()
        head = QWidget()
        head.setLayoutDirection(self.layoutDirection())
        across = QHBoxLayout(head)
        spaced(across, Space.PAD)
        across.addWidget(self.time, 0, Qt.AlignmentFlag.AlignTop)
        across.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        across.addWidget(said, 1)
        return head

    def show_entry(self, entry: Entry[Any]) -> None:
        super().show_entry(entry)
        starts = entry.answers.starts
        local = starts.local() if isinstance(starts, Moment) else None
        self.time.say(clock(local) if local is not None else "")
        self.sign.dress_as(entry.answers)
        self.change.setAccessibleName(
            f"{self.change.text()}: {clock(local) if local else 'no time'}, {self.words.said()}"
        )

    def say_after(self, gap: timedelta | None, *, longest: bool) -> None:
        """How long after the beginning of the feed before this one began; whether no other time is longer."""
        words = "" if gap is None else f"{gap_words(gap)} after the feed before" + (", the longest" if longest else "")
        self.after.say(words)
        self.after.take_ink(Role.INK if longest else Role.SOFT_INK)
        self.after.setVisible(bool(words))


class LogLines(Listing):
    """A baby's log, oldest first, under the day of each line; lines without a time stand first and are told."""

    keys_first = True

    def __init__(self, *args: Any, **more: Any) -> None:
        self._days: dict[date | None, Words] = {}
        super().__init__(*args, **more)

    def made(self, entity: str) -> EntryLine:
        """The line of an entry of the log."""
        return _DayLine(self, entity)

    def refresh(self) -> None:
        """Show what stands now, in the order of the clock."""
        super().refresh()
        self._tell_gaps()
        self._arrange()

    def begin(self) -> None:
        """Begin an empty line; it stands first until it has a time."""
        super().begin()
        self._arrange()

    def begin_offered(self, offer: Offer) -> None:
        """Begin a line by one tap; its time is what one types next."""
        super().begin_offered(offer)
        question = self.question(LogLine.name, "starts")
        if question is not None:
            question.controls()[0].setFocus()

    def line(self, entry: Entry[Any]) -> str:
        """What the line was."""
        return what_was(entry.answers, self.home.names)

    def second_line(self, entry: Entry[Any]) -> str:
        """Diaper, sleep, note."""
        return besides(entry.answers)

    def _standing(self) -> dict[str, LogLine]:
        return {entry.id: entry.answers for entry in self.entries() if entry.struck is None}

    def _tell_gaps(self) -> None:
        found = day_log(self._standing().items(), None, self.home.zone)
        after: dict[str, timedelta] = {}
        if not isinstance(found, NoFigure):
            feeds = [line for line in found.every if line.is_feed]
            after = {then.entry: then.began - first.began for first, then in pairwise(feeds)}
        longest = max(after.values(), default=None)
        for entity, line in self.lines.items():
            if isinstance(line, _DayLine):
                gap = after.get(entity)
                line.say_after(gap, longest=gap is not None and gap == longest and len(after) > 1)

    def _arrange(self) -> None:
        """Lines by time under their day. What stands right already is not touched, so typing is not disturbed."""
        standing = self._standing()

        def began(entity: str) -> datetime | None:
            starts = standing[entity].starts if entity in standing else None
            return starts.local() if isinstance(starts, Moment) else None

        timed = sorted((at.timestamp(), entity) for entity in self.lines if (at := began(entity)) is not None)
        untimed = [entity for entity in self.lines if began(entity) is None]
        rows: list[QWidget] = []
        used: set[date | None] = set()
        for entity in (*untimed, *(entity for _, entity in timed)):
            at = began(entity)
            day = at.date() if at is not None else None
            if day not in used and (day is not None or entity in standing):
                used.add(day)
                rows.append(self._heading(day))
            rows.append(self.lines[entity])
        for day in [one for one in self._days if one not in used]:
            heading = self._days.pop(day)
            heading.hide()
            heading.deleteLater()
        self.standing.arrange(rows)

    def _heading(self, day: date | None) -> Words:
        made = self._days.get(day)
        if made is None:
            words = _NO_TIME if day is None else f"{DAYS[day.weekday()]}, {day_words(day)}"
            made = self._days[day] = Words(words, ink=Role.WELD if day is None else Role.SOFT_INK, strong=True)
            self.standing.add(made)
        return made

    def offers(self) -> tuple[Offer, ...]:
        """The last line again, each feeder's sides, and the other kinds most written."""
        plain = (
            *self._sides(), Offer("Bottle", {"kind": "bottle"}), Offer("Milk expressed", {"kind": PUMPED}),
            Offer("Diaper only", {"kind": "diaper"}),
        )  # fmt: skip
        again = (offer for offer in self._again() if offer.answers not in [one.answers for one in plain])
        return (*again, *plain)

    def _again(self) -> tuple[Offer, ...]:
        entries = [entry for entry in self.entries() if entry.struck is None and entry.answers.kind is not None]
        if not entries:
            return ()
        last = max(entries, key=lambda entry: (entry.entered, entry.id)).answers
        answers: dict[str, Any] = {name: value for name in _AGAIN if isinstance(value := getattr(last, name), str)}
        words = what_was(LogLine(**answers), self.home.names)
        return (Offer(f"Again: {words}", answers),) if "kind" in answers else ()

    def _sides(self) -> tuple[Offer, ...]:
        parents = self.home.chart.all(ParentIdentity)
        feeders = [
            p for p in parents if any(set(roles) & set(FEEDING_ROLES) for roles in every(p.answers.roles))
        ] or parents
        return tuple(
            Offer(f"{self.home.names(parent.id)}’s {side}", {"kind": side, "feeder": parent.id})
            for parent in feeders
            for side in ("left", "right")
        )
