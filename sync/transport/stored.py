"""A place behind an engine of `obstore`, used through the few operations that every engine does alike.

Each request is tried a few times with growing pauses; all of ours may be repeated, since a name is only ever given the
bytes it has. What is written is read back before it counts. Stopping is looked at before each try and in each pause; a
request under way ends by its own time limit.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from random import SystemRandom
from typing import TYPE_CHECKING, Final, TypeVar

import obstore
from obstore.exceptions import AlreadyExistsError, BaseError

from sync.transport.port import LARGEST, WIDTH, Listed, sorted_out
from sync.transport.troubles import Forked, NoPlace, NoRight, NotKept, TooLarge, fault_of
from sync.wire.names import is_folder, is_ours
from sync.wire.troubles import Stopped

if TYPE_CHECKING:
    from obstore.store import ObjectStore

__all__ = ["Patience", "Stored"]

_T = TypeVar("_T")
_FOLDER_IN_THE_WAY: Final = {405, 409, 423}


@dataclass(frozen=True, slots=True)
class Patience:
    """How long and how often to try. Times in seconds; a pause is doubled each time and varied by half either way."""

    tries: int = 4
    first: float = 0.25
    longest: float = 8.0
    connect: float = 5.0
    request: float = 30.0
    cancel: threading.Event = field(default_factory=threading.Event)

    def pause(self, done: int) -> None:
        """Wait after so many tries. Raises Stopped as soon as it is asked to stop."""
        length = min(self.first * 2 ** (done - 1), self.longest) * SystemRandom().uniform(0.5, 1.5)
        if self.cancel.wait(length):
            raise Stopped


class Stored:
    """A place as `sync.transport.port.Target` describes it.

    `base` is what the engine sets before each path it lists; `create` says that the engine can refuse to write over a
    name, as a second guard behind looking first. `progress` is told how many of `get_all` have come.
    """

    def __init__(
        self, store: ObjectStore, label: str, *, base: str = "", create: bool = False, patience: Patience | None = None,
        progress: Callable[[int], None] = lambda _done: None,
    ) -> None:  # fmt: skip
        self._store, self._label, self._base, self._create = store, label, base, create
        self._patience = patience or Patience()
        self._progress = progress
        self._folders: set[str] = set()
        self._making = threading.Lock()

    def __repr__(self) -> str:
        return f"<{type(self).__name__} {self._label}>"

    @property
    def label(self) -> str:
        """What to call it, without credentials."""
        return self._label

    def put(self, name: str, data: bytes) -> None:
        """See `Target`."""
        there = self.get(name)
        if there is not None:
            if there == data:
                return
            if not _cut_short(there, data):
                raise Forked(place=self._label, name=name)
        self._written(name, data, create=self._create and there is None)
        self._read_back(name, data, again=True)

    def replace(self, name: str, data: bytes) -> None:
        """See `Target`."""
        _own(name)
        self._written(name, data, create=False)
        self._read_back(name, data, again=False)

    def get(self, name: str) -> bytes | None:
        """See `Target`."""
        _own(name)
        return self._bytes(name)

    def get_all(self, names: Iterable[str]) -> Iterator[tuple[str, bytes | None]]:
        """See `Target`."""
        under_way: deque[tuple[str, Future[bytes | None]]] = deque()
        done = 0
        with ThreadPoolExecutor(WIDTH, "target") as pool:
            try:
                for name in names:
                    under_way.append((name, pool.submit(self.get, name)))
                    if len(under_way) >= WIDTH:
                        yield self._next(under_way, done := done + 1)
                while under_way:
                    yield self._next(under_way, done := done + 1)
            finally:
                for _name, waiting in under_way:
                    waiting.cancel()

    def size(self, name: str) -> int | None:
        """See `Target`."""
        _own(name)
        return self._absent_or(lambda: int(obstore.head(self._store, name)["size"]))

    def part(self, name: str, start: int, length: int) -> bytes | None:
        """See `Target`. The size is asked first, since servers differ in what they say of a part beyond the end."""
        if start < 0 or length < 0:
            raise ValueError("a part begins within a file and is no shorter than nothing")
        size = self.size(name)
        if size is None:
            return None
        end = min(start + length, size)
        if start >= end:
            return b""
        return self._absent_or(lambda: bytes(obstore.get_range(self._store, name, start=start, end=end)))

    def names(self, folder: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """See `Target`."""
        found = self.listed(folder)
        return found.names, found.folders

    def listed(self, folder: str) -> Listed:
        """See `Target`."""
        if folder and not is_folder(folder):
            raise ValueError(f"{folder} is no folder of ours")
        found = self._asked("read", lambda: obstore.list_with_delimiter(self._store, folder or None))
        names = {self._stripped(one["path"]) for one in found["objects"]}
        folders = {self._stripped(path) for path in found["common_prefixes"]}
        return sorted_out(names - {"", folder}, folders - {"", folder})  # WebDAV tells the folder asked for as well

    def require(self) -> None:
        """Asks whether the place answers and is there. Raises NoPlace, and whatever else stands in the way.

        To WebDAV a folder that is absent looks like an empty one, but only one that is there names itself.
        """
        found = self._asked("read", lambda: obstore.list_with_delimiter(self._store, None))
        if self._base and self._base not in {*found["common_prefixes"], *(one["path"] for one in found["objects"])}:
            raise NoPlace(place=self._label)

    def stray(self, path: str) -> bytes | None:
        """See `Target`."""
        return self._bytes(path)

    def sweep(self, chain: str) -> int:
        """See `Target`. Servers keep what is being written to themselves."""
        return 0 * len(chain)

    def close(self) -> None:
        """See `Target`. The engine lets go of idle connections by itself, and of all with the last reference."""

    def _before(self) -> None:
        """Whatever must hold before a request; raises a Trouble."""

    def _settled(self, name: str) -> None:
        """Whatever makes a written name last."""

    def _next(self, under_way: deque[tuple[str, Future[bytes | None]]], done: int) -> tuple[str, bytes | None]:
        name, waiting = under_way.popleft()
        found = waiting.result()
        self._progress(done)
        return name, found

    def _bytes(self, name: str) -> bytes | None:
        return self._absent_or(lambda: self._whole(name))

    def _whole(self, name: str) -> bytes:
        found = obstore.get(self._store, name)
        if found.meta["size"] > LARGEST:
            raise TooLarge(place=self._label, name=name)
        return bytes(found.bytes())

    def _written(self, name: str, data: bytes, *, create: bool) -> None:
        """Writes a name; the first into a folder goes alone, since two that make the same folder trip one another."""
        folder = name.rpartition("/")[0]

        def write() -> None:
            try:
                if create:
                    obstore.put(self._store, name, data, use_multipart=False, mode="create")
                else:
                    obstore.put(self._store, name, data, use_multipart=False)
            except AlreadyExistsError:
                if not create:
                    raise  # 409: the folder is being made by somebody else, or the place is not there
                # an own try of which no answer came, or another device: reading back tells
            self._settled(name)

        if folder in self._folders:
            self._asked("write", write)
            return
        with self._making:
            try:
                self._asked("write", write)
            except NoRight:
                # Apache says the same to whoever comes second to make a folder; once it is there, one more try tells.
                self._asked("write", write)
            self._folders.add(folder)

    def _read_back(self, name: str, data: bytes, *, again: bool) -> None:
        for tried in range(1, self._patience.tries + 1):
            there = self._bytes(name)
            if there == data:
                return
            if there is not None and not _cut_short(there, data):
                raise (Forked if again else NotKept)(place=self._label, name=name)
            if tried < self._patience.tries:
                self._patience.pause(tried)
                self._written(name, data, create=False)
        raise NotKept(place=self._label)

    def _absent_or(self, ask: Callable[[], _T]) -> _T | None:
        try:
            return self._asked("read", ask)
        except FileNotFoundError:
            return None

    def _asked(self, act: str, ask: Callable[[], _T]) -> _T:
        """Asks the engine, again after a fault that may pass. FileNotFoundError goes through when reading."""
        done = 0
        while True:
            if self._patience.cancel.is_set():
                raise Stopped
            self._before()
            try:
                return ask()
            except FileNotFoundError:
                if act == "read":
                    raise
                fault = fault_of(FileNotFoundError())
            except (BaseError, OSError) as error:
                fault = fault_of(error)
            done += 1
            if not fault.passing or done >= self._patience.tries:
                raise fault.told(self._label, act) from None
            if fault.status not in _FOLDER_IN_THE_WAY or done > 1:
                self._patience.pause(done)

    def _stripped(self, path: str) -> str:
        """A listed path from the root of the place on: WebDAV tells it from the root of the server on."""
        if not self._base:
            return path
        return "" if path == self._base else path.removeprefix(f"{self._base}/")


def _own(name: str) -> None:
    if not is_ours(name):
        raise ValueError(f"{name} is no name of ours")


def _cut_short(there: bytes, data: bytes) -> bool:
    """Whether what lies there is the beginning of `data`, or room a crash left unwritten: nothing is lost over it."""
    return data.startswith(there) or (len(there) <= len(data) and not there.strip(b"\0"))
