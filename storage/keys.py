"""Keys: what opens the store, what is derived from it, and the files that hold it wrapped.

passphrase --Argon2id--> KEK --\
                                    +-- each wraps (AES Key Wrap) the random 256-bit device master key
recovery sheet --HKDF--> KEK --/
device master key --HKDF--> database key, device-key key, tail-MAC key, one key per secret
"""

from __future__ import annotations

import secrets
from base64 import b32decode, b32encode
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from time import perf_counter
from typing import Any, Final

import orjson
from cryptography.hazmat.primitives.asymmetric import mlkem, x25519
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.keywrap import InvalidUnwrap, aes_key_unwrap, aes_key_wrap

from storage.folder import write_whole
from storage.passphrases import normal
from storage.troubles import (
    DamagedSlot,
    NotEnoughMemory,
    RecoveryMistyped,
    WrongPassphrase,
    WrongRecoverySheet,
)

__all__ = [
    "DEFAULT", "FLOOR", "LETTERS", "VOUCHED", "Argon", "calibrated", "derived", "passphrase_slot_opened",
    "read_spelled", "read_words", "recovery_pair", "recovery_signer", "recovery_slot_opened", "seal", "spelled",
    "unseal", "vouched", "words_of", "write_passphrase_slot", "write_recovery_slot",
]  # fmt: skip

KEY_BYTES = 32
SALT_BYTES = 16
RECOVERY_BYTES = 20  # 160 random bits
VOUCHED = b"hearthside recovery member vouches for 1 "
_NONCE_BYTES = 12
_SUM_BYTES = 32
_MIB = 1024  # in KiB


@dataclass(frozen=True, slots=True)
class Argon:
    """Argon2id figures: memory in KiB, passes, lanes."""

    memory: int
    passes: int
    lanes: int

    def allowed(self) -> bool:
        """Within the floor (RFC 9106, second recommended choice: 64 MiB, 3 passes, 4 lanes) and the ceiling."""
        return (
            FLOOR.memory <= self.memory <= _CEILING.memory
            and FLOOR.passes <= self.passes <= _CEILING.passes
            and FLOOR.lanes <= self.lanes <= _CEILING.lanes
        )

    def run(self, passphrase: str, salt: bytes) -> bytes:
        """The 256-bit key; raises NotEnoughMemory when the machine refuses the memory."""
        try:
            return Argon2id(
                salt=salt, length=KEY_BYTES, iterations=self.passes, lanes=self.lanes, memory_cost=self.memory
            ).derive(normal(passphrase).encode())
        except MemoryError:
            raise NotEnoughMemory from None


FLOOR = Argon(64 * _MIB, 3, 4)
DEFAULT = Argon(256 * _MIB, 3, 4)
_CEILING = Argon(1024 * _MIB, 10, 8)
_AIM = 0.75  # seconds, the middle of 0.5 to 1.0
_SLOWEST, _QUICKEST = 1.0, 0.5


def _timed(figures: Argon) -> float:
    began = perf_counter()
    figures.run("a passphrase that times the machine", bytes(SALT_BYTES))
    return perf_counter() - began


def calibrated(measure: Callable[[Argon], float] = _timed) -> Argon:
    """Figures that take this machine 0.5 to 1.0 s: the default, with less memory or more passes where it needs that.

    `measure` gives the seconds that some figures take. Never below the floor, however slow the machine.
    """
    try:
        took = measure(DEFAULT)
    except NotEnoughMemory:
        return FLOOR
    if took > _SLOWEST:
        fitting = int(DEFAULT.memory * _AIM / took) // (16 * _MIB) * (16 * _MIB)
        return Argon(max(FLOOR.memory, fitting), DEFAULT.passes, DEFAULT.lanes)
    if took < _QUICKEST:
        return Argon(DEFAULT.memory, min(_CEILING.passes, round(DEFAULT.passes * _AIM / took)), DEFAULT.lanes)
    return DEFAULT


def derived(master: bytes, purpose: str, salt: bytes = b"", length: int = KEY_BYTES) -> bytes:
    """A subkey by HKDF-SHA256; the purpose is bound in, so that no two purposes share a key."""
    return HKDF(SHA256(), length, salt or None, b"hearthside 1 " + purpose.encode()).derive(master)


def seal(key: bytes, data: bytes, about: str) -> bytes:
    """Nonce and AES-256-GCM ciphertext of `data`, bound to `about`."""
    nonce = secrets.token_bytes(_NONCE_BYTES)
    return nonce + AESGCM(key).encrypt(nonce, data, about.encode())


def unseal(key: bytes, sealed: bytes, about: str) -> bytes:
    """What `seal` sealed; raises cryptography's InvalidTag when it was changed."""
    return AESGCM(key).decrypt(sealed[:_NONCE_BYTES], sealed[_NONCE_BYTES:], about.encode())


# --- slot files -----------------------------------------------------------------------------------------------------


def _write_slot(path: Path, body: Mapping[str, Any]) -> None:
    data = orjson.dumps(dict(body), option=orjson.OPT_SORT_KEYS)
    write_whole(path, data + sha256(data).digest())


def _read_slot(path: Path, kind: str, other: str) -> dict[str, Any]:
    damaged = DamagedSlot(file=path.name, other=other)
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise damaged from None
    body, kept_sum = data[:-_SUM_BYTES], data[-_SUM_BYTES:]
    if sha256(body).digest() != kept_sum:
        raise damaged
    try:
        slot: dict[str, Any] = orjson.loads(body)
        if slot["kind"] != kind or slot["version"] != 1:
            raise damaged
        slot["salt"], slot["wrapped"] = bytes.fromhex(slot["salt"]), bytes.fromhex(slot["wrapped"])
    except (KeyError, TypeError, ValueError):
        raise damaged from None
    return slot


def write_passphrase_slot(path: Path, master: bytes, passphrase: str, figures: Argon) -> None:
    """Wraps the master key under the passphrase."""
    salt = secrets.token_bytes(SALT_BYTES)
    _write_slot(
        path,
        {
            "version": 1,
            "kind": "passphrase",
            "memory": figures.memory,
            "passes": figures.passes,
            "lanes": figures.lanes,
            "salt": salt.hex(),
            "wrapped": aes_key_wrap(figures.run(passphrase, salt), master).hex(),
        },
    )


def passphrase_slot_opened(path: Path, passphrase: str) -> bytes:
    """The master key; raises DamagedSlot, WrongPassphrase or NotEnoughMemory. Nothing is written."""
    other = "the recovery sheet"
    slot = _read_slot(path, "passphrase", other)
    try:
        figures = Argon(int(slot["memory"]), int(slot["passes"]), int(slot["lanes"]))
    except (KeyError, TypeError, ValueError):
        raise DamagedSlot(file=path.name, other=other) from None
    if not figures.allowed():
        raise DamagedSlot(file=path.name, other=other)
    try:
        return aes_key_unwrap(figures.run(passphrase, slot["salt"]), slot["wrapped"])
    except InvalidUnwrap:
        raise WrongPassphrase from None
    except ValueError:
        raise DamagedSlot(file=path.name, other=other) from None


def write_recovery_slot(path: Path, master: bytes, sheet: bytes) -> None:
    """Wraps the master key under the 160 bits of the recovery sheet."""
    salt = secrets.token_bytes(SALT_BYTES)
    wrapped = aes_key_wrap(derived(sheet, "recovery key", salt), master)
    _write_slot(path, {"version": 1, "kind": "recovery", "salt": salt.hex(), "wrapped": wrapped.hex()})


def recovery_slot_opened(path: Path, sheet: bytes) -> bytes:
    """The master key; raises DamagedSlot or WrongRecoverySheet. Nothing is written."""
    other = "the passphrase"
    slot = _read_slot(path, "recovery", other)
    try:
        return aes_key_unwrap(derived(sheet, "recovery key", slot["salt"]), slot["wrapped"])
    except InvalidUnwrap:
        raise WrongRecoverySheet from None
    except ValueError:
        raise DamagedSlot(file=path.name, other=other) from None


# --- recovery sheet -------------------------------------------------------------------------------------------------

# Letters and digits as in Crockford's base 32: no I, L, O or U, so that a hand-copied sheet reads one way only.
_STANDARD = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
_SHEET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LETTERS: Final = _SHEET + "OIL"
"""What may be typed of a spelled code: O, I and L are read as 0 and 1."""

_TO_SHEET = str.maketrans(_STANDARD, _SHEET)
_FROM_SHEET = str.maketrans(_SHEET + "OIL", _STANDARD + _STANDARD[0] + _STANDARD[1] + _STANDARD[1])
_GROUP = 4
_CHECK = 4  # 20 bits
_RECOVERY = b"hearthside recovery sheet"


def _check_of(data: bytes, purpose: bytes) -> str:
    return b32encode(sha256(purpose + data).digest())[:_CHECK].decode().translate(_TO_SHEET)


def spelled(data: bytes, purpose: bytes) -> str:
    """Bytes (a multiple of five) as groups of four letters and digits to be copied by hand, the last one the check."""
    letters = b32encode(data).decode().translate(_TO_SHEET) + _check_of(data, purpose)
    return " ".join(letters[at : at + _GROUP] for at in range(0, len(letters), _GROUP))


def read_spelled(typed: str, length: int, purpose: bytes) -> bytes | None:
    """What `spelled` gave, typed again; None when a letter is wrong, missing or too many, or it is of another purpose.

    Spaces, dashes and case do not matter.
    """
    letters = "".join(letter for letter in normal(typed).upper() if letter.isalnum())
    standard = letters.translate(_FROM_SHEET)
    wanted = length * 8 // 5
    if len(letters) != wanted + _CHECK or any(letter not in LETTERS for letter in letters):
        return None
    data = b32decode(standard[:wanted])
    return data if standard[wanted:].translate(_TO_SHEET) == _check_of(data, purpose) else None


def words_of(sheet: bytes) -> str:
    """Nine groups of four, the last one the check."""
    return spelled(sheet, _RECOVERY)


def read_words(words: str) -> bytes:
    """The 160 bits that typed recovery words stand for; spaces, dashes and case do not matter.

    Raises RecoveryMistyped when a letter is wrong, missing or too many.
    """
    sheet = read_spelled(words, RECOVERY_BYTES, _RECOVERY)
    if sheet is None:
        raise RecoveryMistyped
    return sheet


def recovery_pair(sheet: bytes) -> tuple[bytes, MLKEM768X25519PrivateKey]:
    """The recovery member's key pair, worked out from the sheet: public bytes (ML-KEM-768, X25519), and private half.

    Nothing of the private half is ever stored: whoever holds the sheet can make it again, and nobody else can.
    """
    kem = mlkem.MLKEM768PrivateKey.from_seed_bytes(derived(sheet, "recovery member ML-KEM-768", length=64))
    curve = x25519.X25519PrivateKey.from_private_bytes(derived(sheet, "recovery member X25519"))
    public = kem.public_key().public_bytes_raw() + curve.public_key().public_bytes_raw()
    return public, MLKEM768X25519PrivateKey(kem, curve)


def recovery_signer(sheet: bytes) -> Ed25519PrivateKey:
    """The key with which the recovery member signs, worked out from the sheet; its private half is never stored."""
    return Ed25519PrivateKey.from_private_bytes(derived(sheet, "recovery member Ed25519"))


def vouched(sheet: bytes, device: bytes) -> bytes:
    """The recovery member's word for a device's signing key, given when the sheet is made: an Ed25519 signature.

    So whoever holds the sheet alone can tell later which device it was made for, and no host can put another there.
    """
    return recovery_signer(sheet).sign(VOUCHED + device)
