"""One round with a target: repository, membership, pull, push, sign of life, comparison.

Every step may be stopped at any point and done again: what was taken in is in the store, what was made is kept before
it is put, and putting the same bytes again changes nothing. A name that is absent is never taken for a deletion.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

import orjson

from forms.role import Role
from storage.changes import ChangeSet
from storage.exchange import Kept
from storage.log import Operation
from storage.store import Store
from sync.exchange.practice import Practice, change_key, learn, made_by, practice_of
from sync.exchange.pull import pull
from sync.exchange.push import push
from sync.exchange.replay import replay
from sync.exchange.snapshots import made, taken
from sync.exchange.told import Told
from sync.exchange.troubles import EmptyTarget, ForeignTarget, NotFounded, NotLetIn, NotMember
from sync.membership.acts import Act, read_act
from sync.membership.roster import genuine
from sync.transport.port import Target
from sync.wire import names
from sync.wire.troubles import BadFile, Stopped

__all__ = ["FORMAT", "Round", "repository_in", "sync_round"]

FORMAT = 1
_MOST = 4_096
"""Bytes of what says whose a place is; more is not read."""


@dataclass
class Round:
    """What the steps of a round share. `cancelled` is asked before each step; `progress` is told in words."""

    store: Store
    target: Target
    practice: Practice
    clock: Callable[[], datetime]
    told: Told = field(default_factory=Told)
    progress: Callable[[str], None] = lambda _words: None
    cancelled: Callable[[], bool] = lambda: False
    changes: ChangeSet | None = None
    heard: Callable[[ChangeSet], None] = lambda _changes: None
    unpacked: dict[tuple[str, int], bytes] = field(default_factory=dict)

    def get(self, name: str) -> bytes | None:
        """One request for a name."""
        if self.cancelled():
            raise Stopped
        self.told.requests += 1
        return self.target.get(name)

    def put(self, name: str, data: bytes) -> None:
        """One request to write a name."""
        if self.cancelled():
            raise Stopped
        self.told.requests += 1
        self.target.put(name, data)

    def put_over(self, name: str, data: bytes) -> None:
        """One request to write over what is there: a sign of life, or bytes that were cut short or spoiled."""
        if self.cancelled():
            raise Stopped
        self.told.requests += 1
        self.target.replace(name, data)

    def put_right(self, name: str, data: bytes) -> bool:
        """Writes a name that this device alone gives bytes to, over whatever spoiled it; whether it had to."""
        there = self.get(name)
        if there == data:
            return False
        (self.put if there is None else self.put_over)(name, data)
        return True

    def received(self, changes: ChangeSet) -> None:
        """Tell whoever listens that the record is another than before."""
        self.changes = self.changes.with_(changes) if self.changes is not None else changes
        self.heard(changes)

    def go_on_anew(self, files: Sequence[Kept], operations: Sequence[Operation], published: int) -> None:
        """Take in what a copy of this device wrote under its name, and go on under a new one.

        Of its own files those up to `published` reached the place; what the others carry is written once more.
        """
        self.received(self.store.go_on_anew(files, operations, published))
        self.told.continued = True

    def set_aside(self, name: str, raw: bytes, why: str) -> None:
        """Keep a file that is not taken in, and tell of it."""
        self.store.exchange().set_aside(name, raw, why, int(self.clock().timestamp() * 1000))
        self.told.aside.append((name, why))


def sync_round(
    store: Store, target: Target, *, clock: Callable[[], datetime], refill: bool = False,
    progress: Callable[[str], None] = lambda _words: None, cancelled: Callable[[], bool] = lambda: False,
    heard: Callable[[ChangeSet], None] = lambda _changes: None,
) -> Told:  # fmt: skip
    """One round; gives what it came to. `refill` says that an empty target is right and is to be filled again.

    `heard` is told of each change to the record as it is made, on the calling thread.
    Raises NotFounded, EmptyTarget, ForeignTarget, NotMember, NotLetIn, Stopped, Continued, and whatever store and
    target raise.
    """
    practice = practice_of(store)
    if practice is None:
        raise NotFounded
    going = Round(store, target, practice, clock, progress=progress, cancelled=cancelled, heard=heard)
    _right_place(going, refill=refill)
    progress("Reading who belongs")
    before = store.exchange().fact("role")
    going.practice = _membership(going)
    now = store.exchange().fact("role")
    going.told.role = Role(now) if before and before != now else None
    roster = going.practice.roster
    going.told.names = {chain: member.label for chain, member in roster.every.items()}
    if store.device not in roster.members:
        raise NotMember if store.device in roster.every else NotLetIn
    progress("Receiving")
    taken(going)
    pull(going)
    progress("Sending")
    hands_on = any(epoch in going.practice.keys for _chain, epoch in roster.lacking)
    if (roster.rotation_owed or hands_on) and store.device in roster.owners():
        going.practice = change_key(store, going.practice, clock)
        _put_own_acts(going)
    push(going, refill=refill)
    replay(going)
    made(going, again=refill)
    going.told.rotation_owed = going.practice.roster.rotation_owed
    going.told.sheets = len(going.practice.roster.sheets)
    return going.told


def _right_place(going: Round, *, refill: bool) -> None:
    """The target is this practice's, or empty and new to us, or empty and to be filled again."""
    exchange, place = going.store.exchange(), going.target.label
    key = f"target {place}"
    ours = orjson.dumps({"id": going.practice.roster.repository, "format": FORMAT})
    raw = going.get(names.REPOSITORY)
    there = repository_in(raw) if raw else None
    if there is not None and (there[0] != going.practice.roster.repository or there[1] > FORMAT):
        raise ForeignTarget(place=place)
    if there is None:
        _names, folders = going.target.names("")
        known = exchange.facts().get(key) is not None
        if raw and not ours.startswith(raw) and not known:
            raise ForeignTarget(place=place)
        if (known or folders) and not refill:
            raise EmptyTarget(place=place)
        going.put_right(names.REPOSITORY, ours)
    exchange.tell({key: "seen"})


def repository_in(raw: bytes) -> tuple[str, int] | None:
    """Id and format of the record that a place says it keeps; None for bytes that say neither."""
    if len(raw) > _MOST:
        return None
    try:
        body = orjson.loads(raw)
        return str(body["id"]), int(body["format"])
    except (ValueError, KeyError, TypeError):
        return None


def _membership(going: Round) -> Practice:
    """Puts this device's acts where they are missing, and learns those of others and of a copy of this device."""
    store = going.store
    _put_own_acts(going)
    practice = going.practice
    known = {(act.by, act.seq) for act in practice.acts}
    going.told.requests += 1
    _names, folders = going.target.names(names.MEMBERS)
    arrived: list[Act] = []
    for chain in sorted(folder.rpartition("/")[2] for folder in folders):
        seq = max((one for by, one in known if by == chain), default=0) + 1
        while (act := _act_there(going, chain, seq)) is not None:
            arrived.append(act)
            seq += 1
    true, changed = genuine(arrived, practice.acts, practice.founding)
    for act in changed:
        going.set_aside(names.act(act.by, act.seq), act.raw, "it is not signed by whom it names")
    return learn(store, practice, true)


def _act_there(going: Round, chain: str, seq: int) -> Act | None:
    """One act as it lies there; None when there is none, or none that reads (told and kept aside)."""
    name = names.act(chain, seq)
    raw = going.get(name)
    if not raw:
        return None
    try:
        act = read_act(raw)
        if (act.by, act.seq) != (chain, seq):
            raise BadFile(why="its name is not what it holds")  # noqa: TRY301 - told as any other bad file
    except BadFile as bad:
        if bad.newer:
            going.told.newer.add(chain)
        going.set_aside(name, raw, str(bad.blanks["why"]))
        return None
    return act


def _put_own_acts(going: Round) -> None:
    """Puts this device's acts that are not there, from the last one back to the first that is.

    Where a copy of this device put an act of its own under the same number, that one stays, and what was done here is
    done once more on top of it: an act is never lost, and no two lie under one name.
    """
    waiting: list[tuple[Act, bool]] = []
    theirs: list[Act] = []
    for act in reversed(going.practice.own_acts(going.store.device)):
        raw = going.get(names.act(act.by, act.seq))
        if raw == act.raw:
            break
        waiting.append((act, raw is not None))
        there = _own_act_there(going, act.seq) if raw else None
        if there is not None and there.raw != act.raw:
            theirs.append(there)
    if theirs:
        _do_again(going, tuple(act for act, _spoiled in reversed(waiting)), theirs)
        return
    for act, spoiled in reversed(waiting):
        (going.put_over if spoiled else going.put)(names.act(act.by, act.seq), act.raw)


def _own_act_there(going: Round, seq: int) -> Act | None:
    """An act that this device, or a copy of it, put under a number; what neither signed is spoiled."""
    act = _act_there(going, going.store.device, seq)
    return act if act is not None and act.signed_by(going.store.public_keys()["sign"]) else None


def _do_again(going: Round, done: tuple[Act, ...], theirs: list[Act]) -> None:
    """Learns what a copy did, and does again what was done here under the same numbers."""
    store, device = going.store, going.store.device
    seq = max(act.seq for act in theirs) + 1
    while (act := _own_act_there(going, seq)) is not None:
        theirs.append(act)
        seq += 1
    store.exchange().forget_acts({act.hash for act in done})
    practice = practice_of(store)
    assert practice is not None
    practice = learn(store, practice, theirs)
    for act in done:
        practice = made_by(store, practice, act.change, going.clock)
    going.practice = practice
    for act in practice.own_acts(device)[-len(done) :]:
        going.put(names.act(act.by, act.seq), act.raw)
