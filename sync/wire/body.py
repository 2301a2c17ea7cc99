"""A body as it travels in a change file or a snapshot: a zstd frame behind its length, padded so that it tells little.

Padme padding (Nikitin and others, PETS 2019, from memory).
"""

from __future__ import annotations

from typing import Final

import zstandard

from sync.wire.troubles import BadFile

__all__ = ["MOST", "packed", "padded", "unpacked"]

MOST: Final = 64 * 1024 * 1024
"""A body longer than this when unpacked is refused: 64 MiB."""

_LEVEL, _LENGTH = 3, 4


def padded(length: int) -> int:
    """The length to which `length` bytes are padded: at most about an eighth more, so that it tells little."""
    if length < 2:
        return 2
    exponent = length.bit_length() - 1
    low = exponent - exponent.bit_length()
    mask = (1 << max(low, 0)) - 1
    return (length + mask) & ~mask


def packed(plain: bytes) -> bytes:
    """Length, frame and zeros."""
    frame = zstandard.ZstdCompressor(level=_LEVEL, write_content_size=True).compress(plain)
    whole = len(frame).to_bytes(_LENGTH, "big") + frame
    return whole.ljust(padded(len(whole)), b"\0")


def unpacked(data: bytes) -> bytes:
    """The plain bytes; raises BadFile for what `packed` did not make, and before a bomb takes memory."""
    end = _LENGTH + int.from_bytes(data[:_LENGTH], "big")
    if end > len(data) or data[end:].strip(b"\0"):
        raise BadFile(why="its body does not fill it as it says")
    frame = data[_LENGTH:end]
    try:
        if zstandard.get_frame_parameters(frame).content_size > MOST:
            raise BadFile(why="its body is larger than any that is written")
        return zstandard.ZstdDecompressor().decompress(frame)
    except zstandard.ZstdError:
        raise BadFile(why="its body does not read") from None
