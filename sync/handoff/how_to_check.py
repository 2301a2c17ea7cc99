"""The half page that lies beside a saved paper and tells its receiver how to check it without this program.

It speaks the language of the paper, and says so where nobody who speaks it has gone through the words yet.
It carries the practice's root certificate where openssl is of use, so that the commands in it need nothing else but the
files beside it. That certificate proves nothing by lying there: the fingerprint, compared with the practice, does.
"""

from __future__ import annotations

import hashlib
import re
import shlex
from io import BytesIO
from pathlib import Path
from textwrap import fill
from typing import Final, TypeGuard

from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import load_der_x509_certificate

from forms.chart import Chart
from forms.papers.tongue import Tongue
from forms.phrases.catalogue import Catalogue
from forms.phrases.english import ENGLISH
from forms.phrases.languages import CATALOGUES
from sync.handoff.inside import RECORD
from sync.handoff.verify import NeedsPassword, NotAPaper, State, Verdict, verify

__all__ = ["WIDTH", "guide_beside", "guide_place", "is_guide_of"]

WIDTH: Final = 78
"""Characters of a line, but of a command, which no line end may cut."""

_PLAIN_NAME: Final = re.compile(r"[\w.+-][\w.+ -]*")


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
    tongue = _tongue(paper, password)
    page = [*_parts(path, verdict, password, tongue), "", _belongs(paper, tongue.catalogue), *_unreviewed(tongue)]
    if _lies_beside(verdict, password):
        page.append(load_der_x509_certificate(verdict.issuer).public_bytes(Encoding.PEM).decode("ascii").strip())
    return {guide_place(path): "".join(f"{line}\n" for line in page).encode()}


def is_guide_of(data: bytes, paper: bytes) -> bool:
    """Whether a file is the page that was laid beside this very paper."""
    return any(_belongs(paper, one).encode() in data for one in CATALOGUES.values())


def guide_place(path: Path) -> Path:
    """Where the page about a paper lies."""
    return path.with_name(f"{path.stem}.how-to-check.txt")


def _belongs(paper: bytes, language: Catalogue) -> str:
    return f"{language.sentences['check.about'].text}\n{hashlib.sha256(paper).hexdigest()}"


def _tongue(paper: bytes, password: str | None) -> Tongue:
    """The language a paper says it speaks; English where that cannot be read or has no words here."""
    import pikepdf

    try:
        with pikepdf.open(BytesIO(paper), password=password or "") as opened:
            tag = str(opened.Root.get("/Lang", ENGLISH.tag))
    except (pikepdf.PdfError, pikepdf.PasswordError):
        tag = ENGLISH.tag
    return Tongue(Chart("", None, ()), CATALOGUES.get(tag.casefold().partition("-")[0], ENGLISH))


def _unreviewed(tongue: Tongue) -> list[str]:
    """That nobody who speaks the language went through its words yet, in both languages, as on the paper itself."""
    if tongue.english or not tongue.unreviewed:
        return []
    name = tongue.catalogue.english_name
    both = (tongue.say("plan.unreviewed"), Tongue(tongue.chart).say("plan.unreviewed", language=name))
    return ["", *(line for words in both for line in _filled(words))]


def _lies_beside(verdict: Verdict | None, password: str | None) -> TypeGuard[Verdict]:
    """Whether the record of a paper lies beside it: never beside a locked one."""
    return verdict is not None and password is None and any(one.name == RECORD for one in verdict.records)


def _parts(path: Path, verdict: Verdict | None, password: str | None, tongue: Tongue) -> list[str]:
    """The page, line by line, without what it belongs to."""

    def say(key: str, **blanks: object) -> list[str]:
        return _filled(tongue.say(key, **blanks))

    head = [tongue.say("check.title", name=path.name), ""]
    if verdict is not None and verdict.state is State.UNSEALED:
        return [*head, *say("check.unsealed")]
    head += say("check.print")
    outside = verdict is not None and verdict.outside
    which = "own" if outside else "root"
    in_a_program = say(f"check.program.{which}", name=path.name)
    if verdict is None:
        return [*head, *say("check.locked"), *in_a_program]
    groups = verdict.root.split()
    page = [
        *head, "", *say("check.ask", who=verdict.contact or verdict.signer), *say(f"check.compare.{which}"),
        *(f"   {' '.join(groups[at : at + 8])}" for at in range(0, len(groups), 8)), "", *in_a_program,
    ]  # fmt: skip
    if verdict.stamp is not None:
        page += say("check.stamp", at=f"{verdict.stamp.at:%Y-%m-%d %H:%M}", by=verdict.stamp.by.subject)
    if _lies_beside(verdict, password):
        page += ["", *say("check.openssl"), *_commands(path, outside=outside), *say("check.says")]
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
