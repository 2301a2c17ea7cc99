"""A PDF from a stranger, opened within bounds: what its packed parts come to is counted before a library unpacks them.

The parts of a PDF can lie packed in streams of their own, and a few kilobytes of those can come to gigabytes as soon as
one part is asked for. So these streams are unpacked here first, for their size alone.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

from sync.handoff.one_at_a_time import one_at_a_time
from sync.handoff.reading.troubles import PackedTightly, TooLarge

if TYPE_CHECKING:
    from pikepdf import Pdf

__all__ = ["opened", "within_bounds"]

_MOST_STREAMS: Final = 50_000
_MOST_PARTS: Final = 400_000
"""Lists and dictionaries; each takes two bytes of a file, or less where it is packed, and some 150 of memory."""
_LARGEST_PARTS: Final = 8_000_000
"""Bytes that the packed parts come to together: those of a letter with a dozen pages have some 200,000."""
_LARGEST_STREAM: Final = 2_000_000
_HEAD: Final = 4_096
_STEP: Final = 65_536
_STREAM: Final = re.compile(rb"(?<!end)stream[\x00\t\n\f\r ]*")
"""Readers also take a stream that begins after other white space than a line break; none is packed data itself."""
_ESCAPED: Final = re.compile(rb"#([0-9A-Fa-f]{2})")
_OF_PARTS: Final = re.compile(rb"ObjStm|/First(?![A-Za-z])")
"""What a stream of packed parts has in its dictionary, which may hold anything else, words for its own end as well."""
_BEGINS: Final = re.compile(rb"[\x00\t\n\f\r ]*\d+[\x00\t\n\f\r ]+\d+[\x00\t\n\f\r ]")
"""How packed parts begin, whatever is said before them: with the number of one and where it lies."""


def _says_parts(head: bytes) -> bool:
    """Whether a stream may hold packed parts by what stands before it, or by its dictionary being out of sight."""
    return b"obj" not in head or _OF_PARTS.search(head) is not None


def _begins_as_parts(paper: bytes, start: int) -> bool:
    """Whether a stream begins, unpacked, as packed parts do."""
    try:
        return _BEGINS.match(zlib.decompressobj().decompress(paper[start : start + _HEAD], _HEAD)) is not None
    except zlib.error:
        return False


def _unpacked(paper: bytes, start: int, left: int) -> tuple[int, int]:
    """What a stream comes to, in bytes and in lists and dictionaries; nothing for one that is packed otherwise."""
    size = parts = 0
    packed, at = zlib.decompressobj(), start
    try:
        while not packed.eof and at < len(paper):
            some = packed.decompress(packed.unconsumed_tail or paper[at : at + _STEP], _STEP)
            at += 0 if packed.unconsumed_tail else _STEP
            size, parts = size + len(some), parts + some.count(b"[") + some.count(b"<<")
            if size > left or parts > _MOST_PARTS:
                raise TooLarge
    except zlib.error:
        pass  # a library stops here as well
    return size, parts


def within_bounds(paper: bytes) -> None:
    """Raises TooLarge for more than a hand-over comes to, PackedTightly for parts whose size cannot be counted."""
    left, parts = _LARGEST_PARTS, paper.count(b"[") + paper.count(b"<<")
    for number, found in enumerate(_STREAM.finditer(paper)):
        if number > _MOST_STREAMS or parts > _MOST_PARTS:
            raise TooLarge
        head = paper[max(0, found.start() - _HEAD) : found.start()]
        told = _ESCAPED.sub(lambda code: bytes([int(code[1], 16)]), head)
        says = _says_parts(told)
        if not says and not _begins_as_parts(paper, found.end()):
            continue
        if says and b"LZW" in told:
            raise PackedTightly
        size, more = _unpacked(paper, found.end(), left)
        left, parts = left - size, parts + more
    if parts > _MOST_PARTS:
        raise TooLarge


@contextmanager
def opened(paper: bytes, password: str | None) -> Iterator[Pdf]:
    """The PDF, open. Raises TooLarge, PackedTightly, and what pikepdf raises.

    A file that has to be mended before it can be read is refused: what was counted may not be what is read then.
    In a locked file nothing can be counted beforehand. There the library's own bound holds, for the length of the
    reading alone, since it is one for the whole process: a paper of ours may carry more, and waits.
    """
    import pikepdf

    within_bounds(paper)
    bounded: dict[str, Any] = dict.fromkeys(("flate_max_memory", "png_max_memory"), _LARGEST_STREAM)
    with one_at_a_time():
        before = {name: pikepdf.settings.get_qpdf_limits()[name] for name in bounded}
        pikepdf.settings.set_qpdf_limits(**bounded)
        try:
            with pikepdf.open(BytesIO(paper), password=password or "", attempt_recovery=False) as pdf:
                yield pdf
        finally:
            pikepdf.settings.set_qpdf_limits(**before)  # type: ignore[arg-type]
