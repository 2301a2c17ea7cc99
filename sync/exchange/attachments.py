"""Attachments in a round: put before the file that names them, fetched after it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from storage.exchange import Blob
from sync.wire import names
from sync.wire.blob import blob_id, joined, parts_of, sealed_parts
from sync.wire.change_file import Attached, ChangeFile, Header
from sync.wire.troubles import BadFile

if TYPE_CHECKING:
    from sync.exchange.round import Round

__all__ = ["attached", "fetch", "named_in", "put_blobs", "waiting_blobs"]

_AT_ONCE = 50


def waiting_blobs(going: Round) -> tuple[Blob, ...]:
    """The attachments that no file has named yet, as they will travel, at most so many at once."""
    practice, device = going.practice, going.store.device
    epoch = practice.roster.epoch
    key = practice.keys[epoch]
    return tuple(
        Blob(blob_id(key, made), device, epoch, made, kind, length)
        for made, kind, length in going.store.exchange().unsent_attachments()[:_AT_ONCE]
    )


def put_blobs(going: Round, blobs: tuple[Blob, ...]) -> None:
    """Puts the bytes of these, part by part; a part that lies there already is left."""
    for blob in blobs:
        data = going.store.attachment(blob.sha256)
        for at, part in enumerate(sealed_parts(going.practice.keys[blob.epoch], data)):
            going.put_right(names.blob(blob.chain, blob.id, at), part)


def attached(blobs: tuple[Blob, ...]) -> tuple[Attached, ...]:
    """What a file says of attachments."""
    return tuple(Attached(blob.id, blob.sha256, blob.kind, blob.length, blob.epoch) for blob in blobs)


def named_in(body: ChangeFile, header: Header) -> Iterator[Blob]:
    """The attachments a file names."""
    for one in body.attached:
        yield Blob(one.id, header.chain.hex(), one.epoch, one.sha256, one.kind, one.length)


def fetch(going: Round) -> None:
    """Fetches every attachment that was named and is not here; one that is not whole is told and asked for again."""
    for blob in going.store.exchange().wanted_blobs():
        key = going.practice.keys.get(blob.epoch)
        if key is None:
            continue
        parts = []
        for at in range(parts_of(blob.length)):
            part = going.get(names.blob(blob.chain, blob.id, at))
            if not part:
                break
            parts.append(part)
        if len(parts) < parts_of(blob.length):
            going.told.waiting += 1
            continue
        try:
            data = joined(key, blob.id, parts, blob.sha256)
        except BadFile as bad:
            going.told.aside.append((names.blob(blob.chain, blob.id), str(bad.blanks["why"])))
            continue
        going.store.attach(data, blob.kind)
