"""One letter on the page of a family's letters: where it stands, what became of it, what came back, what comes next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from types import MappingProxyType
from typing import Final

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import day_words, moment_words
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.letter_answer import AnswerShown
from desktop.pages.plain import key_row
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Moment, every
from forms.ask import ask_of
from forms.letters import SAYS, Due, Letter, why_not_yet
from forms.newer import choice_words
from forms.referral import PaperIssued, Referral
from storage.changes import Head

__all__ = ["MOVES", "LetterCard", "due_words", "ink_of"]

MOVES: Final[Mapping[str, str]] = MappingProxyType({
    "drafted": "It is drafted",
    "sent": "It was sent",
    "received": "They received it",
    "booked": "A visit there is booked",
    "seen": "They saw {who}",
    "answered": "The answer is in",
    "told_family": "The family was told",
    "closed": "Close the letter",
    "declined": "They declined",
    "lapsed": "It lapsed",
    "family_chose_not": "The family chose not to",
})  # fmt: skip
"""What the key says that takes a letter to a state."""
_ASIDE: Final = frozenset({"declined", "lapsed", "family_chose_not"})


def due_words(due: date | None, standing: Due, today: date) -> str:
    """By when an answer was hoped for: "Answer hoped for by 16 Mar 2026, 3 days ago"; "" when nobody waits for one."""
    if standing is Due.NOT_AWAITED:
        return ""
    if due is None:
        return "No day is set for the answer"
    said = f"Answer hoped for by {day_words(due)}"
    if standing is Due.TODAY:
        return f"{said}, which is today"
    days = abs((today - due).days)
    count = "1 day" if days == 1 else f"{days} days"
    return f"{said}, {count} ago" if standing is Due.OVERDUE else f"{said}, in {count}"


def ink_of(letter: Letter) -> Role:
    """The ink of the line that says how a letter stands."""
    if letter.differs or letter.standing in (Due.OVERDUE, Due.NO_DAY):
        return Role.WELD
    return Role.SOFT_INK if letter.finished else Role.INK


class _Said(Stack):
    """Asks in place for the few words a step needs. Nothing happens until they are there."""

    def __init__(self, label: str, then: Callable[[str], None]) -> None:
        super().__init__(between=Space.GAP)
        self._then = then
        self.box = Box(ems=18)
        self.box.setAccessibleName(label)
        self.box.returnPressed.connect(self.take)
        self.missing = Words("Write it first; a few words are enough.", size=Size.SMALL, ink=Role.WELD)
        self.missing.hide()
        self.key = Act("Write it down", kind=ActKind.MAIN)
        self.key.clicked.connect(self.take)
        self.add(Words(label, strong=True), key_row(self.box, self.key), self.missing)

    def take(self) -> None:
        """Go on with what was typed."""
        words = self.box.text().strip()
        self.missing.setVisible(not words)
        if words:
            self.setEnabled(False)
            self._then(words)


class LetterCard(Stack):
    """The card. `move` is called with the letter, the state it goes to and the words said with it."""

    def __init__(
        self, home: OpenChart, letter: Letter, past: tuple[Head, ...], today: date, *,
        move: Callable[[Letter, str, str], None], answer: Callable[[Letter], None], shown: Callable[[str], AnswerShown],
    ) -> None:  # fmt: skip
        super().__init__(between=Space.SNUG)
        self.letter, self._home, self._move = letter, home, move
        self.moves: dict[str, Act | Link] = {}
        self.asked: _Said | None = None
        self.refused = Words("", ink=Role.WELD, strong=True)
        self.refused.hide()
        self._head(today)
        self._became(past)
        for entry in letter.answers:
            self.add(shown(entry.id))
        self._keys(answer)
        self._in_place = Stack(between=Space.NONE)
        self.add(self.refused, self._in_place, Rule(strong=True))

    def _head(self, today: date) -> None:
        letter = self.letter
        self.add(Title(f"To {letter.to}, about {letter.who}", size=Size.JOT))
        said = " or ".join(one.strip() for one in every(letter.entry.answers.question) if one.strip())
        self.add(Words(said or "The question is not written yet.", ink=Role.INK if said else Role.WELD))
        due = due_words(letter.due, letter.standing, today)
        why = " or ".join(one.strip() for one in every(letter.entry.answers.state_why) if one.strip())
        ended = f": {why}" if why and set(letter.states) & _ASIDE else ""
        # Two states that stand are named once, by the sentence that asks which holds.
        stands = f"{letter.says}{ended}" if len(letter.states) < 2 else ""
        line = ". ".join(part for part in (stands, due) if part)
        self.stands = Words(f"{line.removesuffix('.')}." if line else "", strong=True, ink=ink_of(letter))
        self.stands.setVisible(bool(line))
        self.add(self.stands)
        for sentence in (letter.differs, "" if letter.finished else letter.release):
            if sentence:
                self.add(Words(sentence, ink=Role.WELD))

    def _became(self, past: tuple[Head, ...]) -> None:
        """Each step with who took it and when, and each copy that left: the proof that it went out."""
        became = Stack(between=Space.FINE)
        self.add(became)
        for head in past:
            said = choice_words(ask_of(Referral, "state"), head.value) if isinstance(head.value, str) else "Taken back"
            when = moment_words(Moment(head.at, self._home.zone))
            became.add(Words(f"{when}: {said}, {self._writer(head.author)}", size=Size.SMALL, ink=Role.SOFT_INK))
        answers = self.letter.entry.answers
        how, at = answers.sent_how, answers.sent_at
        if isinstance(how, str) and how.strip():
            when = f", {moment_words(at)}" if isinstance(at, Moment) else ""
            became.add(Words(f"Sent by: {how.strip()}{when}", size=Size.SMALL, ink=Role.SOFT_INK))
        elif isinstance(how, Conflicted) or isinstance(at, Conflicted):
            became.add(
                Words("How it was sent has two answers; settle it in the visit.", size=Size.SMALL, ink=Role.WELD)
            )
        for paper in self._home.chart.all(PaperIssued):
            if self.letter.entry.id in every(paper.answers.referral) and isinstance(paper.answers.at, Moment):
                left = choice_words(ask_of(PaperIssued, "left_how"), str(paper.answers.left_how)).lower()
                mark = str(paper.answers.sha256)[:12]
                words = f"{moment_words(paper.answers.at)}: letter left, {left}, fingerprint {mark} …"
                became.add(Words(words, size=Size.SMALL, ink=Role.SOFT_INK))

    def _writer(self, author: str) -> str:
        from forms.practice import Practitioner

        name = self._home.chart.person(Practitioner, author).full_name
        return name.strip() if isinstance(name, str) and name.strip() else "somebody of the practice"

    # --- what comes next --------------------------------------------------------------------------------------------

    def _keys(self, answer: Callable[[Letter], None]) -> None:
        letter, chosen = self.letter, len(self.letter.states) > 1
        onward: list[QWidget] = []
        aside: list[QWidget] = []
        for state in letter.moves:
            words = MOVES[state].format(who=letter.who) if not chosen else f"It is: {self._option(state)}"
            key: Act | Link = Link(words) if state in _ASIDE and not chosen else Act(words)
            key.clicked.connect(partial(self.go, state))
            self.moves[state] = key
            (aside if isinstance(key, Link) else onward).append(key)
        # Offered whatever the state: a report can come weeks after its letter was closed.
        self.answer_key = Act("Write an answer down", icon=Icon.PLUS)
        self.answer_key.clicked.connect(lambda: answer(letter))
        self.add(key_row(*onward, self.answer_key))
        if aside:
            self.add(key_row(*aside))

    def _option(self, state: str) -> str:
        return choice_words(ask_of(Referral, "state"), state).lower()

    def go(self, state: str, *_pressed: object) -> None:
        """Take the letter to a state, after the words it needs; or say what keeps it from going there."""
        why = why_not_yet(self.letter, state)
        self.refused.say(why)
        self.refused.setVisible(bool(why))
        self._in_place.clear()
        self.asked = None
        if why:
            return
        if state not in SAYS or state in self.letter.states:
            self._go(state, "")
            return
        form, field = SAYS[state]
        self.asked = _Said(ask_of(form, field).label, partial(self._go, state))
        self._in_place.add(self.asked)
        self.asked.box.setFocus()

    def _go(self, state: str, words: str) -> None:
        for key in self.moves.values():
            key.setEnabled(False)
        self._move(self.letter, state, words)

    def again(self) -> None:
        """Nothing was written: the keys can be pressed again, and what was typed stands."""
        for key in self.moves.values():
            key.setEnabled(True)
        if self.asked is not None:
            self.asked.setEnabled(True)
