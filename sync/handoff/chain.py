"""Which certificates stand above the one that sealed a paper, and which of them a receiver compares."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

__all__ = ["chain_above", "compared", "issuer_among"]


def issuer_among(leaf: Any, among: Iterable[Any]) -> Any | None:
    """The certificate that truly issued `leaf`: not one that only carries its issuer's name."""
    from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
    from cryptography.x509 import load_der_x509_certificate

    held = load_der_x509_certificate(leaf.dump())
    for found in among:
        try:
            held.verify_directly_issued_by(load_der_x509_certificate(found.dump()))
        except (InvalidSignature, UnsupportedAlgorithm, ValueError, TypeError):
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
    root of an authority that certifies many says nothing about one of them, so there it is the seal's own certificate.
    """
    above = chain_above(leaf, among)
    if len(above) == 1 and _signed_itself(above[0]) and above[0].max_path_length == 0:
        return above[0]
    return leaf if above or _signed_itself(leaf) else None


def _signed_itself(certificate: Any) -> bool:
    return certificate.self_signed != "no" and issuer_among(certificate, (certificate,)) is not None
