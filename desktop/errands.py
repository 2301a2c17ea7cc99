"""Work off the GUI thread that needs no open store: unlocking, setting up, re-wrapping keys."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal

from desktop.circles import let_go_here
from forms.trouble import Trouble

__all__ = ["Errands"]

T = TypeVar("T")


class Errands(QObject):
    """One worker for slow work; what comes of it is told on the GUI thread. Signal `broke(Exception)`: ours to mend."""

    broke = Signal(object)
    _answered = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        let_go_here()
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="errand")
        self._answered.connect(self._deliver, Qt.ConnectionType.QueuedConnection)
        self._waiting = 0

    @property
    def busy(self) -> bool:
        """Whether something is under way."""
        return self._waiting > 0

    def run(
        self,
        work: Callable[[], T],
        then: Callable[[T], None] | None = None,
        trouble: Callable[[Trouble], None] | None = None,
    ) -> None:
        """Do `work` on the worker; `then` or `trouble` is called on the GUI thread with what came of it."""
        self._waiting += 1

        def answer(done: Future[T]) -> None:
            self._answered.emit((done, then, trouble))

        self._worker.submit(work).add_done_callback(answer)

    def _deliver(
        self, answered: tuple[Future[Any], Callable[[Any], None] | None, Callable[[Trouble], None] | None]
    ) -> None:
        done, then, trouble = answered
        self._waiting -= 1
        failure = done.exception()
        if failure is None:
            if then is not None:
                then(done.result())
        elif isinstance(failure, Trouble) and trouble is not None:
            trouble(failure)
        elif isinstance(failure, Exception):
            self.broke.emit(failure)

    def close(self) -> None:
        """Wait for what is under way; nothing can be run afterwards."""
        self._worker.shutdown(wait=True)
