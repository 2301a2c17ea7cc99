"""Two devices of one practice with real stores that meet in a real folder: the first with the small family."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

from PySide6.QtCore import QCoreApplication, QEvent

from desktop.errands import Errands
from desktop.notices import Notices
from desktop.session import Routes, Session
from desktop.settings import DeviceSettings
from desktop.sharing import PLACE, Place, Stage
from desktop.work import StoreLane
from forms.chart import Place as Stand
from forms.practice import Practice
from storage.changes import Begin
from storage.store import Store
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.transport.opening import open_target
from tests.helpers.program import wait_for
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, Clock, put, small_family
from tests.helpers.visits import Ways

__all__ = ["LOCUM", "Devices", "SyncWays", "devices", "put_away", "session_over", "settled_all"]

LOCUM = "b" * 32


class SyncWays(Ways):
    """Routes that only write down where they were asked to go."""

    def sync(self) -> None:
        self.gone.append(("sync",))

    def differ(self, family: str = "") -> None:
        self.gone.append(("differ", family))

    def members(self) -> None:
        self.gone.append(("members",))

    def let_in(self) -> None:
        self.gone.append(("let_in",))

    def join(self) -> None:
        self.gone.append(("join",))

    def come_back(self) -> None:
        self.gone.append(("come_back",))


@dataclass
class Devices:
    """The laptop, which is an owner, the locum's tablet, and the folder where they meet."""

    laptop: Store
    tablet: Store
    folder: Path
    sessions: list[Session] = field(default_factory=list)
    broken: list[Exception] = field(default_factory=list)

    def meet(self, store: Store) -> Told:
        """One round through the folder, without a window."""
        return sync_round(store, open_target(str(self.folder), own=store.device), clock=Clock())

    def window(self, store: Store, author: str = AUTHOR) -> Session:
        """A session over one of the stores, its sharing read."""
        session = session_over(store, author)
        session.lane.broke.connect(self.broken.append)
        session.sharing.look()
        wait_for(lambda: session.sharing.stage is not Stage.UNREAD)
        self.sessions.append(session)
        return session

    def close(self) -> None:
        for session in self.sessions:
            settled_all(session)
            session.lane.last_call()
            session.lane.close()
            session.errands.close()
            put_away(session)
        for store in (self.laptop, self.tablet):
            store.close()
        for failure in self.broken:
            raise failure


def session_over(store: Store, author: str = AUTHOR) -> Session:
    """What pages share, over an open store."""
    return Session(
        folder=store.folder, lane=StoreLane(store), errands=Errands(), notices=Notices(),
        settings=DeviceSettings(store.folder), clock=Clock(), ids=lambda: secrets.token_hex(16), author=author,
        practice=Practice(time_zone="Europe/London"),
    )  # fmt: skip


def put_away(session: Session) -> None:
    """Drop the lane and what belongs to it on this thread, as the program does once the store is closed."""
    session.lane.deleteLater()
    QCoreApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def ways() -> Routes:
    return cast("Routes", SyncWays())


def settled_all(session: Session) -> None:
    """Let the lane, and a round that is under way, come to rest."""
    wait_for(lambda: not session.lane.busy and not session.sharing.going)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def devices(folder: Path) -> Devices:
    """Both know the small family and each other, and have met once."""
    meeting = folder / "stick"
    meeting.mkdir()
    laptop, tablet = device(folder, "laptop").store, device(folder, "tablet").store
    found_practice(laptop, "Laptop", Clock())
    people = [
        change
        for who, name in ((AUTHOR, "Rosalind Achterberg"), (LOCUM, "R. Vale"))
        for change in (Begin(who, Stand("practitioner")), put(who, "full_name", name))
    ]
    laptop.write([*people, *small_family()], author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    found = Devices(laptop, tablet, meeting)
    for store in (laptop, tablet):
        store.keep_secret(PLACE, Place(str(meeting)).kept())
        found.meet(store)
    return found
