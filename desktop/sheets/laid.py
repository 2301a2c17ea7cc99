"""A section laid out in the window: the composer that makes questions, headings and lists of what a section says."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.layouts import Stack
from desktop.controls.question import Question
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.columns import Columns
from desktop.sheets.sheet import Build, Here, Listed, Section, about
from desktop.theme.tokens import Role, Size, Space
from forms.form import Form

__all__ = ["Laid", "lay"]


class Laid(Stack):
    """One composed page: its questions in the order of the page, with thin rules between them."""

    def __init__(
        self, home: OpenChart, form: type[Form], who: str, binding: EntryBinding, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent, between=Space.SNUG)
        self._home, self._form, self._who, self._binding = home, form, who, binding
        self._questions: dict[tuple[str, str], Question] = {}
        self._fresh = True

    def ask(self, *fields: str) -> None:
        """Questions one under another."""
        for name in fields:
            self._ruled()
            self.add(self._question(name))

    def alone(self, field: str) -> None:
        """A question that opens nothing here."""
        self._ruled()
        self.add(self._question(field, opens=False))

    def row(self, *fields: str) -> None:
        """Questions side by side."""
        self._ruled()
        across = QWidget()
        columns = Columns(across)
        for name in fields:
            columns.addWidget(self._question(name))
        self.add(across)

    def heading(self, words: str) -> None:
        """A heading inside the page."""
        if not self._fresh:
            self.add(_air())
        self.add(Words(words, size=Size.JOT, title=True))
        self._fresh = True

    def note(self, words: str) -> None:
        """A quiet sentence."""
        self.add(Words(words, ink=Role.SOFT_INK))

    def part(self, form: type[Form], build: Build) -> None:
        """Questions of another form about the same person, on the same page."""
        inner = Laid(self._home, form, self._who, about(self._home, form, self._who))
        inner._fresh = self._fresh
        build(inner)
        self._questions |= inner._questions
        self._fresh = False
        self.add(inner)

    def entries(self, form: type[Form], build: Build, listed: Listed) -> None:
        """A list of entries, each laid out by the same composer when it is opened."""
        from desktop.sheets.listing import Listing  # the list lays out its entries by this module

        self._fresh = False
        self.add(Listing(self._home, form, self._who, build, listed))

    def widget(self, make: Callable[[Here], QWidget], *fields: str) -> None:
        """Something crafted."""
        del fields
        self.add(make(Here(self._home, self._who, self._binding)))
        self._fresh = False

    def question(self, form: type[Form], field: str) -> Question | None:
        """The question that stands on this page for a field, or that opens it; None if neither does."""
        return self._questions.get((form.name, field))

    def questions(self) -> tuple[Question, ...]:
        """All questions of the page, from the top."""
        return tuple(self._questions.values())

    def _question(self, name: str, *, opens: bool = True) -> Question:
        made = Question(self._binding, name, opens=opens)
        self._questions[(self._form.name, name)] = made
        return made

    def _ruled(self) -> None:
        """A thin rule before each question but the first under a heading."""
        if not self._fresh:
            self.add(Rule())
        self._fresh = False


def _air() -> QWidget:
    gap = QWidget()
    QVBoxLayout(gap).setContentsMargins(0, Space.GAP, 0, 0)
    return gap


def lay(section: Section, home: OpenChart, who: str) -> Laid:
    """The page of a section for one person."""
    page = Laid(home, section.form, who, section.bind(home, section.form, who))
    section.build(page)
    page.finish()
    return page
