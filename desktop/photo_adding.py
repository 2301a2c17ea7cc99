"""Adding a photo: the file is read and made clean beside the store, then its bytes and its entry are kept as one step.

It goes on while another page is looked at. What it says stands until the next one is added or the chart is closed.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import QObject, Qt, Signal

from desktop.open_chart import OpenChart
from forms.ask import Path as Field
from forms.photo import Photo
from forms.photo_leave import leave, leave_words
from forms.trouble import Trouble
from storage.changes import Begin, ChangeSet, Put
from storage.troubles import DiskFull

if TYPE_CHECKING:
    from collections.abc import Iterator

    from storage.changes import Change
    from storage.store import Store
    from sync.photo import CleanPhoto

__all__ = ["STILL_THERE", "PhotoAdding", "local_now"]

STILL_THERE = "The file you chose is still where it was; delete it there yourself."


class LeaveGone(Trouble):
    """The consent ended while the picture was being read."""

    template = "{why} Nothing was added."


class NoRoom(Trouble):
    """The disk took neither the picture nor its entry."""

    template = "The disk is full, so the photo was not added. Make room on it, then add it again."


class KeptAlready(Trouble):
    """The same picture stands in the record of this person at this visit."""

    template = "This picture is kept already. Nothing was added."


def local_now(home: OpenChart) -> datetime:
    """The time it is where the practice is."""
    return home.clock().astimezone(ZoneInfo(home.zone))


class PhotoAdding(QObject):
    """What is being added to an open chart.

    Signals: `told()` when there is something else to say; `added(str)` with the id of the entry, once it is on disk.
    `words` is what to say, `refused` whether it says that nothing was added, `busy` whether it is under way, `who`
    whose photo it is.
    """

    told = Signal()
    added = Signal(str)
    _step = Signal(str)

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self._home = home
        self._stop = Event()
        self._taken: dict[str, datetime] = {}
        self.words, self.who, self.busy, self.refused = "", "", False, False
        self._step.connect(self._tell_step, Qt.ConnectionType.QueuedConnection)

    @classmethod
    def of(cls, home: OpenChart) -> PhotoAdding:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    def camera_time(self, entity: str) -> datetime | None:
        """What the camera's clock showed for a photo added since the chart was opened; it is kept nowhere."""
        return self._taken.get(entity)

    def add(self, who: str, part: str, file: Path) -> None:
        """Add the picture in a file as a photo of a person that shows a part of them."""
        from sync.photo import ReadingStopped, taken_in  # its library is not needed to open a chart

        self._stop.clear()
        ending, stopped = self._home.lane.ending, self._stop

        def progress(step: str = "") -> None:
            if ending.is_set() or stopped.is_set():
                raise ReadingStopped
            if step:
                self._step.emit(f"{step} …")

        self._say("Reading the file …", who=who, busy=True)
        self._home.lane.beside(
            lambda: taken_in(file, progress), lambda clean: self._keep(who, part, clean), self._not_added
        )

    def stop(self) -> None:
        """Stop reading; nothing is added."""
        self._stop.set()

    def _keep(self, who: str, part: str, clean: CleanPhoto) -> None:
        home, entity = self._home, self._home.ids()
        found = leave(home.chart, who, local_now(home), part=part)
        if not found.given or found.row is None:
            why = leave_words(found, home.names(who), home.zone, local_now(home), part=part)
            self._not_added(LeaveGone(why=why))
            return
        name, consent = sha256(clean.data).hexdigest(), found.row.id
        if any(name == entry.answers.picture for entry in home.chart.all(Photo, who, visit=home.chart.visit)):
            self._not_added(KeptAlready())
            return

        def make(store: Store) -> Iterator[Change]:
            # The bytes first: a photo without its picture is a loss, a picture without its photo only lies there.
            store.attach(clean.data, clean.kind)
            yield Begin(entity, home.place(Photo, who))
            for field, value in {
                "picture": name, "media": clean.kind.name.lower(), "wide": clean.wide, "tall": clean.tall,
                "consent": consent, "region": part,
            }.items():  # fmt: skip
                yield Put(entity, Field(field), value)

        self._say("Keeping it …", busy=True)
        home.write(make, self._kept(entity, clean.camera_time), self._not_added)

    def _kept(self, entity: str, taken: datetime | None) -> Callable[[ChangeSet], None]:
        def kept(_written: ChangeSet) -> None:
            if taken is not None:
                self._taken[entity] = taken
            self._say(f"Added. {STILL_THERE}")
            self._home.reload(lambda: self.added.emit(entity))

        return kept

    def _not_added(self, trouble: Trouble) -> None:
        self._say((NoRoom() if isinstance(trouble, DiskFull) else trouble).sentence, refused=True)

    def _tell_step(self, words: str) -> None:
        if self.busy:
            self._say(words, busy=True)

    def _say(self, words: str, *, who: str = "", busy: bool = False, refused: bool = False) -> None:
        self.words, self.busy, self.refused = words, busy, refused
        self.who = who or self.who
        self.told.emit()
