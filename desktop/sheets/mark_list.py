"""The marks of one person: the outlines, and beside them each mark as a numbered sentence, a few to a page."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Flow, Stack
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.sheets.columns import Columns
from desktop.sheets.in_view import InView
from desktop.sheets.laid import Laid
from desktop.sheets.listing import EntryLine, Listing
from desktop.sheets.mark_boards import Boards
from desktop.sheets.sheet import Here, Offer
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Side, every
from forms.ask import Path
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment
from forms.chart import Entry
from forms.form import is_open
from forms.mark_place import pointed, told
from forms.mark_words import mark_words, spoken_mark
from forms.oral import OralAssessment
from forms.pictures.marked import numbered
from forms.pictures.outlines import OF_BABY, OF_PARENT, Spot

__all__ = ["MarkList", "MoveMark", "why_shut"]

PAGE: Final = 8
"""Marks to a page of the list."""
_FIRST: Final = "First say under “Before” what was agreed to; then what was seen can be drawn."
_DECLINED: Final = "Nothing is drawn here: looking was declined at this visit."
_NOT_ASKED: Final = "Nothing is drawn here: consent to look was not asked at this visit."
_MOUTH: Final = "First say under “Mouth” what was agreed to; then what was seen in it can be drawn."


def why_shut(chart: Any, who: str, code: str) -> str:
    """Why nothing may be drawn on an outline: what was agreed to about looking there; "" where drawing is open."""
    if code == "chest":
        looked = chart.one(BreastAssessment, who)
        shut, first = not is_open(looked, Path("shape", Side.LEFT)), _FIRST
    elif code in ("mouth_open", "tongue_lifted"):
        looked = chart.one(OralAssessment, who)
        shut, first = not is_open(looked, Path("gloved")), _MOUTH
    else:
        return ""
    if not shut:
        return ""
    said = set(every(looked.consent))
    return _DECLINED if "declined" in said else _NOT_ASKED if "not_asked" in said else first


class MoveMark(QWidget):
    """On the page of a mark: the key that moves it on the outline. Signal `asked()`."""

    asked = Signal()

    def __init__(self, here: Here) -> None:
        super().__init__()
        self._binding = here.binding
        self.key = Act("Move it on the outline")
        self.key.clicked.connect(self.asked)
        Flow(self).addWidget(self.key)
        here.binding.sealed_changed.connect(self._seal)
        self._seal()

    def _seal(self) -> None:
        self.key.setEnabled(not self._binding.sealed())


class _MarkLine(EntryLine):
    """A mark's sentence after its number; a screen reader hears it with its units in words."""

    def open(self, page: Laid) -> None:
        """The open mark has its questions under the outline, not in the list beside it."""
        self.page = page
        if isinstance(self.listing, MarkList):
            self.listing.opened.add(page)
        self.change.say("Close")

    def show_entry(self, entry: Entry[Any]) -> None:
        super().show_entry(entry)
        number = self.listing.number(entry.id) if isinstance(self.listing, MarkList) else ""
        self.words.setAccessibleName(f"Mark {number}: {spoken_mark(entry.answers)}")
        self.change.setAccessibleName(f"{self.change.text()}: mark {number}")
        self.strike.setAccessibleName(f"Strike out mark {number}")


class MarkList(Listing):
    """Outlines to be marked, and the list of marks. One page of the list is on screen, however many there are."""

    def __init__(self, *args: Any, **more: Any) -> None:
        self._at = 0
        self._moving: str | None = None
        self.opened = Stack(between=Space.GAP)
        self._numbers: dict[str, int] = {}
        self.boards: Boards | None = None
        super().__init__(*args, **more)
        codes = OF_BABY if self.who in self.home.infants() else OF_PARENT
        self.boards = Boards(self.home.names(self.who), codes)
        if (last := InView.of(self.home).outline(self.who)) in codes:
            self.boards.turn(last)
        self.boards.marked.connect(self._mark)
        self.boards.picked.connect(self._picked)
        self.boards.left.connect(self._stay)
        self.boards.switch.picked.connect(self.show_outline)
        self.earlier, self.later = Link("Earlier marks"), Link("Later marks")
        self.earlier.clicked.connect(lambda: self.turn(self._at - 1))
        self.later.clicked.connect(lambda: self.turn(self._at + 1))
        self.where = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._pager = QWidget()
        flow = Flow(self._pager)
        for widget in (self.earlier, self.later, self.where):
            flow.addWidget(widget)
        self._arrange(self.boards)
        self.refresh()
        self._show_open()

    def _arrange(self, boards: Boards) -> None:
        """The outline, and beside it the list where there is room; the open mark has the whole width below."""
        listed = Stack(between=Space.SNUG)
        listed.add(self._empty, self.standing, self._pager, self._keys, self._below)
        listed.finish()
        if self.who in self.home.infants():
            across = QWidget()
            columns = Columns(across)
            for widget in (boards, listed):
                columns.addWidget(widget)
            self.add(boards.switch, across, self.opened)
            boards.switch.show()
        else:
            self.add(boards, self.opened, listed)

    # --- which marks are in view ------------------------------------------------------------------------------------

    def number(self, entity: str) -> int:
        """The number of a mark, the same on every outline; 0 for one that is not here."""
        return self._numbers.get(entity, 0)

    def line(self, entry: Entry[Any]) -> str:
        return f"{self.number(entry.id)}. {mark_words(entry.answers, self.home.names(self.who))}"

    def _all(self) -> tuple[Entry[Any], ...]:
        return super().entries()

    def entries(self) -> tuple[Entry[Any], ...]:
        """The marks of the page in view, struck ones too."""
        return self._all()[self._at * PAGE : (self._at + 1) * PAGE]

    def turn(self, page: int) -> None:
        """Show another page of the list."""
        self._at = page
        self.refresh()

    def refresh(self) -> None:
        found = self._all()
        self._numbers = {entry.id: place for place, entry in enumerate(found, 1)}
        last = max((len(found) - 1) // PAGE, 0)
        self._at = min(max(self._at, 0), last)
        shown = {entry.id for entry in self.entries()}
        self._drop(shown)
        super().refresh()
        if self.boards is None:
            return
        self.boards.show_marks(numbered(self.home.chart, self.who))
        why = why_shut(self.home.chart, self.who, self.boards.code)
        self.boards.shut("This visit is signed; its marks can be read." if self._is_sealed() else why)
        if self.boards.closed.said():
            self._empty.hide()
        self._pager.setVisible(last > 0)
        self.earlier.setEnabled(self._at > 0)
        self.later.setEnabled(self._at < last)
        first = self._at * PAGE + 1
        self.where.say(f"Marks {first} to {min(first + PAGE - 1, len(found))} of {len(found)}")

    def _drop(self, shown: set[str]) -> None:
        """Lines of other pages go; an entry just begun that holds nothing yet stays where it is."""
        known = self._numbers
        for entity in [one for one in self.lines if one in known and one not in shown]:
            _gone(self.lines.pop(entity))
        for entity in [one for one in self._struck if one not in shown]:
            _gone(self._struck.pop(entity))

    # --- placing ----------------------------------------------------------------------------------------------------

    def offers(self) -> tuple[Offer, ...]:
        """Marks begun in words: for a chest one for each side, else one on the outline in view."""
        if self.boards is None or why_shut(self.home.chart, self.who, self.boards.code):
            return ()
        if self.boards.code == "chest":
            name = self.home.names(self.who)
            return tuple(
                Offer(f"{name}’s {side}, in words", {"outline": "chest", "side": str(side)})
                for side in (Side.RIGHT, Side.LEFT)
            )
        return (Offer("Mark in words", {"outline": self.boards.code}),)

    def begin(self) -> None:
        """Begin a mark in words, on the outline in view."""
        if self.boards is not None and (offered := self.offers()):
            self.begin_offered(offered[0])

    def _binding(self, entity: str | None) -> EntryBinding:
        if entity is None:
            return self.home.begin(BodyMark, self.who)
        return self.home.binding(BodyMark, self.who, entity=entity)

    def _mark(self, code: str, side: str, spot: Spot) -> None:
        values = pointed(code, side, spot)
        if values is None:
            return
        binding = self._binding(self._moving)
        self._moving = None
        self.home.save()  # what was typed before is a step of its own
        binding.put_all({Path(field): value for field, value in values.items()})
        self.home.save()
        self.open(binding.entity)
        if (question := self.question(BodyMark.name, "kind")) is not None:
            question.controls()[0].setFocus()

    def show_outline(self, code: str) -> None:
        """Show another outline of the person."""
        if self.boards is not None:
            InView.of(self.home).draw_on(self.who, code)
            self.boards.turn(code)
            self.refresh()

    def move_mark(self, entity: str) -> None:
        """Ask on the outline where a mark belongs now."""
        if self.boards is not None:
            self._moving = entity
            self.boards.ask_where(self.number(entity))

    def _stay(self) -> None:
        self._moving = None

    def _picked(self, entity: str) -> None:
        self.open(entity)

    # --- the open mark ----------------------------------------------------------------------------------------------

    def made(self, entity: str) -> EntryLine:
        return _MarkLine(self, entity)

    def page(self, entity: str) -> Laid:
        binding = self._binding(entity)
        binding.goes_with = told
        made = super().page(entity)
        made.insert(0, Words(f"Mark {self.number(entity) or len(self._numbers) + 1}", size=Size.JOT, title=True))
        for key in made.findChildren(MoveMark):
            key.asked.connect(lambda: self.move_mark(entity))
        return made

    def open(self, entity: str) -> None:
        if entity in self._numbers:
            self.turn((self._numbers[entity] - 1) // PAGE)
        super().open(entity)
        self._show_open()

    def toggle(self, entity: str) -> None:
        super().toggle(entity)
        self._show_open()

    def _show_open(self) -> None:
        """Ring the open mark, on its outline."""
        if self.boards is None:
            return
        opened = next((entity for entity, line in self.lines.items() if line.page is not None), None)
        entry = self.home.chart.by_id(opened or "")
        if entry is not None and isinstance(entry.answers, BodyMark):
            codes = [code for code in every(entry.answers.outline) if code in (*OF_PARENT, *OF_BABY)]
            if codes and self.boards.code not in codes:
                self.show_outline(codes[0])
        self.boards.pick_out(opened)


def _gone(widget: QWidget) -> None:
    widget.hide()
    widget.setParent(None)
    widget.deleteLater()
