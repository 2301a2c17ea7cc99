"""A paper for each state that checking tells apart, as real files: own, another practice's, changed, and so on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from unittest.mock import patch

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from cryptography.hazmat.primitives.serialization import NoEncryption, pkcs12

from forms.answers import Moment
from forms.ask import Paper
from forms.papers.family_plan import family_plan
from storage.store import Store
from sync.handoff.detached import MEDIA_TYPE, sign_beside
from sync.handoff.document import record_bytes, visit_bundle
from sync.handoff.inside import RECORD, SIGNATURE
from sync.handoff.letter import write_letter
from sync.handoff.seals import Seal, seal_of
from sync.handoff.sign import Record, sign_letter
from sync.handoff.stamping import Stamping
from sync.handoff.verify import State, Verdict, fingerprint
from tests.helpers import thornbury as t
from tests.sync.conftest import shelf_seal

__all__ = [
    "PASSWORD", "Practice", "expired", "locked_paper", "own_paper", "paper_of", "practice", "sealed_by", "spoiled",
    "unsealed", "without_root",
]  # fmt: skip

PASSWORD = "harbour-velvet-spoon-walnut-lamp"
"""Of a paper made for tests; it opens nothing else."""


@dataclass(frozen=True)
class Practice:
    """An invented practice that sends papers: its name and its seal."""

    name: str
    seal: Seal

    @property
    def root(self) -> str:
        """The fingerprint it reads out on the phone."""
        return fingerprint(self.seal.root)


@cache
def practice(name: str = "Linden Row Feeding Clinic", keys: str = "its own") -> Practice:
    """A practice of that name; other words for `keys` make one with the very same names and other keys."""
    del keys
    return Practice(name, shelf_seal(name, "Hazel Brook"))


@cache
def _drawn() -> bytes:
    return write_letter(family_plan(t.whole(), writer=t.WRITER, now=t.NOW), made=t.NOW, sealed=True)


@cache
def _record(at: datetime) -> bytes:
    return record_bytes(visit_bundle(t.whole(), paper=Paper.SUMMARY, writer=t.WRITER, now=at, about=(t.IDA,)))


def sealed_by(
    seal: Seal, *, at: datetime = t.NOW, record: bytes | None = None, record_seal: Seal | None = None,
    password: str | None = None, stamping: Stamping | None = None,
) -> bytes:  # fmt: skip
    """A paper with a record inside, sealed; `record_seal` signs the record instead."""
    data = record if record is not None else _record(at)
    inside = (
        Record(RECORD, "application/fhir+json", data, "the record"),
        Record(SIGNATURE, MEDIA_TYPE, sign_beside(data, record_seal or seal), "its signature"),
    )
    return sign_letter(
        _drawn(), seal, at=Moment(at, t.ZONE), who="Hazel Brook, RN", record=inside,
        contact="Linden Row Feeding Clinic, 555 0142", password=password, stamping=stamping,
    )  # fmt: skip


@cache
def paper_of(sender: Practice) -> bytes:
    """A paper that practice sealed."""
    return sealed_by(sender.seal)


@cache
def locked_paper() -> bytes:
    """A paper of the other practice under `PASSWORD`."""
    return sealed_by(practice().seal, password=PASSWORD)


def own_paper(store: Store, author: str, at: datetime) -> bytes:
    """A paper sealed by the practice whose store this is."""
    return sealed_by(seal_of(store, author, name="", now=at), at=at)


@cache
def expired() -> bytes:
    """A paper sealed three years after its certificate was made; the program itself would refuse to make one."""
    passed = Verdict(State.WHOLE)  # its own check refuses this paper, which is why that stands aside here alone
    with patch("sync.handoff.sign.verify", lambda *_given, **_more: passed):
        return sealed_by(practice().seal, at=t.NOW + timedelta(days=3 * 365))


def spoiled(paper: bytes, how: str) -> bytes:
    """A paper after something happened to it: `flipped`, `appended`, `cut` or `blanked`."""
    match how:
        case "flipped":
            at = len(paper) // 3
            return paper[:at] + bytes([paper[at] ^ 1]) + paper[at + 1 :]
        case "appended":
            return paper + b"\n% a line more\n"
        case "cut":
            return paper[:-1500]
        case "blanked":  # the seal's own bytes are gone
            start = paper.index(b"<308")
            return paper[: start + 1] + b"00" * 200 + paper[start + 401 :]
    raise ValueError(how)


def without_root() -> bytes:
    """A paper whose seal holds the certificate of its signer alone."""
    key, certificate, _ = pkcs12.load_key_and_certificates(practice().seal.p12, None)
    assert isinstance(key, EllipticCurvePrivateKey)
    alone = pkcs12.serialize_key_and_certificates(b"seal", key, certificate, None, NoEncryption())
    return sealed_by(replace(practice().seal, p12=alone))


def unsealed() -> bytes:
    """The same paper before it was sealed."""
    return write_letter(family_plan(t.whole(), writer=t.WRITER, now=t.NOW), made=t.NOW, sealed=False)
