"""The bytes that hold a seal: the one stretch of a sealed file that the signature itself does not cover.

A signature covers everything but its own container, and readers ignore much of what a container may hold: padding,
the case of a hex digit, a certificate nobody needs. Here nothing in it may be other than it must be, so that a change
of any byte of a paper is found. A time stamp is taken out first and judged by itself.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import Any, Final

from sync.handoff.chain import chain_above, issuer_among
from sync.handoff.der import CONTEXT_0, OCTETS, SEQUENCE, SET, V1, put, signed
from sync.handoff.stamp import taken_from

__all__ = ["Container", "contained", "is_exact"]

_DATA: Final = bytes.fromhex("06092a864886f70d010701")  # RFC 5652: the content type of what is signed apart
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


@dataclass(frozen=True, slots=True)
class Container:
    """What a container holds: the seal (DER) without its time stamp, and the stamp, None where there is none."""

    seal: bytes
    stamp: bytes | None


def contained(signature: Any, data: bytes) -> Container | None:
    """What the container of a signature in `data` holds; None unless that is written in the one way.

    Where there is a stamp, the signature is read anew without it: no parser of the library's ever sees a stamp.
    """
    from asn1crypto import cms

    stretch = _stretch(signature, data)
    if stretch is None or not _HEX.fullmatch(stretch):
        return None
    der = _bare_der(stretch)
    try:
        seal, stamp = taken_from(der) if der is not None else (b"", None)
    except ValueError:
        return None
    if stamp is not None:
        signature.signed_data = cms.ContentInfo.load(seal, strict=True)["content"]
        (signature.signer_info,) = signature.signed_data["signer_infos"]
    return Container(seal, stamp) if der is not None else None


def is_exact(seal: bytes, leaf: Any) -> bool:
    """Whether a seal (DER) by a certificate holds that signature and nothing else, written in the one way.

    A certificate that is not of its chain or another encoding is not exact.
    """
    from asn1crypto import cms

    content = cms.ContentInfo.load(seal, strict=True)
    if content["content_type"].native != "signed_data" or _written(content["content"]) != seal:
        return False
    return _only_what_is_needed(content["content"], leaf)


def _written(signed_data: Any) -> bytes:
    """A signature written anew, its parts as they are.

    The library's own way goes into each part again and again, which takes minutes where one is nested as deep as a
    time stamp.
    """
    info = signed_data["signer_infos"][0]
    digest, named = info["digest_algorithm"].dump(), info["sid"].chosen
    certificates = sorted(part.chosen.dump() for part in signed_data["certificates"])
    signer = put(
        SEQUENCE, V1, put(SEQUENCE, named["issuer"].dump(), named["serial_number"].dump()), digest,
        put(CONTEXT_0, info["signed_attrs"].contents), info["signature_algorithm"].dump(),
        put(OCTETS, info["signature"].native),
    )  # fmt: skip
    whole = put(
        SEQUENCE, V1, put(SET, digest), put(SEQUENCE, _DATA), put(CONTEXT_0, *certificates), put(SET, signer)
    )  # fmt: skip
    return signed(whole)
