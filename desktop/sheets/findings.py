"""Findings that matter: answers given at this visit, ticked where they stand, so that nothing is written twice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from desktop.controls.absence import AbsencePanel, NoAnswer
from desktop.controls.buttons import Link
from desktop.controls.conflict import ConflictBlock
from desktop.controls.layouts import Beside, Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import absence_words, answer_words
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Space, Target
from forms.answers import Absent, Conflicted
from forms.ask import Kind, Path
from forms.body_mark import BodyMark
from forms.chart import Entry
from forms.consent import CareConsent, TouchConsent
from forms.contact import UrgentContact
from forms.form import Form, shown_asks
from forms.impression import Impression
from forms.mark_words import mark_words
from forms.plan import FeedingAmount
from forms.prompted import PromptClosed
from forms.referral import Referral
from forms.report import ProviderReport
from forms.summaries import is_summary

__all__ = ["Findings", "Given", "answers_of", "given_words"]

_NO_FINDINGS = (
    Impression,
    FeedingAmount,
    UrgentContact,
    PromptClosed,
    Referral,
    ProviderReport,
    CareConsent,
    TouchConsent,
)
"""Forms whose answers are no findings: what was agreed, judged or planned, not what was seen or told."""


@dataclass(frozen=True, slots=True)
class Given:
    """One answer that can be picked: how it is referred to, and how it reads."""

    ref: str
    words: str


def _names(home: OpenChart) -> tuple[tuple[str, str], ...]:
    return tuple((entry.id, home.names(entry.id)) for entry in home.chart.entries if entry.place.form in _PEOPLE)


_PEOPLE = ("parent", "infant")


def _read(home: OpenChart, entry: Entry[Form]) -> tuple[Given, ...]:
    """The answers of an entry that hold one real value; private ones never leave their veil."""
    if isinstance(entry.answers, BodyMark):  # a mark is one finding, said whole
        settled = entry.answers.kind is not None and not isinstance(entry.answers.kind, Absent | Conflicted)
        words = mark_words(entry.answers, home.names(entry.place.subjects[0]))
        return (Given(f"{entry.id}/kind", words),) if settled else ()
    names = _names(home)
    found = []
    for path, ask, given in shown_asks(entry.answers):
        if given is None or isinstance(given, Absent | Conflicted) or ask.private or ask.kind in (Kind.REF, Kind.REFS):
            continue
        if ask.claims:
            continue  # the lines it wrote can be picked, each with its own answer
        whose = f"{home.names(entry.place.subjects[0])}’s {path.side}, " if path.side and entry.place.subjects else ""
        label = f"{ask.label[:1].lower()}{ask.label[1:]}" if whose else ask.label
        how = " (summary answer)" if is_summary(entry.answers, path) else ""
        found.append(Given(f"{entry.id}/{path}", f"{whose}{label}: {answer_words(ask, given, names)}{how}"))
    return tuple(found)


def answers_of(home: OpenChart, people: tuple[str, ...]) -> Mapping[str, tuple[Given, ...]]:
    """The answers of this visit about these people that may be picked, by the name of where they stand.

    About one person also the feeds that person took part in; about a pair both persons' own and the pair's.
    """
    found: dict[str, tuple[Given, ...]] = {}
    for entry in home.chart.entries:
        subjects = entry.place.subjects
        about = set(subjects) <= set(people) if len(people) > 1 else people[0] in subjects
        if entry.struck is not None or entry.place.visit != home.chart.visit or not subjects or not about:
            continue
        if isinstance(entry.answers, _NO_FINDINGS):
            continue
        given = _read(home, entry)
        if given:
            title = f"{type(entry.answers).title}, {' feeding '.join(home.names(one) for one in subjects)}"
            found[title] = (*found.get(title, ()), *given)
    return found


def given_words(home: OpenChart, ref: str) -> str:
    """How a picked answer reads now; a finding whose answer is gone says so."""
    entity, _, name = ref.partition("/")
    entry = home.chart.by_id(entity)
    if entry is not None and entry.struck is None:
        for given in _read(home, entry):
            if given.ref == ref:
                return given.words
        path = Path.read(name)
        for at, ask, value in shown_asks(entry.answers):
            if at == path:
                said = "two answers stand" if isinstance(value, Conflicted) else "no answer now"
                return f"{ask.label}: {absence_words(value) if isinstance(value, Absent) else said}"
    return "An answer that was taken back or struck out"


class _Group(Stack):
    """The answers of one form, opened by a tap."""

    def __init__(self, findings: Findings, title: str, given: tuple[Given, ...]) -> None:
        super().__init__(between=Space.GAP)
        self._findings, self.title, self._given = findings, title, given
        self.opener = Link(f"{title}: {len(given)} answers" if len(given) > 1 else f"{title}: 1 answer", icon=Icon.OPEN)
        self._strip = Segments(title, {}, several=True)
        self.opener.clicked.connect(lambda: self.open(self._strip.isHidden()))
        self._strip.picked.connect(findings.toggle)
        self._strip.hide()
        self.add(self.opener, self._strip)

    def open(self, on: bool, holding: str = "") -> None:
        """Show the answers, all or those that hold what is searched for."""
        options = {one.ref: one.words for one in self._given if holding.casefold() in one.words.casefold()}
        self._strip.setVisible(on and bool(options))
        self.setVisible(bool(options) or not holding)
        if on:
            self._strip.set_options(options)
            self.mark()

    def mark(self) -> None:
        """Show which are picked."""
        self._strip.show_codes(self._findings.picked())


class Findings(Stack):
    """What was picked, and every answer of this visit to pick from."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._binding = here.home, here.binding
        self._people = here.binding.draft.place.subjects
        head = QWidget()
        beside = Beside(head, middle=True)
        beside.addWidget(
            Words("Tick the answers this impression rests on. They stay where they were given.", ink=Role.SOFT_INK)
        )
        self.no_answer = NoAnswer("Findings that matter")
        self.no_answer.setEnabled(not here.binding.sealed())
        beside.addWidget(self.no_answer)
        self._absences = AbsencePanel(here.binding, ("findings",))
        self._absences.hide()
        self._absences.closed.connect(lambda: self.no_answer.setChecked(False))
        self.no_answer.toggled.connect(self._absences.setVisible)
        self._standing = Stack(between=Space.GAP)
        self._conflict: ConflictBlock | None = None
        self.finder = Box()
        self.finder.setPlaceholderText("Find an answer, such as pain or tongue")
        self.finder.setAccessibleName("Find an answer of this visit")
        self.finder.setMinimumHeight(Target.TOUCH)
        self.finder.textChanged.connect(self._narrow)
        self._groups = Stack(between=Space.GAP)
        self.add(head, self._absences, self._standing, self.finder, self._groups)
        here.binding.changed.connect(self._hear)
        self._offer()
        self._show()

    def picked(self) -> tuple[str, ...]:
        """The answers picked so far."""
        given = self._binding.value("findings")
        return given if isinstance(given, tuple) else ()

    def toggle(self, ref: str) -> None:
        """Pick an answer, or take it off again."""
        picked = self.picked()
        put = tuple(one for one in picked if one != ref) if ref in picked else (*picked, ref)
        self._binding.put("findings", put or None)

    def _hear(self, path: str) -> None:
        if path == "findings":
            self._show()

    def _offer(self) -> None:
        self._given = answers_of(self._home, self._people)
        self.groups = [_Group(self, title, given) for title, given in self._given.items()]
        self._groups.add(*self.groups)
        if not self.groups:
            self.finder.hide()
            names = " and ".join(self._home.names(one) for one in self._people)
            self._groups.add(
                Words(f"Nothing has been answered about {names} at this visit yet. Findings come from there.")
            )
        self._groups.setEnabled(not self._binding.sealed())

    def _narrow(self, typed: str) -> None:
        for group in self.groups:
            group.open(bool(typed.strip()), typed.strip())

    def _show(self) -> None:
        self._standing.clear()
        given = self._binding.value("findings")
        self.no_answer.stand(absence_words(given) if isinstance(given, Absent) else "")
        if isinstance(given, Conflicted):
            self._standing.add(ConflictBlock(self._binding, "findings"))
        for ref in self.picked():
            self._standing.add(self._line(ref))
        for group in self.groups:
            group.mark()

    def _line(self, ref: str) -> QWidget:
        across = QWidget()
        beside = Beside(across, middle=True)
        beside.addWidget(Words(given_words(self._home, ref), strong=True))
        if not self._binding.sealed():
            away = Link("Take off")
            away.setAccessibleName(f"Take off: {given_words(self._home, ref)}")
            away.clicked.connect(lambda: self.toggle(ref))
            beside.addWidget(away)
        return across
