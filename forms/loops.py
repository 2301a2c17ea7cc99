"""What is still open when care ends, who owns it from then on, and whether care can be closed (trade line C14)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from forms.answers import Conflicted, Moment, every
from forms.ask import Need, ask_of
from forms.chart import Chart, Entry
from forms.closing import Closing, Loop, StateAtEnd
from forms.contact import Contact, UrgentContact
from forms.form import Form, shown_asks
from forms.newer import choice_words
from forms.note import answered
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import Plan, PlanTask
from forms.practice import Provider
from forms.referral import Referral
from forms.retention import keeping
from forms.taking_part import babies
from forms.trouble import Unresolved
from forms.visit import Visit

__all__ = ["OpenLoop", "awaited", "closable", "loop_rows", "open_loops", "owned", "standing_closing", "state_rows"]

# A referral is finished when the answer is back and the family knows it, or when the family chose not to go.
FINISHED = frozenset({"told_family", "closed", "family_chose_not"})
WRITTEN_BY_PROGRAM = frozenset({"closed_at", "closed_by", "closing", "of"})


@dataclass(frozen=True, slots=True)
class OpenLoop:
    """One thing left open: the entry it stands in, what it is in a few words, and by which day, where one is set."""

    entry: str
    words: str
    due: date | None = None


def open_loops(chart: Chart) -> tuple[OpenLoop, ...]:
    """Everything that waits for somebody.

    Letters, urgent tries and what came of calls, the newest plan, next steps since the newest visit.
    """
    return (*_referrals(chart), *awaited(chart), *_newest_plan(chart), *_next_steps(chart))


def awaited(chart: Chart) -> tuple[OpenLoop, ...]:
    """The open ones that are due on a day: a call to try again, what came of one that was made.

    Urgent contacts, visits, calls and messages alone decide; without the people of the family nobody is named.
    """
    return (*_urgent(chart), *_outcomes(chart))


def _referrals(chart: Chart) -> Iterator[OpenLoop]:
    for entry in chart.all(Referral):
        states = every(entry.answers.state)
        if len(states) == 1 and states[0] in FINISHED:
            continue
        said = (
            " or ".join(choice_words(ask_of(Referral, "state"), state) for state in states)
            or "not said where it stands"
        )
        who = _name(chart, next(iter(entry.place.subjects), ""))
        to = " or ".join(_provider(chart, to) for to in every(entry.answers.to)) or "somebody not chosen yet"
        yield OpenLoop(entry.id, f"Letter about {who} to {to}: {said.lower()}")


def _urgent(chart: Chart) -> Iterator[OpenLoop]:
    """Somebody who was tried and not reached, unless a later contact about that person came to an end."""
    entries = chart.all(UrgentContact)
    for entry in entries:
        later = (
            other for other in entries if other.place.subjects == entry.place.subjects and other.entered > entry.entered
        )
        settled = any(
            "tried_not_reached" not in every(other.answers.outcome) and other.answers.outcome for other in later
        )
        if "tried_not_reached" in every(entry.answers.outcome) and not settled:
            who = _name(chart, next(iter(entry.place.subjects), ""))
            due = min((when.local().date() for when in every(entry.answers.next_when)), default=None)
            yield OpenLoop(entry.id, f"Urgent call about {who}: nobody was reached", due)


def _outcomes(chart: Chart) -> Iterator[OpenLoop]:
    """What came of each person's newest urgent call, until a later contact about them, or a later visit, tells it.

    Due on the day after the call: a house rule (P).
    """
    newest = {
        entry.place.subjects: entry
        for entry in sorted(chart.all(UrgentContact), key=lambda one: one.entered)
        if "reached" in every(entry.answers.outcome)
    }
    for people, entry in newest.items():
        called = max(every(entry.answers.at), key=lambda moment: moment.at, default=None)
        since = called.at if called is not None else entry.entered
        if any(_start(visit) > since for visit in chart.all(Visit)) or any(
            _tells_of(contact, people, since) for contact in chart.all(Contact)
        ):
            continue
        due = called.local().date() + timedelta(days=1) if called is not None else None
        yield OpenLoop(entry.id, f"Outcome of the call about {_name(chart, next(iter(people), ''))}", due)


def _tells_of(contact: Entry[Contact], people: tuple[str, ...], since: datetime) -> bool:
    """Whether a contact came after that moment and is certainly about these people, or about everyone."""
    at = max((at.at for at in every(contact.answers.at)), default=contact.entered)
    named = [set(whom) for whom in every(contact.answers.concerns)]
    return at > since and all(not whom or set(people) & whom for whom in named)


def _newest_plan(chart: Chart) -> Iterator[OpenLoop]:
    """The tasks of the newest visit that has any, and what was to come next, if no visit came after it."""
    visits = sorted(chart.all(Visit), key=_start, reverse=True)
    with_tasks = next((one for one in visits if chart.all(PlanTask, visit=one.id)), None)
    for task in chart.all(PlanTask, visit=with_tasks.id) if with_tasks is not None else ():
        what = " or ".join(what.strip() for what in every(task.answers.what)) or "not written"
        yield OpenLoop(task.id, f"Task: {what}")
    for plan in chart.all(Plan, visit=visits[0].id) if visits else ():
        kinds = [kind for kind in every(plan.answers.followup_kind) if kind != "none"]
        if kinds:
            words = " or ".join(choice_words(ask_of(Plan, "followup_kind"), kind) for kind in kinds)
            yield OpenLoop(plan.id, f"Comes next: {words[:1].lower()}{words[1:]}")


def _next_steps(chart: Chart) -> Iterator[OpenLoop]:
    """The next step of each call or message since the newest visit began; an earlier one is that visit's matter."""
    newest = max((_start(visit) for visit in chart.all(Visit)), default=None)
    for entry in chart.all(Contact):
        at = max((at.at for at in every(entry.answers.at)), default=entry.entered)
        steps = [step.strip() for step in every(entry.answers.next_step) if step.strip()]
        if steps and (newest is None or at >= newest):
            yield OpenLoop(entry.id, f"Next step after a call or message: {' or '.join(steps)}")


def _start(visit: Entry[Visit]) -> datetime:
    return visit.answers.start.at if isinstance(visit.answers.start, Moment) else visit.entered


def _name(chart: Chart, person: str) -> str:
    held = chart.by_id(person)
    identity: Any = held.answers if held is not None else None
    fields = ("called_name", "legal_name") if isinstance(identity, InfantIdentity) else ("called_name", "full_name")
    named = (getattr(identity, field, None) for field in fields)
    return next((name.strip() for name in named if isinstance(name, str) and name.strip()), "somebody of the family")


def _provider(chart: Chart, provider: str) -> str:
    name = chart.person(Provider, provider).full_name
    return name.strip() if isinstance(name, str) and name.strip() else "a provider without a name"


def standing_closing(chart: Chart) -> Entry[Closing] | None:
    """The newest closing begun and not finished, or None."""
    begun = (entry for entry in chart.all(Closing) if not answered(entry.answers.closed_at))
    return max(begun, key=lambda entry: entry.entered, default=None)


def loop_rows(chart: Chart, closing: str, of: str) -> tuple[Entry[Loop], ...]:
    """What is written at this closing about one open thing; more than one only if two devices began it apart."""
    return tuple(row for row in chart.all(Loop) if row.answers.closing == closing and row.answers.of == of)


def state_rows(chart: Chart, closing: str, baby: str) -> tuple[Entry[StateAtEnd], ...]:
    """What is written at this closing about one baby."""
    return tuple(row for row in chart.all(StateAtEnd, baby) if row.answers.closing == closing)


def owned(row: Loop) -> bool:
    """Whether somebody certainly owns it: named where a name is asked, and knowing it where they have to be told."""
    blanks = [ask for _, ask, given in shown_asks(row) if ask.need is not Need.FREE and not answered(given)]
    return isinstance(row.owner, str) and not blanks and row.told in (None, True)


def closable(chart: Chart, closing: str) -> tuple[str, ...]:
    """What still keeps care from being closed, a sentence each; empty when it can be closed."""
    held = chart.by_id(closing)
    if held is None or not isinstance(held.answers, Closing):
        return ("This closing has not been begun.",)
    return (
        *_unanswered(held.answers, ""),
        *(reason for baby in _ending(chart, held.answers) for reason in _state(chart, closing, baby)),
        *(f"Nobody owns this yet. {loop.words}" for loop in open_loops(chart) if not _is_owned(chart, closing, loop)),
        *_keeping(chart, held.answers, held.entered.date()),
    )


def _ending(chart: Chart, answers: Closing) -> tuple[str, ...]:
    covered = {person for people in every(answers.covers) for person in people}
    return tuple(baby for baby in babies(chart) if baby in covered)


def _is_owned(chart: Chart, closing: str, loop: OpenLoop) -> bool:
    return any(owned(row.answers) for row in loop_rows(chart, closing, loop.entry))


def _state(chart: Chart, closing: str, baby: str) -> tuple[str, ...]:
    name = _name(chart, baby)
    rows = state_rows(chart, closing, baby)
    if not rows:
        return (f"How {name} is at the end of care is not written.",)
    return tuple(reason for row in rows for reason in _unanswered(row.answers, f"{name}: "))


def _unanswered(answers: Form, whose: str) -> Iterator[str]:
    for path, ask, given in shown_asks(answers):
        if path.field in WRITTEN_BY_PROGRAM:
            continue
        if isinstance(given, Conflicted):
            yield f"{whose}“{ask.label}” has two answers; settle which one holds."
        elif ask.need is not Need.FREE and not answered(given):
            yield f"{whose}“{ask.label}” is not answered."


def _keeping(chart: Chart, answers: Closing, ended: date) -> Iterator[str]:
    """By the rule means that a date can be worked out for each person whose care ends."""
    if answers.kept != "rule":
        return
    people = [person for people in every(answers.covers) for person in people]
    for person in dict.fromkeys(people):
        held = chart.by_id(person)
        if held is None or not isinstance(held.answers, InfantIdentity | ParentIdentity):
            continue
        try:
            found = keeping(chart, person, ended)
        except Unresolved as torn:
            yield f"{_name(chart, person)}: {torn.sentence}"
            continue
        if found.until is None:
            yield f"{_name(chart, person)}: {found.how}"
