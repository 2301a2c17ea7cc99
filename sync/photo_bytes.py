"""A picture file by its bytes alone: what it is, how large it says it is, and whether it carries more than its picture.

Read before any decoder sees the file, so that a file which claims a thousand million pixels costs nothing. The parts
are those of the open standards: JPEG (ITU-T T.81), PNG (ISO/IEC 15948), WebP (RFC 9649), ISO media files (14496-12).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final
from zlib import crc32

__all__ = ["Header", "Kind", "Torn", "header_of", "is_bare", "kind_of"]


class Kind(StrEnum):
    """What a file is, told by its first bytes and never by its name."""

    JPEG = "image/jpeg"
    PNG = "image/png"
    WEBP = "image/webp"
    HEIF = "image/heif"
    GIF = "image/gif"
    TIFF = "image/tiff"
    BMP = "image/bmp"


class Torn(ValueError):  # noqa: N818 - what befell the file
    """The file ends too early, or its parts do not hold together."""


@dataclass(frozen=True, slots=True)
class Header:
    """What a file says of its picture: pixels across and down, bits a colour, whether it moves, whether it is exact."""

    wide: int
    tall: int
    bits: int = 8
    moving: bool = False
    exact: bool = False


_BEGINNINGS: Final = (
    (b"\xff\xd8\xff", Kind.JPEG),
    (b"\x89PNG\r\n\x1a\n", Kind.PNG),
    (b"GIF87a", Kind.GIF),
    (b"GIF89a", Kind.GIF),
    (b"II*\0", Kind.TIFF),
    (b"MM\0*", Kind.TIFF),
)
_HEIF_BRANDS: Final = frozenset({b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis"})


def kind_of(data: bytes) -> Kind | None:
    """What the file is; None for anything that is no picture known here."""
    for beginning, kind in _BEGINNINGS:
        if data.startswith(beginning):
            return kind
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return Kind.WEBP
    if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS:
        return Kind.HEIF
    if data[:2] == b"BM" and data[6:10] == b"\0\0\0\0":
        return Kind.BMP
    return None


def header_of(data: bytes, kind: Kind) -> Header:
    """What a JPEG, PNG or WebP file says of its picture; raises Torn when its parts do not hold together."""
    match kind:
        case Kind.JPEG:
            return _jpeg(data)
        case Kind.PNG:
            return _png(data)
        case Kind.WEBP:
            return _webp(data)
    raise Torn


# --- JPEG -----------------------------------------------------------------------------------------------------------

_NO_LENGTH: Final = frozenset({0x01, *range(0xD0, 0xD9)})
_FRAMES: Final = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
_SCAN, _END, _FIRST = 0xDA, 0xD9, 0xD8


def _segments(data: bytes) -> Iterator[tuple[int, int, int]]:
    """Each segment of a JPEG: its marker, and where what it holds begins and ends. Ends with the end of the image."""
    at, size = 2, len(data)
    while True:
        while at + 1 < size and data[at] == 0xFF and data[at + 1] == 0xFF:
            at += 1  # fill bytes
        if at + 2 > size or data[at] != 0xFF:
            raise Torn
        marker = data[at + 1]
        at += 2
        if marker == _END:
            yield marker, at, at
            return
        if marker in _NO_LENGTH:
            continue
        length = int.from_bytes(data[at : at + 2], "big")
        if length < 2 or at + length > size:
            raise Torn
        yield marker, at + 2, at + length
        at += length
        if marker == _SCAN:
            at = _after_scan(data, at)


def _after_scan(data: bytes, at: int) -> int:
    """Where the picture's data ends and the next marker stands."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise Torn
        follows = data[at + 1]
        if follows == 0 or 0xD0 <= follows <= 0xD7:
            at += 2
        elif follows == 0xFF:
            at += 1
        else:
            return at


def _jpeg(data: bytes) -> Header:
    found: Header | None = None
    scanned = False
    for marker, begin, end in _segments(data):
        if marker in _FRAMES and found is None:
            if end - begin < 6:
                raise Torn
            tall, wide = (int.from_bytes(data[begin + 1 + i : begin + 3 + i], "big") for i in (0, 2))
            found = Header(wide, tall, bits=data[begin])
        scanned = scanned or marker == _SCAN
    if found is None or not scanned:
        raise Torn
    return found


# --- PNG ------------------------------------------------------------------------------------------------------------


def _chunks(data: bytes) -> Iterator[tuple[bytes, memoryview]]:
    """Each chunk of a PNG with what it holds, its checksum looked at; ends with IEND."""
    at, view = 8, memoryview(data)
    while True:
        if at + 12 > len(data):
            raise Torn
        length = int.from_bytes(view[at : at + 4], "big")
        name, end = bytes(view[at + 4 : at + 8]), at + 8 + length
        if end + 4 > len(data) or crc32(view[at + 4 : end]) != int.from_bytes(view[end : end + 4], "big"):
            raise Torn
        yield name, view[at + 8 : end]
        if name == b"IEND":
            return
        at = end + 4


def _png(data: bytes) -> Header:
    chunks = _chunks(data)
    name, head = next(chunks)
    if name != b"IHDR" or len(head) != 13:
        raise Torn
    wide, tall = (int.from_bytes(head[i : i + 4], "big") for i in (0, 4))
    names = {name for name, _ in chunks}
    if b"IDAT" not in names:
        raise Torn
    return Header(wide, tall, bits=head[8], moving=b"acTL" in names, exact=True)


# --- WebP -----------------------------------------------------------------------------------------------------------


def _webp(data: bytes) -> Header:
    if int.from_bytes(data[4:8], "little") + 8 > len(data) or len(data) < 30:
        raise Torn
    first, body = data[12:16], data[20:]
    if first == b"VP8X":
        wide, tall = (int.from_bytes(body[i : i + 3], "little") + 1 for i in (4, 7))
        return Header(wide, tall, moving=bool(body[0] & 0x02), exact=b"VP8L" in (name for name in _riff(data)))
    if first == b"VP8L" and body[0] == 0x2F:
        packed = int.from_bytes(body[1:5], "little")
        return Header((packed & 0x3FFF) + 1, (packed >> 14 & 0x3FFF) + 1, exact=True)
    if first == b"VP8 " and body[3:6] == b"\x9d\x01\x2a":
        wide, tall = (int.from_bytes(body[i : i + 2], "little") & 0x3FFF for i in (6, 8))
        return Header(wide, tall)
    raise Torn


def _riff(data: bytes) -> Iterator[bytes]:
    at = 12
    while at + 8 <= len(data):
        yield data[at : at + 4]
        length = int.from_bytes(data[at + 4 : at + 8], "little")
        at += 8 + length + length % 2


# --- what is kept ---------------------------------------------------------------------------------------------------

# Frame, tables, restart interval, scan, end, and the marks that say how the colours are to be read (JFIF, Adobe).
_OF_THE_PICTURE: Final = _FRAMES | {0xC4, 0xDB, 0xDD, _SCAN, _END}
_PLAIN_CHUNKS: Final = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND"})
_JFIF: Final = 14  # bytes of a JFIF segment that carries no thumbnail


def is_bare(data: bytes, kind: Kind) -> bool:
    """Whether a JPEG or PNG holds its picture and nothing else: no note, place, time, device or second picture."""
    if kind is Kind.PNG:
        names, last = [], 0
        for name, held in _chunks(data):
            names.append(name)
            last += len(held) + 12
        return set(names) <= _PLAIN_CHUNKS and last + 8 == len(data)
    end = 0
    for marker, begin, end in _segments(data):
        jfif = marker == 0xE0 and end - begin == _JFIF and data[begin : begin + 5] == b"JFIF\0"
        if marker not in _OF_THE_PICTURE and not jfif:
            return False
    return end == len(data)
