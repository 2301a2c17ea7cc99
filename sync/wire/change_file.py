"""A change file: what one device wrote since its last one, sealed for the practice and signed by the device.

Its bytes never change once written, and its name (chain and number) is written by one device only. The signature is
checked before anything is opened; the key is used for this one file, so that a copied machine or a repeated random
number cannot make two files share a key and a nonce. AES-GCM alone does not commit to its key, hence the commitment.

    0    8  magic "HSCHANGE"             98   16  epoch of the practice key
    8    1  version 1                   114    2  least version of the format that can read the body
    9    1  suite 1                     116    4  length of the sealed body
   10   16  repository                  120   32  salt
   26   16  chain                       152   32  commitment to the key
   42    8  number of the file, from 1  184    .  sealed body
   50   16  (reserved, zero)              .   64  Ed25519 signature
   66   32  SHA-256 of the file before

Suite 1: HKDF-SHA256(epoch key, salt, "hearthside change 1" and the SHA-256 of bytes 0 to 152) gives 32 bytes of key and
32 of commitment; AES-256-GCM with a nonce of zeros over the padded body, bytes 0 to 184 bound in; Ed25519 over
"hearthside change 1" and the SHA-256 of everything before it. The body is a zstd frame behind its length (4 bytes) and
padded with zeros to a length that tells little (Padme: Nikitin and others, PETS 2019, from memory).
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from struct import Struct
from typing import Any, Final

import orjson
from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from storage.log import Operation
from sync.wire.body import packed, unpacked
from sync.wire.packed import pack, unpack
from sync.wire.troubles import BadFile

__all__ = [
    "FORMAT",
    "Attached",
    "ChangeFile",
    "Header",
    "opened",
    "read_header",
    "sealed",
    "verified",
]

FORMAT: Final = 1
_MAGIC, _SUITE, _PURPOSE = b"HSCHANGE", 1, b"hearthside change 1"
_HEAD = Struct(">8sBB16s16sQ16s32s16sHI32s")
_COMMITMENT, _SIGNATURE, _NONCE = 32, 64, bytes(12)
_LEAST = _HEAD.size + _COMMITMENT + 16 + _SIGNATURE


@dataclass(frozen=True, slots=True)
class Header:
    """What anybody who holds the file can read of it."""

    repository: bytes
    chain: bytes
    number: int
    before: bytes
    epoch: bytes
    least: int
    length: int
    salt: bytes


@dataclass(frozen=True, slots=True)
class Attached:
    """An attachment as it travels: its name, SHA-256, media type, length in bytes, and the epoch it is sealed under."""

    id: str
    sha256: str
    kind: str
    length: int
    epoch: str


@dataclass(frozen=True, slots=True)
class ChangeFile:
    """What one file carries.

    `seen` says how far its writer knew each other chain: number and hash of the last file. `attached` are attachments
    that were put before it.
    """

    operations: tuple[Operation, ...]
    seen: Mapping[str, tuple[int, str]]
    attached: tuple[Attached, ...] = ()
    more: Mapping[str, Any] | None = None  # what a newer version wrote beside these; kept and passed on


def sealed(
    body: ChangeFile, *, repository: bytes, chain: bytes, number: int, before: bytes, epoch: bytes, key: bytes,
    signer: Ed25519PrivateKey, salt: bytes | None = None,
) -> bytes:  # fmt: skip
    """The bytes of a change file. `key` is the epoch's; `salt` is given by test vectors alone."""
    plain = packed(_body(body))
    head = _HEAD.pack(
        _MAGIC, FORMAT, _SUITE, repository, chain, number, bytes(16), before, epoch, FORMAT, len(plain) + 16,
        salt or secrets.token_bytes(32),
    )  # fmt: skip
    once, commitment = _keys(key, head)
    head += commitment
    whole = head + AESGCM(once).encrypt(_NONCE, plain, head)
    return whole + signer.sign(_PURPOSE + sha256(whole).digest())


def read_header(data: bytes) -> Header:
    """The header of a file; raises BadFile for bytes that are no change file of a version known here."""
    if len(data) < _LEAST:
        raise BadFile(why="it is shorter than any whole one")
    magic, version, suite, repository, chain, number, spare, before, epoch, least, length, salt = _HEAD.unpack_from(
        data
    )
    if magic != _MAGIC:
        raise BadFile(why="it is no change file")
    if version != FORMAT or suite != _SUITE or least > FORMAT or spare != bytes(16):
        raise BadFile(why="it was written by a newer version of Hearthside", newer=True)
    if len(data) != _HEAD.size + _COMMITMENT + length + _SIGNATURE or number < 1:
        raise BadFile(why="its length is not the one it tells")
    return Header(repository, chain, number, before, epoch, least, length, salt)


def verified(data: bytes, signer: Ed25519PublicKey) -> Header:
    """The header of a file that this signer signed; raises BadFile for any other."""
    header = read_header(data)
    try:
        signer.verify(data[-_SIGNATURE:], _PURPOSE + sha256(data[:-_SIGNATURE]).digest())
    except InvalidSignature:
        raise BadFile(why="it is not signed by the device it names") from None
    return header


def opened(data: bytes, *, key: bytes, signer: Ed25519PublicKey) -> tuple[Header, ChangeFile]:
    """What a file carries, its signature checked first.

    Raises BadFile for a wrong signature, key or commitment, and for a body that does not read or is too large.
    """
    header = verified(data, signer)
    head = data[: _HEAD.size]
    once, commitment = _keys(key, head)
    bound = data[: _HEAD.size + _COMMITMENT]
    if not secrets.compare_digest(commitment, bound[_HEAD.size :]):
        raise BadFile(why="it is sealed under another key of the practice")
    try:
        plain = AESGCM(once).decrypt(_NONCE, data[len(bound) : -_SIGNATURE], bound)
    except InvalidTag:
        raise BadFile(why="a byte of it was changed") from None
    return header, _read_body(plain, header)


def _keys(key: bytes, head: bytes) -> tuple[bytes, bytes]:
    """The key of this one file, and the commitment to it."""
    salt = head[-32:]
    made = HKDF(SHA256(), 64, salt, _PURPOSE + sha256(head).digest()).derive(key)
    return made[:32], made[32:]


def _body(body: ChangeFile) -> bytes:
    kept = {
        **(body.more or {}),
        "seen": {chain: list(end) for chain, end in sorted(body.seen.items())},
        "attached": [[a.id, a.sha256, a.kind, a.length, a.epoch] for a in body.attached],
        "packed": pack(body.operations) if body.operations else None,
    }
    return orjson.dumps(kept, option=orjson.OPT_SORT_KEYS)


def _read_body(plain: bytes, header: Header) -> ChangeFile:
    try:
        kept: dict[str, Any] = orjson.loads(unpacked(plain))
        operations = unpack(kept["packed"]) if kept["packed"] else ()
        seen = {str(chain): (int(end[0]), str(end[1])) for chain, end in kept["seen"].items()}
        attached = tuple(Attached(str(a[0]), str(a[1]), str(a[2]), int(a[3]), str(a[4])) for a in kept["attached"])
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        raise BadFile(why="its body does not read") from None
    if any(one.chain != header.chain.hex() for one in operations):
        raise BadFile(why="it holds what another device wrote")
    known = {"packed", "seen", "attached"}
    return ChangeFile(operations, seen, attached, {name: kept[name] for name in kept if name not in known} or None)
