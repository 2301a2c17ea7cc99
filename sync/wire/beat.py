"""A sign of life: how far a device had come, sealed for the practice and signed by the device, written over each time.

    0    8  magic "HSBEAT01"      24   16  chain        56    .  sealed body
    8   16  repository            40   16  epoch         .   64  Ed25519 signature

HKDF-SHA256(epoch key, "hearthside beat 1" and the chain) gives a key used many times, so AES-GCM-SIV with a random
nonce (the first 12 bytes of the body) seals it; everything before it is bound in.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from struct import Struct
from typing import Any

import orjson
from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCMSIV
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from sync.wire.troubles import BadFile

__all__ = ["Beat", "Lacks", "epoch_of", "read_beat", "sealed_beat"]

_MAGIC, _PURPOSE = b"HSBEAT01", b"hearthside beat 1"
_HEAD = Struct(">8s16s16s16s")
_SIGNATURE, _NONCE = 64, 12
_LEAST = _HEAD.size + _NONCE + 16 + _SIGNATURE
_MOST = 4 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Lacks:
    """What a device knows to exist and could not get, so that whoever has it puts it back.

    `files` are first and last numbers by chain, `attachments` names, `acts` hashes. None of it is believed to exist for
    being named here.
    """

    files: Mapping[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    attachments: tuple[str, ...] = ()
    acts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Beat:
    """How far a device had come: its last file, what it had seen of others, the digest of all it knew, its clock.

    The digest is empty in a sign of life of an older version, which worked it out in another way under another name.
    """

    number: int
    hash: str
    seen: Mapping[str, tuple[int, str]]
    digest: str
    wall: str
    lacks: Lacks = field(default_factory=Lacks)


def sealed_beat(
    beat: Beat, *, repository: bytes, chain: bytes, epoch: bytes, key: bytes, signer: Ed25519PrivateKey
) -> bytes:
    """The bytes of a sign of life."""
    head = _HEAD.pack(_MAGIC, repository, chain, epoch)
    body = orjson.dumps({
        "number": beat.number, "hash": beat.hash, "sum": beat.digest, "wall": beat.wall,
        "seen": {one: list(end) for one, end in beat.seen.items()},
        "lacks": {
            "files": beat.lacks.files, "attachments": beat.lacks.attachments, "acts": beat.lacks.acts,
        },
    })  # fmt: skip
    nonce = secrets.token_bytes(_NONCE)
    whole = head + nonce + AESGCMSIV(_key(key, chain)).encrypt(nonce, body, head)
    return whole + signer.sign(_PURPOSE + sha256(whole).digest())


def epoch_of(data: bytes) -> str:
    """The epoch under which it is sealed; raises BadFile for bytes that are none."""
    if not _LEAST <= len(data) <= _MOST or data[: len(_MAGIC)] != _MAGIC:
        raise BadFile(why="it is no sign of life")
    return _HEAD.unpack_from(data)[3].hex()  # type: ignore[no-any-return]  # struct gives bytes here


def read_beat(data: bytes, *, repository: bytes, chain: bytes, key: bytes, signer: Ed25519PublicKey) -> Beat:
    """What a device said of itself; raises BadFile for anything it did not say."""
    epoch_of(data)
    _magic, of, by, _epoch = _HEAD.unpack_from(data)
    try:
        signer.verify(data[-_SIGNATURE:], _PURPOSE + sha256(data[:-_SIGNATURE]).digest())
        if (of, by) != (repository, chain):
            raise BadFile(why="it is another device's sign of life")
        head, nonce = data[: _HEAD.size], data[_HEAD.size : _HEAD.size + _NONCE]
        body = orjson.loads(AESGCMSIV(_key(key, chain)).decrypt(nonce, data[len(head) + _NONCE : -_SIGNATURE], head))
        seen = {str(one): (int(end[0]), str(end[1])) for one, end in body["seen"].items()}
        if datetime.fromisoformat(body["wall"]).tzinfo is None:
            raise ValueError("a clock without its offset")  # noqa: TRY301 - told as any other bad file
        lacks = _lacks(body.get("lacks", {}))
        return Beat(int(body["number"]), str(body["hash"]), seen, str(body.get("sum", "")), str(body["wall"]), lacks)
    except (InvalidSignature, InvalidTag):
        raise BadFile(why="a byte of it was changed") from None
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        raise BadFile(why="it does not read") from None


def _lacks(kept: dict[str, Any]) -> Lacks:
    files = {
        str(chain): tuple((int(first), int(last)) for first, last in ranges)
        for chain, ranges in kept.get("files", {}).items()
    }
    return Lacks(files, tuple(map(str, kept.get("attachments", ()))), tuple(map(str, kept.get("acts", ()))))


def _key(key: bytes, chain: bytes) -> bytes:
    return HKDF(SHA256(), 32, None, _PURPOSE + chain).derive(key)
