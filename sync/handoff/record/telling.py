"""What one record tells: a chart, as one paper may tell it, about some of its people.

Every answer is taken through `Said`, as on the pages: what a question does not let stand on that paper, what is
private, and what belongs to people the record is not about never gets here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Given, Moment, every
from forms.ask import Ask, Paper, Path, asks
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment, BreastFinding
from forms.chart import Chart, Entry
from forms.closing import Loop
from forms.contact import Contact, UrgentContact
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.form import About, Form, shown_asks
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.papers.report_parts import told_openly
from forms.papers.said import Said
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.prompted import PromptClosed
from forms.referral import Referral
from forms.scores import Score
from forms.visit import Addendum, Visit
from forms.weight import WeightReading, is_around_feed
from storage.taking import TakenFrom

__all__ = ["Answer", "Telling"]

_ALWAYS: Final = frozenset({
    Visit, InfantIdentity, ParentIdentity, CareTeam, Impression, InfantHistory, ParentHistory, Referral,
})  # fmt: skip
_SENT: Final[Mapping[str, frozenset[type[Form]]]] = MappingProxyType({
    "weights": frozenset({WeightReading}),
    "feed": frozenset({FeedObservation, FeedEvent, WeightReading, Score}),
    "chest": frozenset({BreastAssessment, BreastFinding, BodyMark, Expression, ExpressingDay}),
    "oral": frozenset({OralAssessment, BodyMark, Score}),
    "infant": frozenset({InfantAssessment, BodyMark}),
    "output": frozenset({InfantHistory}),
    "plan": frozenset({Plan, PlanTask, FeedingAmount}),
})  # fmt: skip
"""What goes with a letter for each part of its "Sent with it", beside what every letter tells."""
_IN_OTHER_PLACES: Final = frozenset({"practice", "practitioner", "provider", "release", "paper_issued", "jot", "photo"})
"""Forms whose answers have a resource of their own, or none at all, and no questionnaire."""
_PEOPLE: Final = frozenset({"parent", "infant"})


def _listed(named: Any) -> tuple[str, ...]:
    return named if isinstance(named, tuple) else (named,)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer that may go out: where it is kept, its question, as it stands, and in words."""

    path: Path
    ask: Ask
    given: Given[Any]
    words: str


@dataclass(frozen=True)
class Telling:
    """A chart to be told. `about` are person ids; `writer` is a practitioner's id; `referral` a letter's entry id.

    `sources` tell, by entry and question, which answers were taken over from another practice.
    """

    chart: Chart
    paper: Paper
    about: tuple[str, ...]
    writer: str
    now: datetime
    referral: str = ""
    sources: Mapping[tuple[str, str], TakenFrom] = field(default_factory=dict)

    @cached_property
    def said(self) -> Said:
        """The only way to an answer."""
        return Said(self.chart, self.paper)

    @cached_property
    def babies(self) -> tuple[Entry[InfantIdentity], ...]:
        """The babies the record is about."""
        return tuple(e for e in self.chart.all(InfantIdentity) if e.id in self.about)

    @cached_property
    def parents(self) -> tuple[Entry[ParentIdentity], ...]:
        """The parents the record is about."""
        return tuple(e for e in self.chart.all(ParentIdentity) if e.id in self.about)

    @property
    def chief(self) -> str:
        """The one person under whom the document stands: the first baby it is about, else the first parent."""
        return (*(e.id for e in self.babies), *(e.id for e in self.parents))[0]

    def words(self, answers: Form, field: str) -> str:
        """An answer in words, or "" where there is none or this paper may not carry it."""
        return self.said.words(answers, field) if self.said.may(type(answers), field) else ""

    def value(self, answers: Form, field: str) -> Any:
        """The one value, or None where there is none or this paper may not carry it. Raises Unresolved."""
        return self.said.value(answers, field) if self.said.may(type(answers), field) else None

    def answers(self, entry: Entry[Form]) -> tuple[Answer, ...]:
        """What may go out of an entry, deliberate non-answers too.

        Raises Unresolved where two values stand, Unfilled where words still hold a blank, and NotGoneThrough.
        """
        return tuple(
            Answer(path, ask, given, self.said.beside(entry.answers, path))
            for path, ask, given in shown_asks(entry.answers)
            if given is not None and self.said.may(type(entry.answers), path.field)
            and not self._of_somebody_else(entry.answers, path.field)
        )  # fmt: skip

    def concerns(self, entry: Entry[Form]) -> bool:
        """Whether an entry is one this record is about: of its people, of its visit or of no visit, of its parts."""
        place, form = entry.place, type(entry.answers)
        if entry.struck or place.form in _IN_OTHER_PLACES or form.about is About.PRACTICE:
            return False
        if not self._of_this_visit(entry) or form not in self._forms(form):
            return False
        if isinstance(entry.answers, Visit):
            return entry.id == self.chart.visit
        if isinstance(entry.answers, Referral) and self.paper is Paper.REFERRAL and entry.id != self.referral:
            return False
        if form.about is About.PERSON and entry.id in self._people:
            return entry.id in self.about
        if isinstance(entry.answers, UrgentContact | PromptClosed) and not told_openly(entry.answers):
            return False
        if isinstance(entry.answers, Addendum):
            return self._added_to_ours(entry.answers)
        if isinstance(entry.answers, Loop):
            return self._follows(entry.answers)
        ours = not self._names_only_others(entry.answers) or self._tells_numbers(entry.answers)
        return self._of_its_people(place.subjects) and ours

    def _of_this_visit(self, entry: Entry[Form]) -> bool:
        """Of the visit, or of none. A baby's weights are one line through all visits, as on the pages.

        Those around a feed belong to that feed and its visit.
        """
        if isinstance(entry.answers, WeightReading) and not is_around_feed(entry.answers):
            return True
        return entry.place.visit in (None, self.chart.visit)

    def _names_only_others(self, answers: Form) -> bool:
        """Whether an entry of the visit or of the family as a whole names people, and none the record is about."""
        for names in ("concerns", "person", "covers"):
            if names in asks(type(answers)) and set(asks(type(answers))[names].of) & _PEOPLE:
                whom = {one for named in every(getattr(answers, names)) for one in _listed(named)}
                if whom and not whom & set(self.about):
                    return True
        return False

    def _follows(self, loop: Loop) -> bool:
        """Whether what care left open, and the closing that left it open, are told themselves."""
        named = [self.chart.by_id(one) for one in (*every(loop.of), *every(loop.closing))]
        return bool(every(loop.of)) and all(
            one is not None and not isinstance(one.answers, Loop) and self.concerns(one) for one in named
        )

    def _tells_numbers(self, answers: Form) -> bool:
        """Whether it is a call in which numbers were told about somebody whom the record is about."""
        return isinstance(answers, Contact) and bool(set(every(answers.told_about)) & set(self.about))

    def _of_somebody_else(self, answers: Form, field: str) -> bool:
        """Whether an answer of a call is about others: numbers told are those of the one they were told about alone."""
        if not isinstance(answers, Contact):
            return False
        if field.startswith("told_"):
            return not self._tells_numbers(answers)
        return field != "at" and self._names_only_others(answers)

    def _added_to_ours(self, addendum: Addendum) -> bool:
        """Whether words were added to the visit's own note, or to one of people the record is about."""
        notes = every(addendum.note)
        return any(note == "visit" or self._of_its_people(tuple(note.split("+"))) for note in notes)

    def _of_its_people(self, subjects: tuple[str, ...]) -> bool:
        """A pair's entry goes with either of the two, as on the pages."""
        return bool(set(subjects) & set(self.about)) if subjects else True

    @cached_property
    def _people(self) -> frozenset[str]:
        return frozenset(self.said.people())

    def _forms(self, form: type[Form]) -> frozenset[type[Form]]:
        """The forms that go out on this paper."""
        if self.paper is not Paper.REFERRAL:
            return frozenset({form})
        letter = self.chart.by_id(self.referral)
        sent = self.value(letter.answers, "attachments") if letter is not None else ()
        return _ALWAYS.union(*(_SENT.get(code, frozenset()) for code in sent or ()))

    def entries(self) -> Iterator[Entry[Form]]:
        """Every entry the record is about, oldest first."""
        return (entry for entry in self.chart.entries if self.concerns(entry))

    def of(self, form: type[Form]) -> tuple[Entry[Any], ...]:
        """Those of one form."""
        return tuple(entry for entry in self.entries() if type(entry.answers) is form)

    @cached_property
    def visit(self) -> Visit:
        """The head of the visit."""
        return self.chart.person(Visit, self.chart.visit or "")

    @cached_property
    def family(self) -> Family:
        """The family's own entry."""
        return self.said.family()

    @property
    def begun(self) -> Moment | None:
        """When the visit began, if that is known."""
        start = self.value(self.visit, "start")
        return start if isinstance(start, Moment) else None

    def subject(self, entry: Entry[Form]) -> str:
        """Whose facts an entry holds: its person, of a pair the baby if the record is about it; the chief if nobody."""
        among = [one for one in (*reversed(entry.place.subjects), entry.id) if one in self.about]
        return among[0] if among else self.chief
