"""Attachments as they travel: named and sealed under keys that follow from the practice key and the bytes.

The name is an HMAC of the SHA-256 of the bytes, so that it tells nobody outside what they are, and two devices that put
the same attachment write the same bytes under it. Parts of at most 3 MiB are AES-256-GCM with the number of the part as
nonce under a key of this one attachment; name, number and count of parts are bound in, so that none can be left out,
swapped or taken from another. A name and its length tell whoever stores it that two are the same, and no more.
"""

from __future__ import annotations

import hmac
from collections.abc import Sequence
from hashlib import sha256
from typing import Final

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from sync.wire.troubles import BadFile

__all__ = ["PART", "blob_id", "joined", "parts_of", "sealed_parts"]

PART: Final = 3 * 1024 * 1024


def blob_id(key: bytes, made: str) -> str:
    """The name under which bytes with this SHA-256 (hex) travel; `key` is the practice key of the epoch."""
    names = HKDF(SHA256(), 32, None, b"hearthside blob name 1").derive(key)
    return hmac.digest(names, bytes.fromhex(made), sha256).hex()


def parts_of(length: int) -> int:
    """How many parts an attachment of this length has; at least one."""
    return max(1, -(-length // PART))


def sealed_parts(key: bytes, data: bytes) -> tuple[bytes, ...]:
    """The sealed parts of an attachment, in order."""
    name = blob_id(key, sha256(data).hexdigest())
    once, count = _key(key, name), parts_of(len(data))
    return tuple(
        AESGCM(once).encrypt(at.to_bytes(12, "big"), data[at * PART : (at + 1) * PART], _about(name, at, count))
        for at in range(count)
    )


def joined(key: bytes, name: str, parts: Sequence[bytes], made: str) -> bytes:
    """The bytes of an attachment; raises BadFile when a part was changed, or they are not those that were promised."""
    once = _key(key, name)
    try:
        data = b"".join(
            AESGCM(once).decrypt(at.to_bytes(12, "big"), part, _about(name, at, len(parts)))
            for at, part in enumerate(parts)
        )
    except InvalidTag:
        raise BadFile(why="a byte of an attachment was changed") from None
    if sha256(data).hexdigest() != made:
        raise BadFile(why="an attachment is not the one that was promised")
    return data


def _key(key: bytes, name: str) -> bytes:
    return HKDF(SHA256(), 32, bytes.fromhex(name), b"hearthside blob 1").derive(key)


def _about(name: str, at: int, count: int) -> bytes:
    return f"{name} {at} {count}".encode()
