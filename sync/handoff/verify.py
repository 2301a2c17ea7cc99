"""Tells whether a paper is still exactly what was sealed, by whom and when.

A valid signature is not enough: the signature must cover the whole file and nothing may have been added after it,
because text appended behind a signature leaves the signature itself valid.
"""

from __future__ import annotations

import hashlib
import logging
import zlib
from base64 import b64encode
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import datetime
from enum import StrEnum
from io import BytesIO
from typing import Any, Final

from forms.trouble import Trouble
from sync.handoff.broken import breaks
from sync.handoff.chain import chain_above, compared, read_certificate, tells_apart
from sync.handoff.container import contained, is_exact
from sync.handoff.one_at_a_time import one_at_a_time
from sync.handoff.stamp import WITH_STAMP, judged

__all__ = [
    "LARGEST", "Certificate", "Embedded", "NeedsPassword", "NotAPaper", "Stamp", "State", "Unreadable", "Verdict",
    "WrongPassword", "breaks", "certificate_told", "fingerprint", "hush", "may_seal", "stamp_maker", "verify",
]  # fmt: skip


LARGEST: Final = 48_000_000
"""Bytes of all attachments together that are looked at: a few kilobytes can unpack to gigabytes. House bound, no
source: beyond what this program puts into one file."""
LONGEST_NAME: Final = 200
"""Characters of a name or a contact that are told."""


class Unreadable(Trouble):
    """The bytes cannot be judged at all."""


class NotAPaper(Unreadable):
    """The bytes are no PDF, or none that can be read."""

    template = "This file cannot be read as a PDF. Ask for the paper again, or choose another file."


class NeedsPassword(Unreadable):
    """The PDF is locked with a password."""

    template = "This PDF is locked with a password. Check it again and give the password the sender told you."


class WrongPassword(NeedsPassword):
    """The PDF is locked with another password."""

    template = "That password does not open this PDF: type it as it was told, with a hyphen between the words."


@dataclass(frozen=True, slots=True)
class Certificate:
    """Who the certificate names, who issued it, its SHA-256 fingerprint and the days it holds."""

    subject: str
    issuer: str
    fingerprint: str
    not_before: datetime
    not_after: datetime


@dataclass(frozen=True, slots=True)
class Embedded:
    """A file carried inside the paper."""

    name: str
    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Stamp:
    """A time stamp inside the seal that holds over it: when it was made, and by whom as its certificate says.

    No authority for time is known here, so whose it is stays open; it never decides how a paper or sender is told of.
    """

    at: datetime
    by: Certificate


class State(StrEnum):
    """What can be said of the file itself, whoever sent it."""

    WHOLE = "whole"
    CHANGED = "changed"
    EXPIRED = "expired"  # whole, but its certificate did not hold when it was sealed
    UNSEALED = "unsealed"
    DAMAGED = "damaged"  # so far that its seal cannot be judged


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was found.

    `good` is true only for one signature, intact, over the whole file, with nothing changed since, made while its
    certificate held. `known` says whether what tells its sender apart is among those asked about; it does not change
    `good`. `issuer` is the certificate (DER) to be compared, `root` its fingerprint: the practice's root the file
    brought along, or the signer's own certificate where an authority issued it. `contact` is whom the signer says to
    ask. `stamp` is set only where an unchanged paper carries one that holds. `problems` are plain sentences, empty for
    a good paper.
    """

    state: State
    signer: str = ""
    at: datetime | None = None
    certificate: Certificate | None = None
    root: str = ""
    issuer: bytes = field(default=b"", repr=False)
    contact: str = ""
    known: bool = False
    records: tuple[Embedded, ...] = ()
    stamp: Stamp | None = None
    problems: tuple[str, ...] = field(default_factory=tuple)

    @property
    def good(self) -> bool:
        """Whether it is exactly what was sealed, under a certificate that held."""
        return self.state is State.WHOLE

    @property
    def outside(self) -> bool:
        """Whether what is compared is the signer's own certificate, because no root of the practice's own made it."""
        return self.certificate is not None and self.root == self.certificate.fingerprint

    def as_json(self) -> dict[str, Any]:
        """Plain values for JSON; times in ISO 8601, the root certificate in Base64."""

        def plain(value: Any) -> Any:
            if isinstance(value, dict):
                return {key: plain(inner) for key, inner in value.items()}
            if isinstance(value, list | tuple):
                return [plain(inner) for inner in value]
            if isinstance(value, bytes):
                return b64encode(value).decode("ascii")
            return value.isoformat() if isinstance(value, datetime) else value

        return {"good": self.good, **plain(asdict(self))}

    def words(self) -> str:
        """The verdict in plain sentences, one a line, the most important first."""
        if self.good:
            said = ["Whole and unchanged: every byte is as it was sealed."]
        else:
            said = ["Do not rely on this file.", *self.problems]
        if self.signer and self.certificate is not None:
            when = f" at {self.at:%Y-%m-%d %H:%M %Z}" if self.at else ""
            said.append(f"Sealed by {self.signer}{when}.")
            said.append(f"Certificate: {self.certificate.subject}, issued by {self.certificate.issuer}.")
            said.append(f"Certificate fingerprint: {self.certificate.fingerprint}")
            if self.root and not self.outside:
                said.append(f"Root fingerprint: {self.root}")
            which = "certificate" if self.outside else "root"
            known = f"The sender’s {'certificate' if self.outside else 'root certificate'} is known here."
            unknown = f"compare the {which} fingerprint with the one the practice gives by phone."
            said.append(known if self.known else f"The sender is not known here: {unknown}")
        if self.stamp is not None:
            said.append(f"Time stamp of {self.stamp.at:%Y-%m-%d %H:%M:%S %Z}, {stamp_maker(self.stamp)}.")
            said.append(f"Time stamp certificate fingerprint: {self.stamp.by.fingerprint}")
        said.extend(f"Inside: {r.name}, {r.size:,} bytes, SHA-256 {r.sha256}" for r in self.records)
        return "\n".join(said)


def stamp_maker(stamp: Stamp) -> str:
    """By whom a stamp is, in words that vouch for nobody."""
    return f"by an authority not known here, which calls itself “{stamp.by.subject}”"


def hush() -> None:
    """Keeps pyHanko silent: it writes certificate subjects, which name a person, into its log."""
    for name in ("pyhanko", "pyhanko_certvalidator"):
        logging.getLogger(name).setLevel(logging.CRITICAL)


def fingerprint(certificate: bytes) -> str:
    """The SHA-256 of a certificate (DER) in groups of four digits, to be compared aloud."""
    digits = hashlib.sha256(certificate).hexdigest().upper()
    return " ".join(digits[at : at + 4] for at in range(0, len(digits), 4))


def _inflated(stream: Any, most: int) -> bytes | None:
    """An attachment's bytes; None for more than `most` of them and for a filter that cannot be bounded."""
    raw: bytes = stream.read_raw_bytes()
    packed = stream.get("/Filter")
    if packed is None:
        return raw if len(raw) <= most else None
    if str(packed) != "/FlateDecode" or stream.get("/DecodeParms") is not None:
        return None
    inside = zlib.decompressobj().decompress(raw, most + 1)
    return inside if len(inside) <= most else None


def _records(data: bytes, password: str | None) -> tuple[Embedded, ...]:
    import pikepdf

    left = LARGEST
    with one_at_a_time(), pikepdf.open(BytesIO(data), password=password or "") as pdf:
        found = []
        for name, spec in pdf.attachments.items():
            inside = _inflated(spec.get_file().obj, left)
            left -= len(inside) if inside is not None else 0
            digest = hashlib.sha256(inside).hexdigest() if inside is not None else "not read"
            found.append(Embedded(_on_one_line(name), len(inside or b""), digest))
        return tuple(found)


def _on_one_line(words: object) -> str:
    """What a stranger wrote, short and in one line, without marks that turn or hide letters."""
    seen = "".join(letter if letter.isprintable() else " " for letter in str(words))
    return " ".join(seen.split())[:LONGEST_NAME]


def _named(name: Any) -> str:
    """The common name and organisation of an X.509 name."""
    parts = name.native
    wanted = [parts.get(key) for key in ("common_name", "organization_name")]
    return _on_one_line(", ".join(str(part) for part in wanted if part) or name.human_friendly)


def certificate_told(found: Any) -> Certificate:
    """What a certificate (asn1crypto's) says, in plain values."""
    held = found["tbs_certificate"]["validity"]
    return Certificate(
        _named(found.subject), _named(found.issuer), fingerprint(found.dump()),
        held["not_before"].native, held["not_after"].native,
    )  # fmt: skip


def may_seal() -> Any:
    """What a signer's certificate must be for: signing, or standing by what is signed (pyHanko asks for this)."""
    from pyhanko.sign.validation.settings import KeyUsageConstraints

    return KeyUsageConstraints(key_usage={"digital_signature", "non_repudiation"}, match_all_key_usages=False)


def _told_by(signature: Any, key: str) -> str:
    """What the signer wrote under a key; looked up by index, which unlocks what is locked, as `get` does not."""
    said = signature.sig_object
    return _on_one_line(said[key]) if key in said else ""


def _stamp(token: bytes, over: bytes) -> Stamp | None:
    """The stamp of a signature value, None for one that does not hold over it."""
    try:
        held = judged(token, lambda way: hashlib.new(way, over).digest())
        return Stamp(held.at, certificate_told(held.maker))
    except breaks():
        return None


def _wrong_stamp(signature: Any, token: bytes | None, stamp: Stamp | None) -> list[str]:
    """What speaks against the stamp of a seal: there has to be one that holds where the seal says so, and none else."""
    announced = _told_by(signature, "/Reason") == WITH_STAMP
    if token is None:
        return ["The time stamp it was sealed with is not inside any more."] if announced else []
    if stamp is None:
        return ["The time stamp inside it does not hold over this seal."]
    return [] if announced else ["A time stamp was put inside after it was sealed."]


def _judged(data: bytes, signature: Any, roots: tuple[bytes, ...], records: tuple[Embedded, ...]) -> Verdict:
    """The verdict on one embedded signature."""
    from pyhanko.sign.diff_analysis import ModificationLevel
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko.sign.validation.status import SignatureCoverageLevel
    from pyhanko_certvalidator import ValidationContext

    held = contained(signature, data)  # first: from here on nothing reads a stamp but `_stamp`
    leaf, at = signature.signer_cert, signature.self_reported_timestamp
    above = chain_above(leaf, signature.other_embedded_certs)
    senders = (one for one in map(read_certificate, roots) if one is not None)
    inside, known = list(above[-1:]), [one for one in senders if tells_apart(one, leaf)]

    def trusted(anchors: list[Any]) -> Any:
        context = ValidationContext(trust_roots=anchors, moment=at, best_signature_time=at, allow_fetching=False)
        return validate_pdf_signature(signature, signer_validation_context=context, key_usage_settings=may_seal())

    status, certificate, root = trusted(known + inside), certificate_told(leaf), compared(leaf, above)
    problems = []
    if not (status.intact and status.valid):
        problems.append("Bytes under the seal are not those that were sealed.")
    if status.coverage is not SignatureCoverageLevel.ENTIRE_FILE:
        problems.append("Something was added to the file after it was sealed.")
    if status.modification_level is not ModificationLevel.NONE and not problems:
        problems.append("What the file shows was changed after it was sealed.")
    if not problems and (held is None or not is_exact(held.seal, leaf)):
        problems.append("The seal itself is not written as it was made.")
    token = held.stamp if held is not None else None
    stamp = _stamp(token, signature.signer_info["signature"].native) if token is not None else None
    if not problems:
        problems += _wrong_stamp(signature, token, stamp)
    changed, in_time = bool(problems), at is not None and certificate.not_before <= at <= certificate.not_after
    if not in_time or (inside and not changed and not status.trusted):
        problems.append("Its certificate did not hold when the seal was made.")
    return Verdict(
        State.CHANGED if changed or (problems and in_time) else State.EXPIRED if problems else State.WHOLE,
        signer=_told_by(signature, "/Name") or certificate.subject,
        at=at,
        certificate=certificate,
        root=fingerprint(root.dump()) if root is not None else "",
        issuer=root.dump() if root is not None else b"",
        contact=_told_by(signature, "/ContactInfo"),
        known=bool(known) and trusted(known).trusted,
        records=records,
        stamp=None if changed else stamp,
        problems=tuple(problems),
    )


def _signatures(data: bytes, password: str | None) -> list[Any]:
    """The signatures in a file; raises NeedsPassword for a locked one, and anything for a broken one."""
    from pyhanko.pdf_utils.crypt import AuthStatus
    from pyhanko.pdf_utils.reader import PdfFileReader

    reader = PdfFileReader(BytesIO(data))
    if reader.encrypted:
        if not password:
            raise NeedsPassword
        if reader.decrypt(password).status is AuthStatus.FAILED:
            raise WrongPassword
    return list(reader.embedded_signatures)


def verify(data: bytes, password: str | None = None, *, roots: Iterable[bytes] = ()) -> Verdict:
    """The verdict on a file's bytes; `roots` are certificates (DER) of practices known here.

    Raises NotAPaper for bytes that are no readable PDF and NeedsPassword for a locked one. A sealed paper damaged so
    far that it cannot be read at all is not an unreadable file but a changed one.
    """
    hush()
    was_sealed = b"/ByteRange" in data
    if b"%PDF-" not in data[:1024] and not was_sealed:
        raise NotAPaper
    try:
        signatures = _signatures(data, password)
    except NeedsPassword:
        raise
    except breaks() as damage:
        if not was_sealed:
            raise NotAPaper from damage
        signatures = []
    if not signatures:
        if was_sealed:
            return Verdict(State.DAMAGED, problems=("The file is damaged: its seal cannot be read.",))
        return Verdict(State.UNSEALED, problems=("This file carries no seal.",))
    if len(signatures) > 1:
        return Verdict(State.CHANGED, problems=("The file was signed again after it was sealed.",))
    try:
        return _judged(data, signatures[0], tuple(roots), _records(data, password))
    except breaks():
        return Verdict(State.DAMAGED, problems=("The file is damaged: its seal cannot be checked.",))
