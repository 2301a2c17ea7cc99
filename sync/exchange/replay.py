"""Receiving what lies behind a snapshot: every file up to the ends it named, the newest first, until all is proved.

A file is taken in only once nothing that is still to come was written by somebody who had seen it. So whatever an
operation replaced comes after it, and no answer that was replaced long ago ever stands again on the way. Each file is
checked as any other; what is done is done, and the next round goes on from there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, TypeAlias

from storage.promises import Promise
from sync.exchange.attachments import fetch
from sync.exchange.pull import Batch, checked, pin_of, read, take_in, unpack
from sync.membership.acts import Member
from sync.merge.replica import Gap
from sync.wire.change_file import ChangeFile, Header, read_header
from sync.wire.pack_file import range_of
from sync.wire.troubles import BadFile, Stopped

if TYPE_CHECKING:
    from sync.exchange.round import Round

__all__ = ["replay"]

_File: TypeAlias = tuple[bytes, Header, ChangeFile]


@dataclass
class _Walk:
    """One chain on the way back: the numbers that are not here, the next file of it, and the one taken in last."""

    member: Member
    promise: Promise
    left: list[int]
    file: _File | None = None
    after: Header | None = None
    unpacked: set[int] = field(default_factory=set)


def replay(going: Round) -> None:
    """Takes in what lies behind the snapshot this record began from, if there was one; tells what is left of it."""
    promises = going.store.exchange().promises()
    named = promises.named()
    if not named:
        return
    every = going.practice.roster.every
    walks = [_Walk(every[chain], end, promises.missing(chain, end)) for chain, end in sorted(named.items())]
    count = sum(len(walk.left) for walk in walks)
    if count:
        going.progress(f"Checking what came before: {count} files")
    batch = Batch()
    try:
        _walk_back(going, walks, batch)
        if count:
            going.told.waiting = 0
            fetch(going)
    except Stopped:  # what was sent and received stands; the rest is told, and the next round goes on
        take_in(going, batch)
    _settle(going, named)


def _walk_back(going: Round, walks: list[_Walk], batch: Batch) -> None:
    while True:
        for walk in walks:
            if walk.file is None:
                walk.file = _next(going, walk)
        walks = [walk for walk in walks if walk.file is not None]
        if not walks:
            break
        walk = next((one for one in walks if not _seen(one, walks)), walks[0])
        assert walk.file is not None
        raw, header, body = walk.file
        batch.add(raw, header, body)
        walk.after, walk.file = header, None
        if batch.full():
            take_in(going, batch)
    take_in(going, batch)


def _seen(walk: _Walk, walks: list[_Walk]) -> bool:
    """Whether a file that is still to come was written by somebody who had seen this one."""
    assert walk.file is not None
    chain, number = walk.member.chain, walk.file[1].number
    return any(
        other.file is not None and other.file[2].seen.get(chain, (0, ""))[0] >= number
        for other in walks
        if other is not walk
    )


def _next(going: Round, walk: _Walk) -> _File | None:
    """The newest file of a chain that is not here; None when none is left, or one is waited for."""
    chain = walk.member.chain
    while walk.left:
        number = walk.left.pop()
        first, last = range_of(number)
        if last <= walk.promise.number and first not in walk.unpacked:
            walk.unpacked.add(first)
            unpack(going, chain, number)
        found = read(going, walk.member, number)
        if found is not None:
            if _expected(going, walk, number) - {sha256(found[0]).hexdigest()}:
                going.told.forks.add(chain)
            return found
        if not _gone_around(going, chain, number):
            walk.left.clear()
    return None


def _expected(going: Round, walk: _Walk, number: int) -> set[str]:
    """The hashes that others gave for a file: the snapshot, the owner who let this device in, the file after it."""
    ends = ((walk.promise.number, walk.promise.hash), pin_of(going, walk.member.chain))
    found = {end[1] for end in ends if end is not None and end[0] == number}
    if walk.after is not None and walk.after.number == number + 1:
        found.add(walk.after.before.hex())
    return found


def _gone_around(going: Round, chain: str, number: int) -> bool:
    """Whether to go on without a file that is not there: only from the second round on."""
    exchange, key = going.store.exchange(), f"held back {chain}"
    held = int(exchange.fact(key) or "0")
    if not held or exchange.file(chain, held) is not None:
        exchange.tell({key: str(number)})
        going.told.held.append(Gap(chain, number, number))
        return False
    going.told.gaps.append(Gap(chain, number, number))
    return True


def _settle(going: Round, named: Mapping[str, Promise]) -> None:
    """Forgets each promise that is kept: every file is here, and carries all that was taken from the snapshot."""
    exchange = going.store.exchange()
    promises = exchange.promises()
    for chain, promise in named.items():
        missing = promises.missing(chain, promise)
        going.told.checking += len(missing)
        if missing:
            continue
        count = _in_nobodys_files(going, chain, promise)
        if count:
            going.told.unproved[chain] = count
        else:
            exchange.tell({f"snapshot {chain}": "", f"held back {chain}": ""})


def _in_nobodys_files(going: Round, chain: str, promise: Promise) -> int:
    """How many operations that a snapshot brought are in no file of the device that is said to have written them."""
    promises = going.store.exchange().promises()
    unproved = promises.unproved(chain, promise)
    member = going.practice.roster.every[chain]
    count = len(unproved.uncarried)
    for seq, hashes in unproved.doubtful.items():
        carried: set[str] = set()
        for raw in promises.carriers(chain, seq):
            try:
                carried |= {one.hash for one in checked(going, member, read_header(raw).number, raw)[1].operations}
            except BadFile:  # it was checked when it came: an act put its writer out since, or a key is gone
                carried |= set(hashes)
        count += len(set(hashes) - carried)
    return count
