"""A section laid out in the window: the composer that makes questions, headings and lists of what a section says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.question import Question
from desktop.controls.veil import PrivateVeil
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.bring import BringForward, carries
from desktop.sheets.columns import Columns
from desktop.sheets.doubt import tell_doubts
from desktop.sheets.newer import NewerAnswers
from desktop.sheets.sheet import Build, Here, Listed, Opens, Section, Shares, about
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Side
from forms.ask import Path, ask_of
from forms.form import Form, is_open

__all__ = ["Laid", "lay"]


class Laid(Stack):
    """One composed page: its questions in the order of the page, with thin rules between them."""

    def __init__(
        self, home: OpenChart, form: type[Form], who: str, binding: EntryBinding, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent, between=Space.SNUG)
        self._home, self._form, self._who, self._binding = home, form, who, binding
        self._questions: dict[tuple[str, str], Question] = {}
        self._waiting: list[tuple[QWidget, tuple[str, ...]]] = []
        self._veils: list[Any] = []
        self._newer: NewerAnswers | None = None
        self._lists: dict[str, Opens] = {}
        self._fresh = True
        self._sides: tuple[Side, ...] = tuple(Side)
        self._shut = Words("", ink=Role.SOFT_INK)
        self._shut.hide()
        self.add(self._shut)
        binding.changed.connect(self._show_open)
        tell_doubts(home, binding, who)

    def ask(self, *fields: str) -> None:
        """Questions one under another."""
        for name in fields:
            self._place(self._question(name), (name,))

    def alone(self, field: str) -> None:
        """A question that opens nothing here."""
        self._place(self._question(field, follow_ups=False), (field,))

    def row(self, *fields: str) -> None:
        """Questions side by side."""
        across = QWidget()
        columns = Columns(across)
        for name in fields:
            columns.addWidget(self._question(name))
        self._place(across, fields)

    def heading(self, words: str) -> None:
        """A heading inside the page."""
        title = Words(words, size=Size.JOT, title=True)
        title.setContentsMargins(0, Space.NONE if self._fresh else Space.PAD, 0, 0)
        self.add(title)
        self._fresh = True

    def note(self, words: str) -> None:
        """A quiet sentence."""
        self.add(Words(words, ink=Role.SOFT_INK))

    def veil(self, title: str, build: Build, stamp: str = "") -> None:
        """Private questions behind a tap."""
        inner = Laid(self._home, self._form, self._who, self._binding)
        asked = inner._question(stamp) if stamp else None
        build(inner)
        self._questions |= inner._questions
        made = PrivateVeil(title, inner, stamp=asked)
        self._veils.append(made)
        self.add(made)
        self._fresh = False

    def part(self, form: type[Form], build: Build) -> None:
        """Questions of another form about the same person, on the same page."""
        inner = Laid(self._home, form, self._who, about(self._home, form, self._who))
        inner._fresh = self._fresh
        build(inner)
        self._questions |= inner._questions
        self._veils += inner._veils
        self._lists |= inner._lists
        self._fresh = False
        self.add(inner)

    def by_side(self, build: Build) -> None:
        """Questions of one side at a time."""
        from desktop.sheets.sides import OneSide  # the switch lays out its questions by this module

        inner = Laid(self._home, self._form, self._who, self._binding)
        build(inner)
        self._questions |= inner._questions
        self._fresh = False
        self.add(OneSide(Here(self._home, self._who, self._binding), inner))

    def show_sides(self, sides: tuple[Side, ...]) -> None:
        """Narrow every question with sides to these; a question open on none of them goes."""
        self._sides = sides
        for question in self._questions.values():
            question.show_sides(sides)
        self._show_open("")

    def entries(self, form: type[Form], build: Build, listed: Listed) -> None:
        """A list of entries, each laid out by the same composer when it is opened."""
        from desktop.sheets.listing import Listing  # the list lays out its entries by this module

        self._fresh = False
        made = (listed.crafted or Listing)(self._home, form, self._who, build, listed)
        self._lists[form.name] = made
        self.add(made)

    def widget(self, make: Callable[[Here], QWidget], *fields: str) -> None:
        """Something crafted."""
        made: Any = make(Here(self._home, self._who, self._binding))
        if hasattr(made, "opens"):
            self._lists[made.opens] = made
        if hasattr(made, "set_shared"):
            self._veils.append(made)
        if hasattr(made, "first"):
            self.setFocusProxy(made.first)
        self.add(made)
        self._fresh = False

    def show_newer(self) -> None:
        """Under everything else, what a newer version wrote in this entry."""
        self._newer = NewerAnswers(self._home, self._binding.entity)
        self.add(self._newer)

    @property
    def binding(self) -> EntryBinding:
        """The entry whose answers the page shows."""
        return self._binding

    def show_entry(self, form: str, entity: str | None) -> None:
        """Open an entry of a list on this page; without an id begin one. Without such a list nothing happens."""
        found = self._lists.get(form)
        if found is None:
            return
        if entity is None:
            found.begin()
        else:
            found.open(entity)

    def questions(self) -> dict[tuple[str, str], Question]:
        """The questions placed by hand, by the name of their form and field, from the top of the page."""
        return self._questions

    def question(self, form: str, field: str) -> Question | None:
        """The question of a field that is on this page now, at any depth of follow-ups, or None."""
        found = self._questions.get((form, field))
        if found is not None:
            return found
        for listing in self._lists.values():
            found = listing.question(form, field)
            if found is not None:
                return found
        below = (one.follow_up(field) for (of, _), one in self._questions.items() if of == form)
        return next((one for one in below if one is not None), None)

    def set_shared(self, on: bool) -> None:
        """Take what is private off the screen, or give it back, closed."""
        if self._newer is not None:
            self._newer.set_shared(on)
        for veil in (*self._veils, *(one for one in self._lists.values() if isinstance(one, Shares))):
            veil.set_shared(on)

    def commit(self) -> None:
        """Keep what is still only on screen."""
        for question in self._questions.values():
            question.commit()
        for listing in self._lists.values():
            listing.commit()

    def _question(self, name: str, *, follow_ups: bool = True) -> Question:
        made = Question(self._binding, name, follow_ups=follow_ups)
        self._questions[(self._form.name, name)] = made
        return made

    def _place(self, widget: QWidget, fields: tuple[str, ...]) -> None:
        """Puts questions on the page, under a thin rule unless they are the first under a heading."""
        if not self._fresh:
            ruled = Stack(between=Space.SNUG)
            ruled.add(Rule(), widget)
            widget = ruled
        self._fresh = False
        self.add(widget)
        if any(ask_of(self._form, name).when is not None for name in fields):
            self._waiting.append((widget, fields))
            self._show_open("")

    def _asked(self, name: str) -> bool:
        answers = self._binding.answers()
        sides: tuple[Side | None, ...] = self._sides if ask_of(self._form, name).sides else (None,)
        return any(is_open(answers, Path(name, side)) for side in sides)

    def _show_open(self, _path: str) -> None:
        """Follow-ups placed by hand show only while the answer that opens them stands."""
        for widget, fields in self._waiting:
            widget.setVisible(any(self._asked(name) for name in fields))
        by_hand = {name for _, fields in self._waiting for name in fields}
        shut = self._waiting and all(widget.isHidden() for widget, _ in self._waiting)
        alone = {field for form, field in self._questions if form == self._form.name} <= by_hand
        self._shut.setVisible(bool(shut and alone))
        if shut and alone:
            when = ask_of(self._form, self._waiting[0][1][0]).when
            opener = ask_of(self._form, when.field).label if when is not None else ""
            self._shut.say(f"Nothing to ask here as things stand. It opens with “{opener}”.")


def lay(section: Section, home: OpenChart, who: str) -> Laid:
    """The page of a section for one person."""
    page = Laid(home, section.form, who, section.bind(home, section.form, who))
    if carries(section):
        page.add(BringForward(home, section, who))
    section.build(page)
    page.show_newer()
    page.finish()
    return page
