"""When the window locks by itself: after a while without key or touch, when the machine sleeps, when its lid closes.

`Idle` only counts; `IdleWatch` listens to the window and ticks; `SleepWatch` listens to the machine.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from PySide6.QtCore import SLOT, QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtDBus import QDBusConnection
from PySide6.QtGui import QGuiApplication

__all__ = ["FEED_MINUTES", "WARNING_SECONDS", "Idle", "IdleWatch", "SleepWatch"]

WARNING_SECONDS = 20
FEED_MINUTES = 30  # how long the idle lock waits while a feed clock runs
_TICK_MS = 1_000
_SLEPT_SECONDS = 60.0
"""The wall clock ran this much ahead of the ticks: the machine slept without telling."""

_TOUCHES = frozenset(
    {
        QEvent.Type.KeyPress,
        QEvent.Type.MouseButtonPress,
        QEvent.Type.Wheel,
        QEvent.Type.TouchBegin,
        QEvent.Type.TouchUpdate,
        QEvent.Type.TabletPress,
    }
)


@dataclass
class Idle:
    """Counts the seconds since the last key or touch. All times are seconds of one steady clock."""

    minutes: int
    touched: float

    def touch(self, now: float) -> None:
        """A key or a touch at `now`."""
        self.touched = now

    def left(self, now: float, *, feeding: bool) -> float:
        """Seconds until the lock; a running feed clock makes it wait half an hour from the last touch."""
        minutes = max(self.minutes, FEED_MINUTES) if feeding else self.minutes
        return self.touched + minutes * 60 - now


class IdleWatch(QObject):
    """Watches the window for keys and touches, warns before the lock, and says when it is due.

    Signals: `warned(seconds)` once a second in the last twenty, `eased()` when a key or a touch put the lock off,
    `due()` when the window must lock. Started by `start`, it rests after `due` and after `rest`.
    """

    warned = Signal(int)
    eased = Signal()
    due = Signal()

    def __init__(
        self,
        *,
        steady: Callable[[], float],
        clock: Callable[[], datetime],
        minutes: Callable[[], int],
        feeding: Callable[[], bool],
        parent: QObject | None = None,
    ) -> None:
        """`steady` counts seconds and never jumps, `clock` is the time of day; `minutes` is asked at every tick."""
        super().__init__(parent)
        self._steady, self._clock, self._minutes, self._feeding = steady, clock, minutes, feeding
        self._idle = Idle(minutes(), steady())
        self._warning = False
        self._last = (steady(), clock())
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self.tick)

    def start(self) -> None:
        """Begin to count, from now."""
        self._idle.touch(self._steady())
        self._last = (self._steady(), self._clock())
        self._warning = False
        app = QGuiApplication.instance()
        if app is not None:
            app.installEventFilter(self)
        self._timer.start()

    def rest(self) -> None:
        """Stop counting; the window is locked."""
        app = QGuiApplication.instance()
        if app is not None:
            app.removeEventFilter(self)
        self._timer.stop()
        self._warning = False

    def touch(self) -> None:
        """A key or a touch: the lock is put off."""
        self._idle.touch(self._steady())
        if self._warning:
            self._warning = False
            self.eased.emit()

    def tick(self) -> None:
        """Look how late it is."""
        steady, clock = self._steady(), self._clock()
        slept = (clock - self._last[1]).total_seconds() - (steady - self._last[0]) > _SLEPT_SECONDS
        slept = slept or steady - self._last[0] > _SLEPT_SECONDS
        self._last = (steady, clock)
        self._idle.minutes = self._minutes()
        left = self._idle.left(steady, feeding=self._feeding())
        if slept or left <= 0:
            self.rest()
            self.due.emit()
        elif left <= WARNING_SECONDS:
            self._warning = True
            self.warned.emit(round(left))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Sees every event of the window and takes none of them."""
        kind = event.type()
        if kind in _TOUCHES or (kind == QEvent.Type.MouseMove and event.spontaneous()):
            self.touch()
        return False


_LOGIN, _POWER = "org.freedesktop.login1", "org.freedesktop.UPower"
_PROPERTIES = "org.freedesktop.DBus.Properties"


class SleepWatch(QObject):
    """Hears from the machine that it goes to sleep, that its lid closes, or that its screen is being locked.

    Signal `asleep()`. Where the machine has no message bus, the jump of the clock seen by `IdleWatch` locks on waking.
    """

    asleep = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        app = QGuiApplication.instance()
        if isinstance(app, QGuiApplication):
            app.applicationStateChanged.connect(self._state)

    def listen(self, system: QDBusConnection, session: QDBusConnection) -> bool:
        """Listen on these buses; whether at least one of them is there."""
        sleep, screen, power, lock = (
            SLOT(name)
            for name in ("sleeping(bool)", "screen_locked(bool)", "powered(QString,QVariantMap)", "session_locked()")
        )
        heard = (
            (system, _LOGIN, "/org/freedesktop/login1", f"{_LOGIN}.Manager", "PrepareForSleep", sleep),
            (system, _LOGIN, "", f"{_LOGIN}.Session", "Lock", lock),
            (system, _POWER, "/org/freedesktop/UPower", _PROPERTIES, "PropertiesChanged", power),
            (session, "", "/org/freedesktop/ScreenSaver", "org.freedesktop.ScreenSaver", "ActiveChanged", screen),
            (session, "", "/org/gnome/ScreenSaver", "org.gnome.ScreenSaver", "ActiveChanged", screen),
        )
        # The stub wants bytes where the library takes what its own SLOT gives, a str.
        told = [bus.connect(*where, self, slot) for bus, *where, slot in heard]  # type: ignore[call-overload]
        return any(told)

    @Slot(bool)
    def sleeping(self, going: bool) -> None:
        """The machine goes to sleep (True) or woke (False)."""
        if going:
            self.asleep.emit()

    @Slot(bool)
    def screen_locked(self, locked: bool) -> None:
        """The system's own screen lock came on or went."""
        if locked:
            self.asleep.emit()

    @Slot()
    def session_locked(self) -> None:
        """The system asks its session to lock."""
        self.asleep.emit()

    @Slot(str, "QVariantMap")
    def powered(self, interface: str, changed: dict[str, object]) -> None:
        """Something about power changed; only a closed lid matters here."""
        if interface == _POWER and changed.get("LidIsClosed") is True:
            self.asleep.emit()

    def _state(self, state: Qt.ApplicationState) -> None:
        if state == Qt.ApplicationState.ApplicationSuspended:
            self.asleep.emit()
