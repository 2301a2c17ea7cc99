"""How the window gets work done: operations on a one-worker store lane, results on the GUI thread, one broadcast.

Widgets never call the store. They hand the lane a function of the store and, if they like, what to do with its result
or its trouble. The lane has one worker, so the store is never entered twice.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from threading import Event
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal
from shiboken6 import isValid

from desktop.circles import let_go_here
from forms.trouble import Trouble
from storage.changes import ChangeSet
from storage.store import Store

__all__ = ["StoreLane"]

T = TypeVar("T")


def _is_gone(answer: Callable[..., object]) -> bool:
    """Whether what waits for an answer was taken down meanwhile: a chart that was closed, a page that was left."""
    asker = getattr(answer, "__self__", None)
    return isinstance(asker, QObject) and not isValid(asker)


class StoreLane(QObject):
    """The one road from widgets to the store.

    Signals: `changed(ChangeSet)` after every operation that wrote something; `troubled(Trouble)` for a trouble no
    caller took care of; `broke(Exception)` for anything that is ours. All are emitted on the GUI thread. `ending` is
    set once nothing more is taken: long work beside the store looks at it and stops.
    """

    changed = Signal(object)
    troubled = Signal(object)
    broke = Signal(object)
    _answered = Signal(object)
    _told_apart = Signal(object)

    def __init__(self, store: Store, parent: QObject | None = None) -> None:
        super().__init__(parent)
        let_go_here()
        self._store = store
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="store")
        self._beside = ThreadPoolExecutor(1, thread_name_prefix="store-beside")
        self._apart = ThreadPoolExecutor(1, thread_name_prefix="store-apart")
        self._answered.connect(self._deliver, Qt.ConnectionType.QueuedConnection)
        self._told_apart.connect(self._deliver_apart, Qt.ConnectionType.QueuedConnection)
        self._waiting = 0
        self.ending = Event()

    @property
    def busy(self) -> bool:
        """Whether an operation is waiting or under way."""
        return self._waiting > 0

    def run(
        self,
        operation: Callable[[Store], T],
        then: Callable[[T], None] | None = None,
        trouble: Callable[[Trouble], None] | None = None,
    ) -> None:
        """Do `operation` on the worker; `then` or `trouble` is called on the GUI thread with what came of it.

        After `last_call` nothing is done: the page that asks is on its way out.
        """
        self._hand(self._worker, lambda: operation(self._store), then, trouble)

    def beside(
        self,
        work: Callable[[], T],
        then: Callable[[T], None] | None = None,
        trouble: Callable[[Trouble], None] | None = None,
    ) -> None:
        """Do slow work that needs no store on a worker of its own, so that what is typed is written meanwhile."""
        self._hand(self._beside, work, then, trouble)

    def apart(
        self,
        work: Callable[[Store], T],
        then: Callable[[T], None] | None = None,
        trouble: Callable[[Trouble], None] | None = None,
    ) -> None:
        """Do long work that waits for a network and calls the store now and then: what is typed is written between.

        It does not count as busy. The lock does not wait for it: its next call finds the store closed.
        """
        if self.ending.is_set():
            return

        def answer(done: Future[T]) -> None:
            with suppress(RuntimeError):  # the window may be gone before a slow place answers
                self._told_apart.emit((done, then, trouble))

        self._apart.submit(work, self._store).add_done_callback(answer)

    def _hand(
        self,
        worker: ThreadPoolExecutor,
        work: Callable[[], T],
        then: Callable[[T], None] | None,
        trouble: Callable[[Trouble], None] | None,
    ) -> None:
        if self.ending.is_set():
            return
        self._waiting += 1

        def answer(done: Future[T]) -> None:
            self._answered.emit((done, then, trouble))

        worker.submit(work).add_done_callback(answer)

    def _deliver(self, answered: tuple[Future[Any], Callable[[Any], None] | None, Any]) -> None:
        self._waiting -= 1
        self._deliver_apart(answered)

    def _deliver_apart(
        self, answered: tuple[Future[Any], Callable[[Any], None] | None, Callable[[Trouble], None] | None]
    ) -> None:
        done, then, trouble = answered
        failure = done.exception()
        if failure is None:
            result = done.result()
            if then is not None and not _is_gone(then):
                then(result)
            if isinstance(result, ChangeSet):
                self.changed.emit(result)
        elif isinstance(failure, Trouble):
            (self.troubled.emit if trouble is None or _is_gone(trouble) else trouble)(failure)
        elif isinstance(failure, Exception):
            self.broke.emit(failure)

    def last_call(self) -> None:
        """Take no further operation; those that wait are still done. Called on the GUI thread before `close`."""
        self.ending.set()

    def close(self) -> None:
        """Finish what is waiting, then lock the store. Nothing can be run afterwards."""
        self._worker.submit(self._store.close).result()
        self._worker.shutdown(wait=True)
        self._beside.shutdown(wait=True)
        self._apart.shutdown(wait=False)
