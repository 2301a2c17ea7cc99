"""Snapshots in a round: one is made at its end when it is worthwhile, and taken by a device that knows nothing yet.

What a snapshot brings stands at once and is proved afterwards, by the files that lie behind it (`replay`). Whoever made
it is believed no further than that: every operation says itself what it replaces, and none takes another's place
because the snapshot leaves it out.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from storage.log import Operation
from storage.promises import Promise
from storage.state_sum import digest_of
from sync.exchange.pull import Batch, take_in
from sync.membership.acts import Member
from sync.wire import names
from sync.wire.snapshot_file import End, Head, Snapshot, epoch_of, opened_head, opened_part, sealed
from sync.wire.troubles import BadFile

if TYPE_CHECKING:
    from sync.exchange.round import Round

__all__ = ["GROWTH", "LEAST", "made", "taken"]

LEAST = 5_000
"""A record with fewer operations than this comes as fast without a snapshot: house bound, no source."""
GROWTH = Fraction(3, 2)
"""A new one is made when the record has grown by so much since the newest at the place: house bound, no source."""

_FROM = "record from"


# --- taking one -----------------------------------------------------------------------------------------------------


def taken(going: Round) -> None:
    """Begins this record from the newest snapshot of one who belongs, if nothing of the practice is here yet.

    One that is missing, torn, changed, foreign or newer is passed over, and told where it is more than not there yet.
    """
    exchange = going.store.exchange()
    if exchange.fact(_FROM) or any(exchange.newest(chain) for chain in going.practice.roster.every):
        return
    for member, number in _there(going):
        found = _read(going, member, number)
        if found is not None:
            _take(going, member, number, *found)
            return


def _there(going: Round) -> list[tuple[Member, int]]:
    """The snapshots at the place whose maker belongs, the newest first."""
    found: list[tuple[Member, int]] = []
    going.told.requests += 1
    _heads, folders = going.target.names(names.SNAPSHOTS)
    for folder in folders:
        member = going.practice.roster.members.get(folder.rpartition("/")[2])
        if member is None:
            continue
        going.told.requests += 1
        for name in going.target.names(folder)[0]:
            number = names.snapshot_numbered(name)
            if number is not None:
                found.append((member, number))
    return sorted(found, key=lambda one: (-one[1], one[0].chain))


def _head(going: Round, member: Member, number: int) -> Head | None:
    """The head of a snapshot, once it is proved to be this member's; None when it is not there or none to believe."""
    name = names.snapshot(member.chain, number)
    raw = going.get(name)
    if not raw:
        return None
    try:
        key = going.practice.keys.get(epoch_of(raw))
        if key is None:
            return None  # its key has not come; what it was made of comes file by file
        return opened_head(
            raw, repository=going.practice.repository, chain=bytes.fromhex(member.chain), number=number, key=key,
            signer=Ed25519PublicKey.from_public_bytes(member.sign),
        )  # fmt: skip
    except BadFile as bad:
        _refused(going, member, name, raw, bad)
        return None


def _read(going: Round, member: Member, number: int) -> tuple[Snapshot, tuple[Operation, ...]] | None:
    """A whole snapshot, checked by itself; None when a part is not there, or it does not hold what it says."""
    head = _head(going, member, number)
    if head is None:
        return None
    found: list[Operation] = []
    name, raw = names.snapshot(member.chain, number), b""
    try:
        _may_be_taken(going, head.said)
        for at in range(len(head.parts)):
            name = names.snapshot(member.chain, number, at)
            raw = going.get(name) or b""
            if not raw:
                return None
            found += opened_part(head, at, raw)
        name = names.snapshot(member.chain, number)
        _holds(head.said, found)
    except BadFile as bad:
        _refused(going, member, name, raw, bad)
        return None
    return head.said, tuple(found)


def _refused(going: Round, member: Member, name: str, raw: bytes, bad: BadFile) -> None:
    if bad.newer:
        going.told.newer.add(member.chain)
    going.set_aside(name, raw, str(bad.blanks["why"]))


def _may_be_taken(going: Round, said: Snapshot) -> None:
    """Raises BadFile for a snapshot that names devices nobody let in, or this one: a copy of it wrote what is there."""
    if said.ends.keys() - going.practice.roster.every.keys():
        raise BadFile(why="it names a device that does not belong")
    if going.store.device in said.ends:
        raise BadFile(why="it holds what a copy of this device wrote")


def _holds(said: Snapshot, operations: list[Operation]) -> None:
    """Raises BadFile unless these are what the snapshot says: all stand, each within its chain's end, one record."""
    ends = said.ends
    if any(one.chain not in ends or not 1 <= one.seq <= ends[one.chain].seq for one in operations):
        raise BadFile(why="it holds more than it says its maker knew")
    replaced = {(one.entity, one.field, parent) for one in operations for parent in one.parents}
    standing = {(one.entity, one.field, one.hash) for one in operations}
    if len(operations) != said.standing or len(standing) != said.standing or standing & replaced:
        raise BadFile(why="it holds answers that do not stand")
    if digest_of(standing) != said.digest:
        raise BadFile(why="it does not come to the record it says")


def _take(going: Round, member: Member, number: int, said: Snapshot, operations: tuple[Operation, ...]) -> None:
    """What it promises is kept before what it brings: broken off between the two, it is only proved once more."""
    exchange, roster = going.store.exchange(), going.practice.roster
    before = exchange.promises().named()
    facts: dict[str, str] = {}
    for chain, end in said.ends.items():
        promise = max(before.get(chain), Promise(end.number, end.hash, end.seq), key=lambda one: one.seq if one else 0)
        assert promise is not None
        facts[f"snapshot {chain}"] = promise.kept()
        # What somebody who belongs had taken in counts for all, also of a member that was put out.
        for what in ("exists", *(("vouched",) if chain in roster.put_out else ())):
            facts[f"{what} {chain}"] = str(max(end.number, int(exchange.fact(f"{what} {chain}") or "0")))
    exchange.tell(facts)
    take_in(going, Batch(operations=list(operations)))
    exchange.tell({_FROM: f"{member.chain} {number}"})


# --- making one -----------------------------------------------------------------------------------------------------


def made(going: Round, *, again: bool) -> None:
    """Puts a snapshot of this record when the newest at the place is much smaller; `again`: the place was emptied.

    Only of a record that is whole: nothing missing, nothing unsent, nothing resting on another snapshot.
    """
    exchange = going.store.exchange()
    promises, key = exchange.promises(), f"snapshots {going.target.label}"
    known = promises.known()
    newest = 0 if again else int(exchange.fact(key) or "0")
    if known < LEAST or known < newest * GROWTH or going.practice.roster.epoch not in going.practice.keys:
        return
    if promises.named() or going.told.gaps or going.told.held or going.told.newer:
        return
    newest = _newest(going)
    exchange.tell({key: str(newest)})
    if known >= newest * GROWTH and _put(going):
        exchange.tell({key: str(known)})


def _newest(going: Round) -> int:
    """How many operations were behind the largest snapshot at the place that is to be believed; 0 for none."""
    for member, number in _there(going):
        head = _head(going, member, number)
        if head is not None:
            return head.said.operations
    return 0


def _put(going: Round) -> bool:
    """Puts the parts, then the head: a snapshot whose head is there is whole. False when nothing was put."""
    store, practice, exchange = going.store, going.practice, going.store.exchange()
    standing, ends = exchange.promises().standing(), exchange.ends()
    said = Snapshot(
        digest_of((one.entity, one.field, one.hash) for one in standing.operations),
        {chain: End(number, made, standing.newest[chain][1]) for chain, (number, made) in ends.items()},
        standing.known,
        len(standing.operations),
    )
    whole = ends.keys() == standing.newest.keys() and all(
        standing.newest[chain][0] == number for chain, (number, _made) in ends.items()
    )
    if not whole or exchange.unsent(1) or said.digest != exchange.digest():
        return False  # something was written, or came, meanwhile: the next round makes one
    try:
        head, parts = sealed(
            said, standing.operations, repository=practice.repository, chain=bytes.fromhex(store.device),
            epoch=bytes.fromhex(practice.roster.epoch), key=practice.keys[practice.roster.epoch],
            signer=store.signing_key(),
        )  # fmt: skip
    except ValueError:
        return False
    for name, data in _named(store.device, said.number, head, parts):
        going.put_right(name, data)
    return True


def _named(device: str, number: int, head: bytes, parts: tuple[bytes, ...]) -> Iterator[tuple[str, bytes]]:
    for at, part in enumerate(parts):
        yield names.snapshot(device, number, at), part
    yield names.snapshot(device, number), head
