"""Certificates that no program made for its own use: each is made to break whoever reads it."""

from __future__ import annotations

from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import ExtensionOID, NameOID

from sync.handoff.chain import practice_root_name
from tests.helpers import thornbury as t

__all__ = ["of_no_version", "root_made", "unreadable_constraints"]


def root_made(practice: str, *, since: datetime = t.NOW, constraints: bytes | None = None) -> bytes:
    """A root (DER) with the names of a practice's; `constraints` are the bytes of its basic constraints."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([
        x509.NameAttribute(NameOID.COMMON_NAME, practice_root_name(practice)),
        x509.NameAttribute(NameOID.ORGANIZATION_NAME, practice),
    ])  # fmt: skip
    limits: x509.ExtensionType = x509.BasicConstraints(ca=True, path_length=0)
    if constraints is not None:
        limits = x509.UnrecognizedExtension(ExtensionOID.BASIC_CONSTRAINTS, constraints)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(since)
        .not_valid_after(since + timedelta(days=4000))
        .add_extension(limits, critical=True)
    )
    return made.sign(key, hashes.SHA256()).public_bytes(Encoding.DER)


def of_no_version() -> bytes:
    """A root whose version byte names a version that there is not."""
    made = root_made("Elsewhere Visits")
    assert made.count(b"\xa0\x03\x02\x01\x02") == 1
    return made.replace(b"\xa0\x03\x02\x01\x02", b"\xa0\x03\x02\x01\x09")


def unreadable_constraints() -> bytes:
    """A root that signed itself, with a practice's names and basic constraints that are none."""
    return root_made("Elsewhere Visits", constraints=b"no constraints")
