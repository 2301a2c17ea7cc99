"""A paper from anywhere is looked at: whose it is, whether it is as it was sealed, and what it carries inside.

Nothing is kept and nothing is written.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import Any, Final

from forms.ask import Paper
from forms.trouble import Trouble
from sync.handoff.inside import RECORD, SIGNATURE
from sync.handoff.reading.bounded import parsed
from sync.handoff.reading.held import Standing
from sync.handoff.reading.opening import record_inside
from sync.handoff.reading.sender import sender_beside
from sync.handoff.reading.troubles import NotReadable
from sync.handoff.verify import Embedded, State, Verdict, fingerprint, verify

__all__ = ["LARGEST_CHECKED", "Checked", "Inside", "PaperTooLarge", "PaperUnread", "check_bytes", "check_file"]

_WHAT: Final = {
    RECORD: "the record of the visit, for a program to read",
    SIGNATURE: "the signature of that record",
    **{f"{kind}.txt": "the words of the paper as plain text" for kind in Paper},
}


_KINDS: Final = {
    ".pdf": "a paper of its own; save it, and check it by itself", ".csv": "a table, for other programs",
    ".jpg": "a photo", ".png": "a photo", ".json": "a record, for a program to read",
    ".p7s": "the signature of a record", ".txt": "plain text",
}  # fmt: skip
"""What lies in a record given out in one file, by the ending of its name; none of it is opened here."""
_UNKNOWN: Final = "a file of a kind Hearthside does not know; it was not opened"
LARGEST_CHECKED: Final = 48_000_000
"""Bytes of a file that is checked. House bound, no source: beyond what a record given out in one file takes."""


class PaperTooLarge(Trouble):
    """More bytes than any paper has."""

    template = (
        "{name} is larger than 48 MB, which no paper is, so it was not opened. Ask the sender for the paper alone."
    )


class PaperUnread(Trouble):
    """The file is not there, is a folder, or may not be opened."""

    template = (
        "{name} could not be read: {why}. Check that it is there and that you may open it, or choose another file."
    )


@dataclass(frozen=True, slots=True)
class Inside:
    """A file inside a paper: its name, what it is, its size in bytes, whether it fits the paper, and why not."""

    name: str
    what: str
    size: int
    fits: bool
    why: str = ""


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found of one paper.

    `sender` is the name she gave the sender, "" for one that is not known. `namesake` is set when a known sender's
    root carries the very names of this unknown one.
    """

    verdict: Verdict
    sender: str = ""
    namesake: str = ""
    inside: tuple[Inside, ...] = ()

    @property
    def can_be_added(self) -> bool:
        """Whether its sender may be put among the known: an unchanged paper with a root nobody compared yet."""
        return self.verdict.good and not self.verdict.known and bool(self.verdict.issuer)

    def as_json(self) -> dict[str, Any]:
        """Plain values for JSON: those of the verdict, the sender's name here, and what does not fit inside."""
        inside = {one.name: one.why for one in self.inside if not one.fits}
        return {**self.verdict.as_json(), "sender": self.sender, "misfits": inside}

    def words(self) -> str:
        """What was found in plain sentences, one a line."""
        said = [self.verdict.words()]
        if self.sender:
            said.append(f"Known here as {self.sender}.")
        if self.namesake:
            said.append(f"Take care: {self.namesake}, known here, goes by the same name with another fingerprint.")
        said.extend(f"{one.name}: {one.why}" for one in self.inside if one.why)
        return "\n".join(said)


def check_file(path: Path, known: Mapping[bytes, str], password: str | None = None) -> Checked:
    """A file looked at; `known` are the trusted roots (DER) with the names of their senders.

    Raises PaperTooLarge over 48 MB, PaperUnread, and what `verify` raises for a file that is locked or no PDF.
    """
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # a folder has no bytes, and a pipe never ends
            raise PaperUnread(name=path.name, why="it is no file")
        with path.open("rb") as file:
            data = file.read(LARGEST_CHECKED + 1)
    except OSError as fault:
        why = os.strerror(fault.errno).lower() if fault.errno else "the disk did not answer"
        raise PaperUnread(name=path.name, why=why) from fault
    if len(data) > LARGEST_CHECKED:
        raise PaperTooLarge(name=path.name)
    return check_bytes(data, known, password)


def check_bytes(data: bytes, known: Mapping[bytes, str], password: str | None = None) -> Checked:
    """The same for bytes that are in memory. Raises what `verify` raises."""
    verdict = verify(data, password, roots=known)
    by_print = {fingerprint(root): name for root, name in known.items()}
    prints = (verdict.certificate.fingerprint if verdict.certificate is not None else "", verdict.root)
    called = next((by_print[one] for one in prints if one in by_print), "")
    sender = called if verdict.known else ""
    namesake = "" if called else _namesake(verdict, known)
    inside = tuple(_looked_at(each, data, password, verdict, known) for each in verdict.records)
    return Checked(verdict, sender, namesake, inside)


def _namesake(verdict: Verdict, known: Mapping[bytes, str]) -> str:
    """What a known sender is called whose root carries the names of this paper's unknown one."""
    from cryptography.x509 import load_der_x509_certificate

    if not verdict.issuer:
        return ""
    claimed = load_der_x509_certificate(verdict.issuer).subject
    return next((name for root, name in known.items() if load_der_x509_certificate(root).subject == claimed), "")


def _looked_at(
    each: Embedded, data: bytes, password: str | None, verdict: Verdict, known: Mapping[bytes, str]
) -> Inside:
    what = _WHAT.get(each.name) or _KINDS.get(PurePosixPath(each.name).suffix, _UNKNOWN)
    if verdict.state not in (State.WHOLE, State.EXPIRED):
        return Inside(each.name, what, each.size, fits=False, why="The paper was changed, so this may have been too.")
    if len(each.sha256) != 64:
        return Inside(each.name, what, each.size, fits=False, why="It is packed too large or too tightly to look at.")
    why = _misfit(data, password, verdict, tuple(known)) if each.name in (RECORD, SIGNATURE) else ""
    return Inside(each.name, what, each.size, fits=not why, why=why)


def _misfit(data: bytes, password: str | None, verdict: Verdict, roots: tuple[bytes, ...]) -> str:
    """Why the record inside does not fit its paper, "" if it does: same signer, same root, same time."""
    try:
        record, signature = record_inside(data, password)
        told = parsed(record)
    except NotReadable as trouble:
        return trouble.sentence
    sender = sender_beside(record, signature, roots)
    if sender.standing is Standing.UNSIGNED:
        return "The record has no signature of its own."
    if sender.standing is Standing.CHANGED:
        return "The record is not the one that was signed."
    if sender.root != verdict.root or verdict.certificate is None or sender.who != verdict.certificate.subject:
        return "The record was signed by somebody else than the paper."
    if verdict.at is None or _timestamp(told) != verdict.at.replace(microsecond=0):
        return "The record is not of the same time as the paper."
    return ""


def _timestamp(record: Any) -> datetime | None:
    stamp = record.get("timestamp") if isinstance(record, dict) else None
    try:
        return datetime.fromisoformat(stamp).replace(microsecond=0) if isinstance(stamp, str) else None
    except ValueError:
        return None
