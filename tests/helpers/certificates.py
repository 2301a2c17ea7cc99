"""A certificate that vouches for itself, as a small server at home shows one."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import NameOID

__all__ = ["Certificate"]


@dataclass(frozen=True)
class Certificate:
    """PEM bytes: the certificate alone, and with its key for the server."""

    public: bytes
    both: bytes

    @classmethod
    def made(cls, address: str) -> Certificate:
        """One for an IP address, good for a day."""
        key = generate_private_key(SECP256R1())
        name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, address)])
        now = datetime.now(UTC)
        made = (
            x509.CertificateBuilder()
            .subject_name(name)
            .issuer_name(name)
            .public_key(key.public_key())
            .serial_number(x509.random_serial_number())
            .not_valid_before(now - timedelta(hours=1))
            .not_valid_after(now + timedelta(days=1))
            .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(address))]), critical=False)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .sign(key, SHA256())
        )
        public = made.public_bytes(Encoding.PEM)
        private = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        return cls(public, public + private)
