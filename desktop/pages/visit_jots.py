"""Jots: one line noted in passing with its time, from anywhere, and later filed where it belongs."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Beside, Stack
from desktop.controls.shown import clock
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.pages.visit_filing import Filing, InPage
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Conflicted, Moment, every
from forms.chart import Entry
from forms.note import answered
from forms.visit import Jot

__all__ = ["Jots"]

_PAUSE_MS = 700  # with the draft's own pause well under the two seconds within which it is on disk


class Jots(Stack):
    """The one-line entry, the jots not filed yet, and those that are. Signal `jotted()`: a line was taken."""

    jotted = Signal()

    def __init__(self, home: OpenChart, in_page: InPage = tuple, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._home, self._in_page = home, in_page
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
        self.shelf = _Filed(home)
        self._how = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(self._heading, self.entry, self._how)
        self.add(self._list, self.shelf)
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
                self._lines[jot.id] = _JotLine(self._home, jot.id, self._in_page)
                self._lines[jot.id].filed.connect(self._filed)
                self._list.insert(at, self._lines[jot.id])
            self._lines[jot.id].say(jot)
        self.shelf.refresh()

    def _filed(self) -> None:
        self.refresh()
        self.entry.setFocus(Qt.FocusReason.OtherFocusReason)


def _said(jot: Entry[Jot]) -> str:
    """The jot's time and words as they stand."""
    kept = jot.answers
    words = kept.words
    if isinstance(words, Conflicted):
        said = " or ".join(str(variant.value) for variant in words.variants)
    else:
        said = words if isinstance(words, str) else "Nothing written"
    time = f"{clock(kept.noted.local())} " if isinstance(kept.noted, Moment) else ""
    return f"{time}{said}"


class _Filed(Stack):
    """The jots that are filed: still readable, each with where it went and when."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.FINE)
        self._home = home
        self.opener = Link("")
        self.opener.clicked.connect(self._toggle)
        self._lines = Stack(between=Space.GAP)
        self._shown: tuple[tuple[str, str], ...] = ()
        self.add(self.opener, self._lines)
        self._lines.hide()

    def _toggle(self, *_pressed: object) -> None:
        self._lines.setVisible(self._lines.isHidden())

    def refresh(self) -> None:
        """Show what is filed now."""
        chart = self._home.chart
        filed = [jot for jot in chart.all(Jot, visit=chart.visit) if answered(jot.answers.filed_to)]
        shown = tuple((_said(jot), _where(jot)) for jot in filed)
        self.setVisible(bool(shown))
        if shown == self._shown:
            return
        self._shown = shown
        self.opener.say(f"{len(shown)} filed" if len(shown) > 1 else "1 filed")
        self.opener.setAccessibleName(f"Jots that are filed: {len(shown)}")
        self._lines.clear()
        for words, where in shown:
            line = Stack(between=Space.NONE)
            line.add(Words(words), Words(where, size=Size.SMALL, ink=Role.SOFT_INK))
            self._lines.add(line)


def _where(jot: Entry[Jot]) -> str:
    kept = jot.answers
    to = str(kept.filed_to) if isinstance(kept.filed_to, str) else "Filed"
    when = f", filed {clock(kept.filed_at.local())}" if isinstance(kept.filed_at, Moment) else ""
    return f"{to}{when}"


class _JotLine(Stack):
    """One jot: its time, its words, and the way to file it. Signal `filed()`: it stands where it belongs now."""

    filed = Signal()

    def __init__(self, home: OpenChart, entity: str, in_page: InPage) -> None:
        super().__init__(between=Space.FINE)
        self._home, self._entity, self._in_page = home, entity, in_page
        self.words = Words("")
        self.file = Link("File")
        self.file.clicked.connect(self._toggle)
        across = QWidget()
        beside = Beside(across, gap=Space.GAP)
        beside.addWidget(self.words)
        beside.addWidget(self.file)
        self.add(across)
        self.filing: Filing | None = None

    def is_open(self) -> bool:
        """Whether it is being filed."""
        return self.filing is not None and not self.filing.isHidden()

    def say(self, jot: Entry[Jot]) -> None:
        """Show the jot as it stands."""
        self.words.say(_said(jot))
        self.file.setAccessibleName(f"File the jot {_said(jot)}")

    def open(self) -> None:
        """Ask in place where it goes."""
        if self.filing is None:
            self.filing = Filing(self._home, self._entity, self._in_page)
            self.filing.filed.connect(self._done)
            self.filing.closed.connect(self._close)
            self.add(self.filing)
        self.filing.show()
        self.filing.begin()
        self.file.say("Not now")

    def _close(self) -> None:
        if self.filing is not None:
            self.filing.hide()
        self.file.say("File")
        self.file.setFocus(Qt.FocusReason.OtherFocusReason)

    def _done(self) -> None:
        self._close()
        self.filed.emit()

    def _toggle(self, *_pressed: object) -> None:
        if self.is_open():
            self._close()
        else:
            self.open()
