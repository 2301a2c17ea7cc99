"""What of a family's record concerns one person, and may go to that person.

The questions' own intents decide, as on paper: what stands on no paper, and what is private, is left out. So is every
entry about other people, whatever is struck out, and every visit that is not signed yet. A pair's entry (a feed, a
latch) is of both. A photo goes along while the consent to it stands, when it shows this person and nobody else.
Where two answers disagree about whom an entry is about, it goes to nobody until that is settled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from functools import cached_property
from types import MappingProxyType
from typing import Final

from forms.answers import every
from forms.ask import Printed, asks
from forms.chart import Chart, Entry
from forms.closing import Loop
from forms.contact import Contact, UrgentContact
from forms.form import About, Form, shown_asks
from forms.papers.report_parts import told_openly
from forms.people import InfantIdentity, ParentIdentity
from forms.photo import Photo
from forms.photo_leave import leave_of
from forms.prompted import PromptClosed
from forms.receipt import Receipt
from forms.visit import Addendum, Jot, Present, Visit

__all__ = ["NAMED", "OF_ALL", "Named", "OnePerson"]


class Named(Enum):
    """What a field that names people or other entries decides about what goes to one person."""

    WHOM = "the entry goes to those it names, and to everyone where it names nobody"
    ALONE = "the entry goes only where nobody else is named"
    FOLLOWS = "the entry goes only where the entry goes that it names"
    WHOSE = "some answers of the entry are about the one who is named, and go to that one alone"
    ITEMS = "each item goes only where the entry goes that it names"
    ID = "nothing but an id is told of what is named"


NAMED: Final[Mapping[str, Named]] = MappingProxyType({
    "addendum.note": Named.WHOM, "closing.covers": Named.WHOM, "contact.concerns": Named.WHOM,
    "paper_issued.concerns": Named.WHOM, "plan_task.concerns": Named.WHOM, "present.person": Named.WHOM,
    "loop.closing": Named.FOLLOWS, "loop.of": Named.FOLLOWS, "photo.also_shows": Named.ALONE,
    "contact.told_about": Named.WHOSE, "receipt.insured": Named.WHOSE,
    "closing.release": Named.ITEMS, "impression.findings": Named.ITEMS,
    **dict.fromkeys(
        (
            "body_mark.photo", "expression_event.expression", "feed_event.feed", "infant_history.guardians",
            "letter_answer.letter", "log_line.feeder", "paper_issued.referral", "paper_issued.release",
            "parent.adoptive_parent_of", "parent.birth_parent_of", "parent.co_feeder_of", "parent.foster_parent_of",
            "parent.non_birth_parent_of", "parent.surrogate_of", "photo.consent", "score.feeder",
            "state_at_end.closing", "weight.feed",
        ),
        Named.ID,
    ),
})  # fmt: skip
"""Every field ("form.field") that names people or entries of a family; a test finds one that is not decided on."""

OF_ALL: Final = frozenset({"family", "family_language", "plan", "received_file", "visit"})
"""The forms of a family or a visit as a whole that name nobody and are about everyone in it. No other of them goes."""

_DECIDING: Final = frozenset({Named.WHOM, Named.ALONE, Named.FOLLOWS, Named.WHOSE})
_OF_THE_INSURED: Final = ("insured", "payer", "member_number")


@dataclass(frozen=True)
class OnePerson:
    """What of a chart concerns a person (the id of a parent or a baby) at a moment. `chart` is of the whole family.

    `sent_later` names the registers (entry and field) of signed visits for which another answer arrived afterwards.
    """

    chart: Chart
    person: str
    now: datetime
    sent_later: frozenset[tuple[str, str]] = frozenset()

    @cached_property
    def registers(self) -> Mapping[str, frozenset[str]]:
        """The registers of each entry of which something may be told."""
        found = {entry.id: frozenset(self._of(entry)) for entry in self.chart.entries if self._concerns(entry)}
        return {entry: registers for entry, registers in found.items() if registers}

    def may(self, entry: str, register: str) -> bool:
        """Whether an answer may be told."""
        return register in self.registers.get(entry, ())

    def may_item(self, named: str) -> bool:
        """Whether an item of a list that names an answer ("entry/register"), or an entry by its id, may be told."""
        entry, _, register = named.partition("/")
        if register:
            return self.may(entry, register)
        found = self.chart.by_id(entry)
        if found is None or found.place.family is None or isinstance(found.answers, ParentIdentity | InfantIdentity):
            return True  # a rule, something of the practice's own, or somebody who is not told by name
        return entry in self.registers

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
        if any(NAMED.get(f"{form.name}.{name}", Named.ID) in _DECIDING for name in entry.unknown):
            return False  # whom it names can be read by a newer version only
        if any((entry.id, field) in self.sent_later for field in _fields(form, Named.ALONE)):
            return False  # somebody else may be in the picture
        if isinstance(entry.answers, ParentIdentity | InfantIdentity):
            return entry.id == self.person
        visit = entry.id if isinstance(entry.answers, Visit) else place.visit
        if visit is not None and self.chart.signed(visit) is None:
            return False
        if place.subjects and not (self.person in place.subjects and self._openly(entry)):
            return False
        if form.about not in (About.FAMILY, About.VISIT):
            return bool(place.subjects)
        return self._names_this_one(entry.answers)

    def _openly(self, entry: Entry[Form]) -> bool:
        if isinstance(entry.answers, UrgentContact | PromptClosed):
            return told_openly(entry.answers)
        return not isinstance(entry.answers, Photo) or self._of_this_one_alone(entry)  # type: ignore[arg-type]

    def _of_this_one_alone(self, photo: Entry[Photo]) -> bool:
        others = {who for several in every(photo.answers.also_shows) for who in several} - {self.person}
        return not others and leave_of(self.chart, photo, self.now).given

    def _names_this_one(self, answers: Form) -> bool:
        """Whether an entry of a family or a visit as a whole is about this person too."""
        match answers:
            case Loop():
                return self._follows(answers)
            case Contact():
                return self._is_about(answers) or every(answers.told_about) == (self.person,)
            case Addendum():
                notes = [note.split("+") for note in every(answers.note)]
                return bool(notes) and all("visit" in note or self.person in note for note in notes)
            case Present():
                return every(answers.person) == (self.person,)
        decided = _fields(type(answers), Named.WHOM) or type(answers).name in OF_ALL
        return bool(decided) and self._is_about(answers)

    def _is_about(self, answers: Form) -> bool:
        """Whether an entry as a whole is about this one, or about nobody in particular."""
        named = _people(answers, Named.WHOM) or _people(answers, Named.WHOSE)
        return all(self.person in whom for whom in named)

    def _follows(self, loop: Loop) -> bool:
        """Whether what is open is about this person alone and goes along, and so does the closing that left it open."""
        of = [self.chart.by_id(one) for one in every(loop.of)]
        closings = [self.chart.by_id(one) for one in every(loop.closing)]
        return bool(of) and all(
            one is not None and not isinstance(one.answers, Loop) and self._concerns(one) for one in (*of, *closings)
        ) and not any(self._others(one) for one in of if one is not None)  # fmt: skip

    def _others(self, entry: Entry[Form]) -> set[str]:
        named = (*_people(entry.answers, Named.WHOM), *_people(entry.answers, Named.WHOSE))
        return {*entry.place.subjects, *(one for whom in named for one in whom)} - {self.person}

    def _own(self, answers: Form, field: str) -> bool:
        """Whether an answer of an entry that goes along is this person's, and not that of somebody named in it."""
        if isinstance(answers, Contact):
            if field.startswith("told_"):
                return every(answers.told_about) == (self.person,)
            return field == "at" or self._is_about(answers)  # of a call about others, the numbers told and their day
        if isinstance(answers, Receipt) and field in _OF_THE_INSURED:
            return every(answers.insured) == (self.person,)
        return True

    def _of(self, entry: Entry[Form]) -> Iterator[str]:
        photo = isinstance(entry.answers, Photo)  # a picture goes out with its words or not at all
        for path, ask, given in shown_asks(entry.answers):
            told = not ask.private and (photo or isinstance(ask.paper, Printed))
            if given is not None and told and self._own(entry.answers, path.field):
                yield str(path)


def _fields(form: type[Form], decides: Named) -> tuple[str, ...]:
    return tuple(field for field in asks(form) if NAMED.get(f"{form.name}.{field}") is decides)


def _people(answers: Form, decides: Named) -> tuple[frozenset[str], ...]:
    """Whom an entry names by such fields: one set for each answer that stands and names anybody."""
    given = (named for field in _fields(type(answers), decides) for named in every(getattr(answers, field)))
    return tuple(frozenset(named if isinstance(named, tuple) else (named,)) for named in given if named)
