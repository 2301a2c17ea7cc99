"""A picture on its way into the record: looked at before it is opened, turned upright, and made anew from its pixels.

What is kept is the picture and nothing else: no place, device, time, note, preview or profile that came with the file.
Full resolution stays. All of it happens in memory; no file is written, here or by the library.
"""

from __future__ import annotations

import logging
import os
import stat
import struct
import warnings
import zlib
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Final, Protocol

from forms.trouble import Bug, Trouble
from sync.photo_bytes import Header, Kind, Torn, header_of, is_bare, kind_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from _typeshed import ReadableBuffer
    from PIL.Image import Exif, Image
    from PIL.ImageFile import ImageFile

__all__ = [
    "LARGEST_FILE", "MOST_PIXELS", "CleanPhoto", "FileTooLarge", "NoMemoryLeft", "NoPicture", "NotReadable",
    "OtherKind", "PictureDamaged", "PictureMoves", "PictureTooFine", "PictureTooLarge", "Progress", "ReadingStopped",
    "cleaned", "taken_in",
]  # fmt: skip

LARGEST_FILE: Final = 60_000_000  # bytes; house bound, no source
MOST_PIXELS: Final = 50_000_000  # four bytes each while it is made anew, twice over; house bound, no source


class NoPicture(Trouble):
    """The file is something else, whatever its name says."""

    template = "This file is not a picture, whatever its name says. Choose a JPEG, PNG or WebP; nothing was added."


class OtherKind(Trouble):
    """A picture of a kind that cannot be made anew here."""

    template = "{kind} pictures cannot be read here. Save it as JPEG or PNG first, then add that; nothing was added."


class PictureDamaged(Trouble):
    """The picture ends too early, or its parts do not hold together."""

    template = "This picture is damaged or not complete. Copy it from the camera again; nothing was added."


class PictureMoves(Trouble):
    """An animation: which of its pictures is meant is not for the program to guess."""

    template = "This file holds a moving picture. Choose a still one; nothing was added."


class PictureTooFine(Trouble):
    """More than 8 bits a colour, which the kept form would round away."""

    template = (
        "This picture has {bits} bits for each colour, more than is kept here. Save it with 8, then add that; "
        "nothing was added."
    )


class PictureTooLarge(Trouble):
    """More pixels than a machine of the practice can open safely."""

    template = (
        "This picture says it has {wide} by {tall} pixels; at most 50 million are taken. Make it smaller, then add "
        "that; nothing was added."
    )


class FileTooLarge(Trouble):
    """More bytes than any picture of that many pixels needs."""

    template = "This file is larger than 60 MB. Choose a smaller picture; nothing was added."


class NotReadable(Trouble):
    """The file cannot be read from its disk."""

    template = "This file cannot be read. Check that it is there and its disk connected; nothing was added."


class NoMemoryLeft(Trouble):
    """The machine could not give the memory that the pixels need."""

    template = "This machine has too little free memory for this picture. Close other programs and try again."


class ReadingStopped(Trouble):
    """The consultant stopped it."""

    template = "Stopped. Nothing was added."


@dataclass(frozen=True, slots=True, repr=False)
class CleanPhoto:
    """A picture made anew: its bytes, their kind, its pixels, and what the camera's own clock showed, if it said so."""

    data: bytes
    kind: Kind
    wide: int
    tall: int
    camera_time: datetime | None


class Progress(Protocol):
    """What is told how far it is: a word for each step, and asked whether to go on."""

    def __call__(self, step: str = "") -> None:
        """Tell a step; raises ReadingStopped to stop."""


def _untold(step: str = "") -> None:
    """Tells nobody."""


class _Watched(BytesIO):
    """Bytes in memory whose every reading and writing asks whether to go on, so that a long decoding can be stopped."""

    def __init__(self, data: ReadableBuffer, progress: Progress) -> None:
        super().__init__(data)
        self._progress = progress

    def read(self, size: int | None = -1, /) -> bytes:
        self._progress()
        return super().read(size)

    def write(self, data: ReadableBuffer, /) -> int:
        self._progress()
        return super().write(data)


def taken_in(file: Path, progress: Progress = _untold) -> CleanPhoto:
    """The picture in a file, made anew. The file is read once and left as it is.

    Raises NotReadable, and whatever `cleaned` raises.
    """
    progress("Reading the file")
    try:
        # Never wait for a pipe or a device that was picked by mistake.
        handle = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(handle, "rb", closefd=True) as source:  # noqa: PTH123 - opened by its number
            found = os.fstat(source.fileno())
            if not stat.S_ISREG(found.st_mode):
                raise NoPicture
            if found.st_size > LARGEST_FILE:
                raise FileTooLarge
            data = source.read(LARGEST_FILE + 1)
    except OSError as failure:
        raise NotReadable from failure
    return cleaned(data, progress)


def cleaned(data: bytes, progress: Progress = _untold) -> CleanPhoto:
    """The picture in these bytes: upright, in sRGB, at full resolution, without anything that came with it.

    A JPEG stays one (quality 95, colour at full resolution); a PNG and an exact WebP become a PNG without loss; any
    other WebP a JPEG. Raises NoPicture, OtherKind, PictureDamaged, PictureMoves, PictureTooFine, PictureTooLarge,
    FileTooLarge, NoMemoryLeft, and what `progress` raises. A JPEG carries no checksum: one whose pixels changed on the
    way, and which still decodes, is taken as it looks.
    """
    if len(data) > LARGEST_FILE:
        raise FileTooLarge
    kind, header = _looked_at(data)
    with _decoding():
        progress("Opening the picture")
        picture = _opened(data, kind, progress)
        if picture.size != (header.wide, header.tall):
            raise PictureDamaged
        told = picture.getexif()
        turn, taken = told.get(_ORIENTATION), _camera_time(told)
        picture.load()
        progress("Turning it upright")
        upright = _upright(_in_plain_colours(picture, kind), turn)
        del picture
        progress("Writing it without what came with it")
        into = Kind.PNG if header.exact or upright.mode in ("LA", "RGBA") else Kind.JPEG
        made = _written(upright, into, progress)
    if not is_bare(made, into):
        raise Bug("a picture was written with more than its pixels")
    return CleanPhoto(made, into, *upright.size, taken)


def _looked_at(data: bytes) -> tuple[Kind, Header]:
    """What the file says of itself, before any decoder sees it."""
    kind = kind_of(data)
    if kind is None:
        raise NoPicture
    if kind not in _READERS:
        raise OtherKind(kind=_NAMES[kind])
    try:
        header = header_of(data, kind)
    except (Torn, IndexError, StopIteration) as failure:
        raise PictureDamaged from failure
    if not header.wide or not header.tall:
        raise PictureDamaged
    if header.wide * header.tall > MOST_PIXELS:
        raise PictureTooLarge(wide=f"{header.wide:,}", tall=f"{header.tall:,}")
    if header.moving:
        raise PictureMoves
    if header.bits > 8:
        raise PictureTooFine(bits=header.bits)
    return kind, header


_NAMES: Final = {Kind.HEIF: "HEIC and AVIF", Kind.GIF: "GIF", Kind.TIFF: "TIFF", Kind.BMP: "BMP"}

# What the library raises for bytes it cannot make sense of, in its header, its notes, its colours or its pixels.
_BROKEN: Final = (
    OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, ArithmeticError, struct.error, zlib.error,
)  # fmt: skip


@contextmanager
def _decoding() -> Iterator[None]:
    """Whatever the library raises over damaged bytes becomes the one sentence that says so."""
    # It would log every note it reads, places and names too, and warn of each that is torn; none of them is kept.
    logging.getLogger("PIL").setLevel(logging.CRITICAL)
    warnings.filterwarnings("ignore", module=r"PIL\b")
    try:
        yield
    except _BROKEN as failure:
        raise PictureDamaged from failure
    except MemoryError as failure:
        raise NoMemoryLeft from failure


def _opened_jpeg(file: BytesIO) -> ImageFile:
    from PIL.JpegImagePlugin import JpegImageFile  # 60 ms to import, needed only once a picture is added

    return JpegImageFile(file)


def _opened_png(file: BytesIO) -> ImageFile:
    from PIL.PngImagePlugin import PngImageFile  # as above

    return PngImageFile(file)


def _opened_webp(file: BytesIO) -> ImageFile:
    from PIL.WebPImagePlugin import WebPImageFile  # as above

    return WebPImageFile(file)


_READERS: Final[dict[Kind, Callable[[BytesIO], ImageFile]]] = {
    Kind.JPEG: _opened_jpeg, Kind.PNG: _opened_png, Kind.WEBP: _opened_webp,
}  # fmt: skip


def _opened(data: bytes, kind: Kind, progress: Progress) -> ImageFile:
    """The picture opened by the one reader of its kind: no other is tried, and no file is looked for."""
    return _READERS[kind](_Watched(data, progress))


_ORIENTATION: Final = 0x0112
_DETAILS, _TAKEN, _CHANGED = 0x8769, 0x9003, 0x0132


def _camera_time(told: Exif) -> datetime | None:
    """When the camera's clock says it was taken; it may be wrong and names no zone, so it is only ever offered."""
    for said in (told.get_ifd(_DETAILS).get(_TAKEN), told.get(_CHANGED)):
        try:
            return datetime.strptime(str(said).strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - it names no zone
        except ValueError:
            continue
    return None


def _in_plain_colours(picture: ImageFile, kind: Kind) -> Image:
    """The picture in grey or in sRGB, with its transparency if it has one."""
    from PIL import ImageCms  # as above

    profile = picture.info.get("icc_profile")
    clear = "A" in picture.getbands() or (kind is not Kind.JPEG and "transparency" in picture.info)
    if picture.mode in ("1", "L", "LA"):
        return picture.convert("LA" if clear else "L")
    made: Image = picture if picture.mode == "CMYK" else picture.convert("RGBA" if clear else "RGB")
    if profile:
        try:
            here = ImageCms.createProfile("sRGB")
            there = ImageCms.ImageCmsProfile(BytesIO(profile))
            changed = ImageCms.profileToProfile(made, there, here, outputMode=None if made.mode != "CMYK" else "RGB")
        except (ImageCms.PyCMSError, *_BROKEN):
            changed = None  # a profile that does not fit its picture: its colours are shown as they stand
        if changed is not None:
            return changed
    return made.convert("RGB") if made.mode == "CMYK" else made


def _upright(picture: Image, turn: object) -> Image:
    """The picture as its orientation says it is to be seen (Exif 2.32, tag 274)."""
    from PIL.Image import Transpose  # as above

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT, 3: Transpose.ROTATE_180, 4: Transpose.FLIP_TOP_BOTTOM, 5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270, 7: Transpose.TRANSVERSE, 8: Transpose.ROTATE_90,
    }  # fmt: skip
    found = turns.get(turn) if isinstance(turn, int) else None
    return picture if found is None else picture.transpose(found)


def _written(picture: Image, kind: Kind, progress: Progress) -> bytes:
    """The pixels as a file of that kind, in memory, and nothing beside them."""
    picture.info = {}
    into = _Watched(b"", progress)
    if kind is Kind.PNG:
        picture.save(into, "PNG", compress_level=6)
    else:
        picture.save(into, "JPEG", quality=95, subsampling=0)
    return into.getvalue()
