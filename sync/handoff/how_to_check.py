"""The half page that lies beside a saved paper and tells its receiver how to check it without this program.

It carries the practice's root certificate where openssl is of use, so that the commands in it need nothing else but the
files beside it. That certificate proves nothing by lying there: the fingerprint, compared with the practice, does.
"""

from __future__ import annotations

import hashlib
import re
import shlex
from pathlib import Path
from textwrap import fill
from typing import Final, TypeGuard

from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import load_der_x509_certificate

from sync.handoff.inside import RECORD
from sync.handoff.verify import NeedsPassword, NotAPaper, State, Verdict, verify

__all__ = ["WIDTH", "guide_beside", "guide_place", "is_guide_of"]

WIDTH: Final = 78
"""Characters of a line, but of a command, which no line end may cut."""

_PLAIN_NAME: Final = re.compile(r"[\w.+-][\w.+ -]*")
_IN_A_PROGRAM: Final = (
    "With a PDF program that shows signatures: open {name} and its signature panel. It has to say that the signature "
    "is valid, that it covers the whole document and that nothing was changed since. It may well say that it does not "
    "know the signer: that is what comparing the fingerprint is for. Look for it at {which}."
)
_UPPER: Final = "the upper of the two certificates"
_SIGNERS: Final = "the certificate of the signer, the lowest of those it lists"
_NOT_THE_PRINT: Final = (
    "The file carries the seal, not the print. A print, a picture or a copy saved again by another program proves "
    "nothing: check the very file you were sent."
)
_UNSEALED: Final = (
    "This paper carries no seal, because the note it comes from was not finished when it was made. Neither the file "
    "nor a print of it shows whether it was changed. Ask the practice, at the number you know it by, whether it holds, "
    "and for the sealed paper once the note is finished."
)
_LOCKED: Final = (
    "The file is locked with a password. The seal can be checked once it is open; ask the practice for the password "
    "and for the fingerprint of its root certificate, at the number you know it by."
)
_COMPARE: Final = (
    "A seal of this kind shows that the file is unchanged and which key sealed it. Whose key it is you know after "
    "comparing this SHA-256 fingerprint of {whose} certificate, in person or by phone at a number that "
    "does not come from these files:"
)
_WITH_OPENSSL: Final = "With openssl, the record beside it, in the folder where these files lie:"
_SAYS: Final = (
    "The first prints the fingerprint of the certificate below; the second has to say “successful”, and "
    "writes the record it checked into a file of its own."
)


def guide_beside(path: Path, paper: bytes, password: str | None = None) -> dict[Path, bytes]:
    """The page for the receiver of a paper at `path`, by the place where it is to lie; none for bytes that are no PDF.

    A locked paper without its password gets one that gives away nothing of it.
    """
    try:
        verdict: Verdict | None = verify(paper, password)
    except NotAPaper:
        return {}
    except NeedsPassword:
        verdict = None
    page = [*_parts(path, verdict, password), "", _belongs(paper)]
    if _lies_beside(verdict, password):
        page.append(load_der_x509_certificate(verdict.issuer).public_bytes(Encoding.PEM).decode("ascii").strip())
    return {guide_place(path): "".join(f"{line}\n" for line in page).encode()}


def is_guide_of(data: bytes, paper: bytes) -> bool:
    """Whether a file is the page that was laid beside this very paper."""
    return _belongs(paper).encode() in data


def guide_place(path: Path) -> Path:
    """Where the page about a paper lies."""
    return path.with_name(f"{path.stem}.how-to-check.txt")


def _belongs(paper: bytes) -> str:
    return f"SHA-256 of the file this page is about:\n{hashlib.sha256(paper).hexdigest()}"


def _lies_beside(verdict: Verdict | None, password: str | None) -> TypeGuard[Verdict]:
    """Whether the record of a paper lies beside it: never beside a locked one."""
    return verdict is not None and password is None and any(one.name == RECORD for one in verdict.records)


def _parts(path: Path, verdict: Verdict | None, password: str | None) -> list[str]:
    """The page, line by line, without what it belongs to."""
    head = [f"How to check {path.name}", ""]
    if verdict is not None and verdict.state is State.UNSEALED:
        return [*head, *_filled(_UNSEALED)]
    head += _filled(_NOT_THE_PRINT)
    outside = verdict is not None and verdict.outside
    in_a_program = _filled(_IN_A_PROGRAM.format(name=path.name, which=_SIGNERS if outside else _UPPER))
    if verdict is None:
        return [*head, *_filled(_LOCKED), *in_a_program]
    groups, whose = verdict.root.split(), "the consultant’s own" if outside else "the practice’s root"
    page = [
        *head, "", *_filled(f"Whom to ask: {verdict.contact or verdict.signer}"),
        *_filled(_COMPARE.format(whose=whose)),
        *(f"   {' '.join(groups[at : at + 8])}" for at in range(0, len(groups), 8)), "", *in_a_program,
    ]  # fmt: skip
    if _lies_beside(verdict, password):
        page += ["", *_filled(_WITH_OPENSSL), *_commands(path, outside=outside), *_filled(_SAYS)]
    return page


def _filled(words: str) -> list[str]:
    return fill(words, WIDTH, break_long_words=False, break_on_hyphens=False).split("\n")


def _commands(path: Path, *, outside: bool) -> tuple[str, str]:
    """What to type, the same in a shell of any system while the name is an ordinary one.

    `outside`: what is compared is the signer's own certificate, above which nothing has to be trusted.
    """
    how = "-partial_chain -no_check_time" if outside else "-no_check_time"
    guide, record = _quoted(guide_place(path).name), f"{path.stem}.fhir.json"
    files = f"-in {_quoted(f'{record}.p7s')} -content {_quoted(record)} -out {_quoted(f'{path.stem}.checked.json')}"
    return (
        f"openssl x509 -noout -fingerprint -sha256 -in {guide}",
        f"openssl cms -verify -binary -inform DER -purpose any {how} -CAfile {guide} {files}",
    )


def _quoted(name: str) -> str:
    """A file name as a command takes it: as it is, or in the quotes that the shells of all systems know, if they do."""
    if not _PLAIN_NAME.fullmatch(name) or name.startswith("-"):
        return shlex.quote(f"./{name}" if name.startswith("-") else name)
    return f'"{name}"' if " " in name else name
