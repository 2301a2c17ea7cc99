"""What a file from elsewhere offers about one person: whom it means here is asked first, then fact beside fact."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from types import MappingProxyType
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import answer_words, moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.sheets.received_seen import when_words
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Absent
from forms.ask import Kind, ask_of
from forms.form import Form
from forms.people import InfantIdentity, ParentIdentity
from sync.handoff.facing import Faced, Way, doubts_of, faced, label_of, question_of
from sync.handoff.reading.held import HandOver, Offer, Person

__all__ = ["AT_ONCE", "NOBODY", "FactRow", "PersonOffered"]

AT_ONCE: Final = 40
"""Facts that are shown before it is asked for more: a file may hold thousands."""
NOBODY: Final = "nobody"
_LONGEST: Final = 600
"""Characters of a fact that are shown; all of it is taken, and the file keeps it."""

_STATE: Final[Mapping[Way, str]] = MappingProxyType({
    Way.ANSWER: "Here: nothing yet.",
    Way.STANDS: "Stands in the chart already, the same.",
    Way.KEPT: "Kept in the sender’s words.",
})  # fmt: skip
_SOMEBODY_ELSE: Final = "Nothing about somebody else is taken into this family’s chart."
_IN_WORDS: Final = (
    "What a question here asks for goes into that question. Everything else is kept in the sender’s words, and nothing "
    "is worked out from it."
)

_OF_THE_SHEET: Final = (
    "An answer goes into its own question here, as the family’s own. What the sheet asks about now or about 24 hours "
    "was so when it was filled in: ask whether it still is before you take it."
)
_ON_THE_SHEET: Final[Mapping[type[Form], str]] = MappingProxyType({
    ParentIdentity: "Of the parent, on the sheet", InfantIdentity: "Of the baby, on the sheet",
})  # fmt: skip


def _shortened(words: str) -> str:
    plain = re.sub(r"\s*\n\s*", " / ", words.strip())
    return plain if len(plain) <= _LONGEST else f"{plain[:_LONGEST]} …"


def offered_words(offer: Offer) -> str:
    """What is offered: "Birth weight: 3420 g"."""
    said = offer.words
    if offer.is_answer and offer.form is not None and offer.path is not None and not isinstance(offer.value, Absent):
        ask = ask_of(offer.form, offer.path.field)
        if ask.kind in (Kind.MOMENT, Kind.DAY, Kind.CHOICE, Kind.MANY):
            said = answer_words(ask, offer.value)
    return f"{question_of(offer)}: {_shortened(said) or 'nothing written'}"


def part_words(offer: Offer, zone: str) -> str:
    """The part of the file a fact stands in, over its facts: "Amounts, 3 Mar 2026, 12:00, by Rowan Vale"."""
    if offer.form is None or offer.entry.partition(":")[2].startswith("Observation"):
        return "Measured or written down"
    named = offer.form.title
    written = "" if offer.also else when_words(offer.at, zone)
    return ", ".join(filter(None, (named, written, f"by {offer.author}" if offer.author else "")))


def held_words(one: Faced) -> str:
    """What the chart holds beside it, each value as it stands."""
    if one.offer.form is None:
        return ""
    said = []
    for held in one.held:
        ask = ask_of(one.offer.form, held.path.field)
        words = answer_words(ask, held.given)
        named = words if held.path == one.offer.path else f"{ask.label}: {words}"
        said.append(f"{named}, {moment_words(held.at)}" if held.at is not None else named)
    return "; ".join(said)


class FactRow(Stack):
    """One fact: what is offered, by whom, what stands here, and what can be done about it.

    Signals: `taken(bool)`, beside what stands when true; `left(bool)`, false when it is looked at again.
    """

    taken = Signal(bool)
    left = Signal(bool)

    def __init__(self, offer: Offer, zone: str, part: str) -> None:
        super().__init__(between=Space.FINE)
        self.words = Words(offered_words(offer), strong=True)
        said = when_words(offer.at, zone)
        said = "" if said and said in part else said
        self.source = Words(said, size=Size.SMALL, ink=Role.SOFT_INK)
        self.state = Words("")
        self.doubts = Words(" ".join(offer.doubts), ink=Role.WELD)
        self.label = label_of(offer)
        self.take, self.beside = Act("Take"), Act("Keep beside it")
        self.leave, self.again = Link("Leave"), Link("Look again")
        for key, name in (
            (self.beside, "Keep beside what stands"), (self.leave, "Leave"), (self.again, "Look again at"),
        ):  # fmt: skip
            key.setAccessibleName(f"{name}: {self.label}")
        self.take.clicked.connect(lambda: self.taken.emit(False))
        self.beside.clicked.connect(lambda: self.taken.emit(True))
        self.leave.clicked.connect(lambda: self.left.emit(True))
        self.again.clicked.connect(lambda: self.left.emit(False))
        keys = QWidget()
        flow = Flow(keys, gap=Space.GAP)
        for key in (self.take, self.beside, self.leave, self.again):
            flow.addWidget(key)
        told = Stack(between=Space.FINE)
        told.add(self.words, self.source, self.state, self.doubts)
        told.finish()
        self.source.setVisible(bool(said))  # only now that it stands in something: a part alone would be a window
        self.doubts.setVisible(bool(offer.doubts))
        across = QWidget()
        beside = Beside(across, gap=Space.WIDE)
        beside.addWidget(told)
        beside.addWidget(keys)
        self.add(across, Rule())

    def show_faced(self, one: Faced, *, busy: bool, left: bool, by_her: bool) -> None:
        """Show how it stands now; `by_her`: it was taken on this page."""
        open_to = one.way in (Way.ANSWER, Way.INSTEAD, Way.BESIDE)
        there = one.way in (Way.STANDS, Way.KEPT)
        held, done = held_words(one), there and by_her
        if left:
            self.state.say("Left in the file.")
        elif done:
            self.state.say("Taken." if one.way is Way.STANDS else "Taken, in the sender’s words.")
        elif one.way is Way.INSTEAD:
            self.state.say(f"Here stands: {held}.")
        elif one.way is Way.ANSWER and held:
            self.state.say(f"Weighed here that day: {held}.")
        elif one.way is Way.BESIDE:
            self.state.say(f"{one.why} {held}.".strip() if held and one.why else one.why)
        else:
            self.state.say(_STATE.get(one.way, one.offer.only_shown))
        self.state.setVisible(bool(self.state.said()))
        self.state.take_ink(Role.ALDER if done else Role.INK if one.way is Way.INSTEAD else Role.SOFT_INK)
        verb = "Take in its place" if one.way is Way.INSTEAD else "Take"
        if self.take.text() != verb or not self.take.accessibleName().endswith(self.label):
            self.take.say(verb)
            self.take.setAccessibleName(f"{verb}: {self.label}")
        self.take.setVisible(open_to and not left)
        self.beside.setVisible(one.way is Way.INSTEAD and not left)
        self.leave.setVisible(open_to and not left)
        self.again.setVisible(left)
        for key in (self.take, self.beside):
            key.setEnabled(not busy)


class PersonOffered(Stack):
    """Everything offered about one person of the file.

    Signal `taken(faced, beside)`: she took a fact. `who` is the person of the family it was said to be, "" before.
    """

    taken = Signal(object, bool)

    def __init__(self, home: OpenChart, found: HandOver, person: Person, offers: tuple[Offer, ...]) -> None:
        super().__init__(between=Space.GAP)
        self.home, self.found, self.person, self.offers = home, found, person, offers
        self.who, self.busy = "", False
        self._shown, self._fresh = AT_ONCE, home.ids()
        self._left: set[str] = set()
        self._by_her: set[str] = set()
        self.rows: dict[str, FactRow] = {}
        self._part = ""
        self.title = Title(self._named(), size=Size.JOT)
        about = ", ".join(
            filter(None, (f"born {when_words(person.born, home.zone)}" if person.born else "", person.sex))
        )
        self.strip = Segments("Who is this here?", {})
        self.strip.picked.connect(self.choose)
        self.warned = Words("", ink=Role.WELD, strong=True)
        self.told = Words("", ink=Role.SOFT_INK)
        self.listed = Stack(between=Space.SNUG)
        self.more = Link("", size=Size.BASE)
        self.more.clicked.connect(self._show_more)
        self.add(Rule(strong=True), self.title)
        asks = "Who is this here? A name alone is not enough to go by."
        self.add(Words(f"{about[:1].upper()}{about[1:]}. {asks}" if about else asks), self.strip, self.warned)
        self.add(self.told, self.listed, self.more)
        self.refresh()

    def _named(self) -> str:
        many = "1 fact" if len(self.offers) == 1 else f"{len(self.offers):,} facts"
        if not self.person.id:
            return f"The file does not say about whom: {many}"
        if self.person.form is not None:
            answers = "1 answer" if len(self.offers) == 1 else f"{len(self.offers)} answers"
            named = ", ".join(self.person.names)
            return f"{_ON_THE_SHEET[self.person.form]}: {f'{named}, ' if named else ''}{answers}"
        return f"In the file: {', '.join(self.person.names) or 'somebody without a name'}, {many}"

    def _people(self) -> tuple[str, ...]:
        """Whom it can be about: babies alone, or parents alone, where the file itself tells which."""
        babies = self.home.infants() if self.person.form is not ParentIdentity else ()
        parents = self.home.parents() if self.person.form is not InfantIdentity else ()
        return (*babies, *parents)

    def choose(self, who: str) -> None:
        """Say who of the family this is; `NOBODY` for somebody else."""
        self.who = who
        self.strip.show_codes((who,) if who else ())
        self.refresh()

    def mark_taken(self, offer: str) -> None:
        """It was taken on this page, whichever way it stands now."""
        self._by_her.add(offer)

    def faced(self, offer: Offer) -> Faced:
        """A fact beside what stands now."""
        return faced(self.found, offer, self.home.chart, self.who, self._fresh)

    def refresh(self) -> None:
        """Write anew what stands beside each fact."""
        people = self._people()
        self.strip.set_options({**{who: self.home.names(who) for who in people}, NOBODY: "Nobody of this family"})
        chosen = self.who in people
        doubts = doubts_of(self.person, self.home.chart, self.who) if chosen else ()
        self.warned.say(" ".join((*doubts, "Make sure that it is the same person.")) if doubts else "")
        self.warned.setVisible(bool(doubts))
        going = _OF_THE_SHEET if self.person.form is not None else _IN_WORDS
        taking = going if self.found.sender.can_be_taken_from else self.found.sender.words
        self.told.say(taking if chosen else _SOMEBODY_ELSE if self.who else "")
        self.told.setVisible(bool(self.told.said()))
        self.listed.setVisible(chosen)
        self.more.setVisible(chosen and len(self.offers) > self._shown)
        self.more.say(f"Show more, {len(self.offers) - self._shown:,} are left")
        if not chosen:
            return
        for offer in self.offers[: self._shown]:
            row = self.rows.get(offer.id) or self._row(offer)
            one = self.faced(offer)
            if one.way not in (Way.STANDS, Way.KEPT) and not self.busy:
                self._by_her.discard(offer.id)
            row.show_faced(one, busy=self.busy, left=offer.id in self._left, by_her=offer.id in self._by_her)

    def _row(self, offer: Offer) -> FactRow:
        part = part_words(offer, self.home.zone)
        if part != self._part:
            self._part = part
            heading = Words(part, ink=Role.SOFT_INK)
            heading.setContentsMargins(0, Space.SNUG, 0, 0)
            self.listed.add(heading, Rule())
        row = self.rows[offer.id] = FactRow(offer, self.home.zone, part)
        row.taken.connect(partial(self._take, offer))
        row.left.connect(partial(self._leave, offer.id))
        self.listed.add(row)
        return row

    def _take(self, offer: Offer, beside: bool) -> None:
        if not self.busy:
            self.taken.emit(self.faced(offer), beside)
            self._fresh = self.home.ids()

    def _leave(self, offer: str, left: bool) -> None:
        self._left.add(offer) if left else self._left.discard(offer)
        self.refresh()

    def _show_more(self) -> None:
        self._shown += AT_ONCE
        self.refresh()
