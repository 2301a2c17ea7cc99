"""What is in a file of log lines before it is taken in: the rows that are bad or doubled, and the lines as read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Flow, Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Words
from desktop.sheets.log_fast import line_words
from desktop.sheets.log_kept import Chosen
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.log_csv import Row
from forms.log_taken import Doubled
from forms.log_words import besides, what_was

__all__ = ["AT_ONCE", "Preview", "lines_words"]

AT_ONCE: Final = 50
"""Rows of a table that are shown before it is asked for the others."""


def lines_words(many: int) -> str:
    """How many lines: "1 line", "37 lines"."""
    return "1 line" if many == 1 else f"{many:,} lines"


def _rows_words(many: int) -> str:
    return "1 row" if many == 1 else f"{many:,} rows"


class _Part(Stack):
    """A heading, a table that shows its first rows until asked for all of them, and the keys that decide about it."""

    def __init__(self, name: str, heads: Sequence[str], strong: int) -> None:
        super().__init__(between=Space.GAP)
        self._rows: Sequence[Sequence[str]] = ()
        self._whole = False
        self.title = Words("", size=Size.JOT, title=True)
        self.table = FigureTable(name, heads, strong=strong)
        self.all = Link("", size=Size.BASE)
        self.all.clicked.connect(self._show_all)
        keys = QWidget()
        self._keys = Flow(keys, gap=Space.PAD)
        self.add(self.title, self.table, self.all, keys)

    def put_key(self, key: QWidget) -> None:
        self._keys.addWidget(key)

    def show_part(self, title: str, rows: Sequence[Sequence[str]]) -> None:
        self.title.say(title)
        self.setVisible(bool(rows))
        if rows == self._rows:
            return
        self._rows = rows
        self._fill()

    def _fill(self) -> None:
        shown = self._rows if self._whole else self._rows[:AT_ONCE]
        self.table.show_rows(shown)
        self.all.say(f"Show all {len(self._rows):,}")
        self.all.setVisible(len(shown) < len(self._rows))

    def _show_all(self) -> None:
        self._whole = True
        self._fill()


class Preview(Stack):
    """A file looked at.

    Signals: `changed()` when something was decided; `taken()` and `put_back()` when their key was pressed.
    """

    changed = Signal()
    taken = Signal()
    put_back = Signal()

    def __init__(self, chosen: Chosen, names: Callable[[str], str]) -> None:
        super().__init__(between=Space.WIDE)
        self.chosen, self._names = chosen, names
        self._twice: tuple[Doubled, ...] = ()
        self.summary = Words("", size=Size.JOT, strong=True)
        self.bad = _Part("Rows that cannot be read", ("Row", "Column", "What stands there", "What to do"), strong=3)
        self.leave_bad = Act("")
        self.leave_bad.clicked.connect(self._turn_bad)
        self.bad.put_key(self.leave_bad)
        self.twice = _Part("Rows that are perhaps in the log already", ("Row", "What it says", "Why"), strong=1)
        self.leave_twice, self.take_twice = Act("Leave them out"), Act("Take them in too")
        self.decided = Words("", ink=Role.SOFT_INK)
        self.leave_twice.clicked.connect(lambda: self._decide(leave=True))
        self.take_twice.clicked.connect(lambda: self._decide(leave=False))
        for key in (self.leave_twice, self.take_twice, self.decided):
            self.twice.put_key(key)
        self.good = _Part("The lines as they were read", ("Row", "Began", "What it was", "Beside it"), strong=2)
        self.add(self.summary, self.bad, self.twice, self._ends(), self.good)
        self._show_good()
        self.refresh()

    def _ends(self) -> QWidget:
        self.take = Act("", kind=ActKind.MAIN)
        self.take.clicked.connect(self.taken)
        self.back = Act("Put the file back")
        self.back.clicked.connect(self.put_back)
        self.waits = Words("", ink=Role.SOFT_INK)
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        flow.addWidget(self.take)
        flow.addWidget(self.back)
        ends = Stack(between=Space.GAP)
        ends.add(row, self.waits)
        return ends

    # --- what is decided --------------------------------------------------------------------------------------------

    def show_doubles(self, twice: tuple[Doubled, ...]) -> None:
        """Show which rows are perhaps there already; others than those decided about are asked anew."""
        self._twice = twice
        rows = tuple(one.row for one in twice)
        if rows != self.chosen.twice_rows:
            self.chosen.twice_rows, self.chosen.twice_left = rows, None
        self.refresh()

    def left(self) -> tuple[int, ...]:
        """The numbers of the doubled rows that are left out."""
        return self.chosen.twice_rows if self.chosen.twice_left else ()

    def rows(self) -> tuple[Row, ...]:
        """The rows that would be taken in."""
        left = frozenset(self.left())
        return tuple(row for row in self.chosen.file.rows if row.row not in left)

    def ready(self) -> bool:
        """Whether there is something to take in and nothing to be decided any more."""
        return bool(self.rows()) and not self._open()

    def _open(self) -> list[str]:
        """What is still to be decided, each in a sentence."""
        waits = []
        if self.chosen.file.bad and not self.chosen.bad_left:
            many = _rows_words(len(self.chosen.file.bad_rows))
            waits.append(f"{many} cannot be read: mend the file, or leave them out.")
        if self._twice and self.chosen.twice_left is None:
            waits.append("Say what becomes of the rows that are perhaps in the log already.")
        return waits

    def _turn_bad(self) -> None:
        self.chosen.bad_left = not self.chosen.bad_left
        self.changed.emit()

    def _decide(self, *, leave: bool) -> None:
        self.chosen.twice_left = leave
        self.changed.emit()

    def set_busy(self, *, on: bool) -> None:
        """While it is written nothing can be pressed."""
        self.take.setEnabled(not on)
        self.back.setEnabled(not on)
        if not on:
            self.refresh()

    # --- what is shown ----------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show what stands and what is still to be decided."""
        rows, waits = self.rows(), self._open()
        self.summary.say(self._summary())
        self._show_bad()
        self._show_twice()
        self.take.say(f"Take in all {lines_words(len(rows))}" if len(rows) != 1 else "Take in the 1 line")
        self.take.setVisible(bool(rows))
        self.take.setEnabled(not waits)
        self.waits.say(" ".join(waits) if rows else self._nothing())
        self.waits.setVisible(bool(self.waits.said()))

    def _nothing(self) -> str:
        return "No row of this file would be taken in." if self.chosen.file.rows else "No row of this file can be read."

    def _summary(self) -> str:
        times = sorted(
            (row.line.starts for row in self.chosen.file.rows if isinstance(row.line.starts, Moment)),
            key=lambda at: at.at,
        )
        many = len(self.chosen.file.rows)
        span = f", from {moment_words(times[0])} to {moment_words(times[-1])}" if len(times) > 1 else ""
        return f"{self.chosen.name}: {lines_words(many)} read{span}"

    def _show_bad(self) -> None:
        file, left = self.chosen.file, self.chosen.bad_left
        many = len(file.bad_rows)
        title = f"Left out: {_rows_words(many)}, and why" if left else f"{_rows_words(many)} cannot be read"
        self.bad.show_part(title, [(str(cell.row), cell.column, cell.cell or "nothing", cell.why) for cell in file.bad])
        self.leave_bad.say("Do not leave them out" if left else f"Leave {'it' if many == 1 else f'these {many:,}'} out")
        self.leave_bad.setVisible(bool(file.rows))

    def _show_twice(self) -> None:
        lines = {row.row: row.line for row in self.chosen.file.rows}
        rows = [(str(one.row), line_words(lines[one.row], self._names), self._why(one)) for one in self._twice]
        left = self.chosen.twice_left
        many = _rows_words(len(rows))
        title = f"Left out: {many}, in the log already" if left else f"{many}, perhaps in the log already"
        self.twice.show_part(title, rows)
        self.leave_twice.setVisible(left is not True)
        self.take_twice.setVisible(left is not False)
        self.decided.say("They will be taken in beside what stands." if left is False else "")
        self.decided.setVisible(bool(self.decided.said()))

    def _why(self, one: Doubled) -> str:
        if one.standing is None:
            return f"the same as row {one.as_row}"
        return f"the log has {line_words(one.standing, self._names)}"

    def _show_good(self) -> None:
        rows = [
            (
                str(row.row),
                moment_words(row.line.starts) if isinstance(row.line.starts, Moment) else "not known",
                what_was(row.line, self._names),
                besides(row.line),
            )
            for row in self.chosen.file.rows
        ]
        self.good.show_part("The lines as they were read", rows)
