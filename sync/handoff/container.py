"""The bytes that hold a seal: the one stretch of a sealed file that the signature itself does not cover.

A signature covers everything but its own container, and readers ignore much of what a container may hold: padding,
the case of a hex digit, a certificate nobody needs. Here nothing in it may be other than it must be, so that a change
of any byte of a paper is found.
"""

from __future__ import annotations

import re
from typing import Any, Final

__all__ = ["is_exact"]

_HEX: Final = re.compile(rb"<(?:[0-9A-F]+|[0-9a-f]+)>")


def _stretch(signature: Any, data: bytes) -> bytes | None:
    """The container's characters, between the two parts that are signed; None when the parts leave more room."""
    first, length, second, rest = (int(number) for number in signature.byte_range)
    if first != 0 or second + rest != len(data) or not length < second:
        return None
    return data[length:second]


def _bare_der(stretch: bytes) -> bytes | None:
    """The DER object in the container if nothing but zeros follows it."""
    digits = stretch[1:-1].decode("ascii")
    if len(digits) % 2:
        return None
    packed = bytes.fromhex(digits)
    if packed[:1] != b"\x30" or len(packed) < 4 or packed[1] & 0x80 == 0 or packed[1] & 0x7F > 3:
        return None
    head = 2 + (packed[1] & 0x7F)
    end = head + int.from_bytes(packed[2:head], "big")
    return packed[:end] if end <= len(packed) and not any(packed[end:]) else None


def _self_signed_holds(certificate: Any) -> bool:
    """Whether a certificate that names itself as issuer carries its own valid signature."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.x509 import load_der_x509_certificate

    try:
        loaded = load_der_x509_certificate(certificate.dump())
        loaded.verify_directly_issued_by(loaded)
    except (InvalidSignature, ValueError, TypeError):
        return False
    return True


def _only_what_is_needed(signed_data: Any, leaf: Any) -> bool:
    """Whether each part that no signature covers is the one value it can have beside what is signed."""
    info = signed_data["signer_infos"][0]
    named = info["sid"].chosen.native
    roots = [part.chosen for part in signed_data["certificates"] if part.chosen.dump() != leaf.dump()]
    return (
        len(signed_data["signer_infos"]) == 1
        and signed_data["version"].native == "v1"
        and info["version"].native == "v1"
        and [a.dump() for a in signed_data["digest_algorithms"]] == [info["digest_algorithm"].dump()]
        and signed_data["encap_content_info"]["content_type"].native == "data"
        and signed_data["encap_content_info"]["content"].native is None
        and signed_data["crls"].native is None
        and info["unsigned_attrs"].native is None
        and info["sid"].name == "issuer_and_serial_number"
        and named["serial_number"] == leaf.serial_number
        and info["sid"].chosen["issuer"].dump() == leaf.issuer.dump()
        and len(roots) <= 1
        and all(root.subject.dump() == leaf.issuer.dump() and _self_signed_holds(root) for root in roots)
    )


def is_exact(signature: Any, data: bytes) -> bool:
    """Whether the container of a signature in `data` holds that signature and nothing else, written in the one way.

    A signature with a time stamp, a chain of more than two certificates or another encoding is not exact.
    """
    from asn1crypto import cms

    stretch = _stretch(signature, data)
    if stretch is None or not _HEX.fullmatch(stretch):
        return False
    der = _bare_der(stretch)
    if der is None:
        return False
    content = cms.ContentInfo.load(der, strict=True)
    if content["content_type"].native != "signed_data" or content.copy().dump(force=True) != der:
        return False
    return _only_what_is_needed(content["content"], signature.signer_cert)
