"""Between locked and open: the greeting or the passphrase, the lock, and everything that must survive it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import orjson
from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QGuiApplication

from desktop.begins import Begins, First
from desktop.controls.shown import clock as clock_words
from desktop.errands import Errands
from desktop.noted import NotedTimes
from desktop.notices import Notices
from desktop.pages.decision import Decision
from desktop.pages.feed_lock import FeedLockPage
from desktop.pages.page import Page
from desktop.pages.unlock import OPENING, PUTTING_AWAY, READING, RecoveryPage, UnlockPage
from desktop.settings import DeviceSettings
from desktop.where import Held, Where
from desktop.window import Window
from desktop.zone import zone_of
from forms.answers import Moment
from forms.practice import Practice
from forms.trouble import Trouble
from storage.changes import ChangeSet
from storage.folder import Folder
from storage.troubles import NotAStore, WrongPassphrase

if TYPE_CHECKING:
    from desktop.app import Means
    from desktop.desk import Desk
    from desktop.session import Session
    from storage.store import Store
    from storage.vault import SetUp

__all__ = ["Gate"]

_SETTLE_MS = 45_000
"""The write-ahead log is emptied within a minute of a change."""


class Gate(QObject):
    """Opens and locks the store of one folder.

    Signals: `opened()` when pages of the record may be shown, `locked()` when none may, `ended()` when the window is
    closed and the store put away, `broke(Exception)` for a bug that came up on the store's worker.
    """

    opened = Signal()
    locked = Signal()
    ended = Signal()
    broke = Signal(object)

    def __init__(
        self,
        window: Window,
        folder: Path,
        settings: DeviceSettings,
        errands: Errands,
        notices: Notices,
        means: Means,
    ) -> None:
        super().__init__(window)
        self.window_, self.folder, self.settings = window, folder, settings
        self.errands, self.notices, self.means = errands, notices, means
        self.desk: Desk | None = None
        self.noted = NotedTimes(folder)
        self._wrong = 0
        self._first = First()
        self._where, self._held = Where(), Held()
        self._practice = Practice()
        self._going: Page | None = None
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self._settled)
        window.lock_asked.connect(self.lock_now)
        window.closing.connect(self.close)

    @property
    def session(self) -> Session | None:
        """What is open, or None while locked."""
        return self.desk.session if self.desk is not None else None

    def feeding(self) -> bool:
        """Whether a feed clock runs on the page in view."""
        page = self.window_.page
        return self.desk is not None and page is not None and page.running_feed() is not None

    # --- the way in -------------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """Show the greeting where no store is yet, else the passphrase, else why this folder cannot be used."""
        try:
            Folder(self.folder).must_be_store()
        except NotAStore as trouble:
            if _may_become_store(self.folder):
                self._greet()
            else:
                self._ask_passphrase().fail(trouble)
            return
        self._ask_passphrase().ready()

    def _greet(self) -> None:
        from desktop.pages.first_launch import FirstLaunchPage  # seen once

        page = FirstLaunchPage(self.folder, self.means, self.errands)
        page.made.connect(self._entered_first)
        page.invented_made.connect(self._open_invented)
        self._replace(page)

    def _open_invented(self, folder: Path, passphrase: str) -> None:
        """Go over to the invented practice, whose passphrase is no secret."""
        self.folder, self.noted = folder, NotedTimes(folder)
        self.settings.move(folder)
        self.notices.news(f"Everything here is invented. Its passphrase is “{passphrase}”.")
        self._ask_passphrase().busy(OPENING)
        self._unlock(passphrase)

    def _ask_passphrase(self, why: str = "") -> UnlockPage:
        since = self._local(self._held.since) if self._held.since is not None else None
        page = UnlockPage(str(self.folder), why=why, unsaved=since)
        page.unlock_asked.connect(self._unlock)
        page.recovery_asked.connect(self._ask_sheet)
        page.other_asked.connect(self._other)
        self._replace(page)
        return page

    def _ask_sheet(self) -> None:
        page = RecoveryPage()
        page.back_asked.connect(lambda: self._ask_passphrase().ready())
        page.recover_asked.connect(self._recover)
        self._replace(page)

    def _replace(self, page: Page) -> None:
        before = self.window_.put(page)
        if before is not None and before is not self._going:
            before.deleteLater()

    def _other(self) -> None:
        from desktop.files import pick_folder  # Qt's own dialog, seldom used

        picked = pick_folder(self.window_, "Open another store", self.folder.parent)
        if picked is not None:
            self.folder, self.noted = picked, NotedTimes(picked)
            self.settings.move(picked)
            self.begin()

    def _unlock(self, passphrase: str) -> None:
        from desktop.entering import by_passphrase

        self.errands.run(by_passphrase(self, passphrase, self._wrong), self._entered, self._refused)

    def _recover(self, words: str, passphrase: str) -> None:
        from desktop.entering import by_sheet

        self.errands.run(by_sheet(self, words, passphrase), self._entered, self._refused)

    def _refused(self, trouble: Trouble) -> None:
        self._wrong += isinstance(trouble, WrongPassphrase)
        page = self.window_.page
        if isinstance(page, UnlockPage | RecoveryPage):
            page.fail(trouble)

    def _entered(self, store: Store) -> None:
        from desktop.entering import take_up

        self._wrong = 0
        page = self.window_.page
        if isinstance(page, UnlockPage):
            page.busy(READING)
        first, self._first = self._first, First()
        held, self._held = self._held, Held()
        take_up(self, store, held, first, self.noted, self._opened)

    def _entered_first(self, made: SetUp, begins: Begins) -> None:
        self.settings.keep()
        self._first = First(begins, made.recovery_words)
        self._entered(made.store)

    def _opened(self, desk: Desk) -> None:
        session = desk.session
        self.desk, self._practice = desk, session.practice
        session.lane.changed.connect(self._changed)
        desk.lock_asked.connect(self.lock_now)
        self.opened.emit()
        if session.begins is Begins.COME_BACK:
            desk.come_back()
        elif session.begins is Begins.JOIN and not session.words:
            desk.join()
        elif session.words or session.nobody or not isinstance(session.practice.practice_name, str):
            desk.first_steps(self.means.zone)
        else:
            desk.go(self._where)

    # --- times noted on the lock screen -----------------------------------------------------------------------------

    def _note_time(self, page: FeedLockPage) -> None:
        now = self.means.clock()
        safe = self.noted.note(now)
        page.say_noted(self._local(now), len(self.noted.times()[0]), on_disk=safe)

    def _local(self, at: datetime) -> datetime:
        return Moment(at, zone_of(self._practice)).local()

    # --- the lock ---------------------------------------------------------------------------------------------------

    def lock_now(self) -> None:
        """Lock because she asked for it."""
        self._lock("You locked it")

    def lock_idle(self) -> None:
        """Lock because nothing was touched."""
        self._lock("It locked by itself, for nothing was touched")

    def lock_asleep(self) -> None:
        """Lock because the machine sleeps, its lid closed, or its screen was locked."""
        self._lock("It locked as this device went to sleep")

    def _lock(self, why: str) -> None:
        desk, page = self.desk, self.window_.page
        if desk is None or page is None:
            return
        began = page.running_feed()
        self._practice = desk.session.practice
        self._commit(page)
        for asked in self.window_.findChildren(Decision):
            asked.withdraw()
        desk.leave()
        self._where = desk.where
        if began is not None:
            self._keep_visit(desk, self._where)
        self._going = page
        self.desk = None
        if QGuiApplication.clipboard().ownsClipboard():
            QGuiApplication.clipboard().clear()
        why = f"{why} at {clock_words(self._local(self.means.clock()))}. The record is closed and encrypted."
        self._show_locked(began, why)
        page.leave()  # hiding a box takes what was still being typed in it
        self._put_away(desk, page, lambda: self._is_away(why))

    def _commit(self, page: Page) -> None:
        """Everything typed goes to the store, what stands in the box that has the focus too."""
        page.leave()  # first of all: it keeps where one stands
        focus = self.window_.focusWidget()
        if focus is not None:
            focus.clearFocus()
        page.leave()

    def _keep_visit(self, desk: Desk, where: Where) -> None:
        from desktop.entering import LOCKED_DURING

        at = orjson.dumps({"family": where.family, "visit": where.visit})
        desk.session.lane.run(lambda store: store.keep_secret(LOCKED_DURING, at), None, lambda _full: None)

    def _show_locked(self, began: datetime | None, why: str) -> None:
        if began is None:
            self._ask_passphrase(why).busy(PUTTING_AWAY)
            return
        number = self._practice.emergency_number
        screen = FeedLockPage(began, self._going_on(), number if isinstance(number, str) else "")
        screen.note_asked.connect(lambda: self._note_time(screen))
        screen.unlock_asked.connect(lambda: self._ask_passphrase(why).ready())
        self._replace(screen)

    def _going_on(self) -> Callable[[], datetime]:
        """The time of day as it is now, from here on by the steady clock: a feed's clock does not follow a set one."""
        at, first = self.means.clock(), self.means.reading()

        def now() -> datetime:
            later = self.means.reading()
            if later.boot != first.boot or later.nanos < first.nanos:
                return self.means.clock()
            return at + timedelta(microseconds=(later.nanos - first.nanos) // 1_000)

        return now

    def _put_away(self, desk: Desk, page: Page, then: Callable[[], None]) -> None:
        """Close the store off the GUI thread; what could not be written is held over."""
        self._settle.stop()
        self.window_.hush()
        self.locked.emit()

        def away(_none: None) -> None:
            beside = desk.unsaved()
            drafts = (*page.pending(), *beside.drafts)
            since = min(filter(None, (page.unsaved_since(), beside.since)), default=None)
            self._held = Held(drafts, since) if drafts else Held()
            desk.let_go()
            page.deleteLater()
            desk.deleteLater()
            desk.session.lane.deleteLater()
            self._going = None
            then()

        desk.session.lane.last_call()
        self.errands.run(desk.session.lane.close, away)

    def _is_away(self, why: str) -> None:
        page = self.window_.page
        if isinstance(page, UnlockPage):
            if self._held.drafts:
                page = self._ask_passphrase(why)
            page.ready()

    # --- the end ----------------------------------------------------------------------------------------------------

    def close(self) -> None:
        """Close the window once everything typed is on disk; if the disk is full, ask first."""
        desk, page = self.desk, self.window_.page
        if desk is None or page is None:
            if self._held.drafts:
                self._ask_before_losing()
            elif not self.errands.busy:
                self._end()
            else:
                self.errands.run(lambda: None, lambda _none: self.close())
            return
        self._commit(page)
        desk.session.lane.run(lambda _store: None, lambda _none: self._close_saved(desk, page))

    def _close_saved(self, desk: Desk, page: Page) -> None:
        if page.pending() or desk.unsaved().drafts:
            self._ask_before_losing()
            return
        desk.leave()
        self.desk = None
        self._going = page
        self._put_away(desk, page, self._end)

    def _ask_before_losing(self) -> None:
        Decision(
            self.window_,
            "Not everything is saved",
            "The disk is full, so what you typed last is only in this window. Make room on the disk and it is saved by "
            "itself; if you close the window now, it is lost.",
            (("Keep the window open", lambda: None), ("Close and lose it", self._end), ("Go back", lambda: None)),
        )

    def _end(self) -> None:
        self._held = Held()
        if self.desk is not None and self.window_.page is not None:
            desk, page, self.desk = self.desk, self.window_.page, None
            desk.leave()
            self._put_away(desk, page, self._end)
            return
        self._held = Held()
        self.window_.may_close = True
        self.window_.close()
        self.ended.emit()

    # --- while it is open -------------------------------------------------------------------------------------------

    def _changed(self, changes: ChangeSet) -> None:
        if changes:
            self._settle.start()
        desk = self.desk
        if desk is not None and not changes.families:
            desk.session.refresh_practice()

    def _settled(self) -> None:
        if self.desk is not None:
            self.desk.session.lane.run(lambda store: store.settle())


def _may_become_store(folder: Path) -> bool:
    """Whether a new store may be made there: the folder is not there, empty, or holds an unfinished set-up."""
    try:
        return not folder.exists() or (folder.is_dir() and (not any(folder.iterdir()) or Folder(folder).mark.exists()))
    except OSError:
        return False
