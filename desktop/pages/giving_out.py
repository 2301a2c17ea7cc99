"""The record given out, on a family's page: what a release package holds, for whom, what for and how; then made."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Final
from zoneinfo import ZoneInfo

from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import answer_words, day_words
from desktop.controls.typed import Box
from desktop.controls.words import Title, Words
from desktop.files import pick_place
from desktop.open_chart import OpenChart
from desktop.pages.giving_how import LOCKED, HowItLeaves
from desktop.pages.giving_left import WAITS, PackagesLeft
from desktop.pages.paper_in_hand import InHand
from desktop.pages.paper_leaves import Left
from desktop.pages.paper_view import PaperPages
from desktop.pages.plain import key_row
from desktop.pages.secret import Told
from desktop.theme.tokens import Role, Size, Space
from forms.ask import Paper, ask_of
from forms.chart import Entry
from forms.clinical.evidence import zone_of
from forms.consent import Release
from forms.practice import Provider
from forms.referral import PURPOSES_OF_LEAVING, PaperIssued
from forms.release_package import MayGo, askers, has_limits, may_go, may_insist, under_which
from forms.trouble import Trouble
from sync.handoff.package import Given, give_locked, give_open, look_at
from sync.handoff.package_inside import Asked
from sync.handoff.password import new_password
from sync.handoff.way import Way

__all__ = ["GivingOut"]

_TABLES: Final = "tables"
_FIRST: Final = "The password above is not told yet. Say there that it is told; then the next package can leave."
_NAMES: Final = MappingProxyType({
    Paper.SUMMARY: "Visit summary", Paper.REPORT: "Report", Paper.REFERRAL: "Referral letter",
    Paper.CLOSING: "Closing letter",
})  # fmt: skip


class GivingOut(Stack):
    """One key that opens what is asked for a package, and a line for each package that left."""

    def __init__(self, home: OpenChart, pick: Callable[[QWidget, str, Path, str], Path | None] = pick_place) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._pick = home, pick
        self.person, self.asker, self.purpose = "", "", ""
        self.picked: tuple[str, ...] = ()
        self._asked = 0
        self._working: Act | None = None
        title = Title("The record, given out", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self._hand = InHand.of(home)
        self.left = PackagesLeft(home)
        self.key = Act("Make a release package")
        self.key.clicked.connect(self.turn)
        self.left.told.connect(self.key.setFocus)
        for changed in (self.left.told, self.left.waiting, self._hand.waits):
            changed.connect(self._enable)
        self.add(title, self.left, key_row(self.key))
        self._lay()
        self.body.hide()
        self.refresh()

    # --- what is asked ----------------------------------------------------------------------------------------------

    def _lay(self) -> None:
        self.body = Stack(between=Space.SNUG)
        self.people = Segments("About whom", {})
        self.people.picked.connect(self._take_person)
        self.who = Segments("Who asks for it", {})
        self.who.picked.connect(self._take_asker)
        self.stands = Told()
        self.what = Segments("What goes along", {}, several=True)
        self.what.picked.connect(self._take_what)
        self.purpose_strip = Segments(ask_of(PaperIssued, "purpose").label, PURPOSES_OF_LEAVING)
        self.purpose_strip.picked.connect(self._take_purpose)
        self.words = Box(ems=24)
        self.words.setAccessibleName(ask_of(PaperIssued, "purpose_words").label)
        self.words.setPlaceholderText("In a few words")
        self.words.textChanged.connect(self._changed)
        self.words.hide()
        self._rest = Stack(between=Space.SNUG)
        self.how = HowItLeaves()
        self.how.changed.connect(self._way_changed)
        self.told = Told()
        self.look_key = Act("Show its index")
        self.look_key.clicked.connect(self._look)
        self.give_key = Act("", kind=ActKind.MAIN)
        self.give_key.clicked.connect(self._give)
        self.first = Words(_FIRST, ink=Role.SOFT_INK)
        self.first.hide()
        stay = Link("Not now", size=Size.BASE)
        stay.clicked.connect(self.turn)
        self._pages = Stack()
        self.shown: PaperPages | None = None
        self._rest.add(
            Words("What goes along", strong=True), self.what,
            Words(ask_of(PaperIssued, "purpose").label + "?", strong=True), self.purpose_strip, self.words,
            self.how, self.told, self.first, key_row(self.give_key, self.look_key, stay), self._pages,
        )  # fmt: skip
        self._whom = Words("Who asks for it", strong=True)
        self.body.add(
            Words("About whom", strong=True), self.people, self._whom, self.who, self.stands, self._rest
        )  # fmt: skip
        self.add(self.body)

    def turn(self) -> None:
        """Open what is asked, or put it away with everything picked."""
        self.body.setVisible(self.body.isHidden())
        self.key.setVisible(self.body.isHidden())
        self.person, self.asker, self.purpose, self.picked = "", "", "", ()
        self.words.clear()
        self.how.start()
        self._way_changed()
        self.refresh()

    def refresh(self) -> None:
        """Show what left by now, and offer what can be picked from what stands now."""
        self.left.refresh()
        if self.body.isHidden():
            return
        names = {one: self._home.names(one) for one in (*self._home.infants(), *self._home.parents())}
        self.people.set_options(names)
        self.people.show_codes((self.person,))
        self._offer()

    # --- what can be picked -----------------------------------------------------------------------------------------

    def _offer(self) -> None:
        """The lines below the person: who can ask, whether that holds today, and what there is to give."""
        chart, picked = self._home.chart, bool(self.person)
        self._rest.hide()
        self.stands.progress("")
        for part in (self._whom, self.who):
            part.setVisible(picked)
        if not picked:
            if not (self._home.infants() or self._home.parents()):
                self.stands.progress("Nobody is written down yet, so there is nothing to give out.")
            return
        self.who.set_options({one: self._named(one) for one in askers(chart, self.person)})
        self.who.show_codes((self.asker,))
        try:
            papers = may_go(chart, self.person)
            if not self.asker:
                none = "Nobody can ask yet: write down a parent, or at a visit a release to a provider."
                self.stands.progress("" if askers(chart, self.person) else none)
                return
            today = self._home.clock().astimezone(ZoneInfo(zone_of(chart))).date()
            release = under_which(chart, self.person, self.asker, today, called=self._named(self.asker))
        except Trouble as trouble:
            self.stands.trouble(trouble.sentence)
            return
        self.stands.progress(self._ground(release))
        named = self._named(self.asker)
        if self.how.offer(self.person, self.asker, named, parent=may_insist(chart, self.asker)):
            self._way_changed()
        self._offer_papers(papers, limits=has_limits(release))

    def _offer_papers(self, papers: tuple[MayGo, ...], *, limits: bool) -> None:
        offered = {one.key: _paper_words(one) for one in papers}
        if not limits:
            offered[_TABLES] = "Answers as tables, for other programs"
        self.what.set_options(offered)
        self.picked = tuple(one for one in self.picked if one in offered)
        self.what.show_codes(self.picked)
        self.purpose_strip.show_codes((self.purpose,))
        self.words.setVisible(self.purpose == "other")
        self._rest.show()

    def _named(self, one: str) -> str:
        found = self._home.chart.by_id(one)
        if found is not None and isinstance(found.answers, Provider):
            return answer_words(ask_of(Provider, "full_name"), found.answers.full_name)
        return self._home.names(one)

    def _ground(self, release: Entry[Release] | None) -> str:
        if release is None:
            own = self.asker == self.person
            return "At this person’s own request." if own else "At the request of a parent who may consent."
        row = release.answers
        by, until = (answer_words(ask_of(Release, f), getattr(row, f)) for f in ("given_by", "valid_until"))
        line = f"Under the release given by {by}, valid until {until}."
        if has_limits(release):
            line += f" It excludes: {answer_words(ask_of(Release, 'limits'), row.limits)} Pick only what keeps to that."
        return line

    def _take_person(self, code: str) -> None:
        self.person, self.asker, self.picked = code, "", ()
        self.how.start()
        self._way_changed()
        self.refresh()

    def _take_asker(self, code: str) -> None:
        self.asker = code
        self._changed()
        self.refresh()

    def _take_what(self, code: str) -> None:
        kept = [one for one in self.picked if one != code]
        self.picked = tuple(kept) if code in self.picked else (*self.picked, code)
        self.what.show_codes(self.picked)
        self._changed()

    def _take_purpose(self, code: str) -> None:
        self.purpose = "" if code == self.purpose else code
        self.purpose_strip.show_codes((self.purpose,))
        self.words.setVisible(self.purpose == "other")
        if self.purpose == "other":
            self.words.setFocus()
        self._changed()

    def _changed(self, *_said: object) -> None:
        """What is shown of the index is of what was picked before: it goes."""
        self._asked += 1
        self.told.progress("")
        self._pages.clear()
        self.shown = None

    def _way_changed(self) -> None:
        self.give_key.say("Choose where, and write it" if self.how.insisted else "Choose where, and lock it")
        self._changed()
        self._enable()

    # --- looked at, and given ---------------------------------------------------------------------------------------

    def asked(self) -> Asked:
        """What is asked for as it is picked now."""
        papers = tuple(one for one in self.picked if one != _TABLES)
        return Asked(
            self._home.chart.family, self.person, self.asker, papers, _TABLES in self.picked, self.purpose,
            " ".join(self.words.text().split()) if self.purpose == "other" else "", insisted=self.how.insisted,
        )  # fmt: skip

    def _busy(self, words: str, key: Act) -> tuple[Asked, int]:
        """Something is under way that `key` began; until it has ended no other thing is."""
        self._changed()
        self._home.save()
        self._working = key
        self._enable()
        self.told.progress(words)
        return self.asked(), self._asked

    def _enable(self) -> None:
        free, untold = self._working is None and not self.how.waits, self._hand.waiting(WAITS) is not None
        self.look_key.setEnabled(free)
        self.give_key.setEnabled(free and not untold)
        self.first.setVisible(untold)

    def _free(self) -> None:
        """It has ended: the key it began with has the focus again, beside the sentence that says how it went."""
        began, self._working = self._working, None
        self._enable()
        if began is not None and began.isEnabled() and not self.body.isHidden():
            began.setFocus()

    def _look(self) -> None:
        asked, number = self._busy("Putting the package together to show its index.", self.look_key)
        author, now = self._home.author, self._home.clock()
        self._home.lane.run(
            lambda store: look_at(store, asked, author=author, now=now),
            partial(self._show, number), self._refused,
        )  # fmt: skip

    def _show(self, number: int, pages: bytes) -> None:
        if not isValid(self):
            return
        self._free()
        if number == self._asked:
            self.told.progress("Nothing has left yet. Seals and fingerprints are made as it is written.")
            self.shown = PaperPages(pages)
            self._pages.add(self.shown)

    def _give(self) -> None:
        if self.how.insisted:
            self._give_open()
        else:
            self._give_locked()

    def _give_open(self) -> None:
        place = self._pick(self.window(), "Where the folder goes", Path.home(), "release-package")
        if place is None:
            return
        asked, _number = self._busy("Writing the folder. This can take a minute.", self.give_key)
        author, now = self._home.author, self._home.clock()
        self._home.lane.run(
            lambda store: give_open(store, asked, place, author=author, now=now), self._given, self._refused
        )

    def _give_locked(self) -> None:
        place = self._pick(self.window(), "Where the locked file goes", Path.home(), "release-package.pdf")
        if place is None:
            return
        asked, _number = self._busy("Putting the file together and locking it. This can take a minute.", self.give_key)
        author, now, password = self._home.author, self._home.clock(), new_password()
        self._home.lane.run(
            lambda store: give_locked(store, asked, place, password, author=author, now=now),
            partial(self._given_locked, password), self._refused,
        )  # fmt: skip

    def _given_locked(self, password: str, given: Given) -> None:
        """The password is held with the open chart, where a page laid anew meanwhile finds it, until it is told.

        Where the chart was closed meanwhile, the page of the family finds it in the store.
        """
        way = Way(LOCKED, password=password)
        left = Left(Paper.PACKAGE, b"", way, given.entry, place=str(given.place), unstamped=given.unstamped)
        hand = self._hand
        self._home.reload()
        if isValid(self):
            self._free()
            if not self.body.isHidden():
                self.turn()
        if isValid(hand):
            hand.wait(left, WAITS)

    def _given(self, given: Given) -> None:
        self._home.reload()
        if not isValid(self):
            return
        self.how.start()  # what was answered was about this package
        self._way_changed()
        done = f"{given.files} files are in {given.place}. Give nothing but this folder. {given.unstamped}"
        self.told.progress(done.rstrip())
        self.refresh()
        self._free()

    def _refused(self, trouble: Trouble) -> None:
        if isValid(self):
            self.told.trouble(trouble.sentence)
            self._free()


def _paper_words(one: MayGo) -> str:
    return f"{_NAMES[one.kind]}, {day_words(one.day)}" if one.day is not None else _NAMES[one.kind]
