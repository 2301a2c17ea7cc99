"""The letters of one family: each with where it stands, what became of it, what came back, and its next step."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from PySide6.QtWidgets import QVBoxLayout

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.files import pick_file
from desktop.open_chart import OpenChart
from desktop.pages.bands import always, home_key
from desktop.pages.charted import ChartPage
from desktop.pages.letter_answer import AnswerShown
from desktop.pages.letter_card import LetterCard
from desktop.pages.page import Spread, band
from desktop.pages.plain import key_row
from desktop.session import Routes, Session
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.ask import Path as Field
from forms.chart import Place
from forms.letter_answer import LetterAnswer
from forms.letters import Due, Letter, letters
from forms.people import Family
from forms.referral import PaperIssued
from forms.trouble import Trouble
from storage.changes import Begin, Change, ChangeSet, Head, Put
from storage.store import Store
from sync.handoff.answer_in import moved

__all__ = ["FamilyLettersPage", "counted"]

_NONE = (
    "No letter was begun for this family. A letter is begun in a visit, under Leave; it stands here from its first "
    "answer on, until the family knows what came of it."
)
_WRITTEN = (
    "Each step is written with who took it and when. The letter itself is changed in its visit, while that is open."
)

Past = Mapping[str, tuple[Head, ...]]


def counted(found: tuple[Letter, ...]) -> str:
    """How many letters are open and how many of them overdue, in words."""
    waiting = [one for one in found if not one.finished]
    late = sum(one.standing is Due.OVERDUE for one in waiting)
    if not waiting:
        return "No letter is open."
    said = "1 letter is open" if len(waiting) == 1 else f"{len(waiting)} letters are open"
    return f"{said}, {late or 'none'} overdue."


class FamilyLettersPage(ChartPage):
    """The page. `pick` asks for a file; `cards` are the letters in view, by their ids."""

    def __init__(
        self, session: Session, routes: Routes, home: OpenChart, *, pick: Callable[..., Path | None] = pick_file
    ) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("letters_family")
        self._pick = pick
        self._shown: object = None
        self._past: Past = {}
        self._asked: object = None
        self._steps = 0
        self.cards: dict[str, LetterCard] = {}
        self.answers: dict[str, AnswerShown] = {}
        self.main = Stack(between=Space.WIDE)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.undo = Act("Take the last step back")
        self.undo.clicked.connect(self._take_back)
        self.undo.hide()
        back, every_letter = Act("Back to the family"), Act("All letters")
        back.clicked.connect(lambda: routes.family(home.chart.family))
        every_letter.clicked.connect(lambda: routes.letters(""))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        keys = (home_key(routes), back, every_letter, self.undo, self.saved)
        outer.addWidget(Spread(self.main, None, band(keys, always(session, routes))))
        self.title, self.line = Title("", size=Size.GREETING), Words("", ink=Role.SOFT_INK)
        self.trouble = Words("", ink=Role.WELD, strong=True)
        self.again_key = Act("Read again")
        self.again_key.clicked.connect(self._read_past)
        self._again = key_row(self.again_key)
        self._again.hide()
        self.trouble.hide()
        self.listed = Stack(between=Space.WIDE)
        self.main.add(self.title, self.line, self.trouble, self._again, self.listed)
        self.main.finish()
        home.changed.connect(self.refresh)
        home.reloaded.connect(self.refresh)
        self.refresh()

    def _today(self) -> date:
        return Moment(self.session.clock(), self.session.zone).local().date()

    def refresh(self) -> None:
        """Say how each letter stands; a card is made anew when its letter, or what came back for it, is another."""
        chart = self.home.chart
        name = chart.person(Family, chart.family).family_name
        named = f": {name.strip()}" if isinstance(name, str) and name.strip() else ""
        self.title.say(f"Letters and answers{named}")
        found = letters(chart, self._today())
        self.line.say(f"{counted(found)} {_WRITTEN}" if found else _NONE)
        standing = tuple((one.entry.id, one.entry.heads.get("state", ())) for one in found)
        if standing != self._asked:
            self._asked = standing
            self._read_past()
        papers = len(chart.all(PaperIssued))
        shown = tuple((one.entry, one.says, one.release, self._came(one), papers) for one in found)
        if shown != self._shown:
            self._shown = shown
            self._list(found)
        for each in self.answers.values():
            each.refresh()

    def _came(self, letter: Letter) -> tuple[object, ...]:
        """What of the answers decides how a card looks; what is being typed does not build it anew."""
        return (letter.differs, *(one.id for one in letter.answers))

    def _list(self, found: tuple[Letter, ...]) -> None:
        held = {which: one for which, one in self.answers.items() if one.page is not None}
        for each in held.values():
            if each.page is not None:
                each.page.commit()
        self.listed.clear()
        self.cards, self.answers = {}, {}
        for letter in found:
            card = LetterCard(
                self.home, letter, self._past.get(letter.entry.id, ()), self._today(),
                move=self.step, answer=self.write_answer, shown=self._answer,
            )  # fmt: skip
            self.cards[letter.entry.id] = card
            self.listed.add(card)
        for which in held:
            if which in self.answers:
                self.answers[which].turn()

    def _answer(self, answer: str) -> AnswerShown:
        made = self.answers[answer] = AnswerShown(self.home, answer, self._pick)
        return made

    def _read_past(self) -> None:
        """Read from the log which steps each letter took."""
        which = [one.entry.id for one in letters(self.home.chart, self._today())]

        def read(store: Store) -> Past:
            return {letter: store.history(letter, Field("state")) for letter in which}

        self.session.lane.run(read, self._take_past, self._not_read)

    def _take_past(self, past: Past) -> None:
        self._past, self._shown = past, None
        self.trouble.hide()
        self._again.hide()
        self.refresh()

    def _not_read(self, trouble: Trouble) -> None:
        self.trouble.say(f"What became of the letters could not be read. {trouble.sentence}")
        self.trouble.show()
        self._again.show()

    # --- writing ----------------------------------------------------------------------------------------------------

    def step(self, letter: Letter, state: str, words: str) -> None:
        """Write a step of a letter, as one."""
        now = Moment(self.session.clock(), self.session.zone)
        # Answers written a moment ago are told with the others; the state replaced is the one that was shown.
        fresh = (one for one in letters(self.home.chart, self._today()) if one.entry.id == letter.entry.id)
        told = replace(letter, answers=next(fresh, letter).answers)
        self.home.write(
            lambda _store: moved(told, state, words, now),
            self._stepped,
            lambda trouble: self._not_written(letter, trouble),
        )

    def write_answer(self, letter: Letter) -> None:
        """Begin an answer to a letter, open to be written; it came now, from the letter's recipient."""
        answer, now = self.session.ids(), Moment(self.session.clock(), self.session.zone)
        place = Place(LetterAnswer.name, self.home.chart.family, None, letter.entry.place.subjects)
        given = {"letter": letter.entry.id, "came": now}
        if isinstance(letter.entry.answers.to, str):
            given["from_whom"] = letter.to
        changes: tuple[Change, ...] = (
            Begin(answer, place),
            *(Put(answer, Field(name), value) for name, value in given.items()),
        )

        def begun(written: ChangeSet) -> None:
            self._stepped(written)
            self.home.reload(lambda: self._open(answer))

        self.home.write(lambda _store: changes, begun, lambda trouble: self._not_written(letter, trouble))

    def _open(self, answer: str) -> None:
        self.refresh()
        shown = self.answers.get(answer)
        if shown is not None and shown.page is None:
            shown.turn()

    def _stepped(self, _written: ChangeSet) -> None:
        self._steps += 1
        self.undo.show()
        self.trouble.hide()

    def _take_back(self) -> None:
        """Undo a step taken on this page, newest first; steps of other pages are undone there."""
        if self._steps:
            self._steps -= 1
            self.undo.setVisible(self._steps > 0)
            self.home.take_back()

    def _not_written(self, letter: Letter, trouble: Trouble) -> None:
        self.trouble.say(trouble.sentence)
        self.trouble.show()
        card = self.cards.get(letter.entry.id)
        if card is not None:
            card.again()
