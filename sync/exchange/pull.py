"""Receiving: for each member the next files, checked before they are opened, taken in whole, ten at a time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from storage.exchange import Blob, Kept
from storage.log import Operation
from storage.store import CLERK
from sync.exchange.attachments import fetch, named_in
from sync.exchange.healing import heal
from sync.exchange.known_ends import known_end
from sync.exchange.roles import beyond_role, not_signed, note_roles
from sync.membership.acts import Member
from sync.merge.replica import Gap
from sync.wire import names
from sync.wire.beat import Beat, epoch_of, read_beat
from sync.wire.change_file import ChangeFile, Header, opened, verified
from sync.wire.pack_file import packed_files, range_of
from sync.wire.troubles import BadFile

if TYPE_CHECKING:
    from sync.exchange.round import Round

__all__ = ["Batch", "checked", "pin_of", "pull", "read", "take_in", "unpack"]

_AT_ONCE = 25
_MOST_OPERATIONS = 5_000

_ASKED_TWICE = 50
"""Up to so many others, each is asked for its sign of life and for its next file; beyond that one of the two."""

_TURNS = 10
"""In a large practice, one round in so many asks a member for its next file, whatever its sign of life says."""

_SOUGHT = 1_000
"""Files that are not there, asked for in one round of one member."""


@dataclass
class Batch:
    """Whole files waiting to be taken in together; operations alone where a snapshot brought them."""

    files: list[Kept] = field(default_factory=list)
    operations: list[Operation] = field(default_factory=list)
    blobs: list[Blob] = field(default_factory=list)

    def add(self, raw: bytes, header: Header, body: ChangeFile) -> None:
        """One more file, checked."""
        first, last = (body.operations[0].seq, body.operations[-1].seq) if body.operations else (0, 0)
        self.files.append(Kept(header.chain.hex(), header.number, sha256(raw).hexdigest(), first, last, raw))
        self.operations += body.operations
        self.blobs += named_in(body, header)

    def full(self) -> bool:
        """Whether it is to be taken in before another file is added."""
        return len(self.files) >= _AT_ONCE or len(self.operations) >= _MOST_OPERATIONS


def pull(going: Round) -> None:
    """Takes in what every other member wrote since; what is missing or bad is told."""
    store, roster = going.store, going.practice.roster
    late = len(store.exchange().late())
    known = {one.operation.hash for one in beyond_role(store, roster)}
    beats = {}
    others = [(chain, member) for chain, member in sorted(roster.every.items()) if chain != store.device]
    turn = _turn(going) if len(others) > _ASKED_TWICE else None
    for place, (chain, member) in enumerate(others):
        beats[chain] = None if turn is not None and place % _TURNS == turn else _beat(going, member)
        _pull_chain(going, member, beats[chain], believed=turn is not None)
    fetch(going)
    heal(going, beats)
    going.told.late = len(store.exchange().late()) - late
    note_roles(store, roster)
    going.told.beyond = [one for one in beyond_role(store, roster) if one.operation.hash not in known]
    for (chain, part), count in Counter((one.operation.chain, one.part) for one in going.told.beyond).items():
        store.note("received beyond a role", by=CLERK, about={"device": chain, "part": part, "count": str(count)})
    _compare(going, beats)


def _turn(going: Round) -> int:
    """Which of the members are asked for their next file instead of their sign of life, in this round."""
    exchange = going.store.exchange()
    turn = int(exchange.fact("turn") or "0")
    exchange.tell({"turn": str((turn + 1) % _TURNS)})
    return turn


def _pull_chain(going: Round, member: Member, beat: Beat | None, *, believed: bool) -> None:
    """Takes in one member's next files. `believed`: beyond what a sign of life that came tells, none is asked for."""
    exchange = going.store.exchange()
    chain = member.chain
    end, before = known_end(exchange, chain)
    here, number = exchange.numbers(chain, after=end), end + 1
    batch = Batch()
    most, pin = _known_to_exist(going, chain, beat), pin_of(going, chain)
    last, sought = _last_counted(going, chain), 0
    while True:
        if number in here:
            before = here[number][0]
        else:
            if believed and beat is not None and number > most and last is None:
                break  # its sign of life, put after its files, tells of no other
            if number == range_of(number)[0] and range_of(number)[1] <= most:
                unpack(going, chain, number)
            aside = len(going.told.aside)
            found = read(going, member, number)
            if found is None:
                bad = len(going.told.aside) > aside
                before = ""
                if bad and last is not None and number > last:
                    number += 1  # each file that came too late is kept, not the first alone
                    continue
                sought += 1
                if sought > _SOUGHT:  # whoever tells of files without end costs one round no more than this
                    going.told.gaps.append(Gap(chain, number, most))
                    break
                if not _go_around(going, chain, number, max(most, number if bad else 0)):
                    break
            else:
                raw, header, body = found
                if before and header.before.hex() != before:
                    going.told.forks.add(chain)
                if pin is not None and pin[0] == number and pin[1] != sha256(raw).hexdigest():
                    going.told.forks.add(chain)
                batch.add(raw, header, body)
                before = sha256(raw).hexdigest()
                if batch.full():
                    take_in(going, batch)
        number += 1
    take_in(going, batch)


def _known_to_exist(going: Round, chain: str, beat: Beat | None) -> int:
    """The highest number of a chain's files that anybody told of."""
    exchange = going.store.exchange()
    told = int(exchange.fact(f"exists {chain}") or "0")
    return max(exchange.newest(chain), beat.number if beat is not None else 0, told)


def pin_of(going: Round, chain: str) -> tuple[int, str] | None:
    """Number and hash of the file at which the owner who let this device in knew the chain to end."""
    kept = going.store.exchange().fact(f"pin {chain}").split()
    return (int(kept[0]), kept[1]) if len(kept) == 2 else None


def _go_around(going: Round, chain: str, number: int, most: int) -> bool:
    """Whether to look beyond a file that is not there: only if later ones exist, and only from the second round on."""
    if number > most:
        return False
    exchange, key = going.store.exchange(), f"held {chain}"
    held = int(exchange.fact(key) or "0")
    if not held or exchange.file(chain, held) is not None:  # what was waited for came; this is another one
        exchange.tell({key: str(number)})
        going.told.held.append(Gap(chain, number, most))
        return False
    if held > number:
        exchange.tell({key: str(number)})
    gap = going.told.gaps[-1] if going.told.gaps and going.told.gaps[-1].chain == chain else None
    if gap is not None and gap.last == number - 1:
        going.told.gaps[-1] = Gap(chain, gap.first, number)
    else:
        going.told.gaps.append(Gap(chain, number, number))
    return True


def unpack(going: Round, chain: str, number: int) -> None:
    """Fetches the pack that begins with this number, if there is one; its files are checked when their turn comes."""
    first, last = range_of(number)
    name = names.pack(chain, first, last)
    raw = going.get(name)
    if not raw:
        return
    try:
        files = packed_files(raw)
    except BadFile as bad:
        going.set_aside(name, raw, str(bad.blanks["why"]))
        return
    going.unpacked = {(chain, first + at): one for at, one in enumerate(files)}


def read(going: Round, member: Member, number: int) -> tuple[bytes, Header, ChangeFile] | None:
    """One file, checked and opened; None when it is not there, or is not to be taken in (told and kept aside)."""
    name = names.change(member.chain, number)
    raw = going.unpacked.pop((member.chain, number), None)
    if raw is not None:
        try:
            return (raw, *checked(going, member, number, raw))
        except BadFile:
            pass  # what lies alone under its name is asked instead, and told if it is no better
    raw = going.get(name)
    if not raw:  # absent, or a name without bytes: not written yet, never empty
        return None
    try:
        return (raw, *checked(going, member, number, raw))
    except BadFile as bad:
        if bad.newer:
            going.told.newer.add(member.chain)
        going.set_aside(name, raw, str(bad.blanks["why"]))
        return None


def checked(going: Round, member: Member, number: int, raw: bytes) -> tuple[Header, ChangeFile]:
    """What a file carries, once it is proved to be this member's, of this number, and written while it belonged."""
    signer = Ed25519PublicKey.from_public_bytes(member.sign)
    header = verified(raw, signer)
    last = _last_counted(going, member.chain)
    if header.repository != going.practice.repository:
        raise BadFile(why="it belongs to another practice")
    if (header.chain.hex(), header.number) != (member.chain, number):
        raise BadFile(why="its name is not what it holds")
    if last is not None and number > last:
        raise BadFile(why="it was written after the device was put out")
    key = going.practice.keys.get(header.epoch.hex())
    if key is None:
        raise BadFile(why="it is sealed under a practice key that has not come yet")
    return opened(raw, key=key, signer=signer)


def _last_counted(going: Round, chain: str) -> int | None:
    """The last file of a member that was put out which counts; None for one who belongs.

    What somebody who belongs had taken in before hearing of it counts for all: else the records would differ for ever.
    """
    out = going.practice.roster.put_out.get(chain)
    if out is None:
        return None
    return max(out.number, int(going.store.exchange().fact(f"vouched {chain}") or "0"))


def take_in(going: Round, batch: Batch) -> None:
    """Takes a batch in, tells of it and empties it."""
    if not batch.files and not batch.operations:
        return
    exchange, told = going.store.exchange(), going.told
    without = not_signed(batch.operations, going.practice.roster)
    done = exchange.receive(batch.files, batch.operations, batch.blobs, without)
    for chain, count in done.by_chain.items():
        told.received[chain] = told.received.get(chain, 0) + count
    told.conflicts += len(done.conflicts)
    told.settled += len(done.settled)
    batch.files, batch.operations, batch.blobs = [], [], []
    going.received(done.changes)


def _beat(going: Round, member: Member) -> Beat | None:
    raw = going.get(names.beat(member.chain))
    if not raw:
        return None
    try:
        key = going.practice.keys.get(epoch_of(raw))
        if key is None:
            return None
        beat = read_beat(
            raw, repository=going.practice.repository, chain=bytes.fromhex(member.chain), key=key,
            signer=Ed25519PublicKey.from_public_bytes(member.sign),
        )  # fmt: skip
    except BadFile:
        return None  # it is written over at that device's next round; nothing rests on it alone
    going.told.heard[member.chain] = datetime.fromisoformat(beat.wall)
    exchange = going.store.exchange()
    if member.chain in going.practice.roster.members:
        exchange.tell(
            {
                f"vouched {chain}": str(number)
                for chain, (number, _hash) in beat.seen.items()
                if chain in going.practice.roster.put_out and number > int(exchange.fact(f"vouched {chain}") or "0")
            }
        )
    exchange.tell({
        f"exists {chain}": str(number)
        for chain, (number, _hash) in {**beat.seen, member.chain: (beat.number, beat.hash)}.items()
        if number > int(exchange.fact(f"exists {chain}") or "0")
    })  # fmt: skip
    return beat


def _compare(going: Round, beats: dict[str, Beat | None]) -> None:
    """Whoever knows exactly the files known here must show exactly the same record."""
    exchange = going.store.exchange()
    ends, digest = exchange.ends(), exchange.digest()
    for chain, beat in beats.items():
        same = beat is not None and dict(_ends_of(chain, beat)) == ends and not exchange.unsent(1)
        if beat is not None and same and beat.digest and beat.digest != digest:
            going.told.differs.add(chain)


def _ends_of(chain: str, beat: Beat) -> Iterator[tuple[str, tuple[int, str]]]:
    yield from beat.seen.items()
    if beat.number:
        yield chain, (beat.number, beat.hash)
