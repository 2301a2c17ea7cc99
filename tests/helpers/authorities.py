"""Invented authorities that issue certificates, and the key files a consultant could have from them."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, NoEncryption, pkcs12
from cryptography.x509.oid import NameOID

from tests.helpers import thornbury as t

__all__ = ["WORDS", "certificate", "chain", "key_file_of", "key_of", "network"]

WORDS = "teapot gravel violin"
"""The passphrase of the key files made here; they open nothing else."""

_KEYS: dict[str, Any] = {
    "P-256": lambda: ec.generate_private_key(ec.SECP256R1()),
    "P-384": lambda: ec.generate_private_key(ec.SECP384R1()),
    "P-521": lambda: ec.generate_private_key(ec.SECP521R1()),
    "Ed25519": ed25519.Ed25519PrivateKey.generate,
    "RSA-1024": lambda: rsa.generate_private_key(65537, 1024),
    "RSA-2048": lambda: rsa.generate_private_key(65537, 2048),
}


@cache
def key_of(kind: str, whose: str = "") -> Any:
    """A key of that kind, the same for the same owner."""
    del whose
    return _KEYS[kind]()


def certificate(
    name: str, key: Any, issuer: tuple[x509.Certificate, Any] | None, *, authority: bool = False,
    path_length: int | None = None, usage: str = "digital_signature", since: datetime = t.NOW - timedelta(days=30), days: int = 365,
) -> x509.Certificate:  # fmt: skip
    """A certificate for a key; signed by itself without an issuer. `usage` is what the key is for, "" for not said."""
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    kinds = dict.fromkeys(
        ("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
         "key_cert_sign", "crl_sign", "encipher_only", "decipher_only"), False,
    )  # fmt: skip
    made = (
        x509.CertificateBuilder()
        .subject_name(called)
        .issuer_name(issuer[0].subject if issuer else called)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(since)
        .not_valid_after(since + timedelta(days=days))
        .add_extension(x509.BasicConstraints(ca=authority, path_length=path_length), critical=True)
    )
    said = "key_cert_sign" if authority else usage
    if said:
        made = made.add_extension(x509.KeyUsage(**{**kinds, said: True}), critical=True)
    by = issuer[1] if issuer else key
    return made.sign(by, None if isinstance(by, ed25519.Ed25519PrivateKey) else hashes.SHA256())


@cache
def chain(steps: int = 2) -> tuple[tuple[x509.Certificate, Any], ...]:
    """So many authorities over one another, the one that issues to people first."""
    found: list[tuple[x509.Certificate, Any]] = []
    for step in range(steps):
        key = key_of("P-384", f"authority {step}")
        above = found[0] if found else None
        found.insert(0, (certificate(f"Larkmere Authority {step}", key, above, authority=True, days=4000), key))
    return tuple(found)


@cache
def network() -> tuple[tuple[x509.Certificate, Any], ...]:
    """A health network that issues straight to everybody who works there, and to no authority below it."""
    key = key_of("P-384", "network")
    made = certificate("Larkmere Health Network", key, None, authority=True, path_length=0, days=4000)
    return ((made, key),)


def key_file_of(
    kind: str = "P-256", *, steps: int = 2, with_top: bool = True, words: str = WORDS, stray: bool = False,
    by_network: bool = False, name: str = "Rowan Vale", **more: Any,
) -> bytes:  # fmt: skip
    """A PKCS#12 file with a key, its certificate and the authorities above it; `stray` puts one in that is neither."""
    above = network() if by_network else chain(steps) if steps else ()
    key = key_of(kind, name)
    own = certificate(name, key, above[0] if above else None, **more)
    others = [one for one, _ in (above if with_top else above[:-1])]
    if stray:
        others.insert(0, certificate("Somebody else", key_of("P-256", "stray"), None))
    lock = BestAvailableEncryption(words.encode()) if words else NoEncryption()
    return pkcs12.serialize_key_and_certificates(b"mine", key, own, others, lock)
