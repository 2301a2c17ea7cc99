"""A visit: the thread of moments, the page of the section in view, what it adds up to, and whom it is about."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desktop.controls.band import Band, person_act
from desktop.controls.banner import Banner
from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.surfaces import Surface
from desktop.controls.thread import Moment as Bead
from desktop.controls.thread import Thread
from desktop.open_chart import OpenChart
from desktop.pages.charted import ChartPage
from desktop.pages.visit_aside import Aside
from desktop.pages.visit_middle import Middle, field_in_focus
from desktop.pages.visit_name import NameAcross
from desktop.pages.visit_progress import SIDED, progress
from desktop.pages.visit_spot import Spot, secret_name
from desktop.pages.visit_words import (
    MOMENT_WORDS,
    beside_title,
    conflicts,
    signed_words,
    touch_refused,
    visit_line,
    visit_when,
)
from desktop.session import Routes, Session
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.moments import sections
from desktop.sheets.persons import age_words, full_name, tag_of
from desktop.sheets.places import Stands
from desktop.sheets.sheet import MOMENTS, Guard, Here, Section, about
from desktop.theme.halfmoons import MoonState
from desktop.theme.look import look
from desktop.theme.tokens import Role, Space
from forms.answers import Moment, Sided
from forms.ask import Paper
from forms.clinical.prompts import open_prompts
from forms.contact import UrgentContact
from forms.feed import FeedObservation
from forms.people import Family
from forms.referral import PaperIssued
from forms.visit import Jot, Visit

__all__ = ["FORGOTTEN", "VisitPage"]

_SETTLE_MS = 120
_ROOM = 1_000
"""Thread, page and strip stand side by side from this width on, at 100 % text."""
FORGOTTEN = timedelta(hours=3)
"""A feed begun longer ago than this no longer counts as running: house bound, no source."""


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
        self._people: tuple[str, ...] = ()
        self._shown_people: tuple[tuple[str, str], ...] = ()
        self._folded = False
        self._build()
        self._arrange()
        self._bind_keys()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self._add_up)
        home.changed.connect(self._changed)
        home.reloaded.connect(self._changed)
        view = InView.of(home)
        view.switched.connect(lambda: self.go(self.spot.moment, self.spot.who))
        view.jumped.connect(self.jump)
        self._show_people()
        self.go(self.spot.moment, self.spot.who)
        self._add_up()
        self._come_back()

    # --- what stands where ------------------------------------------------------------------------------------------

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.told = QWidget()
        self._told_column = QVBoxLayout(self.told)
        self._told_column.setContentsMargins(0, 0, 0, 0)
        self._told_column.setSpacing(0)
        column.addWidget(self.told)
        across = QHBoxLayout()
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        self.thread_ = Thread([_bead(moment, MoonState.NOT_DONE, self._right(moment)) for moment in MOMENTS])
        self.thread_.chosen.connect(lambda moment: self.go(moment, self.spot.who))
        self.middle = Middle(self.home)
        self.middle.chosen.connect(self.show_section)
        self.aside = Aside(self.home)
        self.aside.urgent.contact_asked.connect(self.write_contact)
        self.aside.urgent.paper_asked.connect(self.show_call_now)
        self.aside.jots.jotted.connect(self._back_to_page)
        across.addWidget(self._leading())
        across.addWidget(self.middle, 1)
        across.addWidget(self.aside)
        column.addLayout(across, 1)
        self.band = Band()
        self.band.person.connect(lambda at: self.chart_person(self._people[at]))
        column.addWidget(self.band)
        self.across = NameAcross(self)
        self._show_acts()

    def _leading(self) -> QWidget:
        """The way out to the family, over the thread."""
        self.left = Surface(Role.PAGE)
        column = QVBoxLayout(self.left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.out = Link("")
        self.out.clicked.connect(lambda: self.routes.family(self.home.chart.family))
        framed = Surface(Role.PAGE, (Qt.Edge.RightEdge,))
        inner = QVBoxLayout(framed)
        inner.setContentsMargins(Space.PAD + Space.FINE, Space.GAP, Space.GAP, Space.NONE)
        inner.addWidget(self.out, alignment=Qt.AlignmentFlag.AlignLeading)
        column.addWidget(framed)
        column.addWidget(self.thread_, 1)
        return self.left

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

    @staticmethod
    def _right(moment: str) -> MoonState | None:
        return MoonState.NOT_DONE if moment in SIDED else None

    def _bind_keys(self) -> None:
        keys: dict[str, Callable[[], object]] = {
            "F2": self.begin_observing,
            "F3": self.jot,
            "F4": InView.of(self.home).other_side,
            "F6": self.next_baby,
            "F9": self.toggle_shared,
        }
        for key, act in keys.items():
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(act)

    # --- going about ------------------------------------------------------------------------------------------------

    def sections(self) -> tuple[Section, ...]:
        """The sections of the moment in view for the person charted; in shared view only those others may see."""
        found = sections(self.spot.moment, self.home, self.spot.who)
        return tuple(one for one in found if not self.shared or one.guard is Guard.OPEN)

    def go(self, moment: str, who: str, section: str = "") -> None:
        """Show a moment for a person: the section named, else the one last shown there, else its first."""
        self.middle.commit()
        self.spot.moment, self.spot.who = moment, who
        self.thread_.show_current(moment)
        self._mark_person()
        offered = self.sections()
        wanted = section or self.spot.section(moment, who)
        found = next((one for one in offered if one.key == wanted), offered[0] if offered else None)
        self.aside.show_person(who, moment)
        self._section = found
        if found is None:
            self._show_nothing_here(moment)
        else:
            self.middle.show_sections(offered, found.key, self._name())
            self._lay(found)
        self._show_beside()

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
        self.go(self.spot.moment, who)
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
            self._focus(to.form, to.path.field if to.path is not None else "")

    def _focus(self, form: str, field: str) -> None:
        page = self.middle.page
        question = page.question(form, field) if page is not None and field else None
        if question is not None:
            question.controls()[0].setFocus(Qt.FocusReason.OtherFocusReason)

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
        who = self.spot.who
        self.go("feed", who, "feed.which")
        page = self.middle.page
        if page is None:
            return
        binding = page.binding
        if binding.form is FeedObservation and not binding.sealed() and binding.value("began") is None:
            binding.put("observed", "seen")
            binding.put("began", binding.now())

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
        self.left.setVisible(not self.shared)
        self._show_acts()
        self._arrange()
        self.go(self.spot.moment, self.spot.who)
        self._show_told()

    # --- what it adds up to -----------------------------------------------------------------------------------------

    def _changed(self) -> None:
        # An urgent sign is shown with the answer that fires it; what only counts may wait for a pause.
        self.aside.urgent.show_prompts(open_prompts(self.home.chart, self.session.clock()))
        self._settle.start()

    def _add_up(self) -> None:
        chart, now = self.home.chart, self.session.clock()
        urgent = open_prompts(chart, now)
        self.aside.urgent.show_prompts(urgent)
        found = progress(chart, now, self._stands, urgent)
        self.thread_.show_moments([_bead(each.moment, each.left, each.right) for each in found])
        family = chart.person(Family, chart.family).family_name
        self.out.say(f"Family {family}" if isinstance(family, str) and family.strip() else "The family")
        self.thread_.show_visit(visit_line(chart), visit_when(chart))
        self.aside.show_person(self.spot.who, self.spot.moment)
        self._show_people()
        self._show_beside()
        self._show_told()

    def _show_beside(self) -> None:
        self.middle.beside.say(beside_title(self.home, self.spot.moment, self.spot.who))

    def _show_people(self) -> None:
        people = (*self.home.parents(), *self.home.infants())
        shown = tuple((full_name(self.home, one), age_words(self.home, one)) for one in people)
        if people != self._people or shown != self._shown_people:
            self._people, self._shown_people = people, shown
            self.band.set_people(
                [person_act(*words, tag_of(self.home, one)) for one, words in zip(people, shown, strict=True)]
            )
        if self.spot.who not in people and people:
            self.spot.who = people[0]
        self._mark_person()

    def _mark_person(self) -> None:
        if self.spot.who in self._people:
            self.band.show_person(self._people.index(self.spot.who))

    def _show_told(self) -> None:
        """What stands over the page all the while: signed, two answers, touch declined, the shared view."""
        while (item := self._told_column.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        if self.shared:
            waits = "Shared view. " + ("Something waits for you. " if self.aside.urgent.prompts else "")
            self._told_column.addWidget(Banner(f"{waits}{self.saved.said()}"))
            return
        torn = conflicts(self.home.chart)
        for words, acts, watch in (
            (signed_words(self.home), (), False),
            (_torn_words(len(torn)), (self._settle_key(),), True),
            (touch_refused(self.home, self.spot.who), (), True),
        ):
            if words and (not acts or torn):
                self._told_column.addWidget(Banner(words, acts, watch=watch))

    def _settle_key(self) -> Link:
        link = Link("Show the first")
        link.clicked.connect(self._to_conflict)
        return link

    def _to_conflict(self) -> None:
        torn = conflicts(self.home.chart)
        if not torn:
            return
        entry, path = torn[0]
        stand = self._stands.of(entry.place.form, path.field)
        if stand is not None:
            who = next((one for one in (*entry.place.subjects, entry.id) if one in self._people), self.spot.who)
            self.jump(Jump(stand.moment, who, stand.section, entry.place.form, entry.id, path))

    def _saved(self, at: datetime) -> None:
        super()._saved(at)
        self.thread_.show_saved(self.saved.said())

    def _unsaved(self, trouble: object) -> None:
        super()._unsaved(trouble)  # type: ignore[arg-type]
        self.thread_.show_saved(self.saved.said())

    # --- coming and going -------------------------------------------------------------------------------------------

    def leave(self) -> None:
        """Write everything typed, and keep where one stood."""
        self.middle.commit()
        at = field_in_focus()
        self.spot.form, self.spot.field_ = at or ("", "")
        kept, name = self.spot.kept(), secret_name(self.home.chart.visit or "")
        super().leave()
        self.session.lane.run(lambda store: store.keep_secret(name, kept), None, lambda _full: None)

    def _come_back(self) -> None:
        name = secret_name(self.home.chart.visit or "")
        self.session.lane.run(lambda store: store.secret(name), self._stand_again)

    def _stand_again(self, kept: bytes | None) -> None:
        spot = Spot.read(kept)
        if spot is None or spot.who not in self._people or spot.moment not in MOMENTS:
            return
        self.spot = spot
        self.go(spot.moment, spot.who)
        self._focus(spot.form, spot.field_)
        self._add_up()

    def running_feed(self) -> datetime | None:
        """When the feed now watched began: the newest of this visit that has begun and not ended."""
        chart = self.home.chart
        for entry in reversed(chart.all(FeedObservation, visit=chart.visit)):
            feed = entry.answers
            if not isinstance(feed.began, Moment) or feed.observed == "not_seen":
                continue
            ended = [
                one
                for kept in (feed.let_go, feed.ended_by)
                if isinstance(kept, Sided)
                for one in (kept.left, kept.right)
            ]
            recent = timedelta(0) <= self.session.clock() - feed.began.at < FORGOTTEN
            return feed.began.at if recent and not any(one is not None for one in ended) else None
        return None

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


def _bead(moment: str, left: MoonState, right: MoonState | None) -> Bead:
    return Bead(moment, MOMENT_WORDS[moment], left, right)


def _torn_words(count: int) -> str:
    return {0: "", 1: "One answer stands twice; pick which holds."}.get(
        count, f"{count} answers stand twice; pick which hold."
    )
