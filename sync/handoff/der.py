"""The outermost shape of DER, read strictly and written: what is read here can be written in this one way alone.

Only a few layers of a seal are gone through, each by a step of its own, so that no nesting can make it slow.
"""

from __future__ import annotations

from typing import Final

__all__ = [
    "CONTEXT_0", "CONTEXT_1", "OCTETS", "SEQUENCE", "SET", "V1", "V3", "inside", "one_inside", "parts", "put", "signed",
]  # fmt: skip

SEQUENCE: Final = 0x30
SET: Final = 0x31
OCTETS: Final = 0x04
CONTEXT_0: Final = 0xA0
CONTEXT_1: Final = 0xA1
V1: Final = b"\x02\x01\x01"
V3: Final = b"\x02\x01\x03"
_SIGNED: Final = bytes.fromhex("06092a864886f70d010702")  # RFC 5652: the content type of signed data


def _head(data: bytes, at: int) -> tuple[int, int]:
    """Where the contents of the element at a place begin, and where they end. Raises ValueError unless it is DER."""
    if at + 2 > len(data) or data[at] & 0x1F == 0x1F:
        raise ValueError("no element of DER")
    size, begin = data[at + 1], at + 2
    if size >= 0x80:
        begin += size & 0x7F
        digits = data[at + 2 : begin]
        size = int.from_bytes(digits, "big")
        if not 0 < len(digits) <= 4 or digits[0] == 0 or size < 0x80:
            raise ValueError("a length that DER writes otherwise")
    if begin + size > len(data):
        raise ValueError("an element longer than what holds it")
    return begin, begin + size


def parts(data: bytes) -> list[bytes]:
    """The elements that stand side by side, each whole. Raises ValueError."""
    found, at = [], 0
    while at < len(data):
        _, end = _head(data, at)
        found.append(data[at:end])
        at = end
    return found


def inside(element: bytes, tag: int) -> bytes:
    """The contents of one element of that tag, after which nothing follows. Raises ValueError."""
    begin, end = _head(element, 0)
    if element[0] != tag or end != len(element):
        raise ValueError("another element than the one that belongs here")
    return element[begin:]


def one_inside(element: bytes, tag: int) -> bytes:
    """The only element inside one of that tag. Raises ValueError."""
    (found,) = parts(inside(element, tag))
    return found


def put(tag: int, *contents: bytes) -> bytes:
    """An element of that tag around its contents."""
    body = b"".join(contents)
    if len(body) < 0x80:
        return bytes((tag, len(body))) + body
    digits = len(body).to_bytes((len(body).bit_length() + 7) // 8, "big")
    return bytes((tag, 0x80 | len(digits))) + digits + body


def signed(data: bytes) -> bytes:
    """Signed data as content of its type (RFC 5652)."""
    return put(SEQUENCE, _SIGNED, put(CONTEXT_0, data))
