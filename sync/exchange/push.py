"""Sending: attachments, then what was written since, each file kept here before it is put, then a sign of life."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from typing import TYPE_CHECKING

from storage.exchange import Kept
from storage.log import Operation
from sync.exchange.attachments import attached, put_blobs, waiting_blobs
from sync.exchange.healing import lacking
from sync.exchange.known_ends import known_ends
from sync.exchange.practice import let_in
from sync.exchange.troubles import Continued
from sync.membership.acts import Role
from sync.wire import names
from sync.wire.beat import Beat, sealed_beat
from sync.wire.blob import sealed_parts
from sync.wire.change_file import ChangeFile, opened, read_header, sealed, verified
from sync.wire.pack_file import COUNT, pack_of, range_of
from sync.wire.troubles import BadFile

if TYPE_CHECKING:
    from sync.exchange.round import Round

__all__ = ["MOST", "push"]

MOST = 1_000
"""Operations in one file at most."""


def push(going: Round, *, refill: bool) -> None:
    """Sends everything this device wrote; with `refill` also every file of others that the target lost."""
    if going.practice.roster.epoch not in going.practice.keys:
        return  # it was let in while the key was changed: the change is owed once more, and told
    _not_continued(going)
    if refill:
        _refill(going)
    _send_new(going)
    _pack(going, again=refill)
    _sign_of_life(going)


def _own_end(going: Round) -> tuple[int, str]:
    return going.store.exchange().end(going.store.device)


def _not_continued(going: Round) -> None:
    """Files of this device that it does not know, a copy of it wrote: they are taken in, and it goes on anew.

    Its own last files are looked at, back to one that lies there whole; one that does not, or was cut short, is put.
    """
    exchange, device = going.store.exchange(), going.store.device
    end, _ = _own_end(going)
    waiting: list[tuple[Kept, bool]] = []
    found: list[tuple[int, bytes]] = []
    for number in range(end, 0, -1):
        kept, there = exchange.file(device, number), going.get(names.change(device, number))
        assert kept is not None
        if there == kept.raw:
            break
        if there and not _why_not_own(going, there, number):
            found.insert(0, (number, there))
        else:
            waiting.append((kept, there is not None))
    published = waiting[-1][0].number - 1 if waiting else end
    while raw := going.get(names.change(device, end + 1)):
        end += 1
        why = _why_not_own(going, raw, end)
        if why:
            going.set_aside(names.change(device, end), raw, why)
        else:
            found.append((end, raw))
    files, operations = _by_a_copy(going, found)
    if not files:
        for kept, cut in reversed(waiting):
            (going.put_over if cut else going.put)(names.change(device, kept.number), kept.raw)
        return
    published = min(published, found[0][0] - 1)
    before = going.practice.roster.members[device]
    going.go_on_anew(files, operations, published)
    if before.role is not Role.OWNER:
        raise Continued
    member = replace(before, chain=going.store.device)
    going.practice = let_in(going.store, going.practice, member, going.clock, by=device)
    for act in going.practice.own_acts(device):
        _put_back(going, names.act(act.by, act.seq), act.raw)


def _by_a_copy(going: Round, found: Sequence[tuple[int, bytes]]) -> tuple[list[Kept], list[Operation]]:
    """What a copy wrote, as files to keep and the operations in them; what cannot be opened is kept aside."""
    device, files, operations = going.store.device, list[Kept](), list[Operation]()
    for number, raw in found:
        try:
            body = _opened(going, raw)
        except BadFile as bad:
            going.set_aside(names.change(device, number), raw, str(bad.blanks["why"]))
            continue
        files.append(_kept(device, number, raw, body.operations))
        operations += body.operations
    return files, operations


def _opened(going: Round, raw: bytes) -> ChangeFile:
    key = going.practice.keys.get(read_header(raw).epoch.hex())
    if key is None:
        raise BadFile(why="it is sealed under a practice key that has not come yet")
    return opened(raw, key=key, signer=going.store.signing_key().public_key())[1]


def _why_not_own(going: Round, raw: bytes, number: int) -> str:
    """Why neither this device nor a copy of it wrote these bytes under this number; empty when one of them did.

    Its own older file under another name would else make it believe in a copy that is not there.
    """
    try:
        header = verified(raw, going.store.signing_key().public_key())
    except BadFile as bad:
        return str(bad.blanks["why"])
    right = going.practice.repository, going.store.device, number
    return "" if (header.repository, header.chain.hex(), header.number) == right else "its name is not what it holds"


def _kept(device: str, number: int, raw: bytes, operations: Sequence[Operation]) -> Kept:
    first, last = (operations[0].seq, operations[-1].seq) if operations else (0, 0)
    return Kept(device, number, sha256(raw).hexdigest(), first, last, raw)


def _send_new(going: Round) -> None:
    exchange, store = going.store.exchange(), going.store
    practice = going.practice
    epoch = practice.roster.epoch
    key = practice.keys[epoch]
    signer = store.signing_key()
    while True:
        operations = exchange.unsent(MOST)
        blobs = waiting_blobs(going)
        if not operations and not blobs:
            return
        put_blobs(going, blobs)
        number, before = _own_end(going)
        seen = {chain: end for chain, end in known_ends(exchange).items() if chain != store.device}
        raw = sealed(
            ChangeFile(operations, seen, attached(blobs)), repository=practice.repository,
            chain=bytes.fromhex(store.device), number=number + 1, before=bytes.fromhex(before) or bytes(32),
            epoch=bytes.fromhex(epoch), key=key, signer=signer,
        )  # fmt: skip
        exchange.keep(_kept(store.device, number + 1, raw, operations), blobs)
        going.put(names.change(store.device, number + 1), raw)
        going.told.sent += len(operations)
        going.told.sent_files += 1


def _pack(going: Round, *, again: bool) -> None:
    """Puts a pack of every full hundred of this device's files that has none at this target; `again`: of all."""
    exchange, device = going.store.exchange(), going.store.device
    key = f"packed {device} {going.target.label}"
    done = 0 if again else int(exchange.fact(key) or "0")
    while done + COUNT <= _own_end(going)[0]:
        first, last = range_of(done + 1)
        files = [kept.raw for number in range(first, last + 1) if (kept := exchange.file(device, number)) is not None]
        data = pack_of(files)
        if data is not None and len(files) == COUNT:
            going.put_right(names.pack(device, first, last), data)
        done = last
        exchange.tell({key: str(done)})


def _sign_of_life(going: Round) -> None:
    exchange, store, practice = going.store.exchange(), going.store, going.practice
    ends = dict(exchange.ends())
    number, last = ends.pop(store.device, (0, ""))
    beat = Beat(number, last, ends, exchange.digest(), going.clock().isoformat(), lacking(going))
    epoch = practice.roster.epoch
    going.put_over(
        names.beat(store.device),
        sealed_beat(
            beat,
            repository=practice.repository,
            chain=bytes.fromhex(store.device),
            epoch=bytes.fromhex(epoch),
            key=practice.keys[epoch],
            signer=store.signing_key(),
        ),
    )


def _refill(going: Round) -> None:
    """Puts back everything that the target lost: acts, files of every member, attachments."""
    exchange = going.store.exchange()
    here = exchange.attachments()
    for act in going.practice.acts:
        _put_back(going, names.act(act.by, act.seq), act.raw)
    for chain in sorted(going.practice.roster.every):
        for number in exchange.numbers(chain):
            kept = exchange.file(chain, number)
            if kept is not None:
                _put_back(going, names.change(chain, number), kept.raw)
        for blob in exchange.blobs_of(chain):
            if blob.sha256 in here:
                for at, part in enumerate(
                    sealed_parts(going.practice.keys[blob.epoch], going.store.attachment(blob.sha256))
                ):
                    _put_back(going, names.blob(chain, blob.id, at), part)


def _put_back(going: Round, name: str, raw: bytes) -> None:
    going.told.refilled += going.put_right(name, raw)
