"""Acts of membership: who founded the practice's record, was added, put out, has another role; keys and sheets.

An act is signed by the device that makes it and names by hash the newest acts it knew, so that nobody who holds the
files can leave one out unseen. Practice keys travel in acts, sealed for each member alone (HPKE: ML-KEM-768 with
X25519, HKDF-SHA256, AES-256-GCM). Whoever stores the files is never asked who belongs.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any, Final, TypeAlias

import orjson
from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric import mlkem, x25519
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.hpke import AEAD, KDF, KEM, MLKEM768X25519PrivateKey, MLKEM768X25519PublicKey, Suite

from forms.role import Role
from storage.keys import VOUCHED
from storage.log import canonical, digest
from sync.wire.troubles import BadFile

__all__ = [
    "RECOVERY", "Act", "Add", "Change", "Found", "Member", "Revoke", "Role", "Rotate", "SetRole", "Sheet",
    "key_for", "new_epoch", "read_act", "recovery_chain_of", "seal_for", "seal_key", "sheet_word", "signed_act",
    "unseal_for", "unseal_key",
]  # fmt: skip

RECOVERY: Final = "recovery"
"""The name under which practice keys are sealed for the sheet of the founding act; for a later one, its chain."""

VERSION: Final = 1
MOST: Final = 4 * 1024 * 1024
"""A longer act is refused unread: some 1,700 sealed keys fit into it, and nobody has signed for what is read here."""

_SUITE = Suite(KEM.MLKEM768_X25519, KDF.HKDF_SHA256, AEAD.AES_256_GCM)
_KEM_BYTES, _SIGNATURE = 1184, 64
_PURPOSE = b"hearthside membership 1"


@dataclass(frozen=True, slots=True)
class Member:
    """One device of one person: its chain, its public keys, and who says so. `receive` is ML-KEM-768, then X25519."""

    chain: str
    label: str
    role: Role
    sign: bytes
    receive: bytes


@dataclass(frozen=True, slots=True)
class Found:
    """The first act: the founder's device, the recovery member's public keys, the first practice key.

    `recovery` receives, `recovery_sign` signs; `vouch` is the recovery member's word for the founder's signing key, so
    that whoever holds the sheet knows the true founding act among any number that a host could make up.
    """

    member: Member
    recovery: bytes
    recovery_sign: bytes
    vouch: bytes
    epoch: str
    keys: Mapping[str, bytes]

    @property
    def recovery_chain(self) -> str:
        """The name under which the recovery member's acts lie."""
        return recovery_chain_of(self.recovery_sign)

    def vouched(self) -> bool:
        """Whether the recovery member gave its word for the founder."""
        return _signed(self.recovery_sign, self.vouch, VOUCHED + self.member.sign)


@dataclass(frozen=True, slots=True)
class Add:
    """A member comes in, with every practice key there is, each sealed for it: by epoch."""

    member: Member
    keys: Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class SetRole:
    """A member has another role from now on."""

    chain: str
    role: Role


@dataclass(frozen=True, slots=True)
class Revoke:
    """A member is put out and the practice key changes, in one act.

    `number` and `file` name the last change file of it that counts (0 and "": none); what it writes beyond that is kept
    aside. `acts` is the number of its last act that counts. `keys` holds the new key, sealed for each member that stays
    and for the recovery member.
    """

    chain: str
    number: int
    file: str
    acts: int
    epoch: str
    keys: Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Rotate:
    """The practice key changes, sealed for each member and the recovery member.

    `earlier` are earlier keys, by member and epoch, for those who were let in while these were made.
    """

    epoch: str
    keys: Mapping[str, bytes]
    earlier: Mapping[str, Mapping[str, bytes]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Sheet:
    """Another recovery sheet: its public keys, and every practice key its maker holds, sealed for it, by epoch.

    `vouch` is the new sheet's word for the founding act, so that whoever holds it alone knows the true one. `ended`
    are the sheets that end with it, by the chain of each: the number of its last act that counts.
    """

    recovery: bytes
    recovery_sign: bytes
    vouch: bytes
    ended: Mapping[str, int]
    keys: Mapping[str, bytes]

    @property
    def recovery_chain(self) -> str:
        """The name under which the acts made with this sheet lie, and keys are sealed for it."""
        return recovery_chain_of(self.recovery_sign)

    def vouches_for(self, founding: str) -> bool:
        """Whether the sheet gave its word for this founding act (its hash)."""
        return _signed(self.recovery_sign, self.vouch, _word(founding, self.recovery))


Change: TypeAlias = Found | Add | SetRole | Revoke | Rotate | Sheet


@dataclass(frozen=True, slots=True)
class Act:
    """One signed act, with the bytes it was read from. `seq` counts the acts of one device from 1."""

    hash: str
    repository: str
    by: str
    seq: int
    heads: tuple[str, ...]
    wall: str
    change: Change
    raw: bytes

    def signed_by(self, key: bytes) -> bool:
        """Whether the holder of this Ed25519 key signed it."""
        return _signed(key, self.raw[-_SIGNATURE:], _PURPOSE + self.raw[:-_SIGNATURE])


def recovery_chain_of(sign: bytes) -> str:
    """The name under which the acts of a recovery sheet lie, from the key with which it signs."""
    return sha256(b"hearthside recovery chain 1 " + sign).hexdigest()[:32]


def sheet_word(signer: Ed25519PrivateKey, founding: str, recovery: bytes) -> bytes:
    """A new sheet's word for a founding act (its hash): an Ed25519 signature over it and the sheet's receiving key."""
    return signer.sign(_word(founding, recovery))


def _word(founding: str, recovery: bytes) -> bytes:
    return b"hearthside recovery sheet vouches for founding act 1 " + founding.encode() + b" " + recovery


def _signed(key: bytes, signature: bytes, data: bytes) -> bool:
    try:
        Ed25519PublicKey.from_public_bytes(key).verify(signature, data)
    except (InvalidSignature, ValueError):
        return False
    return True


# --- keys -----------------------------------------------------------------------------------------------------------


def new_epoch() -> tuple[str, bytes]:
    """The id and the 256 bits of a new practice key."""
    return secrets.token_hex(16), secrets.token_bytes(32)


def seal_for(data: bytes, receive: bytes, about: bytes) -> bytes:
    """A few bytes, sealed for whoever holds the private half of `receive` and bound to what they are about."""
    public = MLKEM768X25519PublicKey(
        mlkem.MLKEM768PublicKey.from_public_bytes(receive[:_KEM_BYTES]),
        x25519.X25519PublicKey.from_public_bytes(receive[_KEM_BYTES:]),
    )
    return _SUITE.encrypt(data, public, info=about)


def unseal_for(sealed: bytes, private: MLKEM768X25519PrivateKey, about: bytes) -> bytes:
    """What `seal_for` sealed; raises BadFile when it was sealed for another holder, or is about something else."""
    try:
        return _SUITE.decrypt(sealed, private, info=about)
    except (InvalidTag, ValueError):
        raise BadFile(why="it is not sealed for this device") from None


def seal_key(key: bytes, receive: bytes, repository: str, epoch: str) -> bytes:
    """A practice key, sealed for whoever holds the private half of `receive`."""
    return seal_for(key, receive, _about(repository, epoch))


def unseal_key(sealed: bytes, private: MLKEM768X25519PrivateKey, repository: str, epoch: str) -> bytes:
    """What `seal_key` sealed; raises BadFile when it was not sealed for this holder, or for another practice."""
    return unseal_for(sealed, private, _about(repository, epoch))


def _about(repository: str, epoch: str) -> bytes:
    return f"hearthside practice key 1 {repository} {epoch}".encode()


def key_for(change: Change, member: str) -> dict[str, bytes]:
    """The sealed practice keys that a change hands to a member or a recovery sheet, by epoch."""
    match change:
        case Rotate():
            newest = {change.epoch: change.keys[member]} if member in change.keys else {}
            return {**change.earlier.get(member, {}), **newest}
        case Found() | Revoke():
            return {change.epoch: change.keys[member]} if member in change.keys else {}
        case Add():
            return dict(change.keys) if change.member.chain == member else {}
        case Sheet():
            return dict(change.keys) if change.recovery_chain == member else {}
        case _:
            return {}


# --- bytes ----------------------------------------------------------------------------------------------------------


def signed_act(
    change: Change, *, repository: str, by: str, seq: int, heads: tuple[str, ...], now: datetime,
    signer: Ed25519PrivateKey,
) -> Act:  # fmt: skip
    """A new act."""
    raw = canonical({
        "v": VERSION, "repository": repository, "by": by, "seq": seq, "heads": sorted(heads),
        "wall": now.astimezone(UTC).isoformat(), "kind": type(change).__name__.lower(), "what": _kept(change),
    })  # fmt: skip
    return read_act(raw + signer.sign(_PURPOSE + raw))


def read_act(raw: bytes) -> Act:
    """The act that these bytes are; its signature is checked by whoever knows the key. Raises BadFile for none."""
    if len(raw) > MOST:
        raise BadFile(why="it is longer than any that is written")
    try:
        body: dict[str, Any] = orjson.loads(raw[:-_SIGNATURE])
        if body["v"] != VERSION:
            raise BadFile(why="it was written by a newer version of Hearthside", newer=True)
        if body["kind"] not in _READERS:
            raise BadFile(why="it was written by a newer version of Hearthside", newer=True)
        change = _READERS[body["kind"]](body["what"])
        if datetime.fromisoformat(body["wall"]).tzinfo is None:
            raise ValueError("a clock reading of no zone")  # noqa: TRY301 - told as any other bad act
        return Act(
            digest(raw), str(body["repository"]), str(body["by"]), int(body["seq"]), tuple(map(str, body["heads"])),
            str(body["wall"]), change, raw,
        )  # fmt: skip
    except (ValueError, KeyError, TypeError, AttributeError):
        raise BadFile(why="it is no act of membership") from None


def _kept(change: Change) -> dict[str, Any]:
    match change:
        case Found():
            return {
                "member": _member_kept(change.member), "recovery": change.recovery.hex(),
                "recovery_sign": change.recovery_sign.hex(), "vouch": change.vouch.hex(), "epoch": change.epoch,
                "keys": _hex(change.keys),
            }  # fmt: skip
        case Add():
            return {"member": _member_kept(change.member), "keys": _hex(change.keys)}
        case SetRole():
            return {"chain": change.chain, "role": str(change.role)}
        case Revoke():
            return {
                "chain": change.chain, "number": change.number, "file": change.file, "acts": change.acts,
                "epoch": change.epoch, "keys": _hex(change.keys),
            }  # fmt: skip
        case Rotate():
            earlier = {member: _hex(keys) for member, keys in change.earlier.items()}
            return {"epoch": change.epoch, "keys": _hex(change.keys), **({"earlier": earlier} if earlier else {})}
        case Sheet():
            return {
                "recovery": change.recovery.hex(), "recovery_sign": change.recovery_sign.hex(),
                "vouch": change.vouch.hex(), "ended": dict(change.ended), "keys": _hex(change.keys),
            }  # fmt: skip


def _member_kept(member: Member) -> dict[str, str]:
    return {
        "chain": member.chain, "label": member.label, "role": str(member.role), "sign": member.sign.hex(),
        "receive": member.receive.hex(),
    }  # fmt: skip


def _member(kept: dict[str, str]) -> Member:
    sign, receive = bytes.fromhex(kept["sign"]), _receiving(kept["receive"])
    if len(sign) != 32:
        raise ValueError("a key of the wrong length")
    return Member(kept["chain"], kept["label"], Role(kept["role"]), sign, receive)


def _receiving(kept: str) -> bytes:
    receive = bytes.fromhex(kept)
    if len(receive) != _KEM_BYTES + 32:
        raise ValueError("a key of the wrong length")
    return receive


def _hex(keys: Mapping[str, bytes]) -> dict[str, str]:
    return {name: key.hex() for name, key in keys.items()}


def _keys(kept: dict[str, str]) -> dict[str, bytes]:
    return {str(name): bytes.fromhex(key) for name, key in kept.items()}


_READERS: Final[Mapping[str, Callable[[dict[str, Any]], Change]]] = {
    "found": lambda k: Found(
        _member(k["member"]), bytes.fromhex(k["recovery"]), bytes.fromhex(k["recovery_sign"]),
        bytes.fromhex(k["vouch"]), str(k["epoch"]), _keys(k["keys"]),
    ),
    "add": lambda k: Add(_member(k["member"]), _keys(k["keys"])),
    "setrole": lambda k: SetRole(str(k["chain"]), Role(k["role"])),
    "revoke": lambda k: Revoke(
        str(k["chain"]), int(k["number"]), str(k["file"]), int(k["acts"]), str(k["epoch"]), _keys(k["keys"])
    ),
    "rotate": lambda k: Rotate(
        str(k["epoch"]), _keys(k["keys"]), {str(one): _keys(keys) for one, keys in k.get("earlier", {}).items()}
    ),
    "sheet": lambda k: Sheet(
        _receiving(k["recovery"]), bytes.fromhex(k["recovery_sign"]), bytes.fromhex(k["vouch"]),
        {str(chain): int(acts) for chain, acts in k["ended"].items()}, _keys(k["keys"]),
    ),
}  # fmt: skip
