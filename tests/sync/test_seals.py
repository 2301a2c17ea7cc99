"""The practice's certificates are made once, kept sealed, and the root's private half leaves under a passphrase."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import ExtensionOID

from forms.answers import Moment
from storage.store import Store
from storage.troubles import PassphraseRefused
from sync.handoff.checking import check_bytes
from sync.handoff.known_senders import OWN, known_senders
from sync.handoff.seals import (
    NoRoot,
    NoSeal,
    RootNotOpened,
    RootNotSaved,
    certify,
    export_root,
    make_seals,
    root_fingerprint,
    root_waits,
    seal_of,
)  # fmt: skip
from sync.handoff.sign import Record, sign_letter
from sync.handoff.verify import fingerprint, verify
from tests.helpers import thornbury as t
from tests.helpers.stores import new_store

WORDS = "marmalade trellis copper oyster"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield made
    made.close()


def test_the_certificates_are_what_readers_expect(store: Store) -> None:
    seal = seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW)
    root = x509.load_der_x509_certificate(seal.root)
    _, leaf, _ = pkcs12.load_key_and_certificates(seal.p12, None)
    assert leaf is not None
    leaf.verify_directly_issued_by(root)
    root.verify_directly_issued_by(root)
    basic = root.extensions.get_extension_for_oid(ExtensionOID.BASIC_CONSTRAINTS).value
    assert isinstance(basic, x509.BasicConstraints)
    assert (basic.ca, basic.path_length) == (True, 0)
    usage = leaf.extensions.get_extension_for_oid(ExtensionOID.KEY_USAGE).value
    assert isinstance(usage, x509.KeyUsage)
    assert usage.digital_signature
    assert usage.content_commitment
    assert not usage.key_cert_sign
    extended = leaf.extensions.get_extension_for_oid(ExtensionOID.EXTENDED_KEY_USAGE).value
    assert isinstance(extended, x509.ExtendedKeyUsage)
    assert {oid.dotted_string for oid in extended} == {"1.3.6.1.5.5.7.3.36", "1.3.6.1.5.5.7.3.4"}
    public = leaf.public_key()
    assert isinstance(public, ec.EllipticCurvePublicKey)
    assert isinstance(public.curve, ec.SECP256R1)
    assert root_fingerprint(store) == fingerprint(seal.root)


def test_a_seal_never_shows_its_key_in_words(store: Store) -> None:
    seal = seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW)
    assert repr(seal.p12)[2:30] not in repr(seal)


def test_the_root_waits_in_the_store_until_it_is_taken_out(store: Store, tmp_path: Path) -> None:
    assert root_waits(store)
    place = tmp_path / "root.p12"
    export_root(store, place, WORDS)
    assert not root_waits(store)
    assert place.stat().st_mode & 0o777 == 0o600
    key, certificate, _ = pkcs12.load_key_and_certificates(place.read_bytes(), WORDS.encode())
    assert key is not None
    assert certificate is not None
    with pytest.raises(NoRoot):
        export_root(store, tmp_path / "again.p12", WORDS)
    assert root_fingerprint(store) is not None
    assert seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW).root


def test_a_strangers_tool_opens_the_root_file_with_the_passphrase_only(store: Store, tmp_path: Path) -> None:
    place = tmp_path / "root.p12"
    export_root(store, place, WORDS)

    def opened(words: str) -> bool:
        command = ["openssl", "pkcs12", "-in", str(place), "-noout", "-passin", "stdin"]
        return subprocess.run(command, input=words + "\n", capture_output=True, text=True, check=False).returncode == 0

    assert opened(WORDS)
    assert not opened("another four word phrase")


def test_a_root_that_cannot_be_written_stays_in_the_store(store: Store, tmp_path: Path) -> None:
    there = tmp_path / "there.p12"
    there.write_bytes(b"mine")
    with pytest.raises(RootNotSaved, match="already"):
        export_root(store, there, WORDS)
    assert there.read_bytes() == b"mine"
    with pytest.raises(RootNotSaved):
        export_root(store, tmp_path / "no" / "folder.p12", WORDS)
    with pytest.raises(PassphraseRefused):
        export_root(store, tmp_path / "weak.p12", "short")
    assert not (tmp_path / "weak.p12").exists()
    assert root_waits(store)


def test_a_second_consultant_is_certified_by_the_same_root(store: Store, tmp_path: Path) -> None:
    certify(store, "second", practice="Tallow Lane Feeding Visits", name="Ash Corbin", now=t.NOW)
    place = tmp_path / "root.p12"
    export_root(store, place, WORDS)
    with pytest.raises(NoRoot):
        certify(store, "third", practice="Tallow Lane", name="Wren Hale", now=t.NOW)
    with pytest.raises(RootNotOpened):
        certify(store, "third", practice="T", name="W", now=t.NOW, root=place.read_bytes(), passphrase="a wrong phrase")
    certify(store, "third", practice="T", name="Wren Hale", now=t.NOW, root=place.read_bytes(), passphrase=WORDS)
    for person in ("second", "third"):
        seal = seal_of(store, person, name="x", now=t.NOW)
        _, leaf, _ = pkcs12.load_key_and_certificates(seal.p12, None)
        assert leaf is not None
        leaf.verify_directly_issued_by(x509.load_der_x509_certificate(seal.root))


def test_another_practices_root_certifies_nobody_here(store: Store, tmp_path: Path) -> None:
    other = new_store(tmp_path / "other").store
    make_seals(other, t.WRITER, practice="Elsewhere", name="Somebody", now=t.NOW)
    export_root(other, tmp_path / "other.p12", WORDS)
    other.close()
    with pytest.raises(RootNotOpened):
        certify(
            store, "x", practice="T", name="N", now=t.NOW, root=(tmp_path / "other.p12").read_bytes(), passphrase=WORDS
        )


def test_a_missing_or_ended_seal_says_what_to_do(store: Store) -> None:
    with pytest.raises(NoSeal, match="Make one under Practice"):
        seal_of(store, "nobody", name="Nobody", now=t.NOW)
    with pytest.raises(NoSeal):
        seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW + timedelta(days=3 * 365))


def test_a_very_long_practice_name_still_gets_a_certificate(tmp_path: Path) -> None:
    made = new_store(tmp_path / "long").store
    make_seals(made, t.WRITER, practice="Feeding " * 40, name="Rowan " * 30, now=t.NOW)
    assert seal_of(made, t.WRITER, name="Rowan", now=t.NOW)
    made.close()


def test_a_renewed_seal_leaves_older_papers_good_and_known_and_seals_new_ones(store: Store, drawn: bytes) -> None:
    words = Record("a.txt", "text/plain", b"words")

    def paper(at: datetime) -> bytes:
        seal = seal_of(store, t.WRITER, name="Rowan Vale", now=at)
        return sign_letter(drawn, seal, at=Moment(at, t.ZONE), who="Rowan Vale, RN", record=words)

    older, later = paper(t.NOW), t.NOW + timedelta(days=3 * 365)
    certify(store, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=later)
    for made in (older, paper(later)):
        checked = check_bytes(made, known_senders(store))
        assert checked.verdict.good
        assert checked.sender == OWN
    assert verify(older).certificate != verify(paper(later)).certificate
