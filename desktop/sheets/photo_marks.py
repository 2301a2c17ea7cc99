"""Marks on a photo: entries of their own, laid over the picture and listed beside it, never drawn into it."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.photo_view import PhotoView, Pin
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.laid import Laid
from desktop.sheets.listing import StrikeAsked
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.ask import Path
from forms.body_mark import BodyMark
from forms.chart import Entry
from forms.mark_words import mark_words

__all__ = ["PhotoMarks", "marks_on"]

_PLACE = "Tap the place on the photo, or move the cross with the arrow keys (Ctrl for small steps), then put it there."


def marks_on(home: OpenChart, photo: str) -> tuple[Entry[BodyMark], ...]:
    """The marks on a photo that are not struck out, oldest first."""
    return tuple(entry for entry in home.chart.all(BodyMark) if entry.answers.photo == photo)


class PhotoMarks(Stack):
    """The marks of one photo: put down on the view over it, each one a line that opens in place.

    `looking` are keys of the view itself, which stand in the same row.
    """

    def __init__(
        self, home: OpenChart, who: str, photo: str, view: PhotoView, looking: tuple[QWidget, ...] = ()
    ) -> None:
        super().__init__(between=Space.GAP)
        self.home, self.who, self.photo, self.view = home, who, photo, view
        self.shown, self.may_mark = True, False
        self._open, self._said = "", ""
        self._page: Laid | None = None
        self.mark = Act("Mark a place", icon=Icon.PLUS)
        self.mark.clicked.connect(self.begin)
        self.put = Act("Put the mark here", icon=Icon.TICK)
        self.put.clicked.connect(self.set_down)
        self.leave = Link("Leave it")
        self.leave.clicked.connect(self.end)
        self.hide_key = Link("Hide the marks")
        self.hide_key.clicked.connect(self.turn_over)
        self._keys = QWidget()
        flow = Flow(self._keys)
        for key in (self.mark, self.put, self.leave, self.hide_key, *looking):
            flow.addWidget(key)
        self.how = Words(_PLACE, size=Size.SMALL, ink=Role.SOFT_INK)
        self._lines = Stack(between=Space.GAP)
        self.add(self.how, self._keys, self._lines)
        view.set_down.connect(self.set_down)
        view.pointed.connect(lambda _x, _y: self._show_keys())

    def refresh(self, *, may_mark: bool) -> None:
        """Show the marks that stand; `may_mark` says whether one can be put down."""
        self.may_mark = may_mark
        marks = marks_on(self.home, self.photo)
        self.view.show_pins(
            [
                Pin(number, entry.answers.x, entry.answers.y)
                for number, entry in enumerate(marks, start=1)
                if isinstance(entry.answers.x, int) and isinstance(entry.answers.y, int)
            ],
            shown=self.shown,
        )
        self._show_keys()
        said = repr([(entry.id, mark_words(entry.answers)) for entry in marks]) + str(may_mark)
        if said != self._said:
            self._said = said
            self._lay(marks)

    def _lay(self, marks: tuple[Entry[BodyMark], ...]) -> None:
        held = self._page
        if held is not None:
            held.setParent(None)
        self._lines.clear()
        for number, entry in enumerate(marks, start=1):
            self._lines.add(self._line(number, entry))
            if entry.id == self._open and held is not None:
                self._lines.add(held)
                held.show()

    def _line(self, number: int, entry: Entry[BodyMark]) -> QWidget:
        line = Stack(between=Space.NONE)
        across = QWidget()
        beside = Beside(across, middle=True)
        words = mark_words(entry.answers)
        beside.addWidget(Words(f"{number}. {words}"))
        keys = QWidget()
        flow = Flow(keys)
        change = Link("Close" if entry.id == self._open else "Change" if self.may_mark else "Show")
        change.setAccessibleName(f"{change.text()} mark {number}: {words}")
        change.clicked.connect(partial(self.toggle, entry.id))
        flow.addWidget(change)
        if self.may_mark:
            strike = Link("Strike out")
            strike.setAccessibleName(f"Strike out mark {number}: {words}")
            strike.clicked.connect(partial(self._ask_why, line, strike, entry.id))
            flow.addWidget(strike)
        beside.addWidget(keys)
        line.add(across)
        return line

    def _ask_why(self, line: Stack, strike: Link, entity: str) -> None:
        strike.setEnabled(False)
        line.add(StrikeAsked(self.home, entity))

    def toggle(self, entity: str) -> None:
        """Open the questions of a mark under its line, or close them."""
        shut = self._open == entity
        self.commit()
        if self._page is not None:
            self._page.setParent(None)
            self._page.deleteLater()
        self._page, self._open, self._said = None, "", ""
        if not shut:
            self._open = entity
            page = Laid(self.home, BodyMark, self.who, self.home.binding(BodyMark, self.who, entity=entity))
            page.ask("kind")
            page.row("longest", "across")
            page.ask("tender", "words")
            page.show_newer()
            self._page = page
        self.refresh(may_mark=self.may_mark)

    def begin(self) -> None:
        """Begin pointing at the photo."""
        self.shown = True
        self.view.point(True)
        self.view.setFocus()
        self.refresh(may_mark=self.may_mark)

    def end(self) -> None:
        """Leave it without a mark."""
        self.view.point(False)
        self._show_keys()
        self.mark.setFocus()

    def set_down(self) -> None:
        """Put a mark where the cross stands, and ask what it is."""
        if not (self.view.pointing and self.may_mark):
            return
        x, y = self.view.at
        binding = self.home.begin(BodyMark, self.who)
        given = {"outline": "photo", "photo": self.photo, "x": x, "y": y, "placed": "pointed"}
        self.home.put_together(binding, {Path(field): value for field, value in given.items()})
        self.view.point(False)
        self.toggle(binding.entity)

    def turn_over(self) -> None:
        """Show the marks over the picture, or only the picture."""
        self.shown = not self.shown
        self.refresh(may_mark=self.may_mark)

    def _show_keys(self) -> None:
        seen, pointing = not self.view.image.isNull(), self.view.pointing
        marks = marks_on(self.home, self.photo)
        self.how.setVisible(pointing)
        self.mark.setVisible(self.may_mark and seen and not pointing)
        self.put.setVisible(pointing)
        self.leave.setVisible(pointing)
        self.hide_key.setVisible(bool(marks) and seen and not pointing)
        self.hide_key.say("Hide the marks" if self.shown else "Show the marks")

    def commit(self) -> None:
        """Keep what is still only on screen."""
        if self._page is not None:
            self._page.commit()
