"""A visit: the thread of moments, the page of the section in view, what it adds up to, and whom it is about."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import QElapsedTimer, QEvent, Qt, QTimer
from PySide6.QtGui import QFocusEvent, QKeySequence, QResizeEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from desktop.controls.band import person_act
from desktop.controls.buttons import Act, ActKind
from desktop.open_chart import OpenChart
from desktop.pages.charted import ChartPage
from desktop.pages.visit_aside import Aside
from desktop.pages.visit_feed import begin_live, live_on, running_since, to_likely
from desktop.pages.visit_left import Left
from desktop.pages.visit_middle import Middle, field_in_focus, within_reach
from desktop.pages.visit_name import NameAcross
from desktop.pages.visit_people import People
from desktop.pages.visit_progress import progress
from desktop.pages.visit_spot import Spot, secret_name
from desktop.pages.visit_told import Told
from desktop.pages.visit_words import MOMENT_WORDS, beside_title, conflicts
from desktop.session import Routes, Session
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.moments import section_of, sections
from desktop.sheets.persons import age_words, full_name, tag_of
from desktop.sheets.places import Stands
from desktop.sheets.sheet import MOMENTS, Guard, Section
from desktop.theme.look import look
from forms.answers import Quantity, Side
from forms.ask import Paper
from forms.contact import UrgentContact
from forms.referral import PaperIssued
from forms.units import Dimension
from forms.visit import Jot
from forms.weight import WeightReading

__all__ = ["VisitPage"]

_SETTLE_MS = 120
_SHARE = 10  # counting takes at most one part in so many of the time, however long the record is
_ROOM = 1_000
"""Thread, page and strip stand side by side from this width on, at 100 % text."""


class VisitPage(ChartPage):
    """One visit, open."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("visit")
        people = (*home.infants(), *home.parents())
        self.spot = Spot(who=people[0] if people else "")
        self.shared = False
        self._stands = Stands()
        self._section: Section | None = None
        self._folded = False
        self._build()
        self._arrange()
        self._bind_keys()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self._add_up)
        home.changed.connect(self._changed)
        view = InView.of(home)
        view.switched.connect(lambda: self.go(self.spot.moment, self.spot.who))
        view.jumped.connect(self.jump)
        self._take_last_units()
        self.spot.who = self.band.refresh(self.spot.who)
        self.go(self.spot.moment, self.spot.who)
        self._add_up()
        self._come_back()

    # --- what stands where ------------------------------------------------------------------------------------------

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.told = Told(self.home)
        self.told.settle_asked.connect(self.show_conflict)
        column.addWidget(self.told)
        across = QHBoxLayout()
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        self.left = Left(self.home)
        self.left.out.clicked.connect(lambda: self.routes.family(self.home.chart.family))
        self.thread_ = self.left.thread_
        self.thread_.chosen.connect(lambda moment: self.go(moment, self.spot.who))
        self.middle = Middle(self.home)
        self.middle.chosen.connect(self.show_section)
        self.aside = Aside(self.home, self.middle.words_in_view)
        self.aside.urgent.contact_asked.connect(self.write_contact)
        self.aside.urgent.paper_asked.connect(self.show_call_now)
        self.aside.gone.page_asked.connect(lambda person: self.go("plan", person, "plan.prompts"))
        self.aside.jots.jotted.connect(self._back_to_page)
        across.addWidget(self.left)
        across.addWidget(self.middle, 1)
        across.addWidget(self.aside)
        column.addLayout(across, 1)
        self.band = People(self.home)
        self.band.charted.connect(self.chart_person)
        column.addWidget(self.band)
        self.across = NameAcross(self)
        self._show_acts()

    def _show_acts(self) -> None:
        if self.shared:
            end = Act("End shared view", key="F9", kind=ActKind.MAIN)
            end.clicked.connect(self.toggle_shared)
            self.band.set_acts((end,))
            return
        jot = Act("Jot", key="F3")
        jot.clicked.connect(self.jot)
        begin = Act("Begin observing", key="F2", kind=ActKind.MAIN)
        begin.clicked.connect(self.begin_observing)
        shared = Act("Shared view", key="F9")
        shared.clicked.connect(self.toggle_shared)
        self.band.set_acts((jot, begin, shared))

    def _bind_keys(self) -> None:
        keys: dict[str, Callable[[], object]] = {
            "F2": self.begin_observing,
            "F3": self.jot,
            "F4": InView.of(self.home).other_side,
            "F6": self.next_baby,
            "F9": self.toggle_shared,
            "Ctrl+Z": self.take_back,
        }
        for key, act in keys.items():
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(act)

    # --- going about ------------------------------------------------------------------------------------------------

    def sections(self) -> tuple[Section, ...]:
        """The sections of the moment in view for the person charted; in shared view only those others may see."""
        found = sections(self.spot.moment, self.home, self.spot.who)
        return tuple(one for one in found if not self.shared or one.guard is Guard.OPEN)

    def go(self, moment: str, who: str, section: str = "") -> None:
        """Show a moment for a person: the section named, else the one last shown there, else its first."""
        self.middle.commit()
        asked, focused = field_in_focus(self), self.window().focusWidget()
        inside = focused is None or self.middle.isAncestorOf(focused)
        self.spot.moment, self.spot.who = moment, who
        self.thread_.show_current(moment)
        self.band.mark(who)
        offered = self.sections()
        wanted = section or self.spot.section(moment, who)
        found = section_of(offered, wanted, self.home, who)
        self.aside.show_person(who, moment)
        self._section = found
        if found is None:
            self._show_nothing_here(moment)
        else:
            self.middle.show_sections(offered, found.key, self._name())
            self._lay(found)
        self._show_beside()
        # What had the focus has gone with the page before; it stays in the middle, at the same question if it is here.
        if inside and not (asked is not None and self._focus(*asked)):
            self.middle.take_focus()

    def show_section(self, key: str) -> None:
        """Show another section of the moment in view."""
        found = next((one for one in self.sections() if one.key == key), None)
        if found is not None:
            self._lay(found)
            self._show_beside()

    def _lay(self, section: Section) -> None:
        self._section = section
        self.spot.show(section.key)
        page = self.middle.show_section(section, self.spot.who)
        page.set_shared(self.shared)
        self.left.hush(on=live_on(page) is not None)

    def _show_nothing_here(self, moment: str) -> None:
        acts = []
        for baby in self.home.infants():
            act = person_act(full_name(self.home, baby), age_words(self.home, baby), tag_of(self.home, baby))
            act.setCheckable(False)
            act.clicked.connect(lambda _on=False, baby=baby: self.chart_person(baby))
            acts.append(act)
        words = (
            "This moment asks about the babies. Pick one." if acts else "No baby of this family is written down yet."
        )
        if self.shared:
            words = "Nothing of this moment is shown in shared view."
        self.middle.show_empty(MOMENT_WORDS[moment], words, () if self.shared else acts)

    def _name(self) -> str:
        return full_name(self.home, self.spot.who)

    def chart_person(self, who: str) -> None:
        """Chart another person from now on; the full name stands across the width for a second."""
        here = self._section.key if self._section is not None else ""
        self.go(self.spot.moment, who, here)
        self.across.show_name(self._name(), age_words(self.home, who), tag_of(self.home, who))
        self._add_up()

    def next_baby(self) -> None:
        """The next baby; the first one while a parent is charted."""
        babies = self.home.infants()
        if babies:
            at = babies.index(self.spot.who) + 1 if self.spot.who in babies else 0
            self.chart_person(babies[at % len(babies)])

    def jump(self, to: Jump) -> None:
        """Go where a page asks: to a section, an entry and an answer there."""
        if self.shared:
            self.toggle_shared()
        if to.form == Jot.name and to.entry is not None:
            self.aside.jots.file(to.entry)
            return
        self.go(to.moment, to.who or self.spot.who, to.section)
        page = self.middle.page
        if page is not None and to.form:
            page.show_entry(to.form, to.entry)
            self._focus(to.form, to.path.field if to.path is not None else "", to.path.side if to.path else None)

    def _focus(self, form: str, field: str, side: Side | None = None) -> bool:
        """Put the focus on a question of the page; whether it is there."""
        page = self.middle.page
        question = page.question(form, field) if page is not None and field else None
        if question is not None:
            within_reach(question, side).setFocus(Qt.FocusReason.OtherFocusReason)
        return question is not None

    # --- acts -------------------------------------------------------------------------------------------------------

    def jot(self) -> None:
        """To the one line for jots."""
        if self.shared:
            self.toggle_shared()
        self.aside.jots.entry.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _back_to_page(self) -> None:
        page = self.middle.page
        if page is not None:
            page.setFocus(Qt.FocusReason.OtherFocusReason)

    def begin_observing(self) -> None:
        """Begin the observation of a feed: its start is now, by this key, where it is clear who feeds whom."""
        begin_live(self.home, self.spot.who)
        self.go("feed", self.spot.who, "feed.live")
        to_likely(self.middle.page)

    def take_back(self) -> None:
        """Take the last event of the feed in view back, else the newest step."""
        live = live_on(self.middle.page)
        if live is None or not live.take_back():
            self.home.take_back()

    def write_contact(self, person: str) -> None:
        """Begin an urgent contact about this person and go there; which signs it covers is ticked by hand."""
        self.go("plan", person, "plan.urgent")
        page = self.middle.page
        if page is not None:
            page.show_entry(UrgentContact.name, None)
            self._focus(UrgentContact.name, "outcome")

    def show_call_now(self) -> None:
        """To the family's call-now page, whatever the state of the note."""
        InView.of(self.home).keep(PaperIssued, "", Paper.CALL_NOW)
        self.go("leave", self.spot.who, "leave.papers")

    def toggle_shared(self) -> None:
        """Shared view on or off: thread, strip, private sections and phone numbers go, and come back."""
        self.shared = not self.shared
        self.aside.urgent.hush(on=self.shared)
        self.left.setVisible(not self.shared)
        self._show_acts()
        self._arrange()
        self.go(self.spot.moment, self.spot.who)
        self._show_told()

    # --- what it adds up to -----------------------------------------------------------------------------------------

    def _changed(self) -> None:
        # Prompts and figures are shown in the frame of the answer they rest on; what only counts may wait for a pause.
        self.aside.show_prompts()
        self.aside.show_person(self.spot.who, self.spot.moment)
        self._settle.start()

    def _add_up(self) -> None:
        took = QElapsedTimer()
        took.start()
        chart, now = self.home.chart, self.session.clock()
        urgent = self.aside.show_prompts()
        self.left.show_progress(progress(chart, now, self._stands, urgent))
        self.aside.show_person(self.spot.who, self.spot.moment)
        self.spot.who = self.band.refresh(self.spot.who)
        self._show_beside()
        self._show_told()
        self._settle.setInterval(max(_SETTLE_MS, _SHARE * took.elapsed()))

    def _show_beside(self) -> None:
        self.middle.beside.say(beside_title(self.home, self.spot.moment, self.spot.who, self._section))

    def _show_told(self) -> None:
        if self.shared:
            self.told.show_shared(self.saved.said(), waits=bool(self.aside.urgent.prompts))
        else:
            self.told.show_person(self.spot.who)

    def show_conflict(self) -> None:
        """Go to the first answer that stands twice."""
        torn = conflicts(self.home.chart)
        if not torn:
            return
        entry, path = torn[0]
        stand = self._stands.of(entry.place.form, path.field)
        if stand is not None:
            who = next((one for one in (*entry.place.subjects, entry.id) if one in self.band.ids), self.spot.who)
            self.jump(Jump(stand.moment, who, stand.section, entry.place.form, entry.id, path))

    def _met(self) -> None:
        super()._met()
        self.thread_.show_saved(self.saved.said())

    def _take_last_units(self) -> None:
        """The unit in which this family was last weighed is the one that stands beside an empty weight."""
        for reading in self.home.chart.all(WeightReading):
            if isinstance(reading.answers.weight, Quantity):
                self.home.use_unit(Dimension.MASS, reading.answers.weight.unit)

    # --- coming and going -------------------------------------------------------------------------------------------

    def leave(self) -> None:
        """Write everything typed, and keep where one stood."""
        self.middle.commit()
        self.aside.jots.hold()
        if self.window().focusWidget() is not None:  # without a focus one stands where one stood
            self.spot.form, self.spot.field_ = field_in_focus(self) or ("", "")
        kept, name = self.spot.kept(), secret_name(self.home.chart.visit or "")
        super().leave()
        self.session.lane.run(lambda store: store.keep_secret(name, kept), None, lambda _full: None)

    def _come_back(self) -> None:
        name = secret_name(self.home.chart.visit or "")
        self.session.lane.run(lambda store: store.secret(name), self._stand_again)

    def _stand_again(self, kept: bytes | None) -> None:
        spot = Spot.read(kept)
        if spot is None or spot.who not in self.band.ids or spot.moment not in MOMENTS:
            return
        self.spot = spot
        self.go(spot.moment, spot.who)
        self._focus(spot.form, spot.field_)
        self._add_up()

    def running_feed(self) -> datetime | None:
        """When the feed now watched began, or None."""
        return running_since(self.home)

    def _arrange(self) -> None:
        """The strip beside the page while both keep room to read, else its parts in the page; neither when shared."""
        folded = self.width() < look().px(_ROOM) and not self.shared
        if folded:
            self.middle.host(self.aside.parts())
        else:
            self.middle.host(())
            self.aside.take_back()
        self.aside.setVisible(not self.shared and not folded)
        self._folded = folded

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self.window().focusWidget() in (None, self):
            self.middle.take_focus()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.middle.take_focus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
        if not self.across.isHidden():
            self.across.setFixedWidth(self.width())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._fit()

    def _fit(self) -> None:
        if self._folded != (self.width() < look().px(_ROOM) and not self.shared):
            self._arrange()
            self.go(self.spot.moment, self.spot.who)
