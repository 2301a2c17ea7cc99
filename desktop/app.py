"""The composition root: paths, clock, ids, vault, lane and window are joined here and nowhere else."""

from __future__ import annotations

import os
import secrets
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import click
from PySide6.QtCore import QObject, QTimeZone
from PySide6.QtDBus import QDBusConnection
from PySide6.QtWidgets import QApplication

from desktop.errands import Errands
from desktop.gate import Gate
from desktop.locking import IdleWatch, SleepWatch
from desktop.missing import must_have_screen
from desktop.notices import Notices, install_hook, report_of
from desktop.settings import DeviceSettings
from desktop.steady import reading as steady_reading
from desktop.window import Window
from forms.clinical.feed_clock import Reading
from forms.trouble import Trouble
from storage.keys import Argon

__all__ = ["Hearthside", "Means", "run"]

_REPORTS = "reports.txt"


def _zone() -> str:
    return bytes(QTimeZone.systemTimeZoneId().data()).decode("ascii", "replace") or "UTC"


@dataclass(frozen=True)
class Means:
    """What the program takes from its machine, so that a test can give it another.

    `clock` is the time of day (aware, UTC), `steady` seconds that never jump, `reading` the clock of a feed, `ids`
    fresh ids of 32 hex digits, `zone` names the machine's time zone, `argon` the figures for a new passphrase (measured
    when None).
    """

    clock: Callable[[], datetime] = field(default=lambda: datetime.now(UTC))
    steady: Callable[[], float] = field(default=time.monotonic)
    reading: Callable[[], Reading] = field(default=steady_reading)
    ids: Callable[[], str] = field(default=lambda: secrets.token_hex(16))
    zone: str = field(default_factory=_zone)
    argon: Argon | None = None


def _bring_store() -> None:
    """Import what opens a store while the locked window already stands."""
    import desktop.entering  # noqa: F401 - for its effect: it is in memory afterwards


class Hearthside(QObject):
    """The program while its window is open."""

    def __init__(self, folder: Path, means: Means, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.folder, self.means = folder, means
        self.notices = Notices(self)
        self.settings = DeviceSettings(folder, self)
        self.errands = Errands(self)
        self.window = Window(self.settings, self.notices)
        self.gate = Gate(self.window, folder, self.settings, self.errands, self.notices, means)
        self.idle = IdleWatch(
            steady=means.steady,
            clock=means.clock,
            minutes=lambda: self.settings.now.idle,
            feeding=self.gate.feeding,
            parent=self,
        )
        self.sleep = SleepWatch(self)
        self._join()

    def _join(self) -> None:
        gate, idle = self.gate, self.idle
        idle.warned.connect(self.window.warn)
        idle.eased.connect(self.window.ease)
        idle.due.connect(gate.lock_idle)
        self.sleep.asleep.connect(gate.lock_asleep)
        gate.opened.connect(idle.start)
        gate.locked.connect(idle.rest)
        gate.locked.connect(self.window.ease)
        gate.broke.connect(self.broke)
        self.errands.broke.connect(self.broke)

    def start(self) -> None:
        """Open the window on the greeting or on the passphrase."""
        # On a page that scrolls by finger Qt drops the second of two quick taps, and with it a swallow or a digit.
        QApplication.setDoubleClickInterval(0)
        install_hook(self.notices, self._keep_report, self.means.clock)
        self.sleep.listen(QDBusConnection.systemBus(), QDBusConnection.sessionBus())
        self.gate.begin()
        self.window.show()
        self.errands.run(_bring_store)

    def broke(self, failure: Exception) -> None:
        """A bug came up from a worker: keep its report, say so, go on."""
        self._keep_report(report_of(failure, self.means.clock()))
        self.notices.bug(failure)

    def _keep_report(self, report: str) -> None:
        """Reports hold no text of the record; they stand beside the store, so that nothing is written elsewhere."""
        folder = self.gate.folder
        if not (folder / "keys").is_dir():
            return
        try:
            with os.fdopen(
                os.open(folder / _REPORTS, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600), "w", encoding="utf-8"
            ) as file:
                file.write(report)
        except OSError:
            return  # there is no place to say it in; the notice on screen stands


def run(store: Path | None) -> int:
    """Open the window on `store`, or on the platform's usual folder, and stay until it is closed; the exit status."""
    try:
        must_have_screen(os.environ, sys.platform)
    except Trouble as trouble:
        click.echo(trouble.sentence, err=True)
        return 2
    from desktop.terminal import default_folder

    app = QApplication.instance() or QApplication(sys.argv[:1])
    app.setApplicationName("Hearthside")
    if isinstance(app, QApplication):
        app.setQuitOnLastWindowClosed(False)
    program = Hearthside(store if store is not None else default_folder(), Means())
    program.start()
    program.gate.ended.connect(app.quit)
    status = app.exec()
    program.errands.close()
    return status
