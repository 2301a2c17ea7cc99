"""Jots: one line noted in passing with its time, from anywhere, and later filed where it belongs."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Beside, Stack
from desktop.controls.question import Question
from desktop.controls.shown import clock
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Conflicted, Moment, every
from forms.chart import Entry
from forms.note import answered
from forms.visit import Jot

__all__ = ["Jots"]

_PAUSE_MS = 700  # with the draft's own pause well under the two seconds within which it is on disk


class Jots(Stack):
    """The one-line entry and the jots not filed yet. Signal `jotted()`: a line was taken; the focus may go back."""

    jotted = Signal()

    def __init__(self, home: OpenChart, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._home = home
        self._lines: dict[str, _JotLine] = {}
        self._begun: EntryBinding | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self.hold)
        self._heading = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.entry = Box(size=Size.JOT)
        self.entry.setPlaceholderText("Jot a line")
        self.entry.setAccessibleName("Jot")
        self.entry.setMinimumHeight(Target.TOUCH)
        self.entry.returnPressed.connect(self.keep)
        self.entry.textChanged.connect(lambda _text: self._pause.isActive() or self._pause.start())
        self._list = Stack(between=Space.GAP)
        self._how = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(self._heading, self.entry, self._how)
        self.add(self._list)
        home.changed.connect(self.refresh)
        self.refresh()

    def keep(self) -> None:
        """Keep the line that was typed, with the time it is now; an empty one is nothing."""
        self.hold()
        if self._begun is None or not self.entry.text().strip():
            return
        self._begun = None
        self.entry.clear()
        self._home.save()
        self.jotted.emit()

    def hold(self) -> None:
        """Keep what stands in the box so far, so that neither a lock nor a kill takes it; Enter begins a new line."""
        self._pause.stop()
        words = self.entry.text().strip()
        if self._home.chart.signed() is not None or not (words or self._begun):
            return
        if self._begun is None:
            self._begun = self._home.begin(Jot)
            self._begun.put("noted", self._begun.now())
        if self._begun.value("words") != (words or None):
            self._begun.put("words", words or None)

    def file(self, entity: str) -> None:
        """Open a jot for filing."""
        if self._begun is not None and self._begun.entity == entity:
            self.keep()
            self.refresh()
        line = self._lines.get(entity)
        if line is not None:
            line.open()

    def waiting(self) -> tuple[Entry[Jot], ...]:
        """The jots that stand in no form yet, newest first; without the one still in the box, and empty ones."""
        here = self._begun.entity if self._begun is not None else ""
        found = self._home.chart.all(Jot, visit=self._home.chart.visit)
        listed = [jot for jot in found if jot.id != here and any(every(jot.answers.words))]
        return tuple(reversed([jot for jot in listed if not answered(jot.answers.filed_to)]))

    def refresh(self) -> None:
        """Show what waits to be filed."""
        waiting = self.waiting()
        sealed = self._home.chart.signed() is not None
        self.entry.setEnabled(not sealed)
        self.entry.setVisible(not sealed)
        self._how.say("This visit is signed; jots are closed." if sealed else "Enter keeps it with its time.")
        count = len(waiting)
        self._heading.say(f"Jots, {count} not filed yet" if count else "Jots")
        # A line that is open for filing stays until it is closed, so that typing is not cut off.
        keep = {jot.id for jot in waiting} | {one for one, line in self._lines.items() if line.is_open()}
        for gone in [one for one in self._lines if one not in keep]:
            line = self._lines.pop(gone)
            line.hide()
            line.setParent(None)
            line.deleteLater()
        for at, jot in enumerate(waiting):
            if jot.id not in self._lines:
                self._lines[jot.id] = _JotLine(self._home, jot.id)
                self._list.insert(at, self._lines[jot.id])
            self._lines[jot.id].say(jot)


class _JotLine(Stack):
    """One jot: its time, its words, and the way to file it."""

    def __init__(self, home: OpenChart, entity: str) -> None:
        super().__init__(between=Space.FINE)
        self._home, self._entity = home, entity
        self.words = Words("")
        self.file = Link("File")
        self.file.clicked.connect(partial(self._toggle))
        across = QWidget()
        beside = Beside(across, gap=Space.GAP)
        beside.addWidget(self.words)
        beside.addWidget(self.file)
        self.add(across)
        self._question: Question | None = None

    def is_open(self) -> bool:
        """Whether it is being filed."""
        return self._question is not None and not self._question.isHidden()

    def say(self, jot: Entry[Jot]) -> None:
        """Show the jot as it stands."""
        kept = jot.answers
        words = kept.words
        if isinstance(words, Conflicted):
            said = " or ".join(str(variant.value) for variant in words.variants)
        else:
            said = words if isinstance(words, str) else "Nothing written"
        time = f"{clock(kept.noted.local())} " if isinstance(kept.noted, Moment) else ""
        self.words.say(f"{time}{said}")
        self.file.setAccessibleName(f"File the jot {time}{said}")

    def open(self) -> None:
        """Ask in place where it goes."""
        if self._question is None:
            self._question = Question(self._home.binding(Jot, entity=self._entity), "filed_to")
            self.add(self._question)
        self._question.show()
        self._question.controls()[0].setFocus()
        self.file.say("Done")

    def _toggle(self, *_pressed: object) -> None:
        if self._question is None or not self.is_open():
            self.open()
            return
        self._question.commit()
        self._question.hide()
        self.file.say("File")
