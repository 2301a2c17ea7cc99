"""One family between visits: its people, its visits, its weights, what was said on the phone, what others sent."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Beside, Stack
from desktop.controls.shown import day_words, moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.bands import always, home_key
from desktop.pages.care_end import CareEnd
from desktop.pages.caselines import traces_of
from desktop.pages.caseload import awaited_words
from desktop.pages.charted import ChartPage
from desktop.pages.family_person import PersonRow
from desktop.pages.intake_sheet import IntakeSheet
from desktop.pages.letters_so_far import LettersSoFar
from desktop.pages.page import Spread, band
from desktop.pages.plain import key_row
from desktop.pages.received_so_far import ReceivedSoFar
from desktop.pages.weights_so_far import WeightsSoFar
from desktop.session import Routes, Session
from desktop.sheets.practice import CONTACT
from desktop.sheets.sheet import Listed
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.ask import Path, ask_of
from forms.chart import Entry, Place
from forms.contact import Contact
from forms.form import Form
from forms.loops import awaited
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.trouble import Trouble
from forms.visit import Visit
from storage.changes import Begin, Change, Put

__all__ = ["FamilyPage"]


def _contact_line(entry: Entry[Contact], name: Callable[[str], str]) -> str:
    del name  # a contact says itself with whom it was
    kept = entry.answers
    when = moment_words(kept.at) if isinstance(kept.at, Moment) else "Time not written yet"
    channel = ask_of(Contact, "channel").options.get(kept.channel, "") if isinstance(kept.channel, str) else ""
    who = f"with {kept.who}" if isinstance(kept.who, str) and kept.who.strip() else ""
    return ", ".join(part for part in (when, channel.lower(), who) if part)


class FamilyPage(ChartPage):
    """The page. A visit is begun here; what is typed here is autosaved."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("family")
        self.main = Stack(between=Space.GAP)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.side = Stack(between=Space.SNUG)
        self.begin_key = Act("Begin a visit", kind=ActKind.MAIN)
        self.begin_key.clicked.connect(self.begin_visit)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        foot = band((home_key(routes), self.begin_key, self.saved), always(session, routes))
        outer.addWidget(Spread(self.main, self.side, foot))
        self._rows: dict[str, PersonRow] = {}
        self._listed: tuple[str, ...] | None = None
        self._head()
        self.people = Stack(between=Space.NONE)
        self.main.add(self.people)
        self._weights()
        self._contacts()
        self.letters = LettersSoFar(session, routes, home)
        self.received = ReceivedSoFar(session, routes, home)
        self.care_end = CareEnd(session, routes, home)
        self.intake = IntakeSheet(session, home)
        self.main.add(self.letters, self.received, self.intake, self.care_end)
        self.main.finish()
        home.changed.connect(self.refresh)
        home.reloaded.connect(self._people)
        self._people()
        self.refresh()

    # --- head -------------------------------------------------------------------------------------------------------

    def _head(self) -> None:
        self.title = Title("", size=Size.GREETING)
        self.address = Words("", ink=Role.SOFT_INK)
        named = Stack(between=Space.NONE)
        named.add(self.title, self.address)
        self.home_link = Link("This home")
        self.home_link.clicked.connect(self._turn_home)
        head = QWidget()
        beside = Beside(head, gap=Space.WIDE)
        beside.addWidget(named)
        beside.addWidget(self.home_link)
        self.awaited = Stack(between=Space.NONE)
        self.main.add(head, self.awaited)
        self._home_page: QWidget | None = None

    def _show_awaited(self) -> None:
        """What an urgent call still waits for, until a call or message written down below tells it."""
        today = Moment(self.session.clock(), self.session.zone).local().date()
        due = [loop for loop in awaited(self.home.chart) if loop.due is not None]
        self.awaited.clear()
        for loop in due:
            late = loop.due is not None and loop.due < today
            self.awaited.add(Words(awaited_words(loop, today), strong=True, ink=Role.WELD if late else Role.INK))
        self.awaited.setVisible(bool(due))

    def _turn_home(self) -> None:
        """Open the sheet of the home in place, or close it."""
        if self._home_page is not None:
            self._home_page.hide()
            self._home_page.deleteLater()
            self._home_page = None
            self.home_link.say("This home")
            return
        from desktop.pages.family_person import home_sheet

        page = home_sheet(self.home)
        self.main.layout().insertWidget(1, page)  # type: ignore[union-attr]  # a Stack is a column
        self._home_page = page
        self.home_link.say("Close")

    def refresh(self) -> None:
        """Write names, lines and weights anew from what stands now."""
        family = self.home.chart.person(Family, self.home.chart.family)
        name, address = family.family_name, family.address
        self.title.say(name if isinstance(name, str) and name.strip() else "Name not written yet")
        self.address.say(address.strip().replace("\n", ", ") if isinstance(address, str) else "No address yet")
        for row in self._rows.values():
            row.refresh()
        self.weights.show_traces(traces_of(self.home.chart))
        self._show_awaited()
        self._visits()
        self.letters.refresh()
        self.received.refresh()
        self.care_end.refresh()

    # --- people -----------------------------------------------------------------------------------------------------

    def _people(self) -> None:
        held = {**self._rows}
        people = (*self.home.parents(), *self.home.infants())
        if people == self._listed:
            return
        self._listed = people
        self.people.clear()
        self._rows = {}
        for person in people:
            row = self._rows[person] = PersonRow(self.home, person)
            if person in held and held[person].open:
                row.turn()
            self.people.add(row, Rule())
        if not people:
            nobody = Words("Nobody is written down yet. Begin with the baby or the parent who called.")
            nobody.setContentsMargins(0, Space.WIDE, 0, Space.GAP)
            self.people.add(nobody)
        parent = Act("Add a parent or carer", icon=Icon.PLUS, kind=ActKind.BARE)
        parent.clicked.connect(partial(self.add_person, ParentIdentity))
        baby = Act("Add a baby", icon=Icon.PLUS, kind=ActKind.BARE)
        baby.clicked.connect(partial(self.add_person, InfantIdentity))
        self.people.add(key_row(parent, baby))

    def add_person(self, form: type[Form], *_pressed: object) -> None:
        """Begin a person, open to be written down. A further baby of one birth takes over what the babies share."""
        person = self.session.ids()
        family = self.home.chart.family
        changes: list[Change] = [Begin(person, Place(form.name, family))]
        if form is InfantIdentity:
            changes += [Put(person, Path("tag_shape"), self._free_shape())]
        self.home.save()
        self.session.lane.run(
            lambda store: store.write(changes, author=self.session.author),
            lambda _done: self.home.reload(lambda: self._open_person(person)),
        )

    def _free_shape(self) -> str:
        taken = {e.answers.tag_shape for e in self.home.chart.all(InfantIdentity)}
        shapes = tuple(ask_of(InfantIdentity, "tag_shape").options)
        return next((shape for shape in shapes if shape not in taken), shapes[0])

    def _open_person(self, person: str) -> None:
        self._people()
        row = self._rows.get(person)
        if row is not None and not row.open:
            row.turn()

    # --- weights and contacts ---------------------------------------------------------------------------------------

    def _weights(self) -> None:
        title = Title("Weights so far", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.weights = WeightsSoFar(self.session.zone)
        self.main.add(title, self.weights)

    def _contacts(self) -> None:
        from desktop.sheets.listing import Listing

        title = Title("Calls and messages", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        listed = Listed(add="Write down a call or message", empty="None yet.", line=_contact_line)
        self.contacts = Listing(self.home, Contact, "", CONTACT.build, listed)
        self.main.add(title, self.contacts)

    # --- visits -----------------------------------------------------------------------------------------------------

    def _visits(self) -> None:
        chart = self.home.chart
        self.side.clear()
        self.side.add(Title("Visits", size=Size.JOT))
        visits = chart.all(Visit)
        if not visits:
            self.side.add(Rule(), Words("None yet. Begin one at the door.", ink=Role.SOFT_INK))
        kinds = ask_of(Visit, "kind").options
        for entry in sorted(visits, key=_start, reverse=True):
            start, kind, signed = entry.answers.start, entry.answers.kind, chart.signed(entry.id)
            day = day_words(start.local()) if isinstance(start, Moment) else "Start not written"
            link = Link(day, size=Size.BASE)
            link.clicked.connect(partial(self._to_visit, entry.id))
            how = kinds.get(kind, "") if isinstance(kind, str) else ""
            state = (
                f"signed {moment_words(Moment(signed.at, self.session.zone))}"
                if signed is not None
                else "not signed yet"
            )
            words = Words(", ".join(part for part in (how, state) if part), ink=Role.SOFT_INK)
            if signed is None:
                words.take_ink(Role.WELD)
            self.side.add(Rule(strong=True), link, words)
        self.side.finish()

    def _to_visit(self, visit: str, *_pressed: object) -> None:
        self.home.save()
        self.routes.visit(self.home.chart.family, visit)

    def begin_visit(self) -> None:
        """Begin a visit now, with its start and its consultant; everything else is asked in it."""
        visit, family, now = self.session.ids(), self.home.chart.family, Moment(self.session.clock(), self.session.zone)
        answers = {"start": now, "practitioner": self.session.author}
        changes: tuple[Change, ...] = (
            Begin(visit, Place(Visit.name, family)),
            *(Put(visit, Path(field), value) for field, value in answers.items()),
        )
        self.begin_key.setEnabled(False)
        self.home.save()
        self.session.lane.run(
            lambda store: store.write(changes, author=self.session.author),
            lambda _done: self.routes.visit(family, visit),
            self._not_begun,
        )

    def _not_begun(self, trouble: Trouble) -> None:
        self.begin_key.setEnabled(True)
        self.session.notices.trouble(trouble)


def _start(entry: Entry[Visit]) -> datetime:
    return entry.answers.start.at if isinstance(entry.answers.start, Moment) else entry.entered
