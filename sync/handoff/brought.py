"""A seal of her own: the key and certificate an authority issued to the consultant, brought along as a PKCS#12 file.

The file is opened once and tried on an empty page; what is kept is its key and its chain, sealed by the store like the
practice's own seal. The passphrase is never kept.
"""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, pkcs12
from cryptography.x509.oid import PublicKeyAlgorithmOID

from forms.answers import Moment
from forms.trouble import Bug, Trouble
from storage.passphrases import normal
from sync.handoff.chain import chain_above
from sync.handoff.key_file import MOST_ROUNDS, opening_rounds
from sync.handoff.seals import BROUGHT, BROUGHT_EVER, Seal
from sync.handoff.sign import Record, sign_letter
from sync.handoff.tags import FIELD
from sync.handoff.verify import breaks

if TYPE_CHECKING:
    from storage.store import Store

__all__ = ["SealRefused", "bring_seal"]

_SHORTEST_RSA: Final = 2048  # bits; NIST SP 800-131A, M (from memory)
_Key = ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey


class SealRefused(Trouble):
    """The file cannot become a seal."""

    template = "{why} Nothing was changed."


def _must_be_pkcs12(data: bytes) -> None:
    rounds = opening_rounds(data)
    if rounds is None:
        raise SealRefused(why="This is no PKCS#12 file: choose the .p12 or .pfx that holds your key.")
    if rounds > MOST_ROUNDS:
        raise SealRefused(why="Opening this file would take too long: export it again with the usual settings.")


def _opened(data: bytes, passphrase: str) -> tuple[_Key, x509.Certificate, list[x509.Certificate]]:
    _must_be_pkcs12(data)
    # Other programs take what is typed as it is, so both forms are tried; no passphrase is told as none or as empty.
    typed = dict.fromkeys([passphrase.encode(), normal(passphrase).encode()]) if passphrase else (None, b"")
    for secret in typed:
        try:
            key, certificate, others = pkcs12.load_key_and_certificates(data, secret)
        except UnsupportedAlgorithm as old:
            raise SealRefused(
                why="The file is locked in an old way that is not opened here: export it anew with AES."
            ) from old
        except (ValueError, TypeError):
            continue
        if key is None or certificate is None:
            raise SealRefused(
                why="The file holds no key with its certificate: export it again together with the private key."
            )
        if not isinstance(key, _Key):
            raise SealRefused(why=_KIND)
        return key, certificate, list(others)
    raise SealRefused(why="This passphrase does not open the file: show it and type it again.")


_KIND: Final = "The key is of a kind that seals no paper: RSA from 2048 bits, P-256 and P-384 do."
_KNOWN_KEYS: Final = (PublicKeyAlgorithmOID.RSAES_PKCS1_v1_5, PublicKeyAlgorithmOID.EC_PUBLIC_KEY)


def _must_fit(key: _Key, certificate: x509.Certificate) -> None:
    """Raises SealRefused for a key that cannot or may not sign."""
    if certificate.public_key_algorithm_oid not in _KNOWN_KEYS:
        raise SealRefused(why=_KIND)
    if isinstance(key, rsa.RSAPrivateKey):
        if key.key_size < _SHORTEST_RSA:
            raise SealRefused(
                why=f"The RSA key has {key.key_size} bits and is too short to rely on: get one of 2048 bits or more."
            )
    elif not isinstance(key.curve, ec.SECP256R1 | ec.SECP384R1):
        raise SealRefused(why=_KIND)
    try:
        usage = certificate.extensions.get_extension_for_class(x509.KeyUsage).value
    except x509.ExtensionNotFound:
        return
    except ValueError as broken:
        raise SealRefused(why="The certificate cannot be read: ask whoever issued it for another.") from broken
    if not (usage.digital_signature or usage.content_commitment):
        raise SealRefused(
            why="This certificate is not for signing, as it says itself: ask for one with the usage digital signature."
        )


def _must_hold(chain: list[x509.Certificate], now: datetime) -> tuple[datetime, datetime]:
    """From when to when all of a chain holds; raises SealRefused where that is not now."""
    since = max(one.not_valid_before_utc for one in chain)
    until = min(one.not_valid_after_utc for one in chain)
    hers_holds = chain[0].not_valid_before_utc <= now <= chain[0].not_valid_after_utc
    whose = "A certificate above yours" if hers_holds else "Your certificate"
    if now > until:
        raise SealRefused(why=f"{whose} ended on {until:%Y-%m-%d}: renew it where it was issued, or choose another.")
    if now < since:
        raise SealRefused(why=f"{whose} holds only from {since:%Y-%m-%d} on: wait until then, or choose another.")
    return since, until


def _chain(certificate: x509.Certificate, others: list[x509.Certificate]) -> list[x509.Certificate]:
    """The certificate and those above it; raises SealRefused where not even its issuer is in the file."""
    from asn1crypto import x509 as asn1

    leaf, *rest = (asn1.Certificate.load(one.public_bytes(Encoding.DER)) for one in (certificate, *others))
    above = [x509.load_der_x509_certificate(one.dump()) for one in chain_above(leaf, rest)]
    if not above and leaf.self_signed == "no":
        raise SealRefused(
            why="The file does not hold the certificates above yours: export it again with the whole chain."
        )
    return [certificate, *above]


def bring_seal(store: Store, practitioner: str, data: bytes, passphrase: str, *, now: datetime) -> Seal:
    """Keeps the key and chain of a PKCS#12 file as this consultant's seal, in place of the practice's.

    Raises SealRefused, one sentence, for what is no such file, does not open, has no key, a key that cannot or may not
    sign, a certificate that does not hold now, or one with which an empty page could not be sealed and checked.
    """
    key, certificate, others = _opened(data, passphrase)
    _must_fit(key, certificate)
    try:
        chain = _chain(certificate, others)
    except breaks() as broken:
        raise SealRefused(why="The certificate cannot be read: ask whoever issued it for another.") from broken
    since, until = _must_hold(chain, now)
    p12 = pkcs12.serialize_key_and_certificates(b"seal", key, certificate, chain[1:], NoEncryption())
    seal = Seal(p12, certificate.public_bytes(Encoding.DER), since, until, brought=True)
    _try_out(seal, now)
    store.keep_secret(BROUGHT_EVER, _remembered(store.secret(BROUGHT_EVER), seal.root))
    store.keep_secret(BROUGHT.format(practitioner), p12)
    return seal


def _remembered(before: bytes | None, hers: bytes) -> bytes:
    pem = x509.load_der_x509_certificate(hers).public_bytes(Encoding.PEM)
    return before if before is not None and pem in before else (before or b"") + pem


def _try_out(seal: Seal, now: datetime) -> None:
    """Seals an empty page and checks it, since a certificate can be odd in ways no list foresees."""
    wrong: tuple[type[Exception], ...] = (Bug, *breaks())
    try:
        sign_letter(_empty_page(), seal, at=Moment(now, "UTC"), who="Trial", record=Record("a.txt", "text/plain", b"a"))
    except wrong as odd:
        raise SealRefused(
            why="A trial page sealed with this certificate fails its check: ask for one meant for signing papers."
        ) from odd


def _empty_page() -> bytes:
    import pikepdf
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.fields import SigFieldSpec, append_signature_field

    blank, out = BytesIO(), BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(blank, min_version="1.7")
    writer: Any = IncrementalPdfFileWriter(blank)
    append_signature_field(writer, SigFieldSpec(FIELD, on_page=0, box=(40, 40, 300, 90)))
    writer.write(out)
    return out.getvalue()
