"""A time stamp (RFC 3161) inside a seal: that the seal existed at a time, as somebody other than its maker says.

The seal says beforehand that it will carry one (`WITH_STAMP`), so that none can be taken out or put in afterwards.
A stamp lies where no signature of the paper reaches, and much of it is not covered by its own maker's either. So it is
put in, and accepted, in one form alone (`tidied`): each part is what its maker signed, or follows from that, or is a
certificate that is held by its hash or by a chain up to one that signed itself. A change of any byte is then found.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sync.handoff.chain import chain_above, issuer_among
from sync.handoff.der import CONTEXT_0, CONTEXT_1, OCTETS, SEQUENCE, SET, V1, V3, inside, one_inside, parts, put, signed

__all__ = ["LARGEST_STAMP", "WITH_STAMP", "Stamped", "judged", "taken_from", "tidied"]

WITH_STAMP: Final = "Written and sealed by the consultant named, with a time stamp"
"""Why a paper was sealed, as the seal itself tells it, where a stamp belongs to it."""
LARGEST_STAMP: Final = 8_000
"""Bytes of a stamp: room for three long certificates; house bound, no source. Papers that get one keep this free."""
_HASHES: Final = frozenset({"sha256", "sha384", "sha512"})
_TIMED: Final = bytes.fromhex("060b2a864886f70d0109100104")  # RFC 3161: that of what a stamp says
_STAMP: Final = bytes.fromhex("060b2a864886f70d010910020e")  # RFC 3161: the attribute of a signature that holds one


@dataclass(frozen=True, slots=True)
class Stamped:
    """When a stamp was made, by its maker's clock, the maker's certificate (asn1crypto's), the number it answers."""

    at: datetime
    maker: Any
    nonce: int | None


def taken_from(seal: bytes) -> tuple[bytes, bytes | None]:
    """A signature (DER) without its stamp, and the stamp; the same signature and None where it carries nothing more.

    Raises ValueError for what is no signature written as DER, and for anything but one stamp in that place.
    """
    kind, tagged = parts(inside(seal, SEQUENCE))
    *before, signers = parts(inside(one_inside(tagged, CONTEXT_0), SEQUENCE))
    *sure, last = parts(inside(one_inside(signers, SET), SEQUENCE))
    if last[0] != CONTEXT_1:
        return seal, None
    attribute, values = parts(inside(one_inside(last, CONTEXT_1), SEQUENCE))
    if attribute != _STAMP:
        raise ValueError("something other than a time stamp")
    bare = put(SEQUENCE, *before, put(SET, put(SEQUENCE, *sure)))
    return put(SEQUENCE, kind, put(CONTEXT_0, bare)), one_inside(values, SET)


def _signer(whole: Any, info: Any) -> tuple[Any, list[Any]]:
    """The certificate of a stamp's maker, and the others beside it."""
    found = [part.chosen for part in whole["certificates"] if part.name == "certificate"]
    sid = info["sid"]
    if sid.name == "issuer_and_serial_number":
        named = (sid.chosen["issuer"].dump(), sid.chosen["serial_number"].native)
        mine = [one for one in found if (one.issuer.dump(), one.serial_number) == named]
    else:
        mine = [one for one in found if one.key_identifier == sid.chosen.native]
    leaf = mine[0]
    return leaf, [one for one in found if one.dump() != leaf.dump()]


def _attribute(info: Any, kind: str) -> Any | None:
    """The value of a signed attribute; None if it is not there. Raises ValueError where there are several."""
    values = [value for one in info["signed_attrs"] if one["type"].native == kind for value in one["values"]]
    if len(values) > 1:
        raise ValueError("an attribute that stands twice")
    return values[0] if values else None


def _named(info: Any) -> list[tuple[str, bytes]]:
    """The certificates that a stamp's maker signed for, each by the name of a hash and that hash; the maker's first."""
    newer, older = _attribute(info, "signing_certificate_v2"), _attribute(info, "signing_certificate")
    if newer is not None:
        return [(one["hash_algorithm"]["algorithm"].native, one["cert_hash"].native) for one in newer["certs"]]
    return [("sha1", one["cert_hash"].native) for one in older["certs"]] if older is not None else []


def _is_among(certificate: Any, named: list[tuple[str, bytes]]) -> bool:
    known = {*_HASHES, "sha1"}  # RFC 2634 names certificates by SHA-1; nobody can make another one fit such a hash
    return any(way in known and hashlib.new(way, certificate.dump()).digest() == made for way, made in named)


def _held(leaf: Any, others: list[Any], named: list[tuple[str, bytes]]) -> list[Any]:
    """The maker's certificate and those above it, if their bytes are held; without these only the maker's own."""
    above = chain_above(leaf, others)
    if above and issuer_among(above[-1], above[-1:]) is not None:  # one that signed itself holds its own bytes
        return [leaf, *above]
    return [leaf, *(one for one in above if _is_among(one, named))]


def _algorithms(info: Any, leaf: Any) -> tuple[bytes, bytes]:
    """How a stamp's maker hashed and signed, each written in the one way that is taken here."""
    from asn1crypto import algos

    digest, way = info["digest_algorithm"]["algorithm"].native, info["signature_algorithm"]
    rsa = leaf.public_key.algorithm == "rsa"
    if digest not in _HASHES or way.signature_algo != ("rsassa_pkcs1v15" if rsa else "ecdsa"):
        raise ValueError("hashed or signed in a way that is not taken here")
    protected = _attribute(info, "cms_algorithm_protection")
    usual = "rsassa_pkcs1v15" if rsa else f"{digest}_ecdsa"
    name = protected["signature_algorithm"]["algorithm"].native if protected is not None else usual
    return algos.DigestAlgorithm({"algorithm": digest}).dump(), algos.SignedDigestAlgorithm({"algorithm": name}).dump()


def tidied(stamp: bytes) -> bytes:
    """The same stamp in the one form that is taken here: nothing in it that nobody signed for.

    Raises ValueError and other errors of parsers for what is no stamp, or one made in a way that is not taken.
    """
    from asn1crypto import cms

    if len(stamp) > 4 * LARGEST_STAMP:
        raise ValueError("more than a stamp")
    content = cms.ContentInfo.load(stamp, strict=True)
    found = content["content"]
    (info,) = found["signer_infos"]
    leaf, others = _signer(found, info)
    said = found["encap_content_info"]
    if content["content_type"].native != "signed_data" or said["content_type"].native != "tst_info":
        raise ValueError("a signature of something else")
    digest, way = _algorithms(info, leaf)
    chain = sorted(one.dump() for one in _held(leaf, others, _named(info)))
    serial = leaf["tbs_certificate"]["serial_number"].dump()
    maker = put(
        SEQUENCE, V1, put(SEQUENCE, leaf.issuer.dump(), serial), digest,
        put(CONTEXT_0, info["signed_attrs"].contents), way, put(OCTETS, info["signature"].native),
    )  # fmt: skip
    words = put(SEQUENCE, _TIMED, put(CONTEXT_0, put(OCTETS, bytes(said["content"]))))
    whole = put(SEQUENCE, V3, put(SET, digest), words, put(CONTEXT_0, *chain), put(SET, maker))
    return signed(whole)


def judged(stamp: bytes, hashed: Callable[[str], bytes]) -> Stamped:
    """What a stamp says, once it holds. `hashed` gives the hash of what it has to be over, by the name of a hash.

    Raises ValueError where it does not hold, and other errors of parsers for what is no stamp: it is not in the form
    that is taken, is over something else, was changed, or its maker's certificate is not for stamps or did not hold.
    """
    from asn1crypto import cms, tsp
    from pyhanko.sign.validation.generic_cms import validate_sig_integrity

    if len(stamp) > LARGEST_STAMP or tidied(stamp) != stamp:
        raise ValueError("not in the form that is taken")
    found = cms.ContentInfo.load(stamp)["content"]
    (info,) = found["signer_infos"]
    leaf, _ = _signer(found, info)
    words = bytes(found["encap_content_info"]["content"])
    told = tsp.TSTInfo.load(words, strict=True)
    way, at = told["message_imprint"]["hash_algorithm"]["algorithm"].native, told["gen_time"].native
    if way not in _HASHES or told["message_imprint"]["hashed_message"].native != hashed(way):
        raise ValueError("over something else")
    digest = hashlib.new(info["digest_algorithm"]["algorithm"].native, words).digest()
    if validate_sig_integrity(info, leaf, "tst_info", digest) != (True, True):
        raise ValueError("changed since it was made")
    purposes, held = leaf.extended_key_usage_value, leaf["tbs_certificate"]["validity"]
    if not _is_among(leaf, _named(info)[:1]) or purposes is None or purposes.native != ["time_stamping"]:
        raise ValueError("by a certificate that is not for stamps")
    if not held["not_before"].native <= at <= held["not_after"].native:
        raise ValueError("by a certificate that did not hold")
    return Stamped(at, leaf, told["nonce"].native)
