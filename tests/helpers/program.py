"""The real program on a real store in a folder of the test's own, with a clock, ids and seconds that the test moves."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QCoreApplication, QDeadlineTimer, QEvent, QEventLoop
from PySide6.QtWidgets import QWidget

from demo_db import build
from desktop.app import Hearthside, Means
from desktop.desk import Desk
from desktop.pages.page import Page
from desktop.pages.unlock import UnlockPage
from forms.clinical.feed_clock import Reading
from storage.keys import FLOOR
from storage.store import Store
from tests.helpers.stores import Ids, new_store

__all__ = ["Program", "Time", "child", "demo_store", "empty_store", "read", "started", "wait_for"]

_LONGEST_MS = 180_000


@dataclass
class Time:
    """The time of day and the seconds of a steady clock; both stand still until they are moved."""

    at: datetime = datetime(2026, 3, 3, 14, 2, tzinfo=UTC)
    seconds: float = 1000.0

    def now(self) -> datetime:
        return self.at

    def steady(self) -> float:
        return self.seconds

    def reading(self) -> Reading:
        """The steady clock of a feed."""
        return Reading("a start of this machine", round(self.seconds * 1_000_000) * 1000)

    def pass_by(self, seconds: float) -> None:
        """Let time pass while the machine is awake."""
        self.at += timedelta(seconds=seconds)
        self.seconds += seconds


def wait_for(is_so: Callable[[], bool]) -> None:
    """Let the program work until something is so; fails after a minute."""
    deadline = QDeadlineTimer(_LONGEST_MS)
    while not is_so():
        assert not deadline.hasExpired(), "waited in vain"
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 50)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@dataclass
class Program:
    """A started program and its time. `broken` collects bugs that came up, `said` every sentence for the user."""

    app: Hearthside
    time: Time
    broken: list[BaseException] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    closed: bool = False

    @property
    def page(self) -> Page:
        """The page in view."""
        page = self.app.window.page
        assert page is not None
        return page

    @property
    def desk(self) -> Desk:
        """The pages of the open store."""
        desk = self.app.gate.desk
        assert desk is not None
        return desk

    def idle(self) -> None:
        """Let everything that was asked of the store be answered and shown."""
        wait_for(lambda: not self.app.errands.busy)
        desk = self.app.gate.desk
        if desk is not None:
            wait_for(lambda: not desk.session.lane.busy)
        QCoreApplication.processEvents()

    def to(self, name: str) -> Page:
        """Wait for the page of that name."""
        wait_for(lambda: self.page.objectName() == name)
        self.idle()
        return self.page

    def unlock(self, passphrase: str) -> None:
        """Type the passphrase into the locked window and press Enter."""
        page = self.page
        assert isinstance(page, UnlockPage)
        wait_for(page.open_key.isEnabled)
        page.secret.box.setText(passphrase)
        page.secret.box.returnPressed.emit()

    def close(self) -> None:
        """Close the window the way its corner does, and wait until the store is put away."""
        if self.closed:
            return
        self.closed = True
        sys.excepthook = sys.__excepthook__
        if not self.app.window.may_close:
            self.app.window.close()
            wait_for(lambda: self.app.window.may_close)
        self.app.errands.close()
        self.app.window.deleteLater()
        self.app.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def started(folder: Path, time: Time | None = None, ids: Ids | None = None) -> Program:
    """The program, started on a folder."""
    time = time or Time()
    means = Means(
        clock=time.now, steady=time.steady, reading=time.reading, ids=ids or Ids(10_000), zone="Europe/London",
        argon=FLOOR,
    )  # fmt: skip
    program = Program(Hearthside(folder, means), time)
    program.app.errands.broke.connect(program.broken.append)
    program.app.gate.broke.connect(program.broken.append)
    program.app.notices.said.connect(lambda sentence, _tone: program.said.append(sentence))
    program.app.idle._timer.setInterval(3_600_000)  # the test ticks
    program.app.start()
    sys.excepthook = lambda _kind, failure, _trace: program.broken.append(failure)
    return program


@cache
def _built() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="hearthside-invented-"))
    store, clock, ids = build.new_store(folder / "store")
    build.chart_all(store, clock, ids)
    store.close()
    return folder / "store"


def demo_store(folder: Path) -> Path:
    """A copy of the invented practice's store; it is built once in each run."""
    return Path(shutil.copytree(_built(), folder))


def empty_store(folder: Path) -> str:
    """A new store with nothing in it; the words of its recovery sheet."""
    made = new_store(folder)
    made.store.close()
    return made.recovery_words


T = TypeVar("T")
W = TypeVar("W", bound=QWidget)


def read(program: Program, operation: Callable[[Store], T]) -> T:
    """What the store of a started and unlocked program says."""
    found: list[T] = []
    program.desk.session.lane.run(operation, found.append)
    wait_for(lambda: bool(found))
    return found[0]


def child(page: QWidget, kind: type[W], name: str) -> W:
    """The one visible widget of a kind with that accessible name."""
    QCoreApplication.processEvents()  # a layout shows what was just put into it
    found = [w for w in page.findChildren(kind) if w.isVisible() and w.accessibleName() == name]
    assert len(found) == 1, f"{len(found)} of {kind.__name__} {name!r}"
    return found[0]
