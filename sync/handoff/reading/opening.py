"""The record inside a paper from a stranger, taken out within bounds: a few kilobytes can unpack to gigabytes."""

from __future__ import annotations

import zlib
from io import BytesIO
from typing import Any, Final

from sync.handoff.inside import RECORD, SIGNATURE
from sync.handoff.reading.bounded import LARGEST
from sync.handoff.reading.troubles import NoRecordInside, NotReadable, PackedTightly, TooLarge
from sync.handoff.verify import NeedsPassword

__all__ = ["LARGEST_PAPER", "record_inside"]

LARGEST_PAPER: Final = 20_000_000
"""Bytes of a PDF that is opened: a letter with a dozen pictures has fewer."""


def _bounded(stream: Any) -> bytes:
    raw: bytes = stream.read_raw_bytes()
    packed = stream.get("/Filter")
    if packed is not None and (str(packed) != "/FlateDecode" or stream.get("/DecodeParms") is not None):
        raise PackedTightly
    opened = raw if packed is None else zlib.decompressobj().decompress(raw, LARGEST + 1)
    if len(opened) > LARGEST:
        raise TooLarge
    return opened


def record_inside(paper: bytes, password: str | None = None) -> tuple[bytes, bytes | None]:
    """The open record a PDF carries, byte for byte, and the signature beside it if there is one.

    Raises TooLarge, PackedTightly, NoRecordInside, NotReadable for a PDF that is damaged, NeedsPassword for one that
    stays locked.
    """
    import pikepdf

    if len(paper) > LARGEST_PAPER:
        raise TooLarge
    try:
        with pikepdf.open(BytesIO(paper), password=password or "") as pdf:
            if RECORD not in pdf.attachments:
                raise NoRecordInside
            record = _bounded(pdf.attachments[RECORD].get_file().obj)
            beside = _bounded(pdf.attachments[SIGNATURE].get_file().obj) if SIGNATURE in pdf.attachments else None
    except pikepdf.PasswordError as locked:
        raise NeedsPassword from locked
    except (pikepdf.PdfError, zlib.error, ValueError, TypeError, LookupError, AttributeError, RuntimeError) as damage:
        raise NotReadable from damage
    return record, beside
