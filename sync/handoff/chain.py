"""Which certificates stand above the one that sealed a paper, and which of them a receiver compares."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from sync.handoff.broken import breaks

__all__ = [
    "DOCUMENT_SIGNING", "LONGEST_PART", "chain_above", "compared", "is_practice_root", "issuer_among",
    "practice_root_name", "read_certificate", "tells_apart",
]  # fmt: skip

DOCUMENT_SIGNING: Final = "1.3.6.1.5.5.7.3.36"
"""What the certificates of a practice's consultants are for, RFC 9336."""
LONGEST_PART: Final = 64
"""Characters a part of an X.509 name may have."""


def read_certificate(der: bytes) -> Any | None:
    """A certificate (asn1crypto's) that is read to its last part by both readers in use; None for any other bytes.

    Both read most parts only when they are asked for. What breaks one of them there would break whatever asks later,
    with the genuine paper that is being told of.
    """
    from asn1crypto import x509
    from cryptography.x509 import load_der_x509_certificate

    try:
        found = x509.Certificate.load(der, strict=True)
        _ = found.native, found.max_path_length, _purposes(found), _signed_itself(found)
        held = load_der_x509_certificate(der)
        _ = held.extensions, held.subject, held.issuer, held.public_key()
    except breaks():
        return None
    return found


def issuer_among(leaf: Any, among: Iterable[Any]) -> Any | None:
    """The certificate that truly issued `leaf`: not one that only carries its issuer's name."""
    from cryptography.x509 import load_der_x509_certificate

    held = load_der_x509_certificate(leaf.dump())
    for found in among:
        try:
            held.verify_directly_issued_by(load_der_x509_certificate(found.dump()))
        except breaks():
            continue
        return found
    return None


def chain_above(leaf: Any, among: Iterable[Any]) -> tuple[Any, ...]:
    """The certificates (asn1crypto's) over `leaf`, nearest first; what does not belong to its chain is left out.

    It ends at one that signed itself, or where the next one is not among them.
    """
    left, found, at = list(among), [], leaf
    while not _signed_itself(at) and (above := issuer_among(at, left)) is not None:
        found.append(above)
        left = [one for one in left if one.dump() != above.dump()]
        at = above
    return tuple(found)


def compared(leaf: Any, among: Iterable[Any]) -> Any | None:
    """The certificate whose fingerprint tells whose seal it is; None where the file brings nothing to compare.

    For a practice that is its own authority it is the root, which stays while the seals under it are renewed. The
    root of any other authority, which may certify many, says nothing about one of them: there it is the seal's own.
    """
    above = chain_above(leaf, among)
    if above and tells_apart(above[0], leaf):
        return above[0]
    return leaf if above or _signed_itself(leaf) else None


def tells_apart(certificate: Any, leaf: Any) -> bool:
    """Whether knowing `certificate` is knowing who sealed with `leaf`: it is that very one, or its practice's root.

    Any other authority above it is not enough, even if somebody once compared it: it may stand above strangers too.
    One that cannot be read in every part tells nobody apart, and spoils no paper of another by that.
    """
    if certificate.dump() == leaf.dump():
        return True
    made = is_practice_root(certificate) and DOCUMENT_SIGNING in _purposes(leaf)
    return made and issuer_among(leaf, (certificate,)) is not None


def practice_root_name(practice: str) -> str:
    """The common name of a practice's root, by which it is told from the root of an authority that certifies many."""
    return f"{practice} root"[:LONGEST_PART]


def is_practice_root(certificate: Any) -> bool:
    """Whether a certificate (asn1crypto's) looks in every part as a practice's root is made here.

    An authority names its own root otherwise. One that cannot be read is none.
    """
    try:
        named = dict(certificate.subject.native)
        practice = named.get("organization_name")
        made_here = {"common_name": practice_root_name(str(practice)), "organization_name": practice}
        return named == made_here and certificate.max_path_length == 0 and _signed_itself(certificate)
    except breaks():
        return False


def _purposes(certificate: Any) -> tuple[str, ...]:
    return tuple(one.dotted for one in certificate.extended_key_usage_value or ())


def _signed_itself(certificate: Any) -> bool:
    return certificate.self_signed != "no" and issuer_among(certificate, (certificate,)) is not None
