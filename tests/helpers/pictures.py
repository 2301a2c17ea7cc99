"""Invented pictures, drawn here: a warm shape with a darker spot, a scale in centimetres and a patch of colours."""

from __future__ import annotations

from io import BytesIO
from struct import pack
from typing import Any
from zlib import compress, crc32

from PIL import Image, ImageCms, ImageDraw

__all__ = ["PLACE", "as_jpeg", "as_png", "chunk", "drawn", "far_too_large", "profile", "segments", "with_a_past"]

PLACE = "Tamarisk Cottage"
"""Words put into the notes of a picture; no cleaned picture may hold them."""

SKIN, DEEPER, SORE, PAPER, DARK = (196, 149, 118), (160, 106, 84), (142, 52, 46), (238, 234, 224), (52, 44, 40)


def drawn(wide: int = 1200, tall: int = 900, *, mode: str = "RGB") -> Image.Image:
    """The picture: a round shape with a spot on it, a ruler under it, four patches beside it."""
    picture = Image.new("RGB", (wide, tall), SKIN)
    pen = ImageDraw.Draw(picture)
    unit = min(wide, tall) // 30
    middle, high = wide // 2, tall * 2 // 5
    pen.ellipse((middle - 9 * unit, high - 9 * unit, middle + 9 * unit, high + 9 * unit), fill=DEEPER)
    pen.ellipse((middle - 3 * unit, high - 3 * unit, middle + 3 * unit, high + 3 * unit), fill=(136, 84, 68))
    pen.line((middle + unit, high - unit, middle + 2 * unit, high + 2 * unit), fill=SORE, width=max(unit // 3, 1))
    foot = tall - 6 * unit
    pen.rectangle((2 * unit, foot, wide - 12 * unit, foot + 4 * unit), fill=PAPER)
    for tick in range((wide - 14 * unit) // unit):
        at = 2 * unit + tick * unit
        pen.line((at, foot, at, foot + (2 if tick % 5 else 3) * unit), fill=DARK, width=max(unit // 8, 1))
    for patch, colour in enumerate((DARK, (190, 60, 50), (70, 120, 80), (60, 90, 150))):
        left = wide - 10 * unit + patch * 2 * unit
        pen.rectangle((left, foot, left + 2 * unit, foot + 4 * unit), fill=colour)
    return picture.convert(mode) if mode != "RGB" else picture


def as_jpeg(picture: Image.Image, **more: Any) -> bytes:
    """The picture as a JPEG file."""
    into = BytesIO()
    picture.save(into, "JPEG", **{"quality": 90, **more})
    return into.getvalue()


def as_png(picture: Image.Image, **more: Any) -> bytes:
    """The picture as a PNG file."""
    into = BytesIO()
    picture.save(into, "PNG", **more)
    return into.getvalue()


def with_a_past(orientation: int = 1) -> Image.Exif:
    """What a camera writes beside a picture: where it was, when, by which device and by whom."""
    told = Image.Exif()
    told[0x010E] = f"in the kitchen at {PLACE}"
    told[0x010F], told[0x0110] = "Quillwort", "Quillwort Pocket 7"
    told[0x0112] = orientation
    told[0x0132] = "2026:03:02 16:28:30"
    told[0x013B] = "Bram Lindqvist-Osei"
    told.get_ifd(0x8769).update({0x9003: "2026:03:02 16:28:09", 0x927C: b"maker " + PLACE.encode()})
    told.get_ifd(0x8825).update({1: "N", 2: (52.0, 13.0, 1.5), 3: "E", 4: (4.0, 53.0, 2.5), 29: "2026:03:02"})
    return told


def segments(data: bytes) -> list[int]:
    """The markers of a JPEG before its scan, read by steps of its own."""
    found, at = [], 2
    while data[at + 1] != 0xDA:
        assert data[at] == 0xFF
        found.append(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return found


def chunk(name: bytes, held: bytes) -> bytes:
    """One chunk of a PNG."""
    return pack(">I", len(held)) + name + held + pack(">I", crc32(name + held))


def far_too_large(wide: int = 30_000, tall: int = 30_000, *, rows: int = 30_000) -> bytes:
    """A PNG of plain grey that says it is 30,000 by 30,000, and with all its rows really is: under one megabyte."""
    line = b"\0" + b"\x80" * wide
    return b"".join((
        b"\x89PNG\r\n\x1a\n",
        chunk(b"IHDR", pack(">IIBBBBB", wide, tall, 8, 0, 0, 0, 0)),
        chunk(b"IDAT", _packed(line, rows)),
        chunk(b"IEND", b""),
    ))  # fmt: skip


def _packed(line: bytes, rows: int) -> bytes:
    from zlib import compressobj

    if rows < 100:
        return compress(line * rows)
    packer = compressobj(9)
    parts = [packer.compress(line * 100) for _ in range(rows // 100)]
    return b"".join((*parts, packer.flush()))


def profile() -> bytes:
    """A colour profile as a camera adds one."""
    made: bytes = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return made
