"""The practice figures, on the practice's own page: counted over days she picks, and the sheet for outside."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Final
from zoneinfo import ZoneInfo

from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Flow, Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import day_words
from desktop.controls.typed import Box
from desktop.controls.words import Title, Words
from desktop.files import pick_place
from desktop.pages.paper_view import PaperPages
from desktop.pages.plain import key_row
from desktop.pages.secret import Told
from desktop.session import Session, practice_chart
from desktop.theme.tokens import Role, Size, Space
from forms.practice_figures import Counted, Period
from forms.trouble import Trouble
from storage.store import Store
from sync.handoff.figures_out import figures_out, figures_shown, practice_figures
from sync.handoff.stamping import stamping_of

__all__ = ["PracticeFigures", "periods"]

_OWN: Final = "own"
_DAYS: Final = MappingProxyType({
    "month": "This month", "last_month": "Last month", "year": "This year", "last_year": "Last year",
    _OWN: "Other days",
})  # fmt: skip


_HEADS: Final = ("Figure", "Counted", "No answer", "What it means")


class NoDays(Trouble):
    """The days typed are no period."""

    template = "Type both days as year, month and day, such as 2026-03-31, the earlier one first."


def periods(today: date) -> dict[str, Period]:
    """The periods that can be picked on a day: whole months and years, those that go on to their end."""
    year, month = (today.year, today.month - 1) if today.month > 1 else (today.year - 1, 12)
    return {
        "month": _month(today.year, today.month), "last_month": _month(year, month),
        "year": Period(date(today.year, 1, 1), date(today.year, 12, 31)),
        "last_year": Period(date(today.year - 1, 1, 1), date(today.year - 1, 12, 31)),
    }  # fmt: skip


def _month(year: int, month: int) -> Period:
    return Period(date(year, month, 1), date(year, month, monthrange(year, month)[1]))


class PracticeFigures(Stack):
    """The days, the figures with what is missing beside each, and the keys to the sheet that may leave."""

    def __init__(self, session: Session, pick: Callable[[QWidget, str, Path, str], Path | None] = pick_place) -> None:
        super().__init__(between=Space.PAD)
        self._session, self._pick = session, pick
        self._picked, self._asked = "year", 0
        self._period = periods(self._now().date())["year"]  # of what is counted below
        self.days = Segments("Which days", _DAYS)
        self.days.picked.connect(self._choose)
        self.first, self.last = Box(ems=13), Box(ems=13)
        for box, name in ((self.first, "From"), (self.last, "To")):
            box.setAccessibleName(name)
            box.setPlaceholderText("as 2026-03-31")
            box.editingFinished.connect(self._typed)
        self._own = QWidget()
        row = Flow(self._own, gap=Space.PAD)
        for name, box in (("From", self.first), ("To", self.last)):
            named = Stack(between=Space.FINE)
            named.add(Words(name, strong=True), box)
            row.addWidget(named)
        self.told = Told()
        self._counted = Stack()
        self.table: FigureTable | None = None
        self.show_key = Act("Show the sheet for outside")
        self.show_key.clicked.connect(self._show_sheet)
        self.save_key = Act("Save it as a file", kind=ActKind.MAIN)
        self.save_key.clicked.connect(self._save)
        self._pages = Stack()
        self.shown: PaperPages | None = None
        self.add(
            Title("Practice figures", size=Size.GREETING),
            Words("Counted from every family on this device. No name stands in them, here or on the sheet."),
            self.days, self._own, self.told, self._counted,
            Words(
                "The sheet for outside tells no number below five and no extremes. It carries the seal of this "
                "practice, and the journal keeps that it left.",
                ink=Role.SOFT_INK,
            ),
            key_row(self.save_key, self.show_key), self._pages,
        )  # fmt: skip
        self._choose("year")

    # --- which days -------------------------------------------------------------------------------------------------

    def _now(self) -> datetime:
        return self._session.clock().astimezone(ZoneInfo(self._session.zone))

    def period(self) -> Period:
        """The days picked. Raises NoDays."""
        if self._picked != _OWN:
            return periods(self._now().date())[self._picked]
        try:
            first, last = (date.fromisoformat(box.text().strip()) for box in (self.first, self.last))
        except ValueError:
            raise NoDays from None
        if first > last:
            raise NoDays
        return Period(first, last)

    def _choose(self, code: str) -> None:
        self._picked = code
        self.days.show_codes((code,))
        self._own.setVisible(code == _OWN)
        if code == _OWN and not self.first.text():
            self._clear()
            self.told.progress("Type the first day and the last.")
            self.first.setFocus()
            return
        self.count()

    def _typed(self) -> None:
        if self.first.text().strip() and self.last.text().strip():
            self.count()

    def _clear(self) -> None:
        self._asked += 1
        self.table, self.shown = None, None
        self._counted.clear()
        self._pages.clear()
        for key in (self.show_key, self.save_key):
            key.setEnabled(False)

    # --- counted ----------------------------------------------------------------------------------------------------

    def count(self) -> None:
        """Count anew over the days picked."""
        self._clear()
        try:
            period = self.period()
        except NoDays as wrong:
            self.told.trouble(wrong.sentence)
            return
        self.told.progress("Counting.")
        now, asked = self._now(), self._asked
        self._session.lane.run(
            lambda store: practice_figures(store, period, now), partial(self._show, asked, period),
            partial(self._refused, asked),
        )  # fmt: skip

    def _show(self, asked: int, period: Period, found: tuple[Counted, ...]) -> None:
        if not isValid(self) or asked != self._asked:
            return
        self.told.progress(f"{day_words(period.first)} to {day_words(period.last)}, both days included.")
        rows = [(one.figure.label, one.words(), one.lacking(), one.figure.means) for one in found]
        self._period = period
        self.table = FigureTable("Practice figures", _HEADS, rows)
        self._counted.add(self.table)
        self._free()

    def _free(self) -> None:
        for key in (self.show_key, self.save_key):
            key.setEnabled(True)

    def _refused(self, asked: int, trouble: Trouble) -> None:
        if isValid(self) and asked == self._asked:
            self.told.trouble(trouble.sentence)
            if self.table is not None:
                self._free()

    # --- the sheet --------------------------------------------------------------------------------------------------

    def _busy(self, words: str) -> tuple[Period, int]:
        self._pages.clear()
        self.shown = None
        for key in (self.show_key, self.save_key):
            key.setEnabled(False)
        self.told.progress(words)
        return self._period, self._asked

    def _show_sheet(self) -> None:
        period, asked = self._busy("Drawing the sheet.")
        author, now = self._session.author, self._now()
        self._session.lane.run(
            lambda store: figures_shown(store, period, author=author, now=now), partial(self._drawn, asked),
            partial(self._refused, asked),
        )  # fmt: skip

    def _drawn(self, asked: int, pages: bytes) -> None:
        if isValid(self) and asked == self._asked:
            self._free()
            self.told.progress("Nothing has left yet; the seal is made as it is saved.")
            self.shown = PaperPages(pages)
            self._pages.add(self.shown)

    def _save(self) -> None:
        name = f"practice-figures-{self._period.first.isoformat()}-{self._period.last.isoformat()}.pdf"
        place = self._pick(self.window(), "Save the sheet", Path.home(), name)
        if place is None:
            return
        period, asked = self._busy("Saving.")
        author, now = self._session.author, self._now()

        def work(store: Store) -> str:
            stamping = stamping_of(practice_chart(store))
            figures_out(store, period, place, author=author, now=now, stamping=stamping)
            return stamping.missed

        self._session.lane.run(work, partial(self._saved, asked, place), partial(self._refused, asked))

    def _saved(self, asked: int, place: Path, unstamped: str) -> None:
        if isValid(self) and asked == self._asked:
            self._free()
            self.told.progress(f"Saved as {place}, with a page beside it on how to check it. {unstamped}".rstrip())
