"""Any change to a stamped paper is found, the stamp's own bytes and its coming and going among them."""

from __future__ import annotations

import hashlib
import random
import re
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from asn1crypto import cms, tsp
from cryptography.hazmat.primitives.asymmetric.padding import PKCS1v15
from cryptography.hazmat.primitives.hashes import SHA256
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import SimpleSigner
from pyhanko.sign.attributes import CMSAttributeProvider
from pyhanko.sign.signers.pdf_signer import PdfSignatureMetadata, PdfSigner
from pyhanko.sign.timestamps import DummyTimeStamper

from sync.handoff.der import CONTEXT_0, CONTEXT_1, OCTETS, SEQUENCE, SET, inside, one_inside, parts, put
from sync.handoff.seals import Seal
from sync.handoff.stamp import WITH_STAMP, judged, taken_from, tidied
from sync.handoff.stamping import Stamping
from sync.handoff.tags import FIELD
from sync.handoff.verify import State, breaks, verify
from tests.helpers.authorities import key_file_of
from tests.helpers.stamping import Authority, serving
from tests.sync.conftest import Read
from tests.sync.test_sealed import BOTH, TAMPERS, UNCHANGED, _flip
from tests.sync.test_stamping import Seals, authority, seal_in, seals, stamped

__all__ = ["authority", "seals", "stamped"]

GONE = "The time stamp it was sealed with is not inside any more."
OTHER = "The time stamp inside it does not hold over this seal."
ADDED = "A time stamp was put inside after it was sealed."
NOT_AS_MADE = "The seal itself is not written as it was made."

_OF_CERTIFICATE = bytes.fromhex("060b2a864886f70d010910022f")  # RFC 5035: which certificate somebody signed with
_OF_SIGNATURE = bytes.fromhex("060b2a864886f70d010910020e")


def with_seal(paper: bytes, seal: bytes) -> bytes:
    """The paper with another seal in its container, zeros behind it."""
    found = re.search(rb"<(308[0-9A-F]+)>", paper)
    assert found is not None
    digits = seal.hex().upper().encode().ljust(len(found.group(1)), b"0")
    assert len(digits) == len(found.group(1))
    return paper[: found.start(1)] + digits + paper[found.end(1) :]


def with_unsigned(seal: bytes, *attributes: bytes) -> bytes:
    """A signature (DER) without a stamp, with these attributes that nobody signed."""
    kind, tagged = parts(inside(seal, SEQUENCE))
    *before, signers = parts(inside(one_inside(tagged, CONTEXT_0), SEQUENCE))
    signed = inside(one_inside(signers, SET), SEQUENCE)
    signer = put(SEQUENCE, signed, put(CONTEXT_1, *attributes))
    return put(SEQUENCE, kind, put(CONTEXT_0, put(SEQUENCE, *before, put(SET, signer))))


def attribute(*stamps: bytes) -> bytes:
    return put(SEQUENCE, _OF_SIGNATURE, put(SET, *stamps))


def split(paper: bytes) -> tuple[bytes, bytes]:
    seal, stamp = taken_from(seal_in(paper))
    assert stamp is not None
    return seal, stamp


def problems(paper: bytes, seal: Seal) -> tuple[str, ...]:
    verdict = verify(paper, roots=(seal.root,))
    assert not verdict.good
    assert verdict.stamp is None
    assert verdict.state is State.CHANGED
    return verdict.problems


@pytest.mark.parametrize("tamper", TAMPERS)
def test_each_tamper_of_a_stamped_paper_is_refused_here_and_passes_no_strangers_reader(
    tamper: Callable[[bytes], bytes], stamped: bytes, seal: Seal, read: Read
) -> None:
    changed = tamper(stamped)
    verdict = verify(changed, roots=(seal.root,))
    assert not verdict.good
    assert verdict.stamp is None
    assert verdict.words().startswith("Do not rely on this file.")
    assert not all(sentence in read(changed, "pdfsig") for sentence in BOTH)
    assert UNCHANGED not in read(changed, "mutool", "sign", "-v", "FILE")


@pytest.mark.filterwarnings("ignore:Parsed a serial number")
def test_a_bit_flipped_anywhere_in_a_stamped_paper_is_found(stamped: bytes, seal: Seal) -> None:
    begin = stamped.index(b"<308")
    of_seal = 2 * len(seal_in(stamped))
    everywhere = range(3, len(stamped), len(stamped) // 29)
    within = range(begin, begin + of_seal + 40, 211)
    beyond = range(begin + of_seal, stamped.index(b">", begin), 3001)
    for at in (*everywhere, *within, *beyond):
        assert not verify(_flip(stamped, at), roots=(seal.root,)).good, at


@pytest.mark.filterwarnings("ignore:Parsed a serial number")
def test_no_byte_of_a_stamp_can_be_another(stamped: bytes) -> None:
    """Each byte of a stamp, changed in one bit and to any value: never the same stamp, and never another that holds."""
    _, stamp = split(stamped)
    over = cms.ContentInfo.load(stamp)["content"]["encap_content_info"]["content"].parsed["message_imprint"]
    digest = over["hashed_message"].native
    judged(stamp, lambda _way: digest)
    dice = random.Random(3161)
    for at, byte in enumerate(stamp):
        for other in {byte ^ 1 << dice.randrange(8), dice.randrange(256)} - {byte}:
            changed = stamp[:at] + bytes((other,)) + stamp[at + 1 :]
            with pytest.raises(breaks()):
                judged(changed, lambda _way: digest)


def signed_anew(stamp: bytes, authority: Authority, *, without: bytes) -> bytes:
    """A stamp whose maker signed for all but what has these bytes in it."""
    kind, tagged = parts(inside(stamp, SEQUENCE))
    *before, signers = parts(inside(one_inside(tagged, CONTEXT_0), SEQUENCE))
    *first, signed, way, _ = parts(inside(one_inside(signers, SET), SEQUENCE))
    kept = b"".join(one for one in parts(inside(signed, CONTEXT_0)) if without not in one)
    made = put(OCTETS, authority.key.sign(put(SET, kept), PKCS1v15(), SHA256()))
    signer = put(SEQUENCE, *first, put(CONTEXT_0, kept), way, made)
    return put(SEQUENCE, kind, put(CONTEXT_0, put(SEQUENCE, *before, put(SET, signer))))


def test_a_stamp_whose_maker_did_not_sign_for_its_own_certificate_is_not_taken(
    stamped: bytes, authority: Authority
) -> None:
    """Nothing would hold each byte of that certificate then."""
    _, stamp = split(stamped)
    over = cms.ContentInfo.load(stamp)["content"]["encap_content_info"]["content"].parsed["message_imprint"]
    digest = over["hashed_message"].native
    assert signed_anew(stamp, authority, without=b"nothing has this in it") == stamp
    changed = signed_anew(stamp, authority, without=_OF_CERTIFICATE)
    assert tidied(changed) == changed != stamp
    with pytest.raises(ValueError, match="not for stamps"):
        judged(changed, lambda _way: digest)


def test_a_stamp_taken_out_is_missed(stamped: bytes, seal: Seal) -> None:
    bare, stamp = split(stamped)
    assert with_seal(stamped, with_unsigned(bare, attribute(stamp))) == stamped
    assert problems(with_seal(stamped, bare), seal) == (GONE,)


def test_the_stamp_of_another_paper_does_not_hold(
    stamped: bytes, seals: Seals, seal: Seal, authority: Authority
) -> None:
    with serving(authority.stamp) as service:
        _, other = split(seals(Stamping(service.address)))
    assert problems(with_seal(stamped, with_unsigned(split(stamped)[0], attribute(other))), seal) == (OTHER,)


def _odd(stamped: bytes) -> Iterator[tuple[str, bytes]]:
    """Other things where the stamp should be."""
    bare, stamp = split(stamped)
    yield NOT_AS_MADE, with_unsigned(bare)
    yield NOT_AS_MADE, with_unsigned(bare, attribute(stamp), attribute(stamp))
    yield NOT_AS_MADE, with_unsigned(bare, attribute(stamp, stamp))
    yield NOT_AS_MADE, with_unsigned(bare, put(SEQUENCE, b"\x06\x03\x2a\x03\x04", put(SET, stamp)))
    yield OTHER, with_unsigned(bare, attribute(b"\x05\x00"))
    yield OTHER, with_unsigned(bare, attribute(put(SEQUENCE, bytes(3000))))
    yield OTHER, with_unsigned(bare, attribute(with_unsigned(stamp, attribute(stamp))))


def test_anything_else_in_the_place_of_a_stamp_is_refused(stamped: bytes, seal: Seal) -> None:
    for said, odd in _odd(stamped):
        assert problems(with_seal(stamped, odd), seal) == (said,)


def test_stamps_nested_in_stamps_are_judged_at_once(stamped: bytes, seals: Seals, seal: Seal, tmp_path: Path) -> None:
    """Writing them anew in the library's way took minutes for two."""
    with serving(Authority(tmp_path, kind="EC").stamp) as service:
        _, stamp = split(seals(Stamping(service.address)))
    bare, _ = split(stamped)
    nested = stamp
    for _ in range(3):
        nested = with_unsigned(stamp, attribute(nested))
    assert problems(with_seal(stamped, with_unsigned(bare, attribute(nested))), seal) == (OTHER,)


class _Strange(SimpleSigner):
    """A stranger's program, whose signatures carry a stamp nested in stamps among what they sign."""

    deep: bytes

    def _signed_attr_providers(self, *given: Any, **named: Any) -> Any:
        deep = self.deep

        class Deep(CMSAttributeProvider):
            attribute_type = "content_time_stamp"

            async def build_attr_value(self, dry_run: bool = False) -> Any:
                return cms.ContentInfo.load(deep)

        yield from super()._signed_attr_providers(*given, **named)
        yield Deep()


def _strangers(kind: type[SimpleSigner] = SimpleSigner) -> Any:
    found: Any = SimpleSigner.load_pkcs12_data(
        key_file_of("RSA-2048", words="", steps=1), other_certs=[], passphrase=None
    )
    return kind(found.signing_cert, found.signing_key, found.cert_registry)


def test_a_strangers_seal_over_nested_stamps_is_judged_at_once(drawn: bytes, stamped: bytes) -> None:
    _, stamp = split(stamped)
    signer, out = _strangers(_Strange), BytesIO()
    signer.deep = stamp
    for _ in range(4):
        signer.deep = with_unsigned(stamp, attribute(signer.deep))
    meta = PdfSignatureMetadata(field_name=FIELD, certify=True)
    PdfSigner(meta, signer=signer).sign_pdf(IncrementalPdfFileWriter(BytesIO(drawn)), output=out)
    assert verify(out.getvalue()).stamp is None


@pytest.mark.parametrize("reason", [None, WITH_STAMP])
def test_a_strangers_stamp_by_a_certificate_that_is_not_for_stamps_does_not_hold(
    reason: str | None, drawn: bytes
) -> None:
    signer, out = _strangers(), BytesIO()
    stamps: Any = DummyTimeStamper
    meta = PdfSignatureMetadata(field_name=FIELD, certify=True, reason=reason)
    PdfSigner(meta, signer=signer, timestamper=stamps(signer.signing_cert, signer.signing_key)).sign_pdf(
        IncrementalPdfFileWriter(BytesIO(drawn)), output=out
    )
    assert verify(out.getvalue()).problems == (OTHER,)


def test_a_stamp_put_in_later_is_told_even_though_it_holds(drawn: bytes, seal: Seal, authority: Authority) -> None:
    out = BytesIO()
    meta = PdfSignatureMetadata(field_name=FIELD, certify=True)
    PdfSigner(meta, signer=_strangers()).sign_pdf(
        IncrementalPdfFileWriter(BytesIO(drawn)), output=out, bytes_reserved=20_000
    )
    paper = out.getvalue()
    assert verify(paper).good
    bare = seal_in(paper)
    over = cms.ContentInfo.load(bare)["content"]["signer_infos"][0]["signature"].native
    imprint = {"hash_algorithm": {"algorithm": "sha256"}, "hashed_message": hashlib.sha256(over).digest()}
    query = tsp.TimeStampReq({"version": 1, "message_imprint": imprint, "cert_req": True, "nonce": 5})
    with serving(authority.stamp) as service:
        late = Stamping(service.address).asked((5, query), hashlib.sha256(over).digest(), "sha256")
    assert late is not None
    assert problems(with_seal(paper, with_unsigned(bare, attribute(late))), seal) == (ADDED,)
