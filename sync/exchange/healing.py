"""A place that lost something gets it back from whoever has it: what one device lacks, every other one reads.

Each device names in its sign of life what it knows to exist and could not get. Another one that holds the very bytes
puts them under their name again, unless bytes that are as true as its own lie there by now.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from sync.membership.acts import read_act
from sync.membership.roster import genuine
from sync.wire import names
from sync.wire.beat import Beat, Lacks
from sync.wire.blob import sealed_parts
from sync.wire.change_file import verified
from sync.wire.troubles import BadFile

if TYPE_CHECKING:
    from sync.exchange.round import Round

__all__ = ["heal", "lacking"]

_NAMED: Final = 20
"""Ranges of a chain, attachments and acts named in one sign of life, and heard in one; the rest waits for the next."""

_PUT: Final = 100
"""Files put back in one round for others."""


def lacking(going: Round) -> Lacks:
    """What this device knows to exist and does not have."""
    exchange = going.store.exchange()
    files = {
        chain: ranges
        for chain in sorted(going.practice.roster.every)
        if (ranges := tuple(_holes(going, chain))[:_NAMED])
    }
    attachments = tuple(blob.id for blob in exchange.wanted_blobs()[:_NAMED])
    return Lacks(files, attachments, tuple(sorted(going.practice.roster.missing))[:_NAMED])


def _holes(going: Round, chain: str) -> Iterator[tuple[int, int]]:
    """The numbers of a chain's files that are not here, up to the last that is known to exist."""
    exchange = going.store.exchange()
    before = exchange.end(chain)[0]
    last = max(exchange.newest(chain), int(exchange.fact(f"exists {chain}") or "0"))
    out = going.practice.roster.put_out.get(chain)
    if out is not None:
        last = min(last, max(out.number, int(exchange.fact(f"vouched {chain}") or "0")))
    if before >= last:
        return
    for number in sorted((*exchange.numbers(chain, after=before), last + 1)):
        if number > before + 1:
            yield before + 1, number - 1
        before = number


def heal(going: Round, beats: dict[str, Beat | None]) -> None:
    """Puts back what others lack and this device has."""
    left = _PUT
    for asking, beat in beats.items():
        if beat is None or asking not in going.practice.roster.members:
            continue
        for chain, ranges in beat.lacks.files.items():
            for first, last in ranges[:_NAMED]:
                here = sorted(one for one in going.store.exchange().numbers(chain, after=first - 1) if one <= last)
                for number in here[:left]:
                    _file(going, chain, number)
                left -= len(here[:left])
        for name in beat.lacks.attachments[:_NAMED]:
            _attachment(going, name)
        for made in beat.lacks.acts[:_NAMED]:
            _act(going, made)


def _file(going: Round, chain: str, number: int) -> None:
    """Puts one change file back, unless one that is as true lies there."""
    member, kept = going.practice.roster.every.get(chain), going.store.exchange().file(chain, number)
    if member is None or kept is None:
        return
    name = names.change(chain, number)
    there = going.get(name)
    if not there or not _is_of(there, member.sign):
        going.told.refilled += going.put_right(name, kept.raw)


def _is_of(raw: bytes, key: bytes) -> bool:
    try:
        verified(raw, Ed25519PublicKey.from_public_bytes(key))
    except BadFile:
        return False
    return True


def _attachment(going: Round, wanted: str) -> None:
    exchange = going.store.exchange()
    here = exchange.attachments()
    blob = exchange.blob(wanted)
    if blob is None or blob.sha256 not in here or blob.epoch not in going.practice.keys:
        return
    data = going.store.attachment(blob.sha256)
    for at, part in enumerate(sealed_parts(going.practice.keys[blob.epoch], data)):
        going.told.refilled += going.put_right(names.blob(blob.chain, blob.id, at), part)


def _act(going: Round, wanted: str) -> None:
    for act in going.practice.acts:
        if act.hash == wanted:
            name = names.act(act.by, act.seq)
            there = going.get(name)
            if not there or not _is_true(going, there):
                going.told.refilled += going.put_right(name, act.raw)


def _is_true(going: Round, raw: bytes) -> bool:
    """Whether these bytes are an act signed by whom it names."""
    try:
        return bool(genuine((read_act(raw),), going.practice.acts, going.practice.founding)[0])
    except BadFile:
        return False
