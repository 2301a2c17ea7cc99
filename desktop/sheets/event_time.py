"""The time of an event as it is looked at and changed: minutes into the session, the clock beside it, what it was."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

from PySide6.QtWidgets import QVBoxLayout
from shiboken6 import isValid

from desktop.controls.buttons import Link
from desktop.controls.clock import day_words
from desktop.controls.layouts import Stack, spaced
from desktop.controls.question import Question
from desktop.controls.typed import Box, Typed
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.ask import Path
from forms.doubts import doubts
from forms.event_words import by_the_clock, into, read_time
from forms.practice import Practitioner
from storage.changes import Head

__all__ = ["EventTime", "Start", "Trail"]

Start = Callable[[Here], Moment | None]
"""Finds the beginning of the session an event is of, or None while it is not written."""


class _TimeBox(Typed):
    """The box itself: "4:12" into the session, or the time by the clock with its seconds."""

    def __init__(self, binding: EntryBinding, start: Moment | None) -> None:
        self._start, self._of = start, binding
        super().__init__(binding, "at")

    def _build(self) -> None:
        column = QVBoxLayout(self)
        spaced(column)
        self.box = Box(ems=10)
        self.box.setPlaceholderText("4:12" if self._start is not None else "10:42:30")
        column.addWidget(self.box)

    def _written(self, value: Moment) -> str:
        if self._start is not None and value.at >= self._start.at:
            return into(self._start, value)
        return by_the_clock(value)

    def _read(self, text: str) -> Any:
        return read_time(text, self._start, self.binding.now()) if text.strip() else None

    def _same(self, known: Any) -> bool:
        return isinstance(known, Moment) and self.text().strip() == self._written(known)

    def put(self, value: Any) -> None:
        """A time typed again as it shows keeps the parts of a second it was taken with.

        Another time no longer belongs to the reading of the steady clock, which goes with the same step.
        """
        known = self.known()
        if isinstance(value, Moment) and isinstance(known, Moment) and self._same(known):
            return
        if self._of.value("steady") is None:
            super().put(value)
        else:
            self._of.home.put_together(self._of, {Path("at"): value, Path("steady"): None})


class EventTime(Stack):
    """When it happened. A time still to come, or before the session began, is kept as typed and asked about."""

    def __init__(self, here: Here, start: Start) -> None:
        super().__init__(between=Space.FINE)
        self._here, self._start = here, start
        begins = start(here)
        words = "Minutes and seconds since it began" if begins is not None else "Time of day"
        self.label = Words(words, strong=True)
        self.field = _TimeBox(here.binding, begins)
        self.field.box.setAccessibleName(words)
        self.clock = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.trouble = Words("", ink=Role.WELD, strong=True)
        self.doubt = Words("", ink=Role.WELD, strong=True)
        self.whole = Question(here.binding, "at")
        self.no_time = Link("No time can be given")
        self.no_time.clicked.connect(self._ask_whole)
        self.add(self.label, self.field, self.trouble, self.doubt, self.clock, self.no_time, self.whole)
        for widget in (self.trouble, self.whole):
            widget.hide()
        self.field.troubled.connect(self._told)
        here.binding.changed.connect(self._show)
        here.binding.refused.connect(self._refused)
        self._show()

    def commit(self) -> None:
        """Keep what is still only in the box."""
        self.field.commit()

    def _ask_whole(self) -> None:
        self.whole.show()
        self.no_time.hide()
        if self.whole.no_answer is not None:
            self.whole.no_answer.setFocus()

    def _refused(self, path: str, sentence: str) -> None:
        if path == "at":
            self._told(sentence)

    def _told(self, sentence: str) -> None:
        self.trouble.say(sentence)
        self.trouble.setVisible(bool(sentence))

    def _show(self, _path: str = "at") -> None:
        home, binding = self._here.home, self._here.binding
        at = binding.value("at")
        plain = at is None or isinstance(at, Moment)  # two times, or none on purpose, are the whole question's to show
        for widget in (self.label, self.field, self.clock):
            widget.setVisible(plain)
        self.whole.setVisible(not plain or (at is None and not self.whole.isHidden()))
        self.no_time.setVisible(at is None and self.whole.isHidden() and not binding.sealed())
        doubted = []
        if isinstance(at, Moment):
            self.clock.say(f"{by_the_clock(at)} by the clock, {day_words(at.local())}")
            doubted = [
                one.question
                for one in doubts(
                    home.chart, binding.form, Path("at"), at, None, home.clock(), answers=binding.answers()
                )
            ]
        else:
            like = "4:12, or 10:42:30 by the clock" if self._start(self._here) is not None else "10:42, or 10:42:30"
            self.clock.say(f"Like {like}.")
        self.doubt.say(" ".join(doubted))
        self.doubt.setVisible(bool(doubted))


class Trail(Stack):
    """How an event came to be as it is: noted live or from memory, by whom, and every time that was written over."""

    def __init__(self, here: Here, start: Start, how: str) -> None:
        super().__init__(between=Space.FINE)
        self._here, self._start = here, start
        self.how = Words(how, size=Size.SMALL, ink=Role.SOFT_INK)
        self.before = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.before.hide()
        self.add(self.how, self.before)
        here.home.saved.connect(self._read)
        self._read()

    def _read(self, _at: object = None) -> None:
        entity = self._here.binding.entity
        if self._here.home.chart.by_id(entity) is not None:
            self._here.home.lane.run(lambda store: store.history(entity, Path("at")), self._take)

    def _take(self, history: tuple[Head, ...]) -> None:
        if not isValid(self):  # the answer can come after the page has gone
            return
        home, start = self._here.home, self._start(self._here)
        said = []
        for old, new in pairwise(history):
            if isinstance(old.value, Moment):
                person = home.chart.by_id(new.author)
                name = (
                    person.answers.full_name
                    if person is not None and isinstance(person.answers, Practitioner)
                    else None
                )
                whom = f" by {name}" if isinstance(name, str) else ""
                then = into(start, old.value) if start is not None else by_the_clock(old.value)
                said.append(
                    f"The time was {then} until it was changed{whom}, {by_the_clock(Moment(new.at, home.zone))}."
                )
        self.before.say(" ".join(said))
        self.before.setVisible(bool(said))
