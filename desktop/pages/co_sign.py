"""What a consultant sees of a student's part before she signs for it: what stands, and what was changed since."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.pages.finish import jump_to
from desktop.pages.supervisors import student_name
from desktop.sheets.places import Stands
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Absent, Conflicted
from forms.ask import Path, ask_of
from forms.blank import Blank, Level, Why
from forms.chart import Entry
from forms.form import Form, value_at
from forms.note import step_of
from forms.papers.co_signed import NO_SUPERVISOR
from forms.practice import Practitioner
from forms.student import Charted, Differs, changed_since, charted, students
from storage.store import Store

__all__ = ["FromStudents", "student_words"]


def student_words(home: OpenChart, practitioner: str) -> str:
    """A student and under whom: "T. Orrel, student under supervision of R. Vale"."""
    given = home.chart.person(Practitioner, practitioner).supervisor
    known = given if isinstance(given, str) and given.strip() and not isinstance(given, Absent | Conflicted) else ""
    role = f"student under supervision of {known}" if known else f"student, {NO_SUPERVISOR}"
    return f"{student_name(home, practitioner)}, {role}"


def _asked(entry: Entry[Form], path: Path) -> str:
    """The question of an answer and its side."""
    label = ask_of(type(entry.answers), path.field).label
    return f"{label}, {path.side}" if path.side is not None else label


def _go(home: OpenChart, stands: Stands, entry: Entry[Form], path: Path, *_pressed: object) -> None:
    place = Blank(
        entry.place, entry.id, path, step_of(entry, path), Level.SHOULD, Why.BLANK, _asked(entry, path)
    )  # fmt: skip
    jump_to(home, place, stands)


class FromStudents(Stack):
    """Of each note how many answers stand from a student's hand, each a way to read it; below, what was changed since.

    What was changed is read from the log, so it is as of the last answer on disk. Whoever holds it calls `refresh` once
    it stands in something: a part alone would come up as a window.
    """

    def __init__(self, home: OpenChart, note_name: Callable[[str], str], note_of: Callable[[Entry[Form]], str]) -> None:
        super().__init__(between=Space.GAP)
        self.home, self._note_name, self._note_of = home, note_name, note_of
        self._stands = Stands()
        self._open: set[str] = set()
        self._keys: dict[str, Link] = {}
        self._changed: tuple[Differs, ...] = ()
        self._shown: tuple[object, ...] = ()
        self._inside = Stack(between=Space.GAP)
        self.add(self._inside)
        home.saved.connect(self._read)
        self._read()

    def _read(self, *_when: object) -> None:
        family, visit = self.home.chart.family, self.home.chart.visit
        if visit is None or not students(self.home.chart):
            return

        def differences(store: Store) -> tuple[Differs, ...]:
            log = ((one.register, one.entry) for one in store.written(family))
            return changed_since(store.chart(family, visit), log)

        self.home.lane.run(differences, self._take)

    def _take(self, found: tuple[Differs, ...]) -> None:
        if isValid(self):
            self._changed = found
            self.refresh()

    def refresh(self) -> None:
        """Show it as it stands now; nothing where no student charted."""
        found = charted(self.home.chart)
        wrote = (*(one.by for one in found), *(one.by for one in self._changed))
        by = tuple(one for one in dict.fromkeys(wrote) if one)
        shown = (found, self._changed, tuple(student_words(self.home, one) for one in by), frozenset(self._open))
        self.setVisible(bool(by) and self.home.chart.signed() is None)
        if shown == self._shown:
            return
        self._shown = shown
        self._inside.clear()
        if by:
            self._show(found, by)

    def _show(self, found: tuple[Charted, ...], by: tuple[str, ...]) -> None:
        self._inside.add(Words("From a student’s hand", size=Size.JOT, title=True), Rule(strong=True))
        for student in by:
            self._inside.add(Words(f"{student_words(self.home, student)}."))
        notes: dict[str, list[Charted]] = {}
        for one in found:
            notes.setdefault(self._note_of(one.entry), []).append(one)
        for note, answers in notes.items():
            theirs = [one for one in answers if one.by]
            if theirs:
                self._inside.add(self._note(note, theirs, len(answers)), Rule())
        self._inside.add(Words("What was changed since", strong=True))
        if not self._changed:
            self._inside.add(Words("Nothing of it.", ink=Role.SOFT_INK))
        for differs in self._changed:
            self._inside.add(self._difference(differs))
        self._inside.add(
            Words("Your signature is the co-signature: with it you stand for all of this.", ink=Role.SOFT_INK)
        )

    def _note(self, note: str, theirs: list[Charted], of: int) -> QWidget:
        part = Stack(between=Space.NONE)
        across = QWidget()
        beside = Beside(across, middle=True)
        name = self._note_name(note)
        beside.addWidget(Words(name))
        shut = note not in self._open
        key = Link(f"{len(theirs)} of {of} answers{'' if shut else ', close'}", size=Size.BASE)
        key.setAccessibleName(
            f"{'Read' if shut else 'Close'}: {name}, {len(theirs)} of {of} answers from a student’s hand"
        )
        key.clicked.connect(partial(self._turn, note))
        beside.addWidget(key)
        self._keys[note] = key
        part.add(across)
        if not shut:
            row = QWidget()
            flow = Flow(row, gap=Space.PAD, row_gap=Space.GAP)
            for one in theirs:
                flow.addWidget(self._way(one.entry, one.path, name))
            part.add(row)
        return part

    def _turn(self, note: str, *_pressed: object) -> None:
        self._open ^= {note}
        self.refresh()
        self._keys[note].setFocus()  # it was made anew

    def _way(self, entry: Entry[Form], path: Path, about: str) -> Link:
        link = Link(_asked(entry, path), size=Size.BASE)
        link.setAccessibleName(f"{_asked(entry, path)}, {about}")
        link.clicked.connect(partial(_go, self.home, self._stands, entry, path))
        return link

    def _difference(self, differs: Differs) -> QWidget:
        entry, path = differs.entry, differs.path
        if path is None:
            return Words(f"{type(entry.answers).title}: struck out.")
        part = Stack(between=Space.NONE)
        part.add(self._way(entry, path, self._note_name(self._note_of(entry))))
        ask = ask_of(type(entry.answers), path.field)
        if ask.private:
            told = "A private answer, changed since."
        else:
            named = tuple((one.id, self._called(one)) for one in self.home.chart.entries)
            now = answer_words(ask, value_at(entry.answers, path), named)
            told = f"{student_name(self.home, differs.by)}: {answer_words(ask, differs.was, named)}. Now: {now}."
        part.add(Words(told))
        return part

    def _called(self, entry: Entry[Form]) -> str:
        people = (*self.home.infants(), *self.home.parents())
        return self.home.names(entry.id) if entry.id in people else type(entry.answers).title
