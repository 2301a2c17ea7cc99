"""The practice's root certificate and the consultant's own, and how the root's private half leaves the store.

A practice root (authority, path length 0) signs one certificate for each consultant. Neither proves who somebody is:
they prove that a paper is unchanged and that the same practice sealed it as before. The curve is P-256, because
readers in use reject Ed25519 in a PDF.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat, pkcs12
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from forms.trouble import Bug, Trouble
from storage.passphrases import must_be_strong, normal
from sync.handoff.chain import DOCUMENT_SIGNING, LONGEST_PART, is_practice_root, practice_root_name
from sync.handoff.key_file import MOST_ROUNDS, opening_rounds
from sync.handoff.verify import Certificate, breaks, certificate_told, fingerprint

if TYPE_CHECKING:
    from storage.store import Store

__all__ = [
    "BROUGHT", "BROUGHT_EVER", "RENEWAL", "NoRoot", "NoSeal", "NoSealHere", "OwnSealEnded", "RootNotOpened",
    "RootNotSaved", "RootOfAnother", "Seal", "back_to_practice", "brought_ever", "certify", "ends_soon", "export_root",
    "kept_seal", "make_seals", "own_root", "root_fingerprint", "root_waits", "seal_of", "seal_told",
]  # fmt: skip

ROOT: Final = "practice-root"
ROOT_CERTIFICATE: Final = "practice-root-certificate"
BROUGHT: Final = "brought-seal-{}"
"""Where the key and certificates a consultant brought along are kept."""
BROUGHT_EVER: Final = "brought-certificates"
"""Each certificate of her own ever brought along (PEM), never an authority's above it, so that papers it sealed stay
known as the practice's own."""
# 20 years for the root, 2 for a consultant, common practice, no source; a paper stays checkable after both end.
_ROOT_DAYS: Final = 20 * 365
_SEAL_DAYS: Final = 2 * 365
RENEWAL: Final = timedelta(days=60)
"""How long before its end a seal is spoken of; a house rule: several visits fall into it even in a slow month."""
_CLOCKS_DIFFER: Final = timedelta(days=1)
_ROUNDS: Final = 600_000  # PBKDF2 with SHA-256 for the exported file; M (from memory)


class NoSeal(Trouble):
    """The certificate kept for this consultant has ended."""

    template = "{name} has no seal that holds today. Make one under Practice, Seals, then sign again."


class NoSealHere(NoSeal):
    """No certificate is kept for this consultant on this device."""

    template = "{name} has no seal on this device. Make one under Practice, Seals, then go on with the paper."


class OwnSealEnded(NoSeal):
    """The certificate she brought along does not hold at this time."""

    template = (
        "Your own certificate does not hold today: it is good from {since} to {until}. Under Practice, Seals, choose "
        "another or go back to the practice’s seal, then sign again."
    )


class NoRoot(Trouble):
    """The root's private half is not in the store any more, or was never made."""

    template = "The practice’s root key is not kept here. Open the file it was saved to."


class RootNotSaved(Trouble):
    """The root could not be written where she chose."""

    template = "The root key was not saved to {path}: {why}. Choose another place; it stays sealed in the store."


class RootNotOpened(Trouble):
    """A root file that is none, or a wrong passphrase."""

    template = "This file and passphrase do not open a practice root. Check both and try again; nothing was changed."


class RootOfAnother(RootNotOpened):
    """A root that opens and is none of this practice's."""

    template = (
        "This file holds the root of {whose}, which is not known here as this practice’s own. Choose the file that "
        "this practice’s root key was saved to; nothing was changed."
    )


@dataclass(frozen=True, slots=True)
class Seal:
    """What a consultant signs with.

    `p12` is her key with its certificate and those above it (PKCS#12, sealed by the store, no passphrase of its own).
    `root` is the certificate (DER) a receiver compares: the practice's root, or her very own where she brought one
    along. It holds from `not_before` to `not_after`, as long as every certificate in it does. `brought`: it is her own.
    """

    p12: bytes = field(repr=False)
    root: bytes
    not_before: datetime
    not_after: datetime
    brought: bool = False


def _name(common: str, practice: str) -> x509.Name:
    return x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, common[:LONGEST_PART]),
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, practice[:LONGEST_PART]),
        ]
    )


def _usage(*, signs_papers: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=signs_papers, content_commitment=signs_papers, key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=not signs_papers, crl_sign=not signs_papers,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _builder(subject: x509.Name, issuer: x509.Name, public: Any, now: datetime, days: int) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _CLOCKS_DIFFER)
        .not_valid_after(now + timedelta(days=days))
    )


def _root(practice: str, now: datetime) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name(practice_root_name(practice), practice)
    made = (
        _builder(name, name, key.public_key(), now, _ROOT_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_papers=False), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return key, made


def _consultant(
    root_key: ec.EllipticCurvePrivateKey, root: x509.Certificate, name: str, practice: str, now: datetime
) -> tuple[bytes, x509.Certificate]:
    key = ec.generate_private_key(ec.SECP256R1())
    usage = x509.ExtendedKeyUsage([x509.ObjectIdentifier(DOCUMENT_SIGNING), ExtendedKeyUsageOID.EMAIL_PROTECTION])
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(root_key.public_key())
    made = (
        _builder(_name(name, practice), root.subject, key.public_key(), now, _SEAL_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_papers=True), critical=True)
        .add_extension(usage, critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(issuer, critical=False)
        .sign(root_key, hashes.SHA256())
    )
    return pkcs12.serialize_key_and_certificates(b"seal", key, made, [root], NoEncryption()), made


def _kept(practitioner: str) -> str:
    return f"seal-{practitioner}"


def make_seals(store: Store, practitioner: str, *, practice: str, name: str, now: datetime) -> str:
    """At set-up: makes the practice's root and this consultant's certificate and keeps both sealed in the store.

    Returns the root's fingerprint. The root's private half waits there until `export_root` takes it out.
    """
    key, root = _root(practice, now)
    sealed, _ = _consultant(key, root, name, practice, now)
    store.keep_secret(ROOT, pkcs12.serialize_key_and_certificates(b"root", key, root, None, NoEncryption()))
    store.keep_secret(ROOT_CERTIFICATE, _der(root))
    store.keep_secret(_kept(practitioner), sealed)
    return fingerprint(_der(root))


def _der(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(Encoding.DER)


def _opened(p12: bytes, passphrase: bytes | None) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    rounds = opening_rounds(p12)
    if rounds is None or rounds > MOST_ROUNDS:
        raise RootNotOpened
    try:
        key, certificate, _ = pkcs12.load_key_and_certificates(p12, passphrase)
    except (ValueError, TypeError, UnsupportedAlgorithm) as wrong:
        raise RootNotOpened from wrong
    if not isinstance(key, ec.EllipticCurvePrivateKey) or certificate is None:
        raise RootNotOpened
    if _point(key) != _point(certificate):
        raise RootNotOpened
    return key, certificate


def _point(of: ec.EllipticCurvePrivateKey | x509.Certificate) -> bytes:
    return of.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)


def certify(
    store: Store, practitioner: str, *, practice: str, name: str, now: datetime,
    root: bytes | None = None, passphrase: str | None = None, allowed: Callable[[bytes], bool] | None = None,
) -> None:  # fmt: skip
    """Makes a new certificate for a consultant: for a second one, when the old one has ended, or on a second device.

    `root` and `passphrase` are the exported file; without them the root must still wait in the store. `allowed` says
    of a root certificate (DER) whether it may be used, by default that of this device alone. Another root takes the
    place of that one, whose private half then waits here no more. Raises NoRoot, RootNotOpened for a wrong file or
    passphrase, and RootOfAnother; then nothing has changed.
    """
    p12 = root if root is not None else store.secret(ROOT)
    if p12 is None:
        raise NoRoot
    key, certificate = _opened(p12, normal(passphrase).encode() if passphrase else None)
    der, before = _der(certificate), store.secret(ROOT_CERTIFICATE)
    if not (allowed(der) if allowed is not None else der == before):
        raise _of_another(der)
    sealed, _ = _consultant(key, certificate, name, practice, now)
    store.keep_secret(_kept(practitioner), sealed)
    if der != before:
        store.keep_secret(ROOT_CERTIFICATE, der)
        store.drop_secret(ROOT)


def _of_another(der: bytes) -> RootNotOpened:
    from asn1crypto import x509 as asn1

    try:
        held = asn1.Certificate.load(der)
        return RootOfAnother(whose=certificate_told(held).subject) if is_practice_root(held) else RootNotOpened()
    except breaks():
        return RootNotOpened()


def root_waits(store: Store) -> bool:
    """Whether the root's private half is still in the store, so that the reminder to take it out stays."""
    return store.secret(ROOT) is not None


def own_root(store: Store) -> bytes | None:
    """The practice's root certificate (DER), or None before set-up."""
    return store.secret(ROOT_CERTIFICATE)


def root_fingerprint(store: Store) -> str | None:
    """The fingerprint the practice gives by phone, or None before set-up."""
    kept = own_root(store)
    return fingerprint(kept) if kept is not None else None


def export_root(store: Store, path: Path, passphrase: str) -> None:
    """Writes the root as a .p12 under a passphrase to the place she picked, reads it back, and drops it from the store.

    Raises NoRoot when it has left already, and RootNotSaved (nothing dropped) when the file cannot be written, is
    there already, or does not read back, and PassphraseRefused for a weak passphrase.
    """
    kept = store.secret(ROOT)
    if kept is None:
        raise NoRoot
    key, certificate = _opened(kept, None)
    protected = pkcs12.serialize_key_and_certificates(b"practice root", key, certificate, None, _protection(passphrase))
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(protected)
            file.flush()
            os.fsync(file.fileno())
        whole = path.read_bytes() == protected
    except FileExistsError as there:
        raise RootNotSaved(path=path, why="a file of that name is there already") from there
    except OSError as fault:
        raise RootNotSaved(path=path, why=fault.strerror or "the place cannot be written") from fault
    if not whole:
        raise RootNotSaved(path=path, why="what was read back differs")
    store.drop_secret(ROOT)


def _protection(passphrase: str) -> Any:
    must_be_strong(passphrase)
    return (
        PrivateFormat.PKCS12.encryption_builder()
        .kdf_rounds(_ROUNDS)
        .key_cert_algorithm(pkcs12.PBES.PBESv2SHA256AndAES256CBC)
        .hmac_hash(hashes.SHA256())
        .build(normal(passphrase).encode())
    )


def kept_seal(store: Store, practitioner: str) -> Seal | None:
    """What this consultant seals with, whether or not it holds today: her own certificate before the practice's."""
    brought = store.secret(BROUGHT.format(practitioner))
    p12 = brought or store.secret(_kept(practitioner))
    if p12 is None:
        return None
    _, certificate, above = pkcs12.load_key_and_certificates(p12, None)
    if certificate is None or (brought is None and not above):
        return None
    chain = (certificate, *above)
    since = max(one.not_valid_before_utc for one in chain)
    until = min(one.not_valid_after_utc for one in chain)
    if brought is None:
        return Seal(p12, _der(above[-1]), since, until)
    return Seal(p12, _der(certificate), since, until, brought=True)


def ends_soon(store: Store, practitioner: str, now: datetime) -> Seal | None:
    """The seal in force if it ends within `RENEWAL` or has ended; None while there is time, and where there is none."""
    seal = kept_seal(store, practitioner)
    return seal if seal is not None and seal.not_after - now <= RENEWAL else None


def seal_told(seal: Seal) -> Certificate:
    """Whom the certificate of a seal names, who issued it, and when it holds."""
    from asn1crypto import x509 as asn1

    _, certificate, _ = pkcs12.load_key_and_certificates(seal.p12, None)
    if certificate is None:
        raise Bug("a kept seal cannot be opened")
    return certificate_told(asn1.Certificate.load(_der(certificate)))


def seal_of(store: Store, practitioner: str, *, name: str, now: datetime) -> Seal:
    """The consultant's seal; raises NoSealHere when there is none, NoSeal or OwnSealEnded when it has ended."""
    seal = kept_seal(store, practitioner)
    if seal is None:
        raise NoSealHere(name=name)
    if not seal.not_before <= now <= seal.not_after:
        if seal.brought:
            raise OwnSealEnded(since=f"{seal.not_before:%Y-%m-%d}", until=f"{seal.not_after:%Y-%m-%d}")
        raise NoSeal(name=name)
    return seal


def brought_ever(store: Store) -> tuple[bytes, ...]:
    """Every certificate (DER) that a consultant ever brought along on this device."""
    kept = store.secret(BROUGHT_EVER)
    return tuple(_der(one) for one in x509.load_pem_x509_certificates(kept)) if kept else ()


def back_to_practice(store: Store, practitioner: str) -> None:
    """Forgets the key she brought along, so that papers carry the practice's seal again; her old papers stay known."""
    store.drop_secret(BROUGHT.format(practitioner))
