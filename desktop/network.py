"""When the network comes back, where this machine can tell: a place that did not answer may be asked again at once."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtNetwork import QNetworkInformation

__all__ = ["NetworkWatch", "Reach"]

_SETTLE_MS = 3_000
"""A network that has just come up may not have a name service yet: house bound, no source."""

Reach = QNetworkInformation.Reachability


class NetworkWatch(QObject):
    """Signal `back()`: the network reaches further than before, and has for a moment. Silent where nobody can tell."""

    back = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self.back)
        self._reach = Reach.Unknown
        told = QNetworkInformation.loadBackendByFeatures(QNetworkInformation.Feature.Reachability)
        machine = QNetworkInformation.instance() if told else None
        if machine is not None:
            self._reach = machine.reachability()
            machine.reachabilityChanged.connect(self.reaches)

    def reaches(self, reach: Reach) -> None:
        """The machine reaches this far now; whoever loses the network while it settles waits for the next time."""
        before, self._reach = self._reach, reach
        if reach in (Reach.Unknown, Reach.Disconnected):
            self._settle.stop()
        elif reach.value > before.value:
            self._settle.start()

    def rest(self) -> None:
        """Say nothing until it is heard again that the network came back."""
        self._settle.stop()
