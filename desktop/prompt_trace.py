"""The trace of a visit's prompts while its chart is open: read from the log once, then followed with the answers."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.open_chart import OpenChart
from forms.chart import Chart
from forms.clinical.prompt_trace import Gone, Trace, followed
from storage.store import Store

__all__ = ["Followed"]

_SETTLE_MS = 120


class Followed(QObject):
    """What became of every prompt of the open visit. Signal `changed()`: a line came or went.

    Only what is on disk is followed for good: an answer on its way through a box never fired for the record.
    """

    changed = Signal()

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self._home = home
        self._kept: Trace | None = None
        self._lines: tuple[Gone, ...] = ()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self.refresh)
        home.changed.connect(self._settle.start)
        home.saved.connect(lambda _at: self.refresh())
        family, visit = home.chart.family, home.chart.visit
        if visit is not None:
            home.lane.run(lambda store: _read(store, family, visit), self._take)

    @classmethod
    def of(cls, home: OpenChart) -> Followed:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    def lines(self, person: str | None = None) -> tuple[Gone, ...]:
        """What fires no longer, the newest first; of one person if named. Nothing until the log has been read."""
        return tuple(line for line in self._lines if person in (None, line.prompt.person))

    def refresh(self) -> None:
        """Look at the chart as it stands; what is still being typed is shown, and followed once it is on disk."""
        if self._kept is None:
            return
        now = self._kept.then(self._home.chart, self._home.clock())
        if not self._home.pending():
            self._kept = now
        found = tuple(sorted(now.gone.values(), key=lambda line: line.since, reverse=True))
        if found != self._lines:
            self._lines = found
            self.changed.emit()

    def _take(self, trace: Trace) -> None:
        self._kept = trace
        self.refresh()


def _read(store: Store, family: str, visit: str) -> Trace:
    return followed(Chart(family, visit, ()), store.written(family))
