"""The answer to a letter on its way in, and each step of a letter: what is written, with the file kept whole first."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Final

from forms.answers import Moment
from forms.ask import Path as Field
from forms.letters import Letter
from forms.trouble import Trouble
from storage.changes import Change, Put
from sync.handoff.reading.opening import LARGEST_PAPER
from sync.handoff.reading.pdf_bounds import within_bounds
from sync.handoff.reading.troubles import PackedTightly, TooLarge

if TYPE_CHECKING:
    from storage.store import Store

__all__ = [
    "LARGEST_ANSWER", "AnswerFile", "AnswerLocked", "AnswerTooLarge", "AnswerUnread", "NoAnswerFile", "answer_file",
    "attached", "moved",
]  # fmt: skip

LARGEST_ANSWER: Final = LARGEST_PAPER
"""Bytes of a file that is kept as an answer: as many as a paper that is taken in may have."""
_PDF: Final = b"%PDF-"
_PDF_KIND: Final = "application/pdf"


class AnswerUnread(Trouble):
    """The file is not there, is no file, or may not be opened."""

    template = "{name} could not be read: {why}. Check that it is there, and choose it again."


class AnswerTooLarge(Trouble):
    """More bytes than are kept as an answer."""

    template = "{name} is larger than {most} MB, so it was not added. Scan it again with less detail, page by page."


class AnswerLocked(Trouble):
    """A PDF that opens only with a password."""

    template = "{name} is locked with a password. Save it without one where you opened it, then choose that file."


class NoAnswerFile(Trouble):
    """Neither a PDF that opens nor a picture."""

    template = "{name} is neither a PDF that opens nor a photo (JPEG, PNG, WebP). Choose another file."


@dataclass(frozen=True, slots=True)
class AnswerFile:
    """A file that can be kept: its bytes, their media type, the code of that on the answer, and what it is called."""

    data: bytes = field(repr=False)
    kind: str
    media: str
    called: str


def answer_file(place: Path) -> AnswerFile:
    """Reads a PDF as it is, or a photo made anew from its pixels, so that neither place nor device comes along.

    Raises AnswerUnread, AnswerTooLarge, AnswerLocked, NoAnswerFile, and what `sync.photo.cleaned` raises of a picture.
    """
    data = _bytes(place)
    if data.lstrip()[: len(_PDF)] == _PDF:
        _opens(data, place.name)
        return AnswerFile(data, _PDF_KIND, "pdf", place.name)
    from sync.photo import NoPicture, OtherKind, cleaned  # its library is not needed for a PDF

    try:
        clean = cleaned(data)
    except (NoPicture, OtherKind) as other:
        raise NoAnswerFile(name=place.name) from other
    return AnswerFile(clean.data, clean.kind, clean.kind.name.lower(), place.name)


def _bytes(place: Path) -> bytes:
    try:
        found = place.stat()
        if not stat.S_ISREG(found.st_mode):  # a pipe would never end
            raise AnswerUnread(name=place.name, why="it is no file")
        with place.open("rb") as file:
            data = file.read(LARGEST_ANSWER + 1)
    except OSError as fault:
        why = os.strerror(fault.errno).lower() if fault.errno else "the disk did not answer"
        raise AnswerUnread(name=place.name, why=why) from fault
    if len(data) > LARGEST_ANSWER:
        raise AnswerTooLarge(name=place.name, most=LARGEST_ANSWER // 1_000_000)
    return data


def _opens(data: bytes, name: str) -> None:
    import pikepdf

    try:
        within_bounds(data)  # a few kilobytes can unpack to gigabytes
        with pikepdf.open(BytesIO(data)) as pdf:
            if not len(pdf.pages):
                raise NoAnswerFile(name=name)
    except pikepdf.PasswordError as locked:
        raise AnswerLocked(name=name) from locked
    except (pikepdf.PdfError, TooLarge, PackedTightly) as broken:
        raise NoAnswerFile(name=name) from broken


def attached(store: Store, answer: str, file: AnswerFile) -> Iterator[Change]:
    """Files the bytes with the record, and gives what names them on the answer. The bytes first: the rest is a loss."""
    name = store.attach(file.data, file.kind)
    for path, value in (("file", name), ("media", file.media), ("called", file.called)):
        yield Put(answer, Field(path), value)


def moved(letter: Letter, state: str, words: str, now: Moment) -> Iterator[Change]:
    """What a step of a letter writes. `words`: how it was sent, why it ended, or who was told.

    Only what was shown is replaced: a state another device wrote meanwhile stands beside this one, to be settled.
    Choosing one of two states that stand says which holds and nothing more: when and how was written by who took it.
    """
    entry, said = letter.entry, words.strip()
    yield Put(entry.id, Field("state"), state, entry.heads.get("state", ()))
    if state in letter.states:
        return
    if state == "sent":
        yield Put(entry.id, Field("sent_how"), said or None)
        yield Put(entry.id, Field("sent_at"), now)
    elif state == "told_family":
        for answer in letter.answers:
            if answer.answers.told_at is None:
                yield Put(answer.id, Field("told_at"), now)
                yield Put(answer.id, Field("told_whom"), said or None)
    elif said:
        yield Put(entry.id, Field("state_why"), said)
