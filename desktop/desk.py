"""The pages of an unlocked store and the ways between them; the page that goes is saved first."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.pages.address_book import AddressBookPage
from desktop.pages.caseload import CaseloadPage
from desktop.pages.family import FamilyPage
from desktop.pages.page import Page
from desktop.pages.practice import PracticePage
from desktop.session import Session, practice_chart
from desktop.where import Held, Where
from desktop.window import Window
from forms.chart import Chart
from storage.drafts import Draft, save_all
from storage.store import Store

__all__ = ["Desk"]

_AGAIN_MS = 3_000


class Desk(QObject):
    """Routes of one session. Signal `lock_asked()`."""

    lock_asked = Signal()

    def __init__(self, window: Window, session: Session, held: Held) -> None:
        super().__init__(window)
        self._left = False
        self.window_, self.session, self.held = window, session, held
        self.where = Where()
        self._going: list[Page] = []
        self._again = QTimer(self)
        self._again.setInterval(_AGAIN_MS)
        self._again.timeout.connect(self._write_held)
        if held.drafts:
            self._again.start()

    # --- routes -----------------------------------------------------------------------------------------------------

    def caseload(self) -> None:
        """To the list of families."""
        self._show(CaseloadPage(self.session, self), Where("caseload"))

    def family(self, family: str) -> None:
        """To one family's home."""
        self._read(
            lambda store: store.chart(family),
            lambda chart: FamilyPage(self.session, self, self.session.open(chart)),
            Where("family", family),
        )

    def visit(self, family: str, visit: str) -> None:
        """Into a visit."""
        from desktop.pages.visit import VisitPage  # the largest page, not needed to unlock

        self._read(
            lambda store: store.chart(family, visit),
            lambda chart: VisitPage(self.session, self, self.session.open(chart)),
            Where("visit", family, visit),
        )

    def closing(self, family: str) -> None:
        """To closing or handing over one family's care."""
        from desktop.pages.closing import ClosingPage  # seldom gone to

        self._read(
            lambda store: store.chart(family),
            lambda chart: ClosingPage(self.session, self, self.session.open(chart)),
            Where("closing", family),
        )

    def received(self, family: str) -> None:
        """To taking over what another practice sent about one family."""
        from desktop.pages.received import ReceivedPage  # seldom gone to

        self._read(
            lambda store: store.chart(family),
            lambda chart: ReceivedPage(self.session, self, self.session.open(chart)),
            Where("received", family),
        )

    def letters(self, family: str = "") -> None:
        """To the letters and their answers, of one family or every open one."""
        from desktop.pages.letters import LettersPage  # seldom gone to
        from desktop.pages.letters_family import FamilyLettersPage

        if not family:
            self._show(LettersPage(self.session, self), Where("letters"))
            return
        self._read(
            lambda store: store.chart(family),
            lambda chart: FamilyLettersPage(self.session, self, self.session.open(chart)),
            Where("letters", family),
        )

    def address_book(self) -> None:
        """To the providers."""
        self._read(
            practice_chart,
            lambda chart: AddressBookPage(self.session, self, self.session.open_practice(chart)),
            Where("address_book"),
        )

    def check_paper(self) -> None:
        """To checking a paper somebody sent."""
        from desktop.pages.check_paper import CheckPaperPage  # seldom gone to

        self._read(
            practice_chart,
            lambda chart: CheckPaperPage(self.session, self, self.session.open_practice(chart)),
            Where("check_paper"),
        )

    def practice(self) -> None:
        """To the practice's facts and the settings of this device."""
        self._read(
            practice_chart,
            lambda chart: PracticePage(self.session, self, self.session.open_practice(chart)),
            Where("practice"),
        )

    def sync(self) -> None:
        """To the meeting with other devices."""
        from desktop.pages.sync import SyncPage  # seldom gone to

        self._show(SyncPage(self.session, self), Where("sync"))

    def differ(self, family: str = "") -> None:
        """To what devices wrote apart, of one family or of all."""
        from desktop.pages.differ import DifferPage  # seldom gone to

        self._show(DifferPage(self.session, self, family), Where("differ", family))

    def members(self) -> None:
        """To the devices of the practice."""
        from desktop.pages.members import MembersPage  # seldom gone to

        self._show(MembersPage(self.session, self), Where("members"))

    def let_in(self) -> None:
        """To letting a device in."""
        from desktop.pages.letting_in import LetInPage  # seldom gone to

        self._show(LetInPage(self.session, self), Where("members"))

    def join(self) -> None:
        """To joining devices that are there already."""
        from desktop.pages.joining import JoinPage  # seen once

        self._show(JoinPage(self.session, self), Where("join"))

    def come_back(self) -> None:
        """To coming back with the recovery sheet."""
        from desktop.pages.coming_back import ComeBackPage  # seldom gone to

        self._show(ComeBackPage(self.session, self), Where("come_back"))

    def first_steps(self, zone: str = "") -> None:
        """Through the rest of a first launch; `zone` is the machine's own time zone, offered first."""
        from desktop.pages.first_steps import FirstStepsPage  # seen once

        self._read(
            practice_chart,
            lambda chart: FirstStepsPage(
                self.session, self, self.session.open_practice(chart), zone or self.session.machine_zone
            ),
            Where("caseload"),
        )

    def leave(self) -> None:
        """The window is being locked: no page of this session is shown from now on."""
        self._left = True
        self._again.stop()

    def unsaved(self) -> Held:
        """What is not on disk beside what the page in view holds: from before a lock, and of pages on their way out."""
        drafts = (*self.held.drafts, *(draft for page in self._going for draft in page.pending()))
        times = (self.held.since, *(page.unsaved_since() for page in self._going))
        return Held(tuple(draft for draft in drafts if draft.pending), min(filter(None, times), default=None))

    def let_go(self) -> None:
        """Drop the pages on their way out; after `leave`, once the lane is closed."""
        for page in self._going:
            page.deleteLater()
        self._going.clear()

    def lock(self) -> None:
        """Lock now."""
        self.lock_asked.emit()

    def go(self, where: Where) -> None:
        """To wherever that is."""
        match where.page:
            case "visit":
                self.visit(where.family, where.visit)
            case "family":
                self.family(where.family)
            case "closing":
                self.closing(where.family)
            case "received":
                self.received(where.family)
            case "letters":
                self.letters(where.family)
            case "address_book":
                self.address_book()
            case "check_paper":
                self.check_paper()
            case "practice":
                self.practice()
            case "sync":
                self.sync()
            case "differ":
                self.differ(where.family)
            case "members":
                self.members()
            case "join":
                self.join()
            case "come_back":
                self.come_back()
            case _:
                self.caseload()

    # --- pages ------------------------------------------------------------------------------------------------------

    def _read(self, read: Callable[[Store], Chart], make: Callable[[Chart], Page], where: Where) -> None:
        """Read off the GUI thread, then show; until then the page that stands stays, its typing written."""
        if self.window_.page is not None:
            self.window_.page.leave()
        self.session.lane.run(read, lambda chart: self._show(make(chart), where))

    def _show(self, page: Page, where: Where) -> None:
        if self._left:
            # The window was locked while this was being read: nothing of the record is shown any more.
            page.deleteLater()
            return
        if self.window_.page is not None:
            self.window_.page.leave()
        self.where = where
        before = self.window_.put(page)
        if self.held.drafts:
            self.held = Held(page.adopt(self.held.drafts, self.held.since), self.held.since)
        if before is not None:
            before.leave()  # hiding a box takes what was still being typed in it
            self._going.append(before)
            self._dismiss(before)

    def _dismiss(self, page: Page) -> None:
        """Let a page go once nothing it asked of the store is still to be answered."""
        lane = self.session.lane
        lane.run(lambda _store: None, lambda _none: self._dismiss(page) if lane.busy else self._gone(page))

    def _gone(self, page: Page) -> None:
        """Drop a page; what the disk would not take of it goes on in the page in view, or waits here."""
        drafts, since = page.pending(), page.unsaved_since()
        self._going.remove(page)
        page.deleteLater()
        if not drafts:
            return
        now = self.window_.page
        left = now.adopt(drafts, since) if now is not None else drafts
        if left:
            self.held = Held((*self.held.drafts, *left), min(filter(None, (self.held.since, since)), default=None))
            self._again.start()

    def _write_held(self) -> None:
        """Answers from before the lock that no page took up are written as soon as there is room."""
        drafts = self.held.drafts
        if not drafts:
            self._again.stop()
            return

        author = self.session.author
        self.session.lane.run(
            lambda store: save_all(drafts, store, author=author),
            lambda _done: self._written(drafts),
            lambda _full: None,
        )

    def _written(self, drafts: tuple[Draft, ...]) -> None:
        left = tuple(draft for draft in self.held.drafts if draft not in drafts)
        self.held = Held(left, self.held.since if left else None)
        self.session.notices.news("What waited for room on the disk is saved now.")
