"""Letting a new device in: what it shows, what it asks, what an owner says, and what both sides compare.

The code goes from screen to person to keyboard and never to the place where the two meet. It holds the hash of the new
device's public keys, so that the owner's device knows them again, and 128 random bits, from which follow the names of
the three messages and the key that proves each of them. Before anything is given, both screens show the same six groups
of digits, made from the first two messages: whoever looked at the code and slipped in an answer of their own shows
others. The answer holds where every chain stands, so that the host cannot hand an older record to a new device.

    new device:  request  j/<name>   its chain, label, public keys, the time; MAC
    owner:       greeting a/<name>   its chain, label, signing key, practice, founding act, 128 random bits; MAC
    both people compare the six groups
    owner:       answer   a/<name>   repository, founding act, heads of the acts, ends of the chains;
                                     sealed for the new device (HPKE) and signed by the owner
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Any, Final

import orjson
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey

from storage.keys import derived, read_spelled, spelled
from storage.log import canonical
from sync.membership.acts import Member, Role, seal_for, unseal_for
from sync.wire.names import answer_to_joining, request_to_join
from sync.wire.troubles import BadFile

__all__ = [
    "LASTS", "Code", "Given", "Greeting", "Request", "answer", "compared", "greeting", "new_code", "read_answer",
    "read_code", "read_greeting", "read_request", "request",
]  # fmt: skip

LASTS: Final = timedelta(minutes=10)
"""How long a code holds: house bound, no source."""

_HASH, _SECRET, _MAC, _SIGNATURE = 14, 16, 32, 64
_MOST = 1024 * 1024
_PURPOSE = b"hearthside joining 1 "
_GROUPS, _DIGITS = 6, 4


@dataclass(frozen=True, slots=True, repr=False)
class Code:
    """What the new device shows: 112 bits of the hash of its public keys, and the 128 bits of this one pairing."""

    keys: bytes
    secret: bytes

    def shown(self) -> str:
        """Thirteen groups of four letters and digits; the last one is a check."""
        return spelled(self.keys + self.secret, _PURPOSE)

    def name_of(self, what: str) -> str:
        """Where a message of this pairing lies: "request", "greeting" or "answer"."""
        made = derived(self.secret, f"joining name {what}", length=16).hex()
        return request_to_join(made) if what == "request" else answer_to_joining(made)

    def mac(self, what: str, raw: bytes) -> bytes:
        """The proof that whoever wrote these bytes knew the code."""
        return hmac.digest(derived(self.secret, f"joining proof {what}"), raw, sha256)


@dataclass(frozen=True, slots=True)
class Request:
    """What a new device asks. `member` has the least role: an owner gives it its own."""

    member: Member
    made: datetime
    raw: bytes


@dataclass(frozen=True, slots=True)
class Greeting:
    """Who answers, for which practice."""

    chain: str
    label: str
    sign: bytes
    repository: str
    founding: str
    raw: bytes


@dataclass(frozen=True, slots=True)
class Given:
    """What an owner hands over: heads of the acts of membership, and where each chain stands (number and hash)."""

    repository: str
    founding: str
    heads: tuple[str, ...]
    ends: Mapping[str, tuple[int, str]]


def new_code(member: Member) -> Code:
    """A code for one use."""
    return Code(_hash_of(member), secrets.token_bytes(_SECRET))


def read_code(typed: str) -> Code | None:
    """The code that was typed, or None when it is mistyped."""
    data = read_spelled(typed, _HASH + _SECRET, _PURPOSE)
    return None if data is None else Code(data[:_HASH], data[_HASH:])


def _hash_of(member: Member) -> bytes:
    return sha256(_PURPOSE + bytes.fromhex(member.chain) + member.sign + member.receive).digest()[:_HASH]


def compared(request: Request, greeting: Greeting) -> str:
    """Six groups of four digits (about 79 bits) that both screens show; nobody in between can make them equal."""
    made = int.from_bytes(sha256(_PURPOSE + b"compared" + _joined(request, greeting)).digest(), "big")
    groups = []
    for _ in range(_GROUPS):
        made, group = divmod(made, 10**_DIGITS)
        groups.append(f"{group:0{_DIGITS}}")
    return " ".join(groups)


def _joined(request: Request, greeting: Greeting) -> bytes:
    return sha256(request.raw).digest() + sha256(greeting.raw).digest()


# --- messages -------------------------------------------------------------------------------------------------------


def request(member: Member, code: Code, now: datetime) -> Request:
    """What a new device puts down."""
    body = {
        "chain": member.chain, "label": member.label, "sign": member.sign.hex(), "receive": member.receive.hex(),
        "wall": now.astimezone(UTC).isoformat(),
    }  # fmt: skip
    return read_request(_proved("request", body, code), code)


def read_request(raw: bytes, code: Code) -> Request:
    """A request that whoever showed this code made, for the keys in the code; raises BadFile for any other."""
    body = _body("request", raw, code)
    try:
        member = Member(
            str(body["chain"]), str(body["label"]), Role.STUDENT, bytes.fromhex(body["sign"]),
            bytes.fromhex(body["receive"]),
        )  # fmt: skip
        made = datetime.fromisoformat(body["wall"])
        right = hmac.compare_digest(_hash_of(member), code.keys)
    except (ValueError, KeyError, TypeError):
        raise BadFile(why="it does not read") from None
    if not right or made.tzinfo is None:
        raise BadFile(why="its keys are not those in the code")
    return Request(member, made, raw)


def greeting(owner: Member, repository: str, founding: str, code: Code) -> Greeting:
    """What an owner's device says first; it gives nothing away."""
    body = {
        "chain": owner.chain, "label": owner.label, "sign": owner.sign.hex(), "repository": repository,
        "founding": founding, "once": secrets.token_hex(16),
    }  # fmt: skip
    return read_greeting(_proved("greeting", body, code), code)


def read_greeting(raw: bytes, code: Code) -> Greeting:
    """The greeting of somebody who knows the code; raises BadFile for any other."""
    body = _body("greeting", raw, code)
    try:
        return Greeting(
            str(body["chain"]), str(body["label"]), bytes.fromhex(body["sign"]), str(body["repository"]),
            str(body["founding"]), raw,
        )  # fmt: skip
    except (ValueError, KeyError, TypeError):
        raise BadFile(why="it does not read") from None


def answer(given: Given, request: Request, greeting: Greeting, signer: Ed25519PrivateKey) -> bytes:
    """What an owner's device hands over once both people saw the same digits."""
    body = canonical({
        "repository": given.repository, "founding": given.founding, "heads": sorted(given.heads),
        "ends": {chain: list(end) for chain, end in given.ends.items()},
    })  # fmt: skip
    about = _PURPOSE + b"answer" + _joined(request, greeting)
    sealed = seal_for(body, request.member.receive, about)
    return sealed + signer.sign(about + sha256(sealed).digest())


def read_answer(raw: bytes, request: Request, greeting: Greeting, private: MLKEM768X25519PrivateKey) -> Given:
    """What the owner of this greeting handed to this request; raises BadFile for any other."""
    if not _SIGNATURE < len(raw) <= _MOST:
        raise BadFile(why="its length is none that is written")
    about = _PURPOSE + b"answer" + _joined(request, greeting)
    sealed = raw[:-_SIGNATURE]
    try:
        Ed25519PublicKey.from_public_bytes(greeting.sign).verify(raw[-_SIGNATURE:], about + sha256(sealed).digest())
        body = orjson.loads(unseal_for(sealed, private, about))
        ends = {str(chain): (int(end[0]), str(end[1])) for chain, end in body["ends"].items()}
        given = Given(str(body["repository"]), str(body["founding"]), tuple(map(str, body["heads"])), ends)
    except InvalidSignature:
        raise BadFile(why="it is not signed by the owner who greeted") from None
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        raise BadFile(why="it does not read") from None
    if (given.repository, given.founding) != (greeting.repository, greeting.founding):
        raise BadFile(why="it speaks of another practice than the greeting")
    return given


def _proved(what: str, body: dict[str, Any], code: Code) -> bytes:
    raw = canonical({"v": 1, **body})
    return raw + code.mac(what, raw)


def _body(what: str, raw: bytes, code: Code) -> dict[str, Any]:
    if not _MAC < len(raw) <= _MOST or not hmac.compare_digest(raw[-_MAC:], code.mac(what, raw[:-_MAC])):
        raise BadFile(why="whoever wrote it did not know the code")
    try:
        body: dict[str, Any] = orjson.loads(raw[:-_MAC])
        if body["v"] != 1:
            raise BadFile(why="it was written by a newer version of Hearthside", newer=True)
    except (ValueError, KeyError, TypeError):
        raise BadFile(why="it does not read") from None
    return body
