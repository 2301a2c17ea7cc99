"""A log from a file: chosen, read whole, looked at with every row that is bad or doubled, and taken in as one step."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path as FilePath

from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Flow, Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Words
from desktop.files import pick_file, pick_place
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.log_kept import Chosen, LogKept, is_sealed, log_setting
from desktop.sheets.log_preview import Preview, lines_words
from desktop.sheets.sheet import Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment, every
from forms.ask import Path, asks
from forms.chart import entry_id
from forms.feeding_log import FeedingLog, LogLine
from forms.log_columns import COLUMNS, column_help
from forms.log_csv import LARGEST, LogFile, Row, read_file, written_file
from forms.log_taken import Doubled, doubled, kept_words
from forms.log_typed import Setting
from forms.trouble import Refused, Trouble
from storage.changes import Begin, Change, ChangeSet, Put
from storage.store import Store

__all__ = ["LogIn", "file_rows"]

_WHAT = (
    "A file of lines, one row for each, as CSV in UTF-8. It is read whole and shown first; nothing of it is in the log "
    "until you take it in, and then all of it as one step."
)
_KINDS = "Logs (*.csv *.CSV *.txt)"
_BLANK = "feeding-log.csv"
_SIGNED = "This visit is signed, so its log takes no more lines. What is learned now goes into an addendum."


def file_rows(place: FilePath, setting: Setting) -> LogFile:
    """The rows of a file that was chosen. Raises Refused for one that cannot be read or is no log."""
    try:
        if not stat.S_ISREG(place.stat().st_mode):  # a pipe would never end
            raise Refused(why="This is no file. Choose a file that was saved as CSV.")
        with place.open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as fault:
        why = os.strerror(fault.errno) if fault.errno else "the disk did not answer"
        raise Refused(why=f"The file cannot be read ({why}). Check that it is there, and choose it again.") from fault
    return read_file(data, setting)


class LogIn(Stack):
    """The page: what to choose, what was read, and what is decided about it. `pick` and `place` ask for a file."""

    def __init__(
        self,
        here: Here,
        *,
        pick: Callable[..., FilePath | None] = pick_file,
        place: Callable[[QWidget, str, FilePath, str], FilePath | None] = pick_place,
    ) -> None:
        super().__init__(between=Space.PAD)
        self.home, self.who, self._pick, self._place = here.home, here.who, pick, place
        kept = LogKept.of(here.home)
        self._kept, self._moved = kept.typing(here.who), kept.tell
        self.state = Words("", ink=Role.SOFT_INK)
        self.trouble = Words("", ink=Role.WELD, strong=True)
        self.told = Words("", ink=Role.ALDER, strong=True)
        self.preview: Preview | None = None
        self._below = Stack()
        self.add(Words(_WHAT, ink=Role.SOFT_INK), self._keys(), self.state, self.trouble, self.told, self._after())
        self.add(self._below)
        here.home.changed.connect(self._show)
        here.home.reloaded.connect(self._show)
        kept.moved.connect(self._show)
        self._show()

    def _keys(self) -> QWidget:
        self.choose = Act("Choose a file", icon=Icon.PAPER, kind=ActKind.MAIN)
        self.choose.clicked.connect(self._choose)
        self.stop = Act("Stop reading")
        self.stop.clicked.connect(self._stop)
        self.stop.hide()
        self.blank = Link("Save a blank file", size=Size.BASE)
        self.blank.clicked.connect(self._save_blank)
        self.columns = Link("What each column holds", size=Size.BASE)
        self.columns.setCheckable(True)
        self.columns.toggled.connect(self._turn_columns)
        self.table: FigureTable | None = None
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        for key in (self.choose, self.stop, self.blank, self.columns):
            flow.addWidget(key)
        self._described = Stack()
        keys = Stack(between=Space.GAP)
        keys.add(row, self._described)
        return keys

    def _after(self) -> QWidget:
        self.to_log, self.to_day = Link("See the log", size=Size.BASE), Link("See the 24 hours", size=Size.BASE)
        self.to_log.clicked.connect(lambda: self._jump("story.log"))
        self.to_day.clicked.connect(lambda: self._jump("story.day"))
        self.ways = QWidget()
        flow = Flow(self.ways, gap=Space.PAD)
        flow.addWidget(self.to_log)
        flow.addWidget(self.to_day)
        return self.ways

    def _jump(self, section: str) -> None:
        InView.of(self.home).jumped.emit(Jump("story", self.who, section))

    # --- choosing and reading ---------------------------------------------------------------------------------------

    def _choose(self) -> None:
        place = self._pick(self, "Choose the file of the log", FilePath.home(), kinds=_KINDS)
        if place is not None:
            self.read(place)

    def read(self, place: FilePath) -> None:
        """Read a file beside the store, and show what is in it."""
        kept, moved, setting = self._kept, self._moved, log_setting(self.home, self.who)
        kept.reading += 1
        kept.chosen, kept.told = None, ""
        self._say(f"Reading {place.name}.", busy=True)
        asked = kept.reading

        def came(file: LogFile | None, trouble: str = "") -> None:
            if asked == kept.reading:  # whichever page is shown meanwhile
                kept.chosen = Chosen(place.name, file) if file is not None else None
                kept.busy, kept.state, kept.trouble = False, "", trouble
                moved()

        self.home.lane.beside(
            lambda: file_rows(place, setting),
            came,
            lambda trouble: came(None, f"{place.name}: {trouble.sentence} Nothing was taken in."),
        )

    def _stop(self) -> None:
        self._kept.reading += 1
        self._say("Reading was stopped; nothing was taken in.")

    def _say(self, words: str = "", *, trouble: str = "", busy: bool = False) -> None:
        self._kept.state, self._kept.trouble, self._kept.busy = words, trouble, busy
        self._moved()

    def _show_state(self, *, sealed: bool) -> None:
        kept = self._kept
        self.state.say(_SIGNED if sealed else kept.state)
        self.state.setVisible(bool(self.state.said()))
        self.stop.setVisible(kept.busy)
        new = bool(kept.trouble) and kept.trouble != self.trouble.said()
        self.trouble.say(kept.trouble)
        self.trouble.setVisible(bool(kept.trouble))
        if new:
            QAccessible.updateAccessibility(QAccessibleEvent(self.trouble, QAccessible.Event.Alert))
        entries = [self.home.chart.by_id(entity) for entity in kept.taken]
        if entries and all(entry is not None and entry.struck is not None for entry in entries):
            kept.told, kept.taken = "The lines of the file were taken out of the log again.", ()
        self.told.say(kept.told)
        self.told.setVisible(bool(kept.told))
        self.ways.setVisible(bool(kept.told))
        for key in (self.choose, self.blank):  # while a file is looked at, the next thing is to decide about it
            key.setVisible(not sealed and kept.chosen is None and not kept.busy)

    def _save_blank(self) -> None:
        place = self._place(self, "Save a blank file", FilePath.home(), _BLANK)
        if place is None:
            return
        try:
            place.write_bytes(written_file((), {}))
        except OSError as fault:
            why = os.strerror(fault.errno) if fault.errno else "the disk did not answer"
            self._say(trouble=f"The blank file was not saved ({why}). Choose another place.")
            return
        self._say(f"The blank file is saved as {place.name}.")

    def _turn_columns(self, on: bool) -> None:
        if on and self.table is None:
            rows = [(column.heading, column_help(column)) for column in COLUMNS]
            self.table = FigureTable("The columns of a file", ("Heading", "What stands below it"), rows, strong=0)
            self._described.add(self.table)
        if self.table is not None:
            self.table.setVisible(on)

    # --- looking at it ----------------------------------------------------------------------------------------------

    def doubles(self, chosen: Chosen) -> tuple[Doubled, ...]:
        """The rows that are perhaps in the log already, as it stands now."""
        chart = self.home.chart
        there = [entry.answers for entry in chart.all(LogLine, self.who, visit=chart.visit)]
        return doubled(chosen.file.rows, there)

    def _show(self) -> None:
        sealed = is_sealed(self.home, self.who)
        self._show_state(sealed=sealed)
        chosen = self._kept.chosen if not sealed else None
        if self.preview is not None and (chosen is None or self.preview.chosen is not chosen):
            self._below.clear()
            self.preview = None
        if chosen is None:
            return
        if self.preview is None:
            self.preview = Preview(chosen, self.home.names)
            self.preview.changed.connect(self._show)
            self.preview.taken.connect(self._take)
            self.preview.put_back.connect(self._put_back)
            self._below.add(self.preview)
        self.preview.show_doubles(self.doubles(chosen))

    def _put_back(self) -> None:
        name = self._kept.chosen.name if self._kept.chosen is not None else ""
        self._kept.chosen = None
        self._say(f"{name} was put back; nothing of it was taken in.")

    # --- taking it in -----------------------------------------------------------------------------------------------

    def _take(self) -> None:
        chosen = self._kept.chosen
        if chosen is None or self.preview is None or not self.preview.ready():
            return
        twice = self.doubles(chosen)
        rows, left = self.preview.rows(), frozenset(self.preview.left())
        self.preview.set_busy(on=True)
        self._say("Taking the lines in.")
        words = kept_words(
            chosen.name, moment_words(Moment(self.home.clock(), self.home.zone)), chosen.file, left, twice
        )
        ids = tuple(self.home.ids() for _ in rows)
        self.home.write(
            partial(self._changes, dict(zip(ids, rows, strict=True)), words),
            lambda done: self._taken(done, ids),
            self._failed,
        )

    def _changes(self, rows: Mapping[str, Row], words: str, store: Store) -> Iterator[Change]:
        """Every line, and what is kept of the file: one write, so that all of it stands or nothing."""
        home = self.home
        for entity, row in rows.items():
            yield Begin(entity, home.place(LogLine, self.who))
            for name in asks(LogLine):
                value = getattr(row.line, name)
                if value is not None:
                    yield Put(entity, Path(name), value)
        place = home.place(FeedingLog, self.who)
        log = entry_id(FeedingLog, place.visit, place.subjects)
        standing = store.entry(log)
        before = every(standing.answers.taken_in) if standing and isinstance(standing.answers, FeedingLog) else ()
        yield Begin(log, place)
        yield Put(log, Path("taken_in"), "\n".join((*before, words)))

    def _taken(self, done: ChangeSet, ids: tuple[str, ...]) -> None:
        at = moment_words(Moment(done.at, self.home.zone))
        self._kept.chosen, self._kept.taken = None, ids
        self._kept.told = f"{lines_words(len(ids))} taken in, {at}. One step back, Ctrl+Z, takes all of them out again."
        self._say()

    def _failed(self, trouble: Trouble) -> None:
        if self.preview is not None and isValid(self.preview):
            self.preview.set_busy(on=False)
        self._say(trouble=f"{trouble.sentence} Nothing of the file was taken in; it is still here.")
