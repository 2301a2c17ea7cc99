"""A list of entries on a sheet: each closes to one line, opens in place, and is struck out with a reason."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Beside, Flow, Stack, spaced
from desktop.controls.question import Question
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Words
from desktop.open_chart import VISIT_BOUND, OpenChart
from desktop.sheets.in_view import InView
from desktop.sheets.laid import Laid
from desktop.sheets.persons import full_name
from desktop.sheets.sheet import Build, Listed, Offer
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space, Target
from forms.chart import Entry
from forms.form import Form
from storage.changes import Restore

__all__ = ["EntryLine", "Listing", "StrikeAsked"]


class StrikeAsked(Stack):
    """Asks in place why an entry is struck out. Nothing happens until a reason is given."""

    def __init__(self, home: OpenChart, entity: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._home, self._entity = home, entity
        self.reason = Box(ems=16)
        self.reason.setAccessibleName("Why it is struck out")
        self.reason.setMinimumHeight(Target.TOUCH)
        self.reason.returnPressed.connect(self.strike)
        self.missing = Words("Write why first; the entry stays readable with your reason.", size=Size.SMALL)
        self.missing.hide()
        act = Act("Strike it out")
        act.clicked.connect(self.strike)
        self.add(Words("Why is it struck out? It stays readable and is never counted.", size=Size.SMALL))
        across = QWidget()
        beside = Beside(across)
        beside.addWidget(self.reason)
        beside.addWidget(act)
        self.add(across, self.missing)

    def strike(self) -> None:
        """Strike the entry out, if a reason stands."""
        reason = self.reason.text().strip()
        self.missing.setVisible(not reason)
        if reason:
            self.setEnabled(False)
            self._home.strike(self._entity, reason)


class EntryLine(Stack):
    """One entry: its line, and under it the open entry or the question why it is struck out."""

    def __init__(self, listing: Listing, entity: str) -> None:
        super().__init__(between=Space.GAP)
        self.listing, self.entity = listing, entity
        self.words = Words(strong=True)
        self.more = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._shut = "Change"
        self.change = Link(self._shut)
        self.change.clicked.connect(lambda: listing.toggle(self.entity))
        self.strike = Link("Strike out")
        self.strike.clicked.connect(self.ask_why)
        keys = QWidget()
        flow = Flow(keys)
        flow.addWidget(self.change)
        flow.addWidget(self.strike)
        across = QWidget()
        beside = Beside(across)
        beside.addWidget(self.head())
        beside.addWidget(keys)
        self.add(across, Rule())
        self.page: Laid | None = None
        self.why: StrikeAsked | None = None

    def head(self) -> QWidget:
        """What the entry closes to, beside its keys."""
        said = Stack(between=Space.NONE)
        said.setMinimumHeight(Target.TOUCH)
        said.add(self.words, self.more)
        return said

    def show_entry(self, entry: Entry[Any]) -> None:
        """Show what stands in the entry."""
        self.words.say(self.listing.line(entry))
        self.more.say(self.listing.second_line(entry))
        self.more.setVisible(bool(self.more.said()))

    def open(self, page: Laid) -> None:
        """Show the entry's questions under its line."""
        self.page = page
        self.add(page)
        self.change.say("Close")

    def seal(self, *, sealed: bool) -> None:
        """A signed entry can be looked at, and neither changed nor struck out."""
        self.strike.setVisible(not sealed)
        self._shut = "Show" if sealed else "Change"
        if self.page is None:
            self.change.say(self._shut)

    def close_page(self) -> None:
        """Close to the line again; what was typed is kept."""
        _gone(self.page)
        self.page = None
        self.change.say(self._shut)

    def ask_why(self) -> None:
        """Ask for the reason, in place."""
        if self.why is None:
            self.why = StrikeAsked(self.listing.home, self.entity)
            self.add(self.why)
            self.why.reason.setFocus()
        else:
            self.why.setVisible(not self.why.isVisible())


class _StruckLine(QWidget):
    """A struck entry: what it said, who struck it, why, and a way back."""

    def __init__(self, listing: Listing, entry: Entry[Any]) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        spaced(column, Space.FINE)
        said = _Through(listing.line(entry), ink=Role.SOFT_INK)
        why = entry.struck.reason if entry.struck is not None else ""
        column.addWidget(said)
        across = QWidget()
        beside = Beside(across)
        beside.addWidget(Words(f"Struck out: {why}", size=Size.SMALL, ink=Role.SOFT_INK))
        back = Link("Put back")
        back.clicked.connect(lambda: listing.put_back(entry.id))
        beside.addWidget(back)
        column.addWidget(across)


class _Through(Words):
    """Words with a line through them."""

    def dress(self) -> None:
        super().dress()
        font = self.font()
        font.setStrikeOut(True)
        self.setFont(font)


class Listing(Stack):
    """All entries of a form that repeats, about the person charted or of the visit.

    What stands is never remade while it is looked at: lines come and go one by one, so that typing is not disturbed.
    `keys_first`: what begins an entry stands over a list that gets long.
    """

    keys_first = False

    def __init__(
        self, home: OpenChart, form: type[Form], who: str, build: Build, listed: Listed, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent, between=Space.SNUG)
        self.home, self._form, self.who, self._build, self._listed = home, form, who, build, listed
        self.opens = form.name
        self._shared = False
        self.lines: dict[str, EntryLine] = {}
        self._struck: dict[str, _StruckLine] = {}
        self._offered: tuple[str, ...] | None = None
        self._empty = Words(listed.empty, ink=Role.SOFT_INK)
        self.standing = Stack(between=Space.SNUG)
        self._keys = Stack()
        self._below = Stack(between=Space.SNUG)
        top = (self._keys, self._empty) if self.keys_first else (self._empty,)
        self.add(*top, self.standing, *(() if self.keys_first else (self._keys,)), self._below)
        home.changed.connect(self.refresh)
        home.reloaded.connect(self.refresh)
        self.refresh()
        self._open_again()

    def _open_again(self) -> None:
        """The entry that was open when this page was last on screen is open again."""
        for entity in InView.of(self.home).shown(self._form, self.who):
            if entity in self.lines:
                self.open(entity)

    def line(self, entry: Entry[Any]) -> str:
        """The one line an entry closes to."""
        return self._listed.line(entry, partial(full_name, self.home))

    def second_line(self, entry: Entry[Any]) -> str:
        """The small line under it."""
        return self._listed.more(self.home, entry)

    def offers(self) -> tuple[Offer, ...]:
        """Likely entries, each begun by one tap."""
        return self._listed.offers(self.home)

    def made(self, entity: str) -> EntryLine:
        """The line of an entry, not yet saying anything."""
        return EntryLine(self, entity)

    def _subjects(self) -> tuple[str, ...]:
        return (self.who,) if self._listed.concerns else ()

    def entries(self) -> tuple[Entry[Any], ...]:
        """The entries of this list, struck ones too, oldest first."""
        chart, subjects = self.home.chart, self._subjects()
        of_visit = self._form.about in VISIT_BOUND or not self._listed.concerns
        return tuple(
            entry
            for entry in chart.entries
            if isinstance(entry.answers, self._form)
            and (not self._listed.concerns or entry.place.subjects == subjects)
            and (not of_visit or entry.place.visit == chart.visit)
        )

    def refresh(self) -> None:
        """Show what stands now."""
        entries = self.entries()
        for entry in entries:
            if entry.struck is None:
                self._stands(entry)
            else:
                self._is_struck(entry)
        self._empty.setVisible(not self.lines)
        self._offer()

    def _stands(self, entry: Entry[Any]) -> None:
        _gone(self._struck.pop(entry.id, None))
        line = self.lines.get(entry.id)
        if line is None:
            line = self.lines[entry.id] = self.made(entry.id)
            self.standing.add(line)
        line.seal(sealed=self.home.binding(self._form, *entry.place.subjects, entity=entry.id).sealed())
        line.show_entry(entry)

    def _is_struck(self, entry: Entry[Any]) -> None:
        _gone(self.lines.pop(entry.id, None))
        if entry.id not in self._struck:
            struck = self._struck[entry.id] = _StruckLine(self, entry)
            self._below.add(struck)

    def _is_sealed(self) -> bool:
        """Whether an entry begun now would stand under a visit that is signed."""
        if self._form.name in self.home.open_after_signing:
            return False
        visit = self.home.place(self._form, *self._subjects()).visit
        return visit is not None and self.home.chart.signed(visit) is not None

    def _offer(self) -> None:
        if self._is_sealed():
            self._keys.clear()
            self._offered = None
            return
        offers = self.offers()
        words = tuple(offer.words for offer in offers)
        if words == self._offered:
            return
        self._offered = words
        self._keys.clear()
        keys = QWidget()
        flow = Flow(keys)
        for offer in offers:
            act = Act(offer.words, icon=Icon.PLUS)
            act.clicked.connect(partial(self.begin_offered, offer))
            flow.addWidget(act)
        if self._listed.add:
            plain = Act(self._listed.add, icon=Icon.PLUS, kind=ActKind.BARE if offers else ActKind.PLAIN)
            plain.clicked.connect(self.begin)
            flow.addWidget(plain)
        self._keys.add(keys)

    def page(self, entity: str) -> Laid:
        """An entry's questions."""
        page = Laid(self.home, self._form, self.who, self.home.binding(self._form, *self._subjects(), entity=entity))
        self._build(page)
        page.show_newer()
        if self._shared:
            page.set_shared(True)
        return page

    def set_shared(self, on: bool) -> None:
        """Take what is private in the entry that is open off the screen, or give it back."""
        self._shared = on
        for page in [line.page for line in self.lines.values() if line.page is not None]:
            page.set_shared(on)

    def begin_offered(self, offer: Offer) -> None:
        """Begin an entry with the answers that one tap offers, open at once."""
        binding = self.home.begin(self._form, *self._subjects())
        for path, value in offer.answers.items():
            binding.put(path, value)
        self.open(binding.entity)

    def begin(self) -> None:
        """Begin an empty entry, open at once. It is kept from its first answer on."""
        binding = self.home.begin(self._form, *self._subjects())
        line = self.lines[binding.entity] = self.made(binding.entity)
        line.words.say(self._listed.add)
        self.standing.add(line)
        self._empty.hide()
        self.open(binding.entity)

    def open(self, entity: str) -> None:
        """Open one entry and close the others to their lines; an id that is not here opens nothing."""
        InView.of(self.home).keep(self._form, self.who, entity)
        for other, line in self.lines.items():
            if other == entity and line.page is None:
                line.open(self.page(entity))
            elif other != entity:
                line.close_page()

    def question(self, form: str, field: str) -> Question | None:
        """The question of a field in the entry that is open, or None."""
        pages = (line.page for line in self.lines.values() if line.page is not None)
        return next((found for page in pages if (found := page.question(form, field)) is not None), None)

    def commit(self) -> None:
        """Keep what is still only on screen."""
        for line in self.lines.values():
            if line.page is not None:
                line.page.commit()

    def toggle(self, entity: str) -> None:
        """Open an entry, or close it to its line."""
        line = self.lines[entity]
        if line.page is None:
            self.open(entity)
        else:
            InView.of(self.home).keep(self._form, self.who)
            line.close_page()

    def put_back(self, entity: str) -> None:
        """Take a strike-out back."""
        change = Restore(entity, "struck out by mistake")
        self.home.lane.run(lambda store: store.write((change,), author=self.home.author))


def _gone(widget: QWidget | None) -> None:
    if widget is not None:
        widget.hide()
        widget.setParent(None)
        widget.deleteLater()
