"""The bytes that hold a seal: the one stretch of a sealed file that the signature itself does not cover.

A signature covers everything but its own container, and readers ignore much of what a container may hold: padding,
the case of a hex digit, a certificate nobody needs. Here nothing in it may be other than it must be, so that a change
of any byte of a paper is found.
"""

from __future__ import annotations

import hashlib
import re
from typing import Any, Final

from sync.handoff.chain import chain_above, issuer_among

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


def _named_with_the_seal(info: Any) -> list[bytes]:
    """The SHA-256 of each certificate that the signature itself names, the signer's first."""
    for attribute in info["signed_attrs"]:
        if attribute["type"].native == "signing_certificate_v2":
            return [one["cert_hash"].native for one in attribute["values"][0]["certs"]]
    return []


def _exact_chain(certificates: Any, leaf: Any, named: list[bytes]) -> bool:
    """Whether the certificates are the signer's and the chain above it, each once and each as it was made.

    A signature that names them all holds every byte of them. One that names only its own certificate has at most one
    more beside it, which signed itself and so holds its own bytes.
    """
    own = leaf.dump()
    others = [part.chosen for part in certificates if part.chosen.dump() != own]
    above = chain_above(leaf, others)
    if len(certificates) != len(others) + 1 or len(above) != len(others):
        return False
    if len(named) > 1:
        return [hashlib.sha256(one.dump()).digest() for one in (leaf, *above)] == named
    return len(above) <= 1 and all(issuer_among(root, (root,)) is not None for root in above)


def _only_what_is_needed(signed_data: Any, leaf: Any) -> bool:
    """Whether each part that no signature covers is the one value it can have beside what is signed."""
    info = signed_data["signer_infos"][0]
    named = info["sid"].chosen.native
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
        and _exact_chain(signed_data["certificates"], leaf, _named_with_the_seal(info))
    )


def _has_something_added(signed_data: Any) -> bool:
    """Whether a signature carries what it does not cover, such as a time stamp."""
    return any(info["unsigned_attrs"].native is not None for info in signed_data["signer_infos"])


def is_exact(signature: Any, data: bytes) -> bool:
    """Whether the container of a signature in `data` holds that signature and nothing else, written in the one way.

    A signature with a time stamp, a certificate that is not of its chain or another encoding is not exact.
    """
    from asn1crypto import cms

    stretch = _stretch(signature, data)
    if stretch is None or not _HEX.fullmatch(stretch):
        return False
    der = _bare_der(stretch)
    if der is None:
        return False
    content = cms.ContentInfo.load(der, strict=True)
    if content["content_type"].native != "signed_data" or _has_something_added(content["content"]):
        return False  # before it is written anew, which takes minutes for what is nested as deep as a time stamp
    if content.copy().dump(force=True) != der:
        return False
    return _only_what_is_needed(content["content"], signature.signer_cert)
