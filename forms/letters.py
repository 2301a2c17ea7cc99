"""Where each letter stands: its states and the moves between them, by when an answer is hoped for, what came back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Conflicted, every
from forms.ask import ask_of
from forms.chart import Chart, Entry
from forms.consent import Release, release_for
from forms.form import Form, conflicted
from forms.letter_answer import OUTCOMES, LetterAnswer
from forms.newer import choice_words
from forms.note import answered
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Provider
from forms.referral import Referral

__all__ = ["AWAITED", "FINISHED", "NEXT", "SAYS", "Due", "Letter", "due_on", "letters", "why_not_yet"]

_ENDS: Final = ("declined", "lapsed", "family_chose_not")
SAYS: Final[Mapping[str, tuple[type[Form], str]]] = MappingProxyType(
    {
        "sent": (Referral, "sent_how"),
        "told_family": (LetterAnswer, "told_whom"),
        **dict.fromkeys(_ENDS, (Referral, "state_why")),
    }
)
"""States that have to be said with a few words, and the question these answer."""
AWAITED: Final = frozenset({"drafted", "sent", "received", "booked", "seen"})
"""States in which an answer is still hoped for."""
FINISHED: Final = frozenset({"told_family", "closed", "family_chose_not"})
"""States that wait for nobody: the family knows the answer, or chose not to go."""

NEXT: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "drafted": ("sent", "lapsed", "family_chose_not"),
    "sent": ("received", "booked", "seen", "answered", *_ENDS),
    "received": ("booked", "seen", "answered", *_ENDS),
    "booked": ("seen", "answered", *_ENDS),
    "seen": ("answered", "lapsed"),
    "answered": ("told_family",),
    "told_family": ("closed",),
    "declined": ("sent", "told_family", "closed"),
    "lapsed": ("sent", "booked", "seen", "answered", "closed"),
    "family_chose_not": ("sent", "closed"),
    "closed": (),
})  # fmt: skip
"""Where a letter can go from each state. Steps nobody told of may be left out; a letter that ended can go out again."""


class Due(StrEnum):
    """How a letter stands by the day an answer was hoped for. The day itself is not late."""

    OVERDUE = "overdue"
    TODAY = "today"
    LATER = "later"
    NO_DAY = "no_day"
    NOT_AWAITED = "not_awaited"


_ORDER: Final = tuple(Due)


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter as it stands on a day.

    `who` and `to` are names; `states` every state that stands, more than one where devices differ; `due` the earliest
    day an answer was hoped for; `answers` what came back, oldest first; `release` what is wrong with the leave to
    write, "" when one holds.
    """

    entry: Entry[Referral]
    who: str
    to: str
    states: tuple[str, ...]
    due: date | None
    standing: Due
    answers: tuple[Entry[LetterAnswer], ...]
    release: str

    @property
    def untold(self) -> bool:
        """Whether an answer came that the family was not told of."""
        return any(one.answers.told_at is None for one in self.answers)

    @property
    def finished(self) -> bool:
        """Whether nobody is waited for: one state stands, and no answer is still to be told."""
        return len(self.states) == 1 and self.states[0] in FINISHED and not self.untold

    @property
    def says(self) -> str:
        """Its states in words: "Sent", "Sent or Booked"."""
        said = (choice_words(ask_of(Referral, "state"), state) for state in self.states)
        return " or ".join(said) or "Not said where it stands"

    @property
    def moves(self) -> tuple[str, ...]:
        """The states it can go to. Where two stand, those two come first: one of them is chosen before it goes on."""
        if len(self.states) > 1:
            return tuple(state for state in self.states if state in NEXT)
        if not self.states:
            return ("drafted", "sent")
        onward = NEXT.get(self.states[0], ())
        later = self.untold and self.states[0] in FINISHED  # one more answer came after the end
        return ("answered", *onward) if later else onward

    @property
    def differs(self) -> str:
        """What stands twice and has to be looked at, in a sentence; "" when nothing does."""
        if len(self.states) > 1:
            return f"Two devices say where it stands, and differ: {self.says}. Choose which one holds."
        torn = [conflicted(one.answers) for one in self.answers]
        if any(torn):
            labels = dict.fromkeys(ask_of(LetterAnswer, path.field).label for paths in torn for path in paths)
            return f"Two devices wrote one answer apart: {', '.join(labels).lower()}. Choose which one holds."
        came = {outcome for one in self.answers for outcome in every(one.answers.outcome)}
        if len(came) > 1:
            said = " or ".join(OUTCOMES.get(one, one).lower() for one in sorted(came))
            return (
                f"{len(self.answers)} answers stand, and they differ: {said}. Look at each before the family is told."
            )
        return ""


def due_on(letter: Referral, today: date) -> tuple[date | None, Due]:
    """The earliest day an answer was hoped for, and how that stands today; with two answers the earlier day counts."""
    states = every(letter.state)
    due = min((day for day in every(letter.reply_by) if isinstance(day, date)), default=None)
    if states and not any(state in AWAITED or state not in NEXT for state in states):
        return due, Due.NOT_AWAITED
    if due is None:
        return None, Due.NO_DAY
    return due, Due.OVERDUE if due < today else Due.TODAY if due == today else Due.LATER


def letters(chart: Chart, today: date) -> tuple[Letter, ...]:
    """Every letter of a family, those that are overdue first and within that the earliest day first."""
    found = [_letter(chart, entry, today) for entry in chart.all(Referral)]
    return tuple(sorted(found, key=_rank))


def _rank(one: Letter) -> tuple[bool, int, date, str]:
    return one.finished, _ORDER.index(one.standing), one.due or date.max, one.entry.id


def _letter(chart: Chart, entry: Entry[Referral], today: date) -> Letter:
    due, standing = due_on(entry.answers, today)
    came = tuple(one for one in chart.all(LetterAnswer) if entry.id in every(one.answers.letter))
    to = " or ".join(_provider(chart, one) for one in every(entry.answers.to)) or "somebody not chosen yet"
    who = _called(chart, next(iter(entry.place.subjects), ""))
    states = tuple(dict.fromkeys(every(entry.answers.state)))
    return Letter(entry, who, to, states, due, standing, came, _release(chart, entry, to, today))


def _release(chart: Chart, entry: Entry[Referral], to: str, today: date) -> str:
    """Why nothing may be sent to the recipient today, or ""."""
    person, provider = next(iter(entry.place.subjects), ""), entry.answers.to
    if not isinstance(provider, str):
        return "No recipient is certain, so no release can be looked for."
    if release_for(chart, person, provider, Referral.name, today) is not None:
        return ""
    rows = [row for row in chart.all(Release, person) if provider in every(row.answers.recipient)]
    newest = max(rows, key=lambda row: row.entered, default=None)
    if newest is not None and every(newest.answers.withdrawn_at):
        return f"The release to {to} was withdrawn. Nothing more may be sent to them, and no reminder either."
    return f"No release to {to} holds today. Ask for one before anything more is sent."


def why_not_yet(letter: Letter, state: str) -> str:
    """What keeps a letter from going to a state, in a sentence that says what to do; "" when nothing does."""
    if state not in letter.moves:
        return f"A letter that is “{letter.says.lower()}” does not go to that step from here."
    if state in letter.states:
        return ""  # one of two that stand is chosen; nothing new is said
    if state == "sent" and letter.release:
        return letter.release
    if state in ("answered", "told_family") and not letter.answers:
        return "Write the answer down first."
    if state == "told_family" and any(_half(one.answers) for one in letter.answers):
        return "Write down what came of it and what they answered first."
    return ""


def _half(answer: LetterAnswer) -> bool:
    given: tuple[Any, ...] = (answer.outcome, answer.words)
    return not all(answered(one) and not isinstance(one, Conflicted) for one in given)


def _provider(chart: Chart, provider: str) -> str:
    name = chart.person(Provider, provider).full_name
    return name.strip() if isinstance(name, str) and name.strip() else "a provider without a name"


def _called(chart: Chart, person: str) -> str:
    held = chart.by_id(person)
    match held.answers if held is not None else None:
        case InfantIdentity(called_name=called, legal_name=full) | ParentIdentity(called_name=called, full_name=full):
            return next((n.strip() for n in (called, full) if isinstance(n, str) and n.strip()), "somebody")
    return "somebody of the family"
