"""A certificate a consultant owns seals her papers, or is refused in one sentence that changes nothing."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from asn1crypto import cms, x509
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, pkcs12
from pyhanko.pdf_utils.reader import PdfFileReader

from forms.answers import Moment
from storage.store import Store
from sync.handoff.brought import SealRefused, bring_seal
from sync.handoff.checking import check_bytes
from sync.handoff.detached import sign_beside
from sync.handoff.how_to_check import guide_beside
from sync.handoff.key_file import KeyFileUnread, key_file
from sync.handoff.known_senders import OWN, known_senders
from sync.handoff.reading.held import Standing
from sync.handoff.reading.sender import sender_beside
from sync.handoff.seals import OwnSealEnded, Seal, back_to_practice, make_seals, seal_of
from sync.handoff.sign import Record, sign_letter, taken_out
from sync.handoff.verify import fingerprint, verify
from tests.helpers import checked_papers as papers
from tests.helpers import thornbury as t
from tests.helpers.authorities import WORDS, certificate, chain, key_file_of, key_of, network
from tests.helpers.stores import new_store
from tests.sync.conftest import Read, Shelf, shelf_seal
from tests.sync.test_sealed import BOTH, TAMPERS, UNCHANGED, _flip

KINDS = ("P-256", "P-384", "RSA-2048")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield made
    made.close()


@cache
def shelf(kind: str = "P-256", *, steps: int = 2, with_top: bool = True) -> Seal:
    """A seal brought along, without a store on disk; the same for the same wish."""
    kept: Any = Shelf()
    return bring_seal(kept, t.WRITER, key_file_of(kind, steps=steps, with_top=with_top), WORDS, now=t.NOW)


def brought(store: Store, data: bytes, words: str = WORDS) -> Seal:
    bring_seal(store, t.WRITER, data, words, now=t.NOW)
    return seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW)


def paper(drawn: bytes, seal: Seal, record: Record) -> bytes:
    return sign_letter(drawn, seal, at=Moment(t.NOW, t.ZONE), who="Rowan Vale, RN", record=record)


@pytest.mark.parametrize(
    ("kind", "steps", "with_top"),
    [("P-256", 3, True), ("P-384", 2, False), ("RSA-2048", 3, True), ("P-256", 1, True), ("P-384", 0, True)],
)
def test_a_paper_sealed_with_it_is_valid_here_and_to_strangers_readers(
    kind: str, steps: int, with_top: bool, store: Store, drawn: bytes, record: Record, read: Read
) -> None:
    made = paper(drawn, brought(store, key_file_of(kind, steps=steps, with_top=with_top, stray=True)), record)
    checked = check_bytes(made, known_senders(store))
    assert checked.verdict.good
    assert checked.sender == OWN
    assert all(sentence in read(made, "pdfsig") for sentence in BOTH)
    assert UNCHANGED in read(made, "mutool", "sign", "-v", "FILE")


def test_what_is_compared_is_her_own_certificate_and_never_the_authority_of_many(
    store: Store, drawn: bytes, record: Record
) -> None:
    seal = brought(store, key_file_of(steps=3))
    made = paper(drawn, seal, record)
    verdict = verify(made)
    assert verdict.outside
    assert verdict.root == fingerprint(seal.root)
    assert not verdict.known
    other = certificate("Somebody Else", key_of("P-256", "other"), chain(3)[0])
    assert not verify(made, roots=(other.public_bytes(Encoding.DER),)).known
    assert verify(made, roots=(seal.root,)).known


def test_under_an_authority_of_many_hers_is_her_own_and_everybody_elses_is_unknown(
    store: Store, drawn: bytes, record: Record, tmp_path: Path
) -> None:
    others: Any = Shelf()
    other = bring_seal(others, t.WRITER, key_file_of(by_network=True, name="Linden Ash"), WORDS, now=t.NOW)
    hers = brought(store, key_file_of(by_network=True))
    back_to_practice(store, t.WRITER)
    mine, theirs = paper(drawn, hers, record), paper(drawn, other, record)
    root = network()[0][0].public_bytes(Encoding.DER)
    assert root not in known_senders(store)
    assert check_bytes(mine, known_senders(store)).sender == OWN
    found = check_bytes(theirs, known_senders(store))
    assert (found.verdict.good, found.verdict.known, found.sender) == (True, False, "")
    assert (found.verdict.outside, found.verdict.root) == (True, fingerprint(other.root))
    told = known_senders(store) | {found.verdict.issuer: "Linden Row"}
    assert [check_bytes(one, told).sender for one in (mine, theirs)] == [OWN, "Linden Row"]
    guide = guide_beside(tmp_path / "a.pdf", theirs)[tmp_path / "a.how-to-check.txt"].decode()
    assert "the consultant’s own certificate" in " ".join(guide.split())
    assert fingerprint(other.root) in " ".join(guide.split())


@pytest.mark.parametrize(
    "practice", ["Wren", "Tallow Lane root", "Müller & Søn, “Stillen”", "Long Lane " * 6, "Long Lane " * 9]
)
def test_a_practice_of_any_name_is_told_by_the_root_made_for_it(practice: str, drawn: bytes, record: Record) -> None:
    seal = shelf_seal(practice)
    verdict = verify(paper(drawn, seal, record), roots=(seal.root,))
    assert (verdict.known, verdict.outside, verdict.root) == (True, False, fingerprint(seal.root))


def test_an_authority_of_many_makes_nobody_known_even_where_somebody_once_compared_it(
    drawn: bytes, record: Record
) -> None:
    kept: Any = Shelf()
    seal = bring_seal(kept, t.WRITER, key_file_of(by_network=True), WORDS, now=t.NOW)
    above = network()[0][0].public_bytes(Encoding.DER)
    made, data = paper(drawn, seal, record), b'{"resourceType": "Bundle"}'
    assert not verify(made, roots=(above,)).known
    assert verify(made, roots=(above, seal.root)).known
    assert sender_beside(data, sign_beside(data, seal), (above,)).standing is Standing.STRANGER
    assert sender_beside(data, sign_beside(data, seal), (above, seal.root)).standing is Standing.KNOWN


@pytest.mark.parametrize("tamper", TAMPERS)
def test_each_tamper_with_such_a_paper_is_found(tamper: Any, drawn: bytes, record: Record) -> None:
    seal = shelf("RSA-2048", with_top=False, steps=3)
    assert not verify(tamper(paper(drawn, seal, record)), roots=(seal.root,)).good


def test_a_bit_flipped_anywhere_in_a_long_chain_is_found(drawn: bytes, record: Record) -> None:
    seal = shelf(steps=3, with_top=False)
    made = paper(drawn, seal, record)
    start = made.index(b"<308")
    length = len(made[start : made.index(b">", start)].rstrip(b"0"))
    for at in range(start + 1, start + length, 61):
        assert not verify(_flip(made, at), roots=(seal.root,)).good, at - start


def with_certificates(made: bytes, change: Any) -> bytes:
    """The paper with other certificates in its container, everything else as it was."""
    signature = PdfFileReader(BytesIO(made)).embedded_signatures[0]
    start, end = signature.byte_range[1], signature.byte_range[2]
    content = cms.ContentInfo.load(bytes.fromhex(made[start + 1 : end - 1].decode()))
    held = [part.chosen for part in content["content"]["certificates"]]
    content["content"]["certificates"] = [cms.CertificateChoices("certificate", one) for one in change(held)]
    filled = content.dump(force=True).hex().upper().encode().ljust(end - start - 2, b"0")
    assert len(filled) == end - start - 2
    return bytes(made[: start + 1] + filled + made[end - 1 :])


@pytest.mark.parametrize("steps", [1, 3])
def test_a_certificate_more_or_less_than_the_chain_is_found(steps: int, drawn: bytes, record: Record) -> None:
    seal = shelf(steps=steps)
    made = paper(drawn, seal, record)
    stray = certificate("X", key_of("P-256", "stray"), None).public_bytes(Encoding.DER)
    assert with_certificates(made, lambda held: held) == made
    for change in (
        lambda held: [*held, x509.Certificate.load(stray)],
        lambda held: [one for one in held if one.subject.native["common_name"] != "Larkmere Authority 0"],
        lambda held: [*held, held[0]],
    ):
        verdict = verify(with_certificates(made, change), roots=(seal.root,))
        assert not verdict.good
        assert verdict.problems == ("The seal itself is not written as it was made.",)


@pytest.mark.parametrize("kind", KINDS)
def test_the_record_beside_is_signed_with_it_and_openssl_takes_what_the_guide_says(
    kind: str, store: Store, tmp_path: Path
) -> None:
    seal = brought(store, key_file_of(kind, steps=2, with_top=False))
    data = b'{"resourceType": "Bundle"}'
    assert sender_beside(data, sign_beside(data, seal), (seal.root,)).standing is Standing.KNOWN
    assert sender_beside(data + b" ", sign_beside(data, seal), (seal.root,)).standing is Standing.CHANGED
    made = papers.sealed_by(seal)
    assert check_bytes(made, known_senders(store)).inside[0].fits
    held = taken_out(made)
    (tmp_path / "a.pdf").write_bytes(made)
    for name, inside in (("a.fhir.json", held["record.fhir.json"]), ("a.fhir.json.p7s", held["record.fhir.json.p7s"])):
        (tmp_path / name).write_bytes(inside)
    guide = guide_beside(tmp_path / "a.pdf", made)[tmp_path / "a.how-to-check.txt"]
    (tmp_path / "a.how-to-check.txt").write_bytes(guide)
    command = next(line for line in guide.decode().splitlines() if line.startswith("openssl cms"))
    done = subprocess.run(command.split(), cwd=tmp_path, capture_output=True, text=True, check=False)
    assert "uccessful" in done.stderr, done.stderr


def test_going_back_seals_with_the_practices_own_and_older_papers_stay_known(
    store: Store, drawn: bytes, record: Record
) -> None:
    first = seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW)
    made = paper(drawn, brought(store, key_file_of()), record)
    back_to_practice(store, t.WRITER)
    assert seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW) == first
    assert check_bytes(made, known_senders(store)).sender == OWN


def test_one_that_has_ended_since_says_so_and_what_to_do(store: Store) -> None:
    brought(store, key_file_of())
    with pytest.raises(OwnSealEnded, match="go back to the practice’s seal"):
        seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW + timedelta(days=400))


def _no_key() -> bytes:
    made = pkcs12.serialize_key_and_certificates(None, None, None, [chain()[0][0]], NoEncryption())
    assert made
    return made


def _slow(where: int) -> bytes:
    """A file whose lock claims eight million rounds, at its first, second or last place."""
    key = key_of("P-256")
    lock = (
        PrivateFormat.PKCS12.encryption_builder()
        .kdf_rounds(70_000)
        .key_cert_algorithm(pkcs12.PBES.PBESv2SHA256AndAES256CBC)
        .build(WORDS.encode())
    )
    made = pkcs12.serialize_key_and_certificates(b"mine", key, certificate("A", key, None), None, lock)
    few = b"\x02\x03" + (70_000).to_bytes(3, "big")
    parts = made.split(few)
    assert len(parts) > where + 1
    return few.join(parts[: where + 1]) + b"\x02\x03\x7f\xff\xff" + few.join(parts[where + 1 :])


REFUSED: dict[str, tuple[Callable[[], bytes], str, str]] = {
    "wrong passphrase": (key_file_of, "another phrase", "passphrase does not open"),
    "no passphrase": (key_file_of, "", "passphrase does not open"),
    "no key": (_no_key, "", "holds no key"),
    "no PKCS#12": (lambda: b"a shopping list", WORDS, "no PKCS#12 file"),
    "cut short": (lambda: key_file_of()[:900], WORDS, "no PKCS#12 file"),
    "slow to open": (lambda: _slow(0), WORDS, "take too long"),
    "slow key": (lambda: _slow(1), WORDS, "take too long"),
    "ended": (lambda: key_file_of(days=20), WORDS, "ended on 2026-02-21"),
    "not yet": (lambda: key_file_of(since=t.NOW + timedelta(days=3)), WORDS, "only from 2026-03-06"),
    "short RSA": (lambda: key_file_of("RSA-1024"), WORDS, "1024 bits"),
    "another curve": (lambda: key_file_of("P-521"), WORDS, "seals no paper"),
    "another kind": (lambda: key_file_of("Ed25519"), WORDS, "seals no paper"),
    "not for signing": (lambda: key_file_of(usage="key_agreement"), WORDS, "not for signing"),
    "without its chain": (lambda: key_file_of(steps=1, with_top=False), WORDS, "whole chain"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_seal_is_refused_in_one_sentence_and_changes_nothing(case: str, store: Store) -> None:
    made, words, why = REFUSED[case]
    before = seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW)
    with pytest.raises(SealRefused, match=why) as refused:
        bring_seal(store, t.WRITER, made(), words, now=t.NOW)
    assert refused.value.sentence.endswith("Nothing was changed.")
    assert seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW) == before


@pytest.mark.parametrize("usage", ["content_commitment", "digital_signature", ""])
def test_a_certificate_for_signing_in_either_of_its_words_seals(usage: str, store: Store) -> None:
    assert brought(store, key_file_of(usage=usage)).brought


def test_a_certificate_that_fails_its_own_check_is_refused_by_the_trial(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sync.handoff.brought._must_hold", lambda *_given: (t.NOW, t.NOW))
    with pytest.raises(SealRefused, match="trial page"):
        bring_seal(store, t.WRITER, key_file_of(days=20), WORDS, now=t.NOW)


def test_a_file_that_cannot_be_one_is_not_read(tmp_path: Path) -> None:
    large = tmp_path / "large.p12"
    large.write_bytes(bytes(1_000_001))
    with pytest.raises(KeyFileUnread, match="larger than 1 MB"):
        key_file(large)
    for place in (tmp_path, tmp_path / "gone.p12"):
        with pytest.raises(KeyFileUnread):
            key_file(place)


def test_neither_the_passphrase_nor_the_open_key_lies_in_the_stores_files(store: Store, tmp_path: Path) -> None:
    seal = brought(store, key_file_of())
    for file in (tmp_path / "store").rglob("*"):
        if file.is_file():
            data = file.read_bytes()
            assert WORDS.encode() not in data
            assert seal.p12[200:260] not in data


def test_a_changed_seal_makes_no_paper(drawn: bytes, record: Record, store: Store) -> None:
    from forms.trouble import Bug

    seal = brought(store, key_file_of())
    with pytest.raises((Bug, ValueError)):
        paper(drawn, replace(seal, p12=seal.p12[:-40]), record)
