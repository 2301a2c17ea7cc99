"""The meeting of this device with the others of its practice: where, when, how it went, and rounds by themselves.

A round runs on a worker of its own; the lane writes what is typed meanwhile. What it receives is told through the lane
like any other change, so that an open draft keeps what it was opened on and no page is laid anew under typing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from threading import Event
from types import MappingProxyType

import orjson
from PySide6.QtCore import QObject, QTimer, Signal

from desktop.network import NetworkWatch
from desktop.work import StoreLane
from forms.role import Role
from forms.trouble import Trouble
from storage.store import Store
from sync.exchange.practice import Practice, found_practice, made_by, practice_of, put_out
from sync.exchange.round import sync_round
from sync.exchange.told import Told
from sync.membership.acts import SetRole
from sync.transport.address import Credentials, read_address
from sync.transport.opening import open_target
from sync.transport.port import Target
from sync.transport.troubles import NoPlace, Unreachable
from sync.wire.troubles import Stopped

__all__ = ["AGAIN_MINUTES", "OFFLINE_SECONDS", "Place", "Seen", "Sharing", "Stage", "open_place"]

AGAIN_MINUTES = 10
"""How long after a round the next one begins by itself: house bound, no source."""

OFFLINE_SECONDS = 60
"""How long after a place did not answer it is asked again: house bound, no source."""

PLACE = "sync place"
"""The kept secret that holds the address of the place and its credentials."""

_REACHED = "reached"
_LATE = "late"
_HEARD = "heard"


@dataclass(frozen=True, slots=True)
class Place:
    """Where the devices meet. The secret is never shown again once it was given."""

    url: str
    user: str = ""
    secret: str = ""
    plain: bool = False

    def __repr__(self) -> str:
        return "Place()"

    @property
    def label(self) -> str:
        """What to call it, without credentials. Raises BadAddress or NotEncrypted for one that cannot be used."""
        return read_address(self.url, plain=self.plain).label

    def kept(self) -> bytes:
        """As it is kept among the secrets of the store."""
        return orjson.dumps([self.url, self.user, self.secret, self.plain])

    @classmethod
    def read(cls, kept: bytes | None) -> Place | None:
        """The place that was kept, if any."""
        return None if kept is None else cls(*orjson.loads(kept))


def open_place(place: Place, device: str) -> Target:
    """The place, opened; raises what stands in the way there. Takes as long as the network does."""
    given = Credentials(place.user, place.secret) if place.user else None
    return open_target(place.url, given, own=device, plain=place.plain)


class Stage(Enum):
    """How the meeting stands."""

    UNREAD = "unread"
    ALONE = "alone"  # never set up
    IDLE = "idle"
    GOING = "going"
    DONE = "done"
    STOPPED = "stopped"
    OFFLINE = "offline"  # the place did not answer
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Seen:
    """What the store knows of it: the practice, the place's label, when it was last reached, and what waits.

    `heard` is when each device was last heard of; `empty` says that nothing was ever written on this device.
    """

    practice: Practice | None = None
    device: str = ""
    place: str = ""
    reached: datetime | None = None
    differ: int = 0
    late: int = 0
    empty: bool = False
    heard: Mapping[str, datetime] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def owner(self) -> bool:
        """Whether this device may let others in, change their roles and put them out."""
        return self.practice is not None and self.device in self.practice.roster.owners()


def seen_to(store: Store) -> frozenset[str]:
    """Operations that arrived after signing and were added or left on this device."""
    return frozenset(name.partition(" ")[2] for name in store.exchange().facts() if name.startswith(f"{_LATE} "))


def leave_late(store: Store, operations: tuple[str, ...], how: str) -> None:
    """Remember that late arrivals were seen to: "added" or "left"."""
    store.exchange().tell({f"{_LATE} {made}": how for made in operations})


def _seen(store: Store) -> Seen:
    exchange, place = store.exchange(), Place.read(store.secret(PLACE))
    facts = exchange.facts()
    reached = facts.get(_REACHED)
    practice = practice_of(store)
    if practice is None:
        return Seen(device=store.device, differ=len(store.disputes()), empty=not exchange.unsent(1))
    heard = {
        name.partition(" ")[2]: datetime.fromisoformat(at)
        for name, at in facts.items()
        if name.startswith(f"{_HEARD} ")
    }
    return Seen(
        practice, store.device, place.label if place is not None else "",
        datetime.fromisoformat(reached) if reached else None,
        len(store.disputes()), len(store.late_arrivals(seen_to(store))), heard=MappingProxyType(heard),
    )  # fmt: skip


class Sharing(QObject):
    """One session's meeting with the others. Signal `changed()`: how it stands, or what waits, is another than before.

    `told` is the last round, `trouble` what ended it, `words` what it is doing now.
    """

    changed = Signal()
    _progress = Signal(str)
    _heard = Signal(object)

    def __init__(self, lane: StoreLane, clock: Callable[[], datetime]) -> None:
        super().__init__(lane)
        self._lane, self._clock = lane, clock
        self.stage, self.seen = Stage.UNREAD, Seen()
        self.told: Told | None = None
        self.trouble: Trouble | None = None
        self.words = ""
        self.open: Callable[[Place, str], Target] = open_place
        self._stop = Event()
        self._again: QTimer | None = None  # made with the first round: most sessions stand alone
        self._network: NetworkWatch | None = None
        self._progress.connect(self._go_on)
        self._heard.connect(lane.changed)

    # --- what is known ----------------------------------------------------------------------------------------------

    def start(self) -> None:
        """Read how it stands and, where a place is set, begin a round: once after unlocking."""
        self.look(lambda: self.round() if self.seen.place else None)

    def look(self, then: Callable[[], object] | None = None) -> None:
        """Read again what the store knows of it."""

        def take(seen: Seen) -> None:
            self.seen = seen
            if self.stage in (Stage.UNREAD, Stage.ALONE, Stage.IDLE):
                self.stage = Stage.ALONE if seen.practice is None else Stage.IDLE
            self.changed.emit()
            if then is not None:
                then()

        self._lane.run(_seen, take)

    @property
    def going(self) -> bool:
        """Whether a round is under way."""
        return self.stage is Stage.GOING

    # --- rounds -----------------------------------------------------------------------------------------------------

    def round(self, *, refill: bool = False) -> None:
        """Begin a round, unless one is under way."""
        if self.going or not self.seen.place or self._lane.ending.is_set():
            return
        if self._again is not None:
            self._again.stop()
        self._stop.clear()
        self.stage, self.words, self.trouble = Stage.GOING, "Opening the place", None
        self.changed.emit()

        def work(store: Store) -> Told:
            place = Place.read(store.secret(PLACE))
            assert place is not None
            told = sync_round(
                store, self.open(place, store.device), clock=self._clock, refill=refill,
                progress=self._progress.emit, cancelled=self._cancelled, heard=self._heard.emit,
            )  # fmt: skip
            heard = {f"{_HEARD} {chain}": at.isoformat() for chain, at in told.heard.items()}
            store.exchange().tell({_REACHED: self._clock().isoformat(), **heard})
            return told

        self._lane.apart(work, self._done, self._ended)

    def _cancelled(self) -> bool:
        return self._stop.is_set() or self._lane.ending.is_set()

    def stop(self) -> None:
        """End the round at its next step; what was received stays."""
        self._stop.set()
        if self.going:
            self._go_on("Stopping")

    def _go_on(self, words: str) -> None:
        if self.going:
            self.words = words
            self.changed.emit()

    def _done(self, told: Told) -> None:
        self.stage, self.told = Stage.DONE, told
        self._rest(AGAIN_MINUTES * 60)

    def _ended(self, trouble: Trouble) -> None:
        if isinstance(trouble, Stopped):
            self.stage = Stage.STOPPED
        else:
            self.stage = Stage.OFFLINE if isinstance(trouble, Unreachable | NoPlace) else Stage.REFUSED
        self.trouble = trouble
        self._rest(OFFLINE_SECONDS if self.stage is Stage.OFFLINE else AGAIN_MINUTES * 60)

    def _rest(self, seconds: int) -> None:
        self.words = ""
        if self._lane.ending.is_set():
            return
        if self._again is None:
            self._again = QTimer(self)
            self._again.setSingleShot(True)
            self._again.timeout.connect(self.round)
            self._network = NetworkWatch(self)
            self._network.back.connect(self._back)
        self._again.start(seconds * 1_000)
        self.look()

    def _back(self) -> None:
        """The network is there again: what waited for it begins; a round that was stopped by hand stays stopped."""
        if self.stage in (Stage.OFFLINE, Stage.DONE, Stage.IDLE):
            self.round()

    # --- setting up, and who belongs --------------------------------------------------------------------------------

    def set_up(self, label: str, place: Place, refused: Callable[[Trouble], None], then: Callable[[], None]) -> None:
        """Share this record as a new practice at a place, or go on at another place; then a first round.

        The place is opened before anything is kept, so that a wrong address or password changes nothing.
        """

        def work(store: Store) -> None:
            self.open(place, store.device)
            if practice_of(store) is None:
                found_practice(store, label, self._clock)
            store.keep_secret(PLACE, place.kept())

        def done(_none: None) -> None:
            then()
            self.begin()

        self._lane.apart(work, done, refused)

    def begin(self) -> None:
        """The store belongs to a practice now, or meets at another place: read that, then a first round."""
        self.stage, self.told, self.trouble = Stage.IDLE, None, None
        self.look(self.round)

    def put_out(self, chain: str) -> None:
        """Put a device out and change the practice key, in one act; the next round tells the others."""
        self._act(chain, lambda store, practice: put_out(store, practice, chain, self._clock))

    def set_role(self, chain: str, role: Role) -> None:
        """Give a device another role; the next round tells the others. The last owner stays one."""

        def change(store: Store, practice: Practice) -> None:
            owners = practice.roster.owners()
            if role is practice.roster.members[chain].role or (owners == (chain,) and role is not Role.OWNER):
                return
            made_by(store, practice, SetRole(chain, role), self._clock)

        self._act(chain, change)

    def _act(self, chain: str, change: Callable[[Store, Practice], object]) -> None:
        """Make an act about a member, if it still is one and this device an owner, and let a round tell it."""

        def work(store: Store) -> None:
            practice = practice_of(store)
            if practice is not None and chain in practice.roster.members and store.device in practice.roster.owners():
                change(store, practice)

        self._lane.run(work, lambda _none: self.look(self.round))

    def role_of(self, chain: str) -> Role | None:
        """What a member may do; None for one that is out."""
        practice = self.seen.practice
        member = practice.roster.members.get(chain) if practice is not None else None
        return member.role if member is not None else None
