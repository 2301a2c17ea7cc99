"""A snapshot: every operation that stands, and how far each chain was known, so that a new device is usable at once.

It lies in a head and parts. The head is put last and names the SHA-256 of each part, so that a snapshot whose head is
there and reads is whole, and no part can be left out, swapped or taken from another. The head is signed by its maker
alone: what the operations in it rest on is proved only by the change files that carry them.

    0    8  magic "HSSNAP01"             68   32  salt
    8    1  version 1                   100   32  commitment to the key
    9    1  suite 1                     132    4  length of the sealed body
   10   16  repository                  136    .  sealed body
   26   16  chain of the maker            .   64  Ed25519 signature
   42    8  number: thousands of operations behind it
   50   16  epoch of the practice key
   66    2  least version of the format that can read it

Suite 1: HKDF-SHA256(epoch key, salt, "hearthside snapshot 1" and the SHA-256 of bytes 0 to 100) gives 32 bytes of key
and 32 of commitment. AES-256-GCM under that one key: the head's body with a nonce of zeros, bytes 0 to 136 bound in;
part n, from 0, with the nonce n + 1, its place and the count of parts bound in. Ed25519 over "hearthside snapshot 1"
and the SHA-256 of everything before it. Each body is a zstd frame behind its length (4 bytes), padded as in a change
file. The head's holds the record's `digest`, `ends` (by chain: number and SHA-256 of the last file, number of the last
operation in it), `operations` (how many are known), `standing` (how many of them stand) and `parts`; a part's holds the
canonical bytes of operations, one a line.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping, Sequence
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

from storage.log import PLACE, Operation
from sync.wire.body import packed, unpacked
from sync.wire.troubles import BadFile

__all__ = ["FORMAT", "PART", "PARTS", "End", "Head", "Snapshot", "epoch_of", "opened_head", "opened_part", "sealed"]

FORMAT: Final = 1
PART: Final = 4 * 1024 * 1024
"""Bytes of a part at most: larger uploads are what places refuse."""
PARTS: Final = 256
"""More parts than this are neither written nor read: a gigabyte."""

_MAGIC, _SUITE, _PURPOSE = b"HSSNAP01", 1, b"hearthside snapshot 1"
_FIXED = Struct(">8sBB16s16sQ16sH32s")
_COMMITMENT, _LENGTH, _SIGNATURE = 32, 4, 64
_BOUND = _FIXED.size + _COMMITMENT + _LENGTH
_LEAST = _BOUND + 16 + _SIGNATURE
_LARGEST = 2**53
_PLAIN = (
    16 * 1024 * 1024
)  # a part before it is packed: about a fifth of it is left, and halves are taken where it is more


@dataclass(frozen=True, slots=True)
class End:
    """How far a chain was known: number and SHA-256 (hex) of its last file, and of the last operation the number."""

    number: int
    hash: str
    seq: int


@dataclass(frozen=True, slots=True)
class Snapshot:
    """What a snapshot says: the digest of the record, how far each chain was known, how many operations there are."""

    digest: str
    ends: Mapping[str, End]
    operations: int
    standing: int

    @property
    def number(self) -> int:
        """What it is named by: thousands of operations, so that the largest number is the newest."""
        return self.operations // 1000


@dataclass(frozen=True, slots=True, repr=False)
class Head:
    """A head that was proved and opened: what it says, the SHA-256 (hex) of each part, and the key of its parts."""

    said: Snapshot
    parts: tuple[str, ...]
    key: bytes


def sealed(
    said: Snapshot, operations: Sequence[Operation], *, repository: bytes, chain: bytes, epoch: bytes, key: bytes,
    signer: Ed25519PrivateKey, salt: bytes | None = None,
) -> tuple[bytes, tuple[bytes, ...]]:  # fmt: skip
    """The bytes of the head and of the parts. `key` is the epoch's; `salt` is given by test vectors alone.

    Raises ValueError for an operation that fits into no part, and for a record too large for the parts there may be.
    """
    fixed = _FIXED.pack(
        _MAGIC, FORMAT, _SUITE, repository, chain, said.number, epoch, FORMAT, salt or secrets.token_bytes(32)
    )
    once, commitment = _keys(key, fixed)
    bodies = tuple(_cut([one.raw for one in operations]))
    if len(bodies) > PARTS:
        raise ValueError("the record is larger than snapshots are made for")
    parts = tuple(AESGCM(once).encrypt(_nonce(at), body, _place(at, len(bodies))) for at, body in enumerate(bodies))
    plain = _body({
        "digest": said.digest, "operations": said.operations, "standing": said.standing,
        "ends": {one: [end.number, end.hash, end.seq] for one, end in said.ends.items()},
        "parts": [sha256(part).hexdigest() for part in parts],
    })  # fmt: skip
    bound = fixed + commitment + (len(plain) + 16).to_bytes(_LENGTH, "big")
    whole = bound + AESGCM(once).encrypt(bytes(12), plain, bound)
    return whole + signer.sign(_PURPOSE + sha256(whole).digest()), parts


def epoch_of(data: bytes) -> str:
    """The epoch under which a head is sealed; raises BadFile for bytes that are none of a version known here."""
    if len(data) < _LEAST or data[: len(_MAGIC)] != _MAGIC:
        raise BadFile(why="it is no snapshot")
    _magic, version, suite, _repository, _chain, _number, epoch, least, _salt = _FIXED.unpack_from(data)
    if version != FORMAT or suite != _SUITE or least > FORMAT:
        raise BadFile(why="it was written by a newer version of Hearthside", newer=True)
    if len(data) > PART:
        raise BadFile(why="it is longer than any that is written")
    return epoch.hex()  # type: ignore[no-any-return]  # struct gives bytes here


def opened_head(
    data: bytes, *, repository: bytes, chain: bytes, number: int, key: bytes, signer: Ed25519PublicKey
) -> Head:
    """What a head says, its signature checked first; raises BadFile for anything this maker did not say."""
    epoch_of(data)
    try:
        signer.verify(data[-_SIGNATURE:], _PURPOSE + sha256(data[:-_SIGNATURE]).digest())
    except InvalidSignature:
        raise BadFile(why="it is not signed by the device it names") from None
    fixed, bound = data[: _FIXED.size], data[:_BOUND]
    if _FIXED.unpack_from(data)[3:6] != (repository, chain, number):
        raise BadFile(why="its name is not what it holds")
    once, commitment = _keys(key, fixed)
    if not secrets.compare_digest(commitment, data[_FIXED.size : _FIXED.size + _COMMITMENT]):
        raise BadFile(why="it is sealed under another key of the practice")
    if len(data) != _BOUND + int.from_bytes(bound[-_LENGTH:], "big") + _SIGNATURE:
        raise BadFile(why="its length is not the one it tells")
    plain = _decrypted(once, bytes(12), data[_BOUND:-_SIGNATURE], bound)
    try:
        body: dict[str, Any] = orjson.loads(unpacked(plain))
        ends = {str(one): End(int(end[0]), str(end[1]), int(end[2])) for one, end in body["ends"].items()}
        said = Snapshot(str(body["digest"]), ends, int(body["operations"]), int(body["standing"]))
        parts = tuple(str(part) for part in body["parts"])
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        raise BadFile(why="its body does not read") from None
    if said.number != number or len(parts) > PARTS:
        raise BadFile(why="its name is not what it holds")
    return Head(said, parts, once)


def opened_part(head: Head, at: int, data: bytes) -> tuple[Operation, ...]:
    """The operations in part `at`; raises BadFile for bytes other than those the head names."""
    if sha256(data).hexdigest() != head.parts[at]:
        raise BadFile(why="a part of it is not the one it names")
    plain = unpacked(_decrypted(head.key, _nonce(at), data, _place(at, len(head.parts))))
    try:
        found = tuple(Operation.read(raw) for raw in plain.split(b"\n")) if plain else ()
        sound = all(_sound(one) for one in found)
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        raise BadFile(why="its body does not read") from None
    if not sound:
        raise BadFile(why="its body does not read")
    return found


def _sound(one: Operation) -> bool:
    """Whether an operation that no packing made anew has the shape every operation has."""
    words = (one.entity, one.field, one.author, one.chain, one.prev, one.wall, one.reason, *one.parents)
    numbers = (one.seq, one.millis, one.tick)
    if not all(isinstance(word, str) for word in words):
        return False
    if not all(isinstance(number, int) and 0 <= number < _LARGEST for number in numbers):
        return False
    if one.field != PLACE:
        return True
    named = (one.value["form"], one.value["family"] or "", one.value["visit"] or "", *one.value["subjects"])
    return all(isinstance(name, str) for name in named)


def _cut(raws: Sequence[bytes]) -> Iterator[bytes]:
    """The bodies of the parts, in order, each short enough."""
    some: list[bytes] = []
    length = 0
    for raw in raws:
        if b"\n" in raw:
            raise ValueError("canonical bytes hold no line end")
        if some and length + len(raw) > _PLAIN:
            yield from _halved(some)
            some, length = [], 0
        some.append(raw)
        length += len(raw) + 1
    if some:
        yield from _halved(some)


def _halved(raws: Sequence[bytes]) -> Iterator[bytes]:
    body = packed(b"\n".join(raws))
    if len(body) + 16 <= PART:
        yield body
    elif len(raws) == 1:
        raise ValueError("an operation is larger than a part")
    else:
        middle = len(raws) // 2
        yield from _halved(raws[:middle])
        yield from _halved(raws[middle:])


def _body(kept: Mapping[str, Any]) -> bytes:
    return packed(orjson.dumps(kept, option=orjson.OPT_SORT_KEYS))


def _decrypted(once: bytes, nonce: bytes, data: bytes, bound: bytes) -> bytes:
    try:
        return AESGCM(once).decrypt(nonce, data, bound)
    except InvalidTag:
        raise BadFile(why="a byte of it was changed") from None


def _keys(key: bytes, fixed: bytes) -> tuple[bytes, bytes]:
    """The key of this one snapshot, and the commitment to it."""
    made = HKDF(SHA256(), 64, fixed[-32:], _PURPOSE + sha256(fixed).digest()).derive(key)
    return made[:32], made[32:]


def _nonce(at: int) -> bytes:
    return (at + 1).to_bytes(12, "big")


def _place(at: int, count: int) -> bytes:
    return _PURPOSE + f" {at} of {count}".encode()
