"""What of a family's record concerns one person, and may go to that person.

The questions' own intents decide, as on paper: what stands on no paper, and what is private, is left out. So is every
entry about other people, whatever is struck out, and every visit that is not signed yet. A pair's entry (a feed, a
latch) is of both. A photo goes along while the consent to it stands, when it shows this person and nobody else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Final

from forms.answers import every
from forms.ask import Printed, asks
from forms.chart import Chart, Entry
from forms.contact import UrgentContact
from forms.form import About, Form, shown_asks
from forms.papers.report_parts import told_openly
from forms.people import InfantIdentity, ParentIdentity
from forms.photo import Photo
from forms.photo_leave import leave_of
from forms.prompted import PromptClosed
from forms.visit import Addendum, Jot, Present, Visit

__all__ = ["OnePerson"]

_NAMES_WHOM: Final = ("concerns", "person")
"""Fields by which an entry of a family or a visit as a whole says whom it is about."""


@dataclass(frozen=True)
class OnePerson:
    """What of a chart concerns a person (the id of a parent or a baby) at a moment. `chart` is of the whole family."""

    chart: Chart
    person: str
    now: datetime

    @cached_property
    def registers(self) -> Mapping[str, frozenset[str]]:
        """The registers of each entry of which something may be told."""
        found = {entry.id: frozenset(self._of(entry)) for entry in self.chart.entries if self._concerns(entry)}
        return {entry: registers for entry, registers in found.items() if registers}

    def may(self, entry: str, register: str) -> bool:
        """Whether an answer may be told."""
        return register in self.registers.get(entry, ())

    def may_item(self, answer: str) -> bool:
        """Whether an item that names another answer ("entry/register") may be told."""
        entry, _, register = answer.partition("/")
        return self.may(entry, register)

    @cached_property
    def photos(self) -> tuple[str, ...]:
        """The SHA-256 of each photo that goes along."""
        kept = (entry.answers for entry in self.chart.all(Photo) if entry.id in self.registers)
        return tuple(sorted({one for photo in kept for one in every(photo.picture)}))

    @cached_property
    def unsigned(self) -> int:
        """How many visits of the family are not signed yet."""
        return sum(self.chart.signed(visit.id) is None for visit in self.chart.all(Visit))

    @property
    def named(self) -> frozenset[str]:
        """The entries whose names may be told: this person, the family, and the practice's own people."""
        ours = (e.id for e in self.chart.entries if e.place.family is None or e.id == self.chart.family)
        return frozenset({self.person, *ours})

    def _concerns(self, entry: Entry[Form]) -> bool:
        place, form = entry.place, type(entry.answers)
        if entry.struck is not None or form is Form or form.about is About.PRACTICE or form is Jot:
            return False
        if isinstance(entry.answers, ParentIdentity | InfantIdentity):
            return entry.id == self.person
        visit = entry.id if isinstance(entry.answers, Visit) else place.visit
        if visit is not None and self.chart.signed(visit) is None:
            return False
        if place.subjects:
            return self.person in place.subjects and self._openly(entry)
        if isinstance(entry.answers, Addendum):
            notes = [note.split("+") for note in every(entry.answers.note)]
            return any("visit" in note or self.person in note for note in notes)
        return self._names_this_one(entry.answers)

    def _openly(self, entry: Entry[Form]) -> bool:
        if isinstance(entry.answers, UrgentContact | PromptClosed):
            return told_openly(entry.answers)
        return not isinstance(entry.answers, Photo) or self._of_this_one_alone(entry)  # type: ignore[arg-type]

    def _of_this_one_alone(self, photo: Entry[Photo]) -> bool:
        others = {who for several in every(photo.answers.also_shows) for who in several} - {self.person}
        return not others and leave_of(self.chart, photo, self.now).given

    def _names_this_one(self, answers: Form) -> bool:
        """Whether an entry of all of them is about this person too: it names this one, or nobody."""
        whom = {
            one
            for field in _NAMES_WHOM
            if field in asks(type(answers))
            for named in every(getattr(answers, field))
            for one in (named if isinstance(named, tuple) else (named,))
        }
        return self.person in whom or (not whom and not isinstance(answers, Present))

    def _of(self, entry: Entry[Form]) -> Iterator[str]:
        photo = isinstance(entry.answers, Photo)  # a picture goes out with its words or not at all
        for path, ask, given in shown_asks(entry.answers):
            if given is not None and not ask.private and (photo or isinstance(ask.paper, Printed)):
                yield str(path)
