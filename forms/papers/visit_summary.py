"""The summary of one signed visit for one person: every answer that may stand on it, note by note, in readable order.

It is made from the questions themselves: a form or a field added with this paper in its intent stands on it without
another line of code. Nothing unsigned, nothing struck out, and no jot is in it; what was added to a note after it was
signed stands directly under that note.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Final

import forms.all  # noqa: F401 - the summary goes through every form there is
from forms.answers import Moment, Side, every
from forms.ask import Kind, Paper, asks
from forms.blank import Step
from forms.body_mark import BodyMark
from forms.breast import BreastFinding
from forms.breast_seen import IN_THE_LINE, place_words
from forms.chart import Chart, Entry, Signed
from forms.clinical.evidence import zone_of
from forms.contact import UrgentContact
from forms.feed_event import ExpressionEvent, FeedEvent
from forms.form import About, Form, catalog, shown_asks
from forms.impression import Impression
from forms.note import STEPS
from forms.papers.about_one import cautions, picked_findings
from forms.papers.calls import numbers
from forms.papers.co_signed import added_by, draft
from forms.papers.letter_parts import mark_said, sections
from forms.papers.outline import (
    SCOPE,
    Block,
    Foot,
    Heading,
    Lines,
    Outline,
    Paragraph,
    Title,
    Words,
    join,
    plain,
    strong,
)  # fmt: skip
from forms.papers.report_parts import RULES, told_openly
from forms.papers.said import Said, moment_words
from forms.papers.scored import scored_at_feed, scored_in_mouth
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.practice import Practitioner
from forms.prompted import PromptClosed
from forms.scores import Score
from forms.trouble import Bug, Trouble
from forms.visit import Addendum, Present, Visit
from forms.weight import WeightReading

__all__ = ["NotSigned", "visit_summary"]

SIZE: Final = 11
LEAST: Final = 9
PAGES: Final = 4
"""Two to four pages (trade line D1); the type shrinks to keep to them before a page is added. Nothing is left out."""

_AT_A_VISIT: Final = (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)
_OPENING: Final = (Visit, Present)
"""What the visit's own note begins with; the rest of it, the plan above all, stands at the end."""
_SEVERAL: Final = 3
"""Entries of a form from which on what they share is told once; of two, each is read by itself more easily."""
_EVENTS: Final = (FeedEvent, ExpressionEvent)
_NOTHING: Final = "Nothing of this note may stand on a summary, or nothing was answered."


class NotSigned(Trouble):
    """A summary was asked of a visit that is not signed."""

    template = "A summary holds only what is signed, and this visit is not. Sign the visit, then make its summary."


def _signed(chart: Chart) -> Signed:
    signed = chart.signed() if chart.visit is not None else None
    if signed is None:
        raise NotSigned
    return signed


def _in_order(entries: Iterable[Entry[Form]]) -> list[Entry[Form]]:
    """By the moment of the visit, then form by form, then as they were begun."""
    steps, forms_in_order = list(Step), list(catalog().values())
    return sorted(
        entries,
        key=lambda e: (
            steps.index(STEPS.get(type(e.answers), Step.ARRIVE)),
            forms_in_order.index(type(e.answers)),
            e.entered,
        ),
    )


def _notes(chart: Chart) -> Iterator[Entry[Form]]:
    """The entries of this visit that stand: none struck out, none of another visit, no papers that left."""
    for form in catalog().values():
        if form.about in _AT_A_VISIT or form is WeightReading:
            yield from (e for e in chart.all(form, visit=chart.visit))


def _private(entry: Entry[Form]) -> bool:
    """Whether it tells what was done about a sign that was told in private; an unknown sign counts as one."""
    return isinstance(entry.answers, UrgentContact | PromptClosed) and not told_openly(entry.answers)


def _of_others(said: Said, entry: Entry[Form], person: str) -> bool:
    """Whether an entry of the visit as a whole names only other people."""
    for field in ("concerns", "person"):
        if field in asks(type(entry.answers)) and said.may(type(entry.answers), field):
            named = said.value(entry.answers, field)
            whom = named if isinstance(named, tuple) else (named,) if named else ()
            if whom and person not in whom:
                return True
    return False


class _Summary:
    """One person's summary while it is put together."""

    def __init__(self, chart: Chart, person: str) -> None:
        self.said, self.chart, self.person = Said(chart, Paper.SUMMARY), chart, person
        self.signed = _signed(chart)
        kept = [e for e in _notes(chart) if not _private(e) and not isinstance(e.answers, Addendum)]
        self.entries = _in_order(kept)

    def blocks(self) -> Iterator[Block]:
        """The visit, this person, each pair, then the plan; below each note what was added to it."""
        whole = [e for e in self.entries if not e.place.subjects and not _of_others(self.said, e, self.person)]
        visit = self.chart.by_id(self.chart.visit or "")
        opening = [e for e in whole if type(e.answers) in _OPENING]
        yield Heading("The visit")
        yield from self._forms([*([visit] if visit else []), *opening])
        yield Heading(self.said.named(self.person))
        yield from self._identity()
        yield from self._forms([e for e in self.entries if e.place.subjects == (self.person,)])
        yield from self._weights_and_scores()
        yield from self._added(self.person)
        for pair in self._pairs():
            yield Heading(" and ".join(self.said.named(who) for who in pair))
            yield from self._forms([e for e in self.entries if e.place.subjects == pair])
            yield from self._added("+".join(pair))
        rest = [e for e in whole if type(e.answers) not in _OPENING]
        if rest:
            yield Heading("The plan, and what was agreed")
            yield from self._forms(rest)
        yield from self._added("visit")

    def _pairs(self) -> list[tuple[str, ...]]:
        subjects = (e.place.subjects for e in self.entries if self.person in e.place.subjects)
        return list(dict.fromkeys(pair for pair in subjects if len(pair) == 2))

    def _identity(self) -> Iterator[Block]:
        identity, team = self.chart.by_id(self.person), self.chart.one(CareTeam, self.person)
        words = join(self._run(identity.answers) if identity else (), " ", self._run(team))
        if any(span.text.strip() for span in words):
            yield Paragraph(words)

    def _weights_and_scores(self) -> Iterator[Block]:
        identity = self.chart.by_id(self.person)
        if identity is not None and isinstance(identity.answers, InfantIdentity):
            yield from sections(self.said, self.person, ("weights",))
        yield from scored_at_feed(self.said, self.person)
        yield from scored_in_mouth(self.said, self.person)

    def _forms(self, entries: Iterable[Entry[Form]]) -> Iterator[Block]:
        """Each form under its name; a form that repeats as one line for each entry."""
        by_form: dict[type[Form], list[Entry[Form]]] = {}
        for entry in entries:
            by_form.setdefault(type(entry.answers), []).append(entry)
        told = False
        for form, some in by_form.items():
            if form is Score:
                continue  # each is printed with its total and its caution, below
            lines = [line for line in self._lines(form, some) if line]
            if lines:
                told = True
                yield Heading(form.title, inner=True)
                yield Lines(tuple(lines))
        if not told:
            yield Paragraph(plain(_NOTHING), small=True)

    def _lines(self, form: type[Form], some: list[Entry[Form]]) -> Iterator[Words]:
        if form in _EVENTS:
            yield plain(f"{len(some)} events were timed one by one; the record holds each, this summary does not.")
            return
        same = self._same_in_each(some)
        if same:
            yield join(strong("The same in each:  "), *same.values())
        for entry in some:
            late = entry.entered > self.signed.at
            words = self._said(entry, without=same)
            yield join(words, " Written down after signing.") if words and late else words

    def _same_in_each(self, some: list[Entry[Form]]) -> dict[str, Words]:
        """Answers that several entries share to the letter, told once above them; none of a form told its own way.

        Nothing is shared where an entry would be left without a line of its own.
        """
        if len(some) < _SEVERAL or isinstance(some[0].answers, BodyMark | BreastFinding | Impression):
            return {}
        told = [self._told(entry.answers) for entry in some]
        same = {field: words for field, words in told[0].items() if all(one.get(field) == words for one in told)}
        return same if all(len(one) > len(same) for one in told) else {}

    def _said(self, entry: Entry[Form], without: Iterable[str] = ()) -> Words:
        answers = entry.answers
        match answers:
            case BodyMark():
                return plain(mark_said(self.said, answers, self.said.named(entry.place.subjects[0])) + ".")
            case BreastFinding():
                for field in IN_THE_LINE:
                    self.said.value(answers, field)
                return join(f"{place_words(answers)}. ", self._run(answers, without=IN_THE_LINE))
            case Impression():
                picked = picked_findings(self.said, self.person, (answers,))
                found = " ".join(f"{one.rstrip('.')}." for one in dict.fromkeys(filter(None, picked)))
                label = self.said.label(asks(Impression)["findings"])
                before = join(strong(f"{label}: "), f"{found} ") if found else ()
                return join(before, self._run(answers, without=("findings",)))
        return self._run(answers, without)

    def _run(self, answers: Form, without: Iterable[str] = ()) -> Words:
        """Every answer after its question, running on."""
        return join(*self._told(answers, without).values())

    def _told(self, answers: Form, without: Iterable[str] = ()) -> dict[str, Words]:
        """Every answer after its question, in the form's own order; both sides of one question together."""
        form, left_out, parts = type(answers), frozenset(without), dict[str, list[str]]()
        for path, _ask, given in shown_asks(answers):
            if given is None or path.field in left_out or not self.said.may(form, path.field):
                continue
            words = self._words(answers, path.field, path.side)
            if words:
                side = f"{path.side} " if path.side is not None else ""
                parts.setdefault(path.field, []).append(f"{side}{words}")
        told = {}
        for field, said in parts.items():
            ends = "" if said[-1].endswith((".", "?", "!", "”")) else "."
            label = self.said.label(asks(form)[field])
            told[field] = join(strong(f"{label}: "), f"{', '.join(said)}{ends}  ")
        return told

    def _words(self, answers: Form, field: str, side: Side | None) -> str:
        refers = asks(type(answers))[field].kind in (Kind.REF, Kind.REFS)
        if side is not None or refers:
            words = self.said.words(answers, field, side).strip(" ,")
            return words or (self._rules(answers, field) if refers else "")
        return self.said.or_not_known(answers, field).strip()

    def _rules(self, answers: Form, field: str) -> str:
        """The signs that a contact or a closing covers, in the words of their rules."""
        if not isinstance(answers, UrgentContact | PromptClosed) or field != "covers":
            return ""
        covered = self.said.value(answers, field) or ()
        return "; ".join(RULES[sign].why.rstrip(".") for sign in covered if sign in RULES)

    def _added(self, note: str) -> Iterator[Block]:
        """What was added to a note after it was signed, oldest first."""
        for entry in self.chart.all(Addendum, visit=self.chart.visit):
            if note not in every(entry.answers.note):
                continue
            who = added_by(self.said, entry.author, entry.entered) or "somebody"
            at = moment_words(Moment(entry.entered, zone_of(self.chart)))
            yield Lines(
                (join(strong(f"Added after signing, {at}, by {who}:  "), self._run(entry.answers, without=("note",))),)
            )

    def struck(self) -> int:
        """How many entries that would stand here were struck out."""
        return sum(
            1
            for e in self.chart.entries
            if e.struck is not None and e.place.visit == self.chart.visit
            and (not e.place.subjects or self.person in e.place.subjects)
        )  # fmt: skip


def visit_summary(chart: Chart, person: str, *, writer: str, now: datetime) -> Outline:
    """The summary of the chart's visit for one person. `writer` is the practitioner's id, `now` when it is printed.

    Raises NotSigned, NoEmergencyNumber, NoWriter, and Unresolved when two values stand for something it prints; Bug
    for nobody of this family.
    """
    found = chart.by_id(person)
    if found is None or not isinstance(found.answers, InfantIdentity | ParentIdentity):
        raise Bug("a summary is about a parent or a baby")
    del now  # a summary says when the visit was signed; it is the same whenever it is printed
    numbers(Said(chart, Paper.FAMILY_PLAN))
    made = _Summary(chart, person)
    said, signed = made.said, made.signed
    name, who = said.full_name(found.answers), said.words(chart.person(Practitioner, signed.by), "full_name")
    start = said.value(chart.person(Visit, chart.visit or ""), "start")
    when = f"the visit of {moment_words(start)}, " if isinstance(start, Moment) else ""
    under = f"{when}signed {moment_words(Moment(signed.at, zone_of(chart)))}" + (f" by {who}" if who else "")
    top = Title(f"Visit summary: {name}", plain(f"{under[:1].upper()}{under[1:]}"))
    blocks: list[Block] = [top, *draft(said, person), *made.blocks()]
    struck = made.struck()
    left: list[Block] = []
    if struck:
        left.append(Lines((plain(f"Struck out in the record and left out here: {struck}."),)))
    caution = cautions(said, writer, "summary", person=person)
    if caution:
        left.append(Lines(caution))
    lines = (*writer_lines(said, writer), plain(SEAL_NOTE))
    return Outline(
        kind=Paper.SUMMARY, title=f"Visit summary: {name}", language="en",
        blocks=(*blocks, Foot(SCOPE[Paper.SUMMARY], tuple(left), lines)), about=(person,), size=SIZE,
        page=page_size(said), writer=printed_name(said, writer), least_size=LEAST, pages_wanted=PAGES,
    )  # fmt: skip
